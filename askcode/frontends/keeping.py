"""The orders that keep a conversation: save, open, saved, export. Each says in a line what it did; nothing is lost
without `again`."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from rapidfuzz import process

from askcode.core.errors import listed
from askcode.frontends import saved
from askcode.frontends.files import why, write_whole
from askcode.frontends.orders import Order, order_in
from askcode.render.clean import one_line
from askcode.render.record import Turn

if TYPE_CHECKING:
    from askcode.frontends.talk import Talk

SHOWN = 30  # names in a line
ALIKE = 75  # per cent
PAGES = {".md": "markdown", ".markdown": "markdown", ".html": "html", ".htm": "html"}


def save(talk: Talk, order: Order) -> str:
    """Save under a name; without one, under the name that the conversation has."""
    name = saved.safe_name(order.name or talk.name)
    if not talk.turns:
        return "There is nothing to save yet."
    if not name:
        return "Say a name too, such as: save kitchen"
    if name != talk.name and not order.again and name in saved.saved_names():
        return f"There is a “{name}” already. Save under another name, or replace it with: save {_typed(name)} again"
    try:
        saved.save(name, *talk.start, talk.turns)
    except saved.CannotSave as error:
        return str(error)
    talk.name, talk.unsaved = name, False
    return f"Saved as “{name}”. To go on with it another day: open {_typed(name)}"


def may_be_opened(talk: Talk, name: str, text: str) -> bool:
    """Whether "open ..." means a saved conversation, or begins a question ("open wiring")."""
    names = saved.saved_names()
    if saved.safe_name(name) in names or _near(name, names):
        return True
    talk.wait()
    text, name = " ".join(text.lower().split()), name.lower()
    return not any(word in (name, text) or word.startswith(f"{text} ") for word in talk.words())


def reopen(talk: Talk, order: Order) -> str:
    """Take a saved conversation up again: its turns are answered anew, so that what is remembered is right."""
    names, name = saved.saved_names(), saved.safe_name(order.name)
    if name not in names:
        near = _near(order.name, names)
        return f"There is no “{name}”. " + (f"Did you mean: open {_typed(near)}" if near else _which(names))
    if talk.unsaved and not order.again:
        return f"What was said here is not saved. Save it first, or give it up with: open {_typed(name)} again"
    try:
        kept = saved.load(name)
        if kept.edition not in _editions():
            return f"“{name}” was asked under the {one_line(kept.edition)} edition, which is not here."
    except saved.CannotSave as error:
        return str(error)
    conversation = talk.asker.conversation(kept.edition)
    conversation.settings = dict(kept.settings)
    turns: list[Turn] = []
    changed: list[str] = []
    talk.wait()
    for number, turn in enumerate(kept.turns, 1):
        order_then = order_in(turn.typed) if not turn.reply else None
        reply = None
        if order_then is None:
            try:
                with talk.busy:
                    reply = conversation.say(turn.typed)
            except Exception as error:
                return f"“{name}” cannot be taken up again: no. {number} goes wrong inside ({type(error).__name__})."
            if reply.headline != turn.headline:
                changed.append(str(number))
        elif order_then.word == "start over":
            conversation.start_over()
        elif order_then.name in _editions():
            conversation.edition = order_then.name
        turns.append(Turn(turn.at, turn.typed, reply))
    talk.begin(conversation, turns, name)
    talk.start = (kept.edition, dict(kept.settings))
    return "\n".join(_opened(name, turns, changed))


def _opened(name: str, turns: list[Turn], changed: list[str]) -> list[str]:
    lines = [f"Opened “{name}”: {len(turns)} turn{'' if len(turns) == 1 else 's'}."]
    if changed:
        what = "answers have" if len(changed) > 1 else "answer has"
        lines.append(f"Since it was saved, {len(changed)} {what} changed: no. {listed(changed)}.")
    lines += [f"Last: {one_line(turn.typed)}\n{turn.reply.headline}" for turn in turns if turn.reply is not None][-1:]
    return lines


def tell_saved(talk: Talk, order: Order) -> str:
    """The names of the saved conversations."""
    return _which(saved.saved_names())


def export(talk: Talk, order: Order) -> str:
    """Write the conversation down as a page for people."""
    path = Path(order.name).expanduser() if order.name else Path()
    kind = PAGES.get(path.suffix.lower())
    if kind is None:
        return "Say a file that ends in .md (Markdown) or .html, such as: export kitchen.html"
    if not talk.turns:
        return "There is nothing to export yet."
    again = f"export {_typed(order.name)} again"
    if path.is_dir():
        return f"{one_line(order.name)} is a folder; say the name of a file."
    if path.exists() and not order.again:
        return f"There is a file {one_line(order.name)} already. Pick another name, or replace it with: {again}"
    try:
        write_whole(path, _page(kind, talk).encode())
    except OSError as error:
        return f"{one_line(order.name)} could not be written: {why(error)}."
    return f"Written to {path.absolute()}"


def _page(kind: str, talk: Talk) -> str:
    from askcode.render import html, markdown

    make = markdown.as_markdown if kind == "markdown" else html.as_html
    return make(talk.turns, talk.name)


def _which(names: list[str]) -> str:
    if not names:
        return "No conversation is saved yet; to save this one say, for example: save kitchen"
    more = f" and {len(names) - SHOWN} more" if len(names) > SHOWN else ""
    return f"Saved: {', '.join(names[:SHOWN])}{more}. To go on with one: open {_typed(names[0])}"


def _near(name: str, names: list[str]) -> str:
    found = process.extractOne(saved.safe_name(name), names, score_cutoff=ALIKE)
    return found[0] if found else ""


def _typed(name: str) -> str:
    return f'"{one_line(name)}"' if " " in name else one_line(name)


def _editions() -> tuple[str, ...]:
    from askcode.rulebase.schemas import EDITIONS

    return EDITIONS


DO: dict[str, Callable[[Talk, Order], str]] = {"save": save, "open": reopen, "saved": tell_saved, "export": export}

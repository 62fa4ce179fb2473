"""Settings: the conventions in which exam keys and trades differ, as somebody chose them by a word in the talk."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from askcode.core.errors import listed
from askcode.core.replies import Cases, Missing, Reply
from askcode.measures import numbers
from askcode.rulebase.book import Book
from askcode.rulebase.schemas import Convention

if TYPE_CHECKING:
    from parsers import Fact, Reading

Settings = dict[str, str]
"""convention → choice, of those that somebody chose"""

HOW = "To change one say, for example, “always use 75 °C terminals” or “setting 3: 75 °C”; “usual settings” undoes all."


def problem(book: Book, name: str, choice: str) -> str:
    """What is wrong with a setting as somebody wrote it, in one line, or nothing."""
    convention = book.conventions().get(name)
    if convention is None:
        return f"There is no setting {name!r}; there is {listed(list(book.conventions()))}."
    if convention.choices and choice not in convention.choices:
        return f"The setting {name} cannot be {choice!r}; it may be {listed(convention.choices, 'or')}."
    return ""


def chosen_by_number(text: str, book: Book) -> tuple[str, str] | str | None:
    """What "setting 3: 75" chooses: (convention, choice), a line that says what is wrong, or None for other words."""
    word, _, rest = text.strip().rstrip(".!").partition(" ")
    number, _, said = rest.strip().replace(":", " ").replace("=", " ").partition(" ")
    names = list(book.conventions())
    if word.lower() != "setting" or not number.isdigit():
        return None
    if not 0 < int(number) <= len(names):
        return f"There is no setting {number}; they are numbered 1 to {len(names)}."
    convention = book.conventions()[names[int(number) - 1]]
    said = said.strip().removeprefix("is ").removeprefix("to ").strip()
    choice = _choice(convention, said)
    if choice is None:
        return f"“{convention.title}” may be {listed(convention.choices, 'or')}."
    return convention.name, choice


def _choice(convention: Convention, said: str) -> str | None:
    """The choice that some words name: by its text, or by the numbers in it."""
    if not convention.choices:
        return said or None
    alike = [c for c in convention.choices if c.lower() == said.lower()]
    counted = numbers(said)
    alike = alike or [c for c in convention.choices if counted and numbers(c) == counted]
    return alike[0] if len(alike) == 1 else None


def chosen_by_facts(facts: Sequence[Fact], book: Book) -> tuple[Settings, list[str]]:
    """The settings that facts name ("always use 75 °C terminals"), and the words of those that name none."""
    found: Settings = {}
    strange: list[str] = []
    for fact in facts:
        if fact.kind == "edition":
            found["edition"] = str(fact.value)
            continue
        claims = {name for name, _ in fact.inputs}
        names = [c for c in book.conventions().values() if not claims.isdisjoint([c.input, *c.told_as])]
        fits = [(c.name, choice) for c in names for choice, default in c.gives.items() if _same(fact.value, default)]
        if fits:
            found[fits[0][0]] = fits[0][1]
        elif names:
            strange.append(f"“{names[0].title}” may be {listed(names[0].choices, 'or')}, and not {fact.text}.")
        elif fact.inputs:
            strange.append(f"There is no setting for {fact.text}; it is told with each question.")
    return found, strange


def _same(value: object, default: str) -> bool:
    said = f"{value:g}" if isinstance(value, (int, float)) else str(value)
    return said == default or said == default.rstrip("%")


def shown(book: Book, chosen: Mapping[str, str], edition: str, question: str) -> Reply:
    """All settings as a table, with what else each may be."""
    reply = Reply(question, "answered", edition, f"These are the settings; {_how_many(chosen)}.")
    rows = []
    for number, (name, convention) in enumerate(book.conventions().items(), 1):
        now = edition if name == "edition" else chosen.get(name, convention.value)
        others = [c for c in convention.choices if c != now]
        rows.append([str(number), convention.title, f"{now} (or {listed(others, 'or')})" if others else now])
    reply.cases = Cases(["no.", "setting", "now"], rows, "Settings")
    reply.notes = [HOW]
    return reply


def _how_many(chosen: Mapping[str, str]) -> str:
    if not chosen:
        return "none was changed"
    return f"{len(chosen)} of them {'is' if len(chosen) == 1 else 'are'} your own"


def said(news: Mapping[str, str], book: Book) -> str:
    """What was changed, in a sentence."""
    titles = {name: book.conventions()[name].title for name in news}
    parts = [f"{titles[name][:1].lower()}{titles[name][1:]} {choice}" for name, choice in news.items()]
    return f"Kept from here on: {'; '.join(parts)}."


def unclear(reading: Reading, edition: str, lines: Sequence[str]) -> Reply:
    """Nothing was changed, and why."""
    line = " ".join(lines) or "I could not tell which setting is meant; say “settings” to see them."
    return Reply(reading.text, "incomplete", edition, line, missing=[Missing("setting", line)])

"""A conversation as it is written down: what the pages made of it (Markdown, HTML) have in common."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from askcode.core.errors import listed
from askcode.core.replies import Excerpt, Reply
from askcode.render.clean import one_line, printable
from askcode.render.words import (
    by_setting,
    how_sure,
    makes_difference,
    quoted,
    section_name,
    sentence,
    spelled_out,
    spoken_facts,
    thing_name,
)


@dataclass(slots=True)
class Turn:
    """What was typed and when (ISO 8601), and the reply; an order that changed something has none."""

    at: str
    typed: str
    reply: Reply | None


@dataclass(slots=True)
class Grid:
    """A table. `chosen` is [row, column] of the cell that was read."""

    caption: str
    columns: Sequence[str]
    rows: Sequence[Sequence[str]]
    chosen: Sequence[int] | None = None


@dataclass(slots=True)
class Line:
    """A sentence, after a label where it has one."""

    words: str
    label: str = ""


@dataclass(slots=True)
class Item:
    """A point of a list: its sentence, the smaller lines below it, and a table."""

    words: str
    below: list[str] = field(default_factory=list)
    grid: Grid | None = None


@dataclass(slots=True)
class Part:
    """A titled part of a reply: a list (`numbered` or not) or a table. Without a title: lines of their own."""

    title: str
    items: list[Item] = field(default_factory=list)
    numbered: bool = False
    grid: Grid | None = None
    lines: list[Line] = field(default_factory=list)


def title_of(name: str) -> str:
    """The title of the page."""
    return f"Conversation: {name}" if name else "Questions and answers"


def editions_of(turns: Sequence[Turn]) -> list[str]:
    """The editions that answered, in order."""
    return list(dict.fromkeys(one_line(turn.reply.edition) for turn in turns if turn.reply))


def subtitle_of(turns: Sequence[Turn]) -> str:
    """The editions and the day, as the line below the title."""
    editions = editions_of(turns)
    told = [f"{listed(editions)} edition{'s' if len(editions) > 1 else ''}"] if editions else []
    return ", ".join([*told, *(turn.at[:10] for turn in turns[:1])])


def parts_of(reply: Reply, tell_edition: bool) -> list[Part]:
    """All that a reply says below its headline, in the order of the screen; its edition where there are several."""
    parts = [Part("", lines=_understood(reply))]
    if reply.missing:
        title = "Still needed" if len(reply.missing) > 1 else "One thing is still needed"
        parts.append(Part(title, [_missing(reply, place) for place in range(len(reply.missing))], numbered=True))
    if reply.readings:
        items = [Item(r.question, [r.headline] if r.headline else []) for r in reply.readings]
        parts.append(Part("It can be read in more than one way", items, numbered=True))
    if reply.cases.rows:
        parts.append(Part(reply.cases.title, grid=Grid("", reply.cases.columns, reply.cases.rows)))
    if reply.steps:
        parts.append(Part("Steps", _steps(reply), numbered=True))
    parts.append(Part("", lines=_assumptions(reply)))
    if reply.references:
        parts.append(_references(reply))
    lines = [Line(line, "Take care") for line in reply.cautions] + [Line(line, "Note") for line in reply.notes]
    parts.append(Part("", lines=lines + ([Line(f"{reply.edition} edition.")] if tell_edition else [])))
    return [part for part in parts if part.items or part.lines or part.grid]


def _understood(reply: Reply) -> list[Line]:
    lines = []
    spoken = list(zip(spoken_facts(reply.read), reply.read, strict=True))
    for label, carried in (("I read", False), ("From before", True)):
        words = dict.fromkeys(words for words, fact in spoken if (fact.origin == "carried") == carried)
        if words:
            lines.append(Line(" · ".join(words), label))
    if reply.unread:
        lines.append(Line(" · ".join(one_line(word) for word in reply.unread), "Not understood"))
    if reply.verdict is not None and any(sign.isdigit() for sign in reply.verdict.stated):
        holds = "it holds" if reply.verdict.holds else "it does not hold"
        lines.append(Line(f"Stated: {reply.verdict.stated}. Required: {reply.verdict.required}. So {holds}."))
    if reply.option is not None and not reply.headline.startswith(f"{reply.option.letter})"):
        lines.append(Line(f"Option {reply.option.letter}: {reply.option.text}"))
    if reply.mistake is not None:
        where = f" (option {reply.mistake.letter})" if reply.mistake.letter else ""
        lines.append(Line(f"{quoted(reply.mistake.value)}{where}: {reply.mistake.because}.", "Tempting but wrong"))
    return lines


def _missing(reply: Reply, place: int) -> Item:
    missing = reply.missing[place]
    below = [f"Choices: {listed([one_line(choice) for choice in missing.choices], 'or')}"] if missing.choices else []
    below += [f"Why: {missing.because}"] if missing.because else []
    below += [f"Where to read it: {missing.where}"] if missing.where else []
    return Item(f"{thing_name(missing.thing)}: {missing.ask}" if missing.thing else missing.ask, below)


def _steps(reply: Reply) -> list[Item]:
    items: list[Item] = []
    seen: list[Excerpt] = []
    follows = any(step.changed for step in reply.steps)  # then the others were shown with the answer before
    for step in reply.steps:
        below = [step.work] if step.work else []
        below += [f"by {listed([section_name(cite) for cite in step.cites])}"] if step.cites else []
        item = Item(f"{step.text} (changed)" if step.changed else step.text, below)
        shown = (follows and not step.changed) or step.excerpt in seen  # two steps may read one cell
        if step.excerpt is not None and not shown:
            seen.append(step.excerpt)
            item.grid = _excerpt(step.excerpt)
        items.append(item)
    return items


def _excerpt(excerpt: Excerpt) -> Grid:
    name = excerpt.table if "table" in excerpt.table.lower() else f"Table {excerpt.table}"
    caption = f"{name}, {excerpt.title}" if excerpt.title else name
    return Grid(caption, excerpt.columns, excerpt.rows, excerpt.chosen)


def _assumptions(reply: Reply) -> list[Line]:
    found = reply.answer.value if reply.answer else ""
    matter = [a for a in reply.assumptions if makes_difference(a, found)]
    rest = [a for a in reply.assumptions if not makes_difference(a, found)]
    lines = []
    for assumption in matter:
        words = [f"{spelled_out(assumption.input)} {quoted(assumption.value)}."]
        words += [sentence(assumption.why)] if assumption.why else []
        words += [f"With {quoted(o.value)} it would be {o.answer}." for o in assumption.otherwise if o.answer != found]
        lines.append(Line(" ".join(words), f"Assumed{by_setting(assumption)}"))
    if rest:
        told = [f"{spelled_out(a.input)} {quoted(a.value)}{by_setting(a) if a.yours else ''}" for a in rest]
        label = "Also assumed, no difference here" if matter else "Assumed"
        lines.append(Line("; ".join(told) + ".", label))
    return lines


def _references(reply: Reply) -> Part:
    kinds = {reference.sure for reference in reply.references}
    shared = kinds.pop() if len(kinds) == 1 else None
    items = []
    for reference in reply.references:
        amended = " (changed by your amendments)" if reference.amended else ""
        title = f" {sentence(reference.title)}" if reference.title else ""
        words = f"{section_name(reference.section)}{amended}:{title} {printable(reference.paraphrase)}"
        items.append(Item(words, [] if shared else [how_sure(reference.sure)]))
    return Part(f"Rests on ({how_sure(shared)})" if shared else "Rests on", items)

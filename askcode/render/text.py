"""A reply as words on a screen: headline first, then what it rests on. Nothing needs colour to be read."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Sequence
from shutil import get_terminal_size
from typing import IO

from rich.cells import cell_len
from rich.console import Console, ConsoleDimensions
from rich.text import Text

from askcode.core.errors import listed
from askcode.core.replies import Cases, Excerpt, Missing, Reference, Reply, Step
from askcode.render.clean import one_line, printable
from askcode.render.words import (
    FOOTER,
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

WIDEST = 100  # longer lines are hard to follow, however wide the screen is
NARROWEST = 24
_GLUED = "\ue000"  # stands for a space that no line may break at: between a number and its unit
_GLUE = re.compile(r"(?<=\d) (?=[^\s\d]{1,3}(?:[\s.,;:)]|$))")


def console_for(file: IO[str] | None = None, width: int | None = None) -> Console:
    """A console for user and rule text: no markup, no highlighting, and lines of a readable length."""
    console = Console(file=file, markup=False, highlight=False, emoji=False, soft_wrap=False)
    columns, lines = get_terminal_size() if console.is_dumb_terminal else console.size  # rich takes a dumb one for 80
    console.size = ConsoleDimensions(max(NARROWEST, width or min(columns, WIDEST)), lines)
    return console


def show(reply: Reply, console: Console, *, footer: bool = True, height: int | None = None) -> None:
    """Print a reply. `footer` is left out where the same conversation has already shown it; a reply that is longer than
    `height` says its headline again at the end, where the eye is."""
    page = _Page(console)
    lines = page.lines(reply, footer)
    if height is not None and len(lines) > height:
        page.gap()
        page.put(reply.headline, "In short: ", follow="  ", label_style="bold")
    for line in lines:
        console.print(line, no_wrap=True, overflow="ignore", crop=False)


def as_text(reply: Reply, width: int = 80, *, footer: bool = True) -> str:
    """The same as plain text, without any styling."""
    file = io.StringIO()
    show(reply, Console(file=file, width=max(NARROWEST, width), color_system=None, markup=False, highlight=False,
                        emoji=False), footer=footer)
    return file.getvalue()


class _Page:
    """Collects the lines of one reply for one width."""

    def __init__(self, console: Console):
        self.console = console
        self.width = console.width
        self.made: list[Text] = []
        self.seen: list[Excerpt] = []

    def lines(self, reply: Reply, footer: bool) -> list[Text]:
        self.put(reply.headline, style="bold")
        self.understood(reply)
        if reply.verdict is not None and any(sign.isdigit() for sign in reply.verdict.stated):
            holds = "it holds" if reply.verdict.holds else "it does not hold"
            self.gap()
            self.put(f"Stated: {reply.verdict.stated}. Required: {reply.verdict.required}. So {holds}.")
        if reply.option is not None and not reply.headline.startswith(f"{reply.option.letter})"):
            self.gap()
            self.put(f"Option {reply.option.letter}: {reply.option.text}")
        if reply.mistake is not None:
            where = f" (option {reply.mistake.letter})" if reply.mistake.letter else ""
            self.gap()
            self.put(f"Tempting but wrong: {quoted(reply.mistake.value)}{where}: {reply.mistake.because}.")
        self.missing(reply.missing)
        self.readings(reply)
        self.cases(reply.cases)
        if reply.steps:
            self.head("Steps")
            follows = any(step.changed for step in reply.steps)
            for number, step in enumerate(reply.steps, 1):
                self.step(number, step, follows and not step.changed)
        self.assumptions(reply)
        self.references(reply.references)
        for label, lines in (("Take care", reply.cautions), ("Note", reply.notes)):
            if lines:
                self.gap()
            for line in lines:
                self.put(line, f"{label}: ", follow="  ", label_style="bold")
        if reply.next:
            self.gap()
            self.put(" · ".join(one_line(n.say) for n in reply.next), "Ask next: ", follow="  ", label_style="bold")
        self.gap()
        edition = f"{reply.edition} edition."
        self.put(f"{edition} {FOOTER}" if footer else edition, style="dim")
        return self.made

    # --- the parts ----------------------------------------------------------------------------------------------------
    def understood(self, reply: Reply) -> None:
        if reply.read:
            self.gap()
            spoken = list(zip(spoken_facts(reply.read), reply.read, strict=True))
            told = dict.fromkeys(words for words, fact in spoken if fact.origin != "carried")  # each once
            kept = dict.fromkeys(words for words, fact in spoken if fact.origin == "carried")
            if told:
                self.put(" · ".join(told), "I read: ", follow="  ")
            if kept:
                self.put(" · ".join(kept), "From before: ", follow="  ")
        if reply.unread:
            self.put(" · ".join(one_line(word) for word in reply.unread), "Not understood: ", follow="  ")

    def missing(self, missing: Sequence[Missing]) -> None:
        if not missing:
            return
        self.head("Still needed" if len(missing) > 1 else "One thing is still needed")
        for number, item in enumerate(missing, 1):
            ask = f"{thing_name(item.thing)}: {item.ask}" if item.thing else item.ask
            self.put(ask, f"{number:>2}. ")
            if item.choices:
                self.put(listed([one_line(choice) for choice in item.choices], "or"), "    Choices: ", follow="      ")
            if item.because:
                self.put(item.because, "    Why: ", follow="      ")
            if item.where:
                self.put(item.where, "    Where to read it: ", follow="      ")

    def readings(self, reply: Reply) -> None:
        if not reply.readings:
            return
        self.head("It can be read in more than one way")
        for number, reading in enumerate(reply.readings, 1):
            self.put(reading.question, f"{number:>2}. ")
            if reading.headline:
                self.put(reading.headline, "    ")

    def cases(self, cases: Cases) -> None:
        if not cases.rows:
            return
        self.head(cases.title)
        widths = [max(cell_len(one_line(cell)) + 2 for cell in column) for column in zip(*cases.rows, strict=False)]
        if sum(widths) + 6 > self.width:
            for row in cases.rows:  # these rows are the reply: told one after another rather than cut
                self.put(" · ".join(one_line(cell) for cell in row), "  - ")
        else:
            self.grid(cases.columns, cases.rows, None, indent=4)

    def step(self, number: int, step: Step, unchanged: bool) -> None:
        """A step; one that an answer before has shown (`unchanged`) is told without its table."""
        text = f"{step.text} (changed)" if step.changed else step.text
        self.put(text, f"{number:>2}. ")
        by = f"by {listed([section_name(cite) for cite in step.cites])}" if step.cites else ""
        work = ", ".join(part for part in (step.work, by) if part)
        if work:
            self.put(work, "    ", follow="      ")
        if step.excerpt is not None and not unchanged:
            self.excerpt(step.excerpt)

    def excerpt(self, excerpt: Excerpt) -> None:
        if excerpt in self.seen:  # several things may read the same cell; once is enough to look at
            return
        self.seen.append(excerpt)
        name = excerpt.table if "table" in excerpt.table.lower() else f"Table {excerpt.table}"
        self.put(f"{name}, {excerpt.title}" if excerpt.title else name, "    ", follow="      ", style="dim")
        self.grid(excerpt.columns, excerpt.rows, excerpt.chosen, indent=4)

    def assumptions(self, reply: Reply) -> None:
        found = reply.answer.value if reply.answer else ""
        matter = [a for a in reply.assumptions if makes_difference(a, found)]
        rest = [a for a in reply.assumptions if not makes_difference(a, found)]
        if reply.assumptions:
            self.gap()
        for assumption in matter:
            why = f" {sentence(assumption.why)}" if assumption.why else ""
            differs = [o for o in assumption.otherwise if o.answer != found]
            other = " ".join(f"With {quoted(o.value)} it would be {o.answer}." for o in differs)
            self.put(f"{spelled_out(assumption.input)} {quoted(assumption.value)}.{why} {other}",
                     f"Assumed{by_setting(assumption)}: ", follow="  ", label_style="bold")
        if rest:
            label = "Also assumed, no difference here: " if matter else "Assumed: "
            yours = {a.input: by_setting(a) if a.yours else "" for a in rest}
            self.put("; ".join(f"{spelled_out(a.input)} {quoted(a.value)}{yours[a.input]}" for a in rest) + ".", label,
                     follow="  ", label_style="bold")

    def references(self, references: Sequence[Reference]) -> None:
        if not references:
            return
        kinds = {reference.sure for reference in references}
        shared = kinds.pop() if len(kinds) == 1 else None
        self.head(f"Rests on ({how_sure(shared)})" if shared else "Rests on")
        for reference in references:
            amended = " (changed by your amendments)" if reference.amended else ""
            sure = "" if shared else f" [{how_sure(reference.sure)}]"
            title = f" {sentence(reference.title)}" if reference.title else ""
            self.put(f"{section_name(reference.section)}{amended}:{title} {reference.paraphrase}{sure}", "  - ")

    # --- lines --------------------------------------------------------------------------------------------------------
    def gap(self) -> None:
        if self.made and self.made[-1].plain:
            self.made.append(Text(""))

    def head(self, title: str) -> None:
        self.gap()
        self.put(title, style="bold")

    def put(self, words: str, first: str = "", *, follow: str | None = None, style: str = "",
            label_style: str = "") -> None:
        """Words after `first`, wrapped; the lines that follow are indented by `follow` (or as far as `first`)."""
        indent = " " * cell_len(first) if follow is None else follow
        if self.width - cell_len(indent) < NARROWEST // 2:
            indent = "  "
        for row in printable(words).split("\n"):
            text = Text(_GLUE.sub(_GLUED, first + " ".join(row.split())), style=style)
            if label_style:
                text.stylize(label_style, 0, len(first.rstrip()))
            self.made += _hang(text, indent, self.width, self.console)
            first = indent

    def grid(self, columns: Sequence[str], rows: Sequence[Sequence[str]], chosen: Sequence[int] | None,
             indent: int) -> None:
        """A table in plain characters: `>` before the row that was read and brackets around the cell. Where the
        screen is too narrow, columns far from the one that was read are left out, and the last line says so."""
        mark_row, mark_column = (chosen[0], chosen[1]) if chosen and len(chosen) == 2 else (-2, -1)
        cells = [[f" {one_line(name)} " for name in columns]]
        for number, row in enumerate(rows):
            cells.append([f"[{one_line(cell)}]" if (number, place) == (mark_row, mark_column) else f" {one_line(cell)} "
                          for place, cell in enumerate(row)])
        widths = [max((cell_len(row[place]) for row in cells if place < len(row)), default=0)
                  for place in range(max(map(len, cells)))]
        shown = _fitting(widths, mark_column, self.width - indent - 2)
        for number, row in enumerate(cells):
            line = Text(" " * indent + ("> " if number - 1 == mark_row else "  "))
            for place in shown:
                cell = row[place] if place < len(row) else ""
                bold = number - 1 == mark_row and place == mark_column
                line.append(cell + " " * (widths[place] - cell_len(cell)), style="bold" if bold else "")
            line.rstrip()
            if line.cell_len > self.width:
                line.truncate(self.width, overflow="ellipsis")
            self.made.append(line)
        if left := len(widths) - len(shown):
            self.put(f"({left} more column{'s' if left > 1 else ''} on a wider screen)", " " * (indent + 3))


def _hang(text: Text, indent: str, width: int, console: Console) -> Iterable[Text]:
    """The text cut into lines, all but the first with the indent before them."""
    first, *rest = text.wrap(console, width, overflow="fold") or [Text("")]
    first.rstrip()
    made = [first]
    if rest:  # cut again: the lines that follow have less room
        tail = text[len(first.plain):]
        tail.plain = tail.plain.lstrip()
        for line in tail.wrap(console, width - cell_len(indent), overflow="fold"):
            line.rstrip()
            made.append(Text.assemble(indent, line, style=text.style))
    for line in made:
        line.plain = line.plain.replace(_GLUED, " ")
    return made


def _fitting(widths: Sequence[int], middle: int, room: int) -> list[int]:
    """The places of the columns to show: the key, the one that was read, then its neighbours while there is room."""
    first = [0] if middle < 0 else [0, middle]
    order = first + sorted((p for p in range(len(widths)) if p not in first), key=lambda p: (abs(p - middle), p))
    shown: list[int] = []
    for place in dict.fromkeys(order):
        if shown and sum(widths[p] for p in [*shown, place]) > room and place not in first:
            break
        shown.append(place)
    return sorted(shown)

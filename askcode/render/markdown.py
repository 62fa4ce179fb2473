"""A conversation as a Markdown page (CommonMark with pipe tables)."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from askcode.render.clean import one_line, printable
from askcode.render.record import Grid, Part, Turn, editions_of, parts_of, subtitle_of, title_of
from askcode.render.words import FOOTER

_SIGNS = re.compile(r"[\\`*_\[\]|~$]")
_ENTITY = re.compile(r"&(?=#?\w+;)")
# where words would begin a heading, a list or a quote
_OPENING = re.compile(r"^(?=[#>+=-])|(?<=^\d)(?=[.)](?: |$))|(?<=^\d\d)(?=[.)](?: |$))")
LONGEST_HEADING = 80


def as_markdown(turns: Sequence[Turn], name: str = "") -> str:
    """The turns as one page; `name` is the conversation's."""
    return re.sub(r"\n{3,}", "\n\n", "\n".join(_lines(turns, name))) + "\n"


def _lines(turns: Sequence[Turn], name: str) -> Iterator[str]:
    yield f"# {_plain(title_of(name))}"
    if subtitle := subtitle_of(turns):
        yield from ("", subtitle)
    several = len(editions_of(turns)) > 1
    for number, turn in enumerate(turns, 1):
        heading = one_line(turn.typed)
        short = heading if len(heading) <= LONGEST_HEADING else heading[:LONGEST_HEADING].rsplit(" ", 1)[0] + " …"
        yield from ("", f"## {number}. {_plain(short)}")
        typed = printable(turn.typed).strip().split("\n")
        if len(typed) > 1 or short != heading:
            yield ""
            yield from ("> " + _plain(line) + "\\" for line in typed[:-1])
            yield "> " + _plain(typed[-1])
        if turn.reply is not None:
            yield from ("", f"**{_plain(turn.reply.headline)}**")
            for part in parts_of(turn.reply, several):
                yield from _part(part)
    yield from ("", "---", "", _plain(FOOTER))


def _part(part: Part) -> Iterator[str]:
    if part.title:
        yield from ("", f"### {_plain(part.title)}")
    for line in part.lines:
        yield ""
        yield f"**{_plain(line.label)}:** {_plain(line.words)}" if line.label else _plain(line.words)
    if part.grid is not None:
        yield from _grid(part.grid, "")
    if part.items:
        yield ""
    for number, item in enumerate(part.items, 1):
        mark = f"{number}. " if part.numbered else "- "
        indent = " " * len(mark)
        rows = [_plain(item.words), *map(_plain, item.below)]
        yield mark + "\\\n".join(rows).replace("\n", "\n" + indent)
        if item.grid is not None:
            yield from _grid(item.grid, indent)
            yield ""


def _grid(grid: Grid, indent: str) -> Iterator[str]:
    yield ""
    if grid.caption:
        yield from (f"{indent}{_plain(grid.caption)}", "")
    width = max(map(len, [grid.columns, *grid.rows]), default=0)
    yield indent + _row(grid.columns, width, None)
    yield indent + "|" + " --- |" * width
    for number, row in enumerate(grid.rows):
        read = grid.chosen[1] if grid.chosen and grid.chosen[0] == number else None
        yield indent + _row(row, width, read)


def _row(cells: Sequence[str], width: int, read: int | None) -> str:
    told = [_plain(cell) for cell in cells] + [""] * (width - len(cells))
    return "| " + " | ".join(f"**{cell}**" if place == read else cell for place, cell in enumerate(told)) + " |"


def _plain(text: str) -> str:
    """Words on one line that no sign in them turns into anything else."""
    text = _SIGNS.sub(r"\\\g<0>", one_line(text))
    text = _ENTITY.sub("&amp;", text).replace("<", "&lt;")
    return _OPENING.sub(r"\\", text)

"""A conversation as one HTML page of its own: no scripts, nothing fetched, readable on a phone and when printed."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element, SubElement, tostring

from askcode.render.clean import one_line, printable
from askcode.render.record import Grid, Item, Part, Turn, editions_of, parts_of, subtitle_of, title_of
from askcode.render.words import FOOTER

STYLE = """
:root { color-scheme: light dark; }
body { font: 1rem/1.5 system-ui, sans-serif; max-width: 44rem; margin: 0 auto; padding: 1rem; overflow-wrap: anywhere; }
article { border-top: 1px solid; margin-top: 2rem; }
h2 { font-size: 1.15rem; white-space: pre-line; }
h3 { font-size: 1rem; margin-bottom: .25rem; }
li { margin: .4rem 0; }
li p, li small { display: block; margin: 0; }
.headline { font-weight: bold; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; margin: .5rem 0; overflow-wrap: normal; }
caption { text-align: left; font-style: italic; }
th, td { border: 1px solid; padding: .2rem .5rem; text-align: left; }
tr.read > * { border-width: 2px; }
@media print { body { max-width: none; } .wide { overflow: visible; } }
"""
POLICY = "default-src 'none'; style-src 'unsafe-inline'"


def as_html(turns: Sequence[Turn], name: str = "") -> str:
    """The turns as one page; `name` is the conversation's. ElementTree does all the escaping."""
    page = Element("html", lang="en")
    head = SubElement(page, "head")
    SubElement(head, "meta", charset="utf-8")
    SubElement(head, "meta", {"http-equiv": "Content-Security-Policy", "content": POLICY})
    SubElement(head, "meta", name="viewport", content="width=device-width, initial-scale=1")
    _add(head, "title", title_of(name))
    SubElement(head, "style").text = STYLE
    body = SubElement(page, "body")
    top = SubElement(body, "header")
    _add(top, "h1", title_of(name))
    if subtitle := subtitle_of(turns):
        _add(top, "p", subtitle)
    several = len(editions_of(turns)) > 1
    main = SubElement(body, "main")
    for number, turn in enumerate(turns, 1):
        _turn(SubElement(main, "article"), number, turn, several)
    _add(SubElement(body, "footer"), "p", FOOTER)
    return "<!doctype html>\n" + tostring(page, "unicode", method="html") + "\n"


def _turn(article: Element, number: int, turn: Turn, several: bool) -> None:
    heading = SubElement(article, "h2")
    heading.text = f"{number}. {printable(turn.typed).strip()}"
    if turn.reply is None:
        return
    _add(article, "p", turn.reply.headline, {"class": "headline"})
    for part in parts_of(turn.reply, several):
        _part(article, part)


def _part(article: Element, part: Part) -> None:
    if part.title:
        _add(article, "h3", part.title)
    for line in part.lines:
        paragraph = SubElement(article, "p")
        if line.label:
            _add(paragraph, "strong", f"{line.label}:").tail = f" {one_line(line.words)}"
        else:
            paragraph.text = one_line(line.words)
    if part.grid is not None:
        _grid(article, part.grid, part.title)
    if part.items:
        points = SubElement(article, "ol" if part.numbered else "ul")
        for item in part.items:
            _item(SubElement(points, "li"), item)


def _item(point: Element, item: Item) -> None:
    _add(point, "p", item.words)
    for line in item.below:
        _add(point, "small", line)
    if item.grid is not None:
        _grid(point, item.grid, item.grid.caption)


def _grid(parent: Element, grid: Grid, label: str) -> None:
    """A table that scrolls sideways by itself, with the keyboard too."""
    box = SubElement(parent, "div", {"class": "wide", "tabindex": "0", "role": "region", "aria-label": one_line(label)})
    table = SubElement(box, "table")
    if grid.caption:
        _add(table, "caption", grid.caption)
    head = SubElement(SubElement(table, "thead"), "tr")
    for name in grid.columns:
        _add(head, "th", name, {"scope": "col"})
    body = SubElement(table, "tbody")
    read_row, read_column = grid.chosen if grid.chosen and len(grid.chosen) == 2 else (-1, -1)
    for number, row in enumerate(grid.rows):
        line = SubElement(body, "tr", {"class": "read"} if number == read_row else {})
        for place, cell in enumerate(row):
            one = SubElement(line, "td") if place else SubElement(line, "th", scope="row")
            if (number, place) == (read_row, read_column):
                _add(one, "mark", cell)
            else:
                one.text = one_line(cell)


def _add(parent: Element, tag: str, words: str, attributes: dict[str, str] | None = None) -> Element:
    element = SubElement(parent, tag, attributes or {})
    element.text = one_line(words)
    return element

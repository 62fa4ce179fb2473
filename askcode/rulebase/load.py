"""The knowledge folder as one typed whole, with amendments laid over it.

What does not hold is left out and told (`Knowledge.problems`): one mistyped line must not take the whole tool down.
In an amendments folder the first problem refuses all of it, for half an amendment would be worse than none.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TypeVar

import msgspec

from askcode.core.tables import number, size_rank
from askcode.rulebase.amendments import lay_over
from askcode.rulebase.layers import Layer, Sheets, knowledge_folder, no_yaml, read
from askcode.rulebase.schemas import Convention, Factor, Goal, Input, Outside, Placed, Rule, TableText, convert
from askcode.rulebase.text_yaml import KnowledgeError

Named = TypeVar("Named", bound=Placed)


class Knowledge(msgspec.Struct):
    """All that the tool knows, for all editions."""

    inputs: dict[str, Input] = {}
    factors: dict[str, Factor] = {}
    conventions: dict[str, Convention] = {}
    cautions: dict[str, str] = {}
    rules: dict[str, Rule] = {}
    goals: dict[str, Goal] = {}
    outside: dict[str, Outside] = {}
    tables: dict[str, TableText] = {}
    vocabulary: dict[str, dict[str, list[str]]] = {}
    synonyms: dict[str, list[str]] = {}
    fillers: dict[str, list[str]] = {}
    problems: list[str] = []


def load(folder: Path | None = None, overlay: Path | None = None) -> Knowledge:
    """Read the knowledge, and lay the amendments over it.

    Raises KnowledgeError for anything in the overlay that does not hold; problems of the folder itself are collected.
    """
    layer = read(folder or knowledge_folder(), strict=False)
    if overlay is not None:
        if not overlay.is_dir():
            raise KnowledgeError("there is no such amendments folder", str(overlay))
        lay_over(layer, read(overlay, strict=True))
    return _typed(layer)


# --- typing ---------------------------------------------------------------------------------------------------------
def _typed(layer: Layer) -> Knowledge:
    known = Knowledge(vocabulary=layer.vocabulary)
    known.inputs = _converted(layer, "inputs", Input)
    known.conventions = _converted(layer, "conventions", Convention)
    known.goals = _converted(layer, "goals", Goal)
    known.outside = _converted(layer, "outside", Outside)
    known.factors = _converted(layer, "factors", Factor)
    known.rules = _converted(layer, "rules", Rule)
    known.tables = _converted(layer, "tables", TableText)
    for name, written in layer.things.get("tables", {}).items():
        if name in known.tables:
            try:
                _fill(known.tables[name], layer.csv.get(name, {}), written.document.file)
            except KnowledgeError as error:
                del known.tables[name]
                layer.problem(error, written.amended)
    for name, editions in layer.csv.items():
        if name not in layer.things.get("tables", {}):
            layer.problem(no_yaml(name, editions))
    for name, written in layer.things.get("cautions", {}).items():
        if isinstance(written.data, str):
            known.cautions[name] = written.data
        else:
            line = written.document.line(written.path)
            layer.problem(KnowledgeError("must be one text", written.document.file, line, name), written.amended)
    known.synonyms = _word_lists(layer, "synonyms")
    known.fillers = _word_lists(layer, "fillers")
    _mark_amended(known)
    known.problems = [str(error) for error in layer.problems]
    return known


def _converted(layer: Layer, kind: str, struct: type[Named]) -> dict[str, Named]:
    """The things of a kind that hold, each told its name and place."""
    found = {}
    for name, written in layer.things.get(kind, {}).items():
        try:
            thing = convert(written.document, written.path, written.data, struct)
        except KnowledgeError as error:
            layer.problem(error, written.amended)
            continue
        thing.name, thing.amended = name, written.amended
        thing.file, thing.line = written.document.file, written.document.line(written.path) or 1
        found[name] = thing
    return found


def _word_lists(layer: Layer, kind: str) -> dict[str, list[str]]:
    found = {}
    for name, written in layer.things.get(kind, {}).items():
        if isinstance(written.data, list) and all(isinstance(word, str) for word in written.data):
            found[name] = written.data
        else:
            line = written.document.line(written.path)
            layer.problem(KnowledgeError("must be a list of words", written.document.file, line, name), written.amended)
    return found


def _mark_amended(known: Knowledge) -> None:
    """The entry that states an amended number counts as amended, since it is what a reply cites."""
    changed = [factor.entry for factor in known.factors.values() if factor.amended]
    changed += [table.entry for table in known.tables.values() if table.amended]
    for entry in changed:
        if entry in known.rules:
            known.rules[entry].amended = True


def _fill(table: TableText, editions: Sheets, beside: str) -> None:
    """Join the CSV rows to the table, in the order of the columns of the YAML. Raises KnowledgeError with the line."""
    if not editions:
        raise KnowledgeError("has no CSV beside it", beside)
    if table.key not in table.columns:
        raise KnowledgeError(f"the key {table.key!r} is none of the columns", beside)
    for edition, (file, lines) in editions.items():
        table.rows[edition] = list(_rows(table, file, lines))


def _rows(table: TableText, file: str, lines: list[list[str]]) -> Iterator[list[str]]:
    header = [cell.strip() for cell in lines[0]] if lines else []
    if missing := [name for name in header if name not in table.columns]:
        raise KnowledgeError(f"the column {missing[0]!r} is not in the YAML beside it", file, 1)
    if absent := [name for name in table.columns if name not in header]:
        raise KnowledgeError(f"lacks the column {absent[0]!r}", file, 1)
    order = [header.index(name) for name in table.columns]
    for at, line in enumerate(lines[1:], 2):
        cells = [cell.strip() for cell in line]
        if not any(cells):
            continue
        if len(cells) != len(header):
            raise KnowledgeError(f"has {len(cells)} cells where the header has {len(header)}", file, at)
        row = [cells[position] for position in order]
        for (name, column), cell in zip(table.columns.items(), row, strict=True):
            try:
                if cell and column.kind == "number":
                    number(cell)
                elif cell and column.kind == "size":
                    size_rank(cell)
            except (ValueError, ZeroDivisionError):
                raise KnowledgeError(f"{cell!r} is no {column.kind}", file, at, key=name) from None
        yield row

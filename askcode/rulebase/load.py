"""The knowledge folder as one typed whole, with amendments laid over it.

What does not hold is left out and told (`Knowledge.problems`): one mistyped line must not take the whole tool down.
In an amendments folder the first problem refuses all of it, for half an amendment would be worse than none.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import msgspec

from askcode.core.tables import number, size_rank
from askcode.rulebase import text_yaml
from askcode.rulebase.schemas import (
    EDITIONS,
    Convention,
    Factor,
    Goal,
    Input,
    Rule,
    TableText,
    convert,
)
from askcode.rulebase.text_yaml import Document, KnowledgeError

SINGLE_FILES = {
    "inputs.yaml": "inputs",
    "factors.yaml": "factors",
    "conventions.yaml": "conventions",
    "cautions.yaml": "cautions",
}
FOLDERS = {"rules": "rules", "coverage": "goals", "vocabulary": "vocabulary", "tables": "tables"}


def knowledge_folder() -> Path:
    """The folder of the knowledge: inside the package (an installed wheel) or beside it (a checkout)."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "knowledge"
    return inside if inside.is_dir() else package.parent / "knowledge"


def knowledge_files(folder: Path) -> list[Path]:
    """Every file that is read, sorted."""
    found = [folder / name for name in SINGLE_FILES if (folder / name).is_file()]
    for name in FOLDERS:
        found += [p for ending in ("*.yaml", "*.csv") for p in (folder / name).glob(ending) if p.is_file()]
    return sorted(found)


class Knowledge(msgspec.Struct):
    """All that the tool knows, for all editions."""

    inputs: dict[str, Input] = {}
    factors: dict[str, Factor] = {}
    conventions: dict[str, Convention] = {}
    cautions: dict[str, str] = {}
    rules: dict[str, Rule] = {}
    goals: dict[str, Goal] = {}
    tables: dict[str, TableText] = {}
    vocabulary: dict[str, dict[str, list[str]]] = {}
    problems: list[str] = []


@dataclass(slots=True)
class _Written:
    """One named thing as it is written: its data, and the files that it comes from."""

    data: Any
    document: Document
    path: text_yaml.Where
    amended: bool = False


Sheets = dict[str, tuple[str, list[list[str]]]]
"""The CSV files of one table: edition ("" is the base) → file, lines."""


@dataclass(slots=True)
class _Layer:
    """One folder, parsed but not yet typed."""

    strict: bool
    things: dict[str, dict[str, _Written]] = field(default_factory=dict)
    vocabulary: dict[str, dict[str, list[str]]] = field(default_factory=dict)
    csv: dict[str, Sheets] = field(default_factory=dict)
    problems: list[KnowledgeError] = field(default_factory=list)

    def problem(self, error: KnowledgeError) -> None:
        if self.strict:
            raise error
        self.problems.append(error)


def load(folder: Path | None = None, overlay: Path | None = None) -> Knowledge:
    """Read the knowledge, and lay the amendments over it.

    Raises KnowledgeError for anything in the overlay that does not hold; problems of the folder itself are collected.
    """
    layer = _read(folder or knowledge_folder(), strict=False)
    if overlay is not None:
        if not overlay.is_dir():
            raise KnowledgeError("there is no such amendments folder", str(overlay))
        _lay_over(layer, _read(overlay, strict=True))
    return _typed(layer)


# --- reading --------------------------------------------------------------------------------------------------------
def _read(folder: Path, strict: bool) -> _Layer:
    layer = _Layer(strict)
    for path in knowledge_files(folder):
        shown = path.relative_to(folder.parent).as_posix()
        try:
            if path.suffix == ".csv":
                _read_csv(layer, path, shown)
                continue
            document = text_yaml.load(path, shown)
            if not isinstance(document.data, dict):
                raise KnowledgeError("must be a map of names", shown, 1)
        except KnowledgeError as error:
            layer.problem(error)
            continue
        kind = SINGLE_FILES.get(path.name) if path.parent == folder else FOLDERS[path.parent.name]
        if kind == "vocabulary":
            _read_vocabulary(layer, document)
        elif kind == "tables":
            layer.things.setdefault("tables", {})[path.stem] = _Written(document.data, document, ())
        elif kind:
            _read_names(layer, kind, document)
    return layer


def _read_names(layer: _Layer, kind: str, document: Document) -> None:
    known = layer.things.setdefault(kind, {})
    for name, data in document.data.items():
        if twin := known.get(name):
            first = f"{twin.document.file}:{twin.document.line(twin.path)}"
            layer.problem(
                KnowledgeError(f"has this name already in {first}", document.file, document.line((name,)), name)
            )
            continue
        known[name] = _Written(data, document, (name,))


def _read_vocabulary(layer: _Layer, document: Document) -> None:
    for kind, names in document.data.items():
        try:
            typed = msgspec.convert(names, dict[str, list[str]])
        except msgspec.ValidationError:
            layer.problem(
                KnowledgeError("must map names to lists of words", document.file, document.line((kind,)), kind)
            )
            continue
        merged = layer.vocabulary.setdefault(kind, {})
        for name, words in typed.items():
            merged[name] = list(dict.fromkeys(merged.get(name, []) + words))


def _read_csv(layer: _Layer, path: Path, shown: str) -> None:
    name, _, edition = path.stem.partition(".")
    if edition and edition not in EDITIONS:
        raise KnowledgeError(f"is named for {edition!r}, which is no edition ({', '.join(EDITIONS)})", shown)
    try:
        raw = path.read_bytes()[: text_yaml.LARGEST_FILE + 1]
        if len(raw) > text_yaml.LARGEST_FILE:
            raise KnowledgeError("is larger than 1 MB", shown)
        lines = [row for row in csv.reader(io.StringIO(raw.decode("utf-8-sig")), strict=True)]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise KnowledgeError(f"cannot be read as CSV ({error})", shown) from error
    layer.csv.setdefault(name, {})[edition] = (shown, lines)


# --- amendments -----------------------------------------------------------------------------------------------------
def _lay_over(base: _Layer, over: _Layer) -> None:
    """Lay one layer over another: a map is merged key by key, a text or a list replaces what it lies on."""
    for kind, things in over.things.items():
        known = base.things.setdefault(kind, {})
        for name, written in things.items():
            under = known.get(name)
            data = _merged(under.data, written.data) if under else written.data
            known[name] = _Written(data, written.document, written.path, amended=True)
    for kind, names in over.vocabulary.items():
        merged = base.vocabulary.setdefault(kind, {})
        for name, words in names.items():
            merged[name] = list(dict.fromkeys(merged.get(name, []) + words))
    for name, editions in over.csv.items():
        known_csv = base.csv.setdefault(name, {})
        if "" in editions:
            known_csv.clear()  # the amended table holds in every edition
        known_csv.update(editions)
        table = base.things.setdefault("tables", {}).get(name)
        if table is None:
            raise _no_yaml(name, editions)
        table.amended = True
    base.strict = True


def _merged(under: Any, over: Any) -> Any:
    if isinstance(under, str) and isinstance(over, dict) and over and set(over) <= set(EDITIONS):
        under = dict.fromkeys(EDITIONS, under)
    if not isinstance(under, dict) or not isinstance(over, dict):
        return over
    return {**under, **{key: _merged(under[key], value) if key in under else value for key, value in over.items()}}


def _no_yaml(name: str, editions: Sheets) -> KnowledgeError:
    file = next(iter(editions.values()))[0]
    return KnowledgeError(f"has no {name}.yaml beside it that says what the columns are", file)


# --- typing ---------------------------------------------------------------------------------------------------------
def _typed(layer: _Layer) -> Knowledge:
    known = Knowledge(vocabulary=layer.vocabulary)
    for name, item in _converted(layer, "inputs", Input):
        item.name = name
        known.inputs[name] = item
    for name, convention in _converted(layer, "conventions", Convention):
        convention.name = name
        known.conventions[name] = convention
    for name, goal in _converted(layer, "goals", Goal):
        goal.name = name
        known.goals[name] = goal
    for name, rule in _converted(layer, "rules", Rule):
        written = layer.things["rules"][name]
        rule.id, rule.file, rule.line = name, written.document.file, written.document.line(written.path) or 0
        rule.amended = written.amended
        known.rules[name] = rule
    for name, factor in _converted(layer, "factors", Factor):
        factor.name, factor.amended = name, layer.things["factors"][name].amended
        known.factors[name] = factor
    for name, table in _converted(layer, "tables", TableText):
        written = layer.things["tables"][name]
        table.name, table.amended = name, written.amended
        try:
            _fill(table, layer.csv.pop(name, {}), written.document.file)
        except KnowledgeError as error:
            layer.problem(error)
            continue
        known.tables[name] = table
    for name, editions in layer.csv.items():
        if name not in layer.things.get("tables", {}):
            layer.problem(_no_yaml(name, editions))
    for name, written in layer.things.get("cautions", {}).items():
        if isinstance(written.data, str):
            known.cautions[name] = written.data
        else:
            line = written.document.line(written.path)
            layer.problem(KnowledgeError("must be one text", written.document.file, line, name))
    _mark_amended(known)
    known.problems = [str(error) for error in layer.problems]
    return known


def _converted(layer: _Layer, kind: str, struct: type[Any]) -> Iterator[tuple[str, Any]]:
    for name, written in layer.things.get(kind, {}).items():
        try:
            yield name, convert(written.document, written.path, written.data, struct)
        except KnowledgeError as error:
            layer.problem(error)


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
    table.header = list(table.columns)
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

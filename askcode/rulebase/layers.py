"""A folder of knowledge as it is written: parsed and gathered by name, not yet typed."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import msgspec

from askcode.rulebase import text_yaml
from askcode.rulebase.schemas import EDITIONS
from askcode.rulebase.text_yaml import Document, KnowledgeError

SINGLE_FILES = {
    "inputs.yaml": "inputs",
    "factors.yaml": "factors",
    "conventions.yaml": "conventions",
    "cautions.yaml": "cautions",
    "synonyms.yaml": "synonyms",
    "fillers.yaml": "fillers",
    "outside.yaml": "outside",
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


@dataclass(slots=True)
class Written:
    """One named thing as it is written: its data, and the files that it comes from."""

    data: Any
    document: Document
    path: text_yaml.Where
    amended: bool = False


Sheets = dict[str, tuple[str, list[list[str]]]]
"""The CSV files of one table: edition ("" is the base) → file, lines."""


@dataclass(slots=True)
class Layer:
    """One folder, parsed but not yet typed."""

    strict: bool
    things: dict[str, dict[str, Written]] = field(default_factory=dict)
    vocabulary: dict[str, dict[str, list[str]]] = field(default_factory=dict)
    csv: dict[str, Sheets] = field(default_factory=dict)
    problems: list[KnowledgeError] = field(default_factory=list)

    def problem(self, error: KnowledgeError, amended: bool = False) -> None:
        """Note what does not hold; raise it where it belongs to an amendment."""
        if self.strict or amended:
            raise error
        self.problems.append(error)


def read(folder: Path, strict: bool) -> Layer:
    """Parse every file of a folder. A strict layer raises KnowledgeError for the first problem, others collect them."""
    layer = Layer(strict)
    if strict:
        _refuse_unread(folder)
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
            layer.things.setdefault("tables", {})[path.stem] = Written(document.data, document, ())
        elif kind:
            _read_names(layer, kind, document)
    return layer


def _refuse_unread(folder: Path) -> None:
    """A file in the wrong place would be passed over silently, and the amendment in it would not hold."""
    read_files = set(knowledge_files(folder))
    for path in sorted([*folder.glob("*.*"), *folder.glob("*/*.*")]):
        if path.suffix.lower() in (".yaml", ".yml", ".csv") and path not in read_files:
            places = ", ".join([*SINGLE_FILES, *(f"{name}/…" for name in FOLDERS)])
            raise KnowledgeError(
                f"is not read here; what is read: {places}", path.relative_to(folder.parent).as_posix()
            )


def _read_names(layer: Layer, kind: str, document: Document) -> None:
    known = layer.things.setdefault(kind, {})
    for name, data in document.data.items():
        if twin := known.get(name):
            first = f"{twin.document.file}:{twin.document.line(twin.path)}"
            layer.problem(
                KnowledgeError(f"has this name already in {first}", document.file, document.line((name,)), name)
            )
            continue
        known[name] = Written(data, document, (name,))


def _read_vocabulary(layer: Layer, document: Document) -> None:
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


def _read_csv(layer: Layer, path: Path, shown: str) -> None:
    import csv  # late: only a build of the store reads CSV
    import io

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


def no_yaml(name: str, editions: Sheets) -> KnowledgeError:
    """The problem of a CSV that stands alone."""
    file = next(iter(editions.values()))[0]
    return KnowledgeError(f"has no {name}.yaml beside it that says what the columns are", file)

"""YAML as text: every scalar stays as it was typed, and what YAML lets slip silently (twin keys, aliases) is refused.

The rule base is full of things that YAML would change: `250.50` loses its nought, `no` becomes false, `00` is 0. So
scalars are strings here, and the schema converts them by declared type.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

LARGEST_FILE = 1_000_000  # bytes
DEEPEST = 30  # nested lists and maps

Where = tuple[str | int, ...]
"""Where a value stands inside a document: keys and list positions."""


class KnowledgeError(Exception):
    """One thing that does not hold in the knowledge, with its place; the sentence is composed when it is shown."""

    def __init__(self, problem: str, file: str = "", line: int | None = None, entry: str = "", key: str = ""):
        super().__init__(problem)
        self.problem = problem
        self.file = file
        self.line = line
        self.entry = entry
        self.key = key

    def __str__(self) -> str:
        place = self.file + (f":{self.line}" if self.line else "")
        inside = " → ".join(part for part in (self.entry, self.key) if part)
        return ": ".join(part for part in (place, inside, self.problem) if part)


@dataclass(slots=True)
class Document:
    """A loaded file: its data, and the line on which each key or list item begins."""

    file: str
    data: Any
    lines: dict[Where, int] = field(default_factory=dict)

    def line(self, path: Where) -> int | None:
        """The line of a path, or of the nearest thing around it that has one."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path)


def load(path: Path, name: str = "") -> Document:
    """Read a file. Raises KnowledgeError with `name` (the path as it is shown) and the line."""
    shown = name or str(path)
    try:
        with path.open("rb") as file:
            raw = file.read(LARGEST_FILE + 1)
    except OSError as error:
        raise KnowledgeError(f"cannot be read ({error.strerror or error})", shown) from error
    if len(raw) > LARGEST_FILE:
        raise KnowledgeError(f"is larger than {LARGEST_FILE // 1_000_000} MB", shown)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise KnowledgeError("is not UTF-8 text", shown, raw[: error.start].count(b"\n") + 1) from error
    return loads(text, shown)


def loads(text: str, name: str) -> Document:
    """Read a text that holds one YAML document; an empty one is an empty map."""
    import yaml  # late: only a build of the store reads YAML

    loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
    document = Document(name, {})
    try:
        _Builder(yaml, document).build(yaml.parse(text, Loader=loader))
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        raise KnowledgeError(_plain(error.problem or error.context), name, mark.line + 1 if mark else None) from error
    except (yaml.YAMLError, RecursionError) as error:
        raise KnowledgeError(_plain(str(error).splitlines()[0]), name) from error
    return document


def _plain(problem: str | None) -> str:
    return f"is not YAML: {problem or 'it cannot be parsed'}"


class _Builder:
    """Builds dicts, lists and strings from YAML events, which still know lines, anchors and twin keys."""

    def __init__(self, yaml: Any, document: Document):
        self.yaml = yaml
        self.document = document

    def build(self, events: Iterator[Any]) -> None:
        documents = 0
        for event in events:
            if isinstance(event, self.yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    raise self.error("holds more than one document", event, ())
            elif not type(event).__name__.startswith(("Stream", "DocumentEnd")):
                self.document.data = self.value(event, events, ())
        if self.document.data == "":
            self.document.data = {}

    def value(self, event: Any, events: Iterator[Any], path: Where) -> Any:
        yaml = self.yaml
        if isinstance(event, yaml.AliasEvent) or event.anchor is not None:
            raise self.error("anchors and aliases (& and *) are not read; quote a text that begins so", event, path)
        if event.tag is not None and event.tag != "!":
            raise self.error("tags (!) are not read here; quote a text that begins so", event, path)
        if len(path) > DEEPEST:
            raise self.error(f"is nested deeper than {DEEPEST} levels", event, path)
        if isinstance(event, yaml.ScalarEvent):
            return event.value
        if isinstance(event, yaml.SequenceStartEvent):
            items: list[Any] = []
            while not isinstance(event := next(events), yaml.SequenceEndEvent):
                here = (*path, len(items))
                self.document.lines[here] = event.start_mark.line + 1
                items.append(self.value(event, events, here))
            return items
        return self.mapping(events, path)

    def mapping(self, events: Iterator[Any], path: Where) -> dict[str, Any]:
        found: dict[str, Any] = {}
        while not isinstance(event := next(events), self.yaml.MappingEndEvent):
            key = self.value(event, events, path)
            if not isinstance(key, str):
                raise self.error("a key must be a text", event, path)
            here = (*path, key)
            if key in found:
                raise self.error(f"stands here a second time (first on line {self.document.lines[here]})", event, here)
            self.document.lines[here] = event.start_mark.line + 1
            found[key] = self.value(next(events), events, here)
        return found

    def error(self, problem: str, event: Any, path: Where) -> KnowledgeError:
        entry, key = split(path)
        return KnowledgeError(problem, self.document.file, event.start_mark.line + 1, entry, key)


def split(path: Where) -> tuple[str, str]:
    """A path as (entry, key): the first name, and the rest joined with dots."""
    names = [str(part) for part in path]
    return (names[0] if names else "", ".".join(names[1:]))

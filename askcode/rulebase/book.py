"""The knowledge of one edition: what the engine, the look-ups and the frontends see of the rule base."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any, TypeVar

import msgspec

from askcode.core.tables import Column, Table, number
from askcode.rulebase import schemas
from askcode.rulebase.schemas import DEFAULT_EDITION, EDITIONS, Convention, Goal, Input, Item, Mixup, by_edition
from askcode.rulebase.search import CONFIDENT, Hit, Searcher
from askcode.rulebase.store import Store

T = TypeVar("T")

_ARTICLE = re.compile(r"/[2-9]\d\d-[^/]+$")  # a file of entries on articles behind the general ones
_stores: dict[tuple[Path | None, Path | None], Store] = {}


@dataclass(slots=True)
class Factor:
    """A loose number in one edition. `value` is in `unit` (a percentage as a ratio) or a text, `text` as written."""

    name: str
    value: float | str
    unit: str
    entry: str | None
    sure: str
    source: str
    text: str = ""
    checked: bool = True
    amended: bool = False


@dataclass(slots=True)
class Verdict:
    """What a rule affirms (`yes`) and denies (`no`), or whether the one proposition `of` holds in this edition."""

    yes: list[str] = field(default_factory=list)
    no: list[str] = field(default_factory=list)
    holds: bool | None = None
    of: str = ""


@dataclass(slots=True)
class Entry:
    """A rule in one edition. `section_checked` is False where the section is another edition's, taken over unchecked;
    `exists` where the edition has no such rule. `answer` and `says` are filled with the values."""

    id: str
    title: str
    section: str
    section_checked: bool
    force: str
    answer: str
    says: str
    values: dict[str, str]
    sure: str
    exists: bool = True
    about: list[str] = field(default_factory=list)
    lists: dict[str, list[Item]] = field(default_factory=dict)
    closed: bool = False
    verdict: Verdict | None = None
    asked_as: list[str] = field(default_factory=list)
    exceptions: list[str] = field(default_factory=list)
    mixups: list[Mixup] = field(default_factory=list)
    see: list[str] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)
    amended: bool = False
    file: str = ""
    line: int = 0


SHARED = ("_input_map", "_goal_map", "_vocabulary", "_convention_map", "_searcher")  # read once, alike in every edition


def _spoken(file: str) -> str:
    """What a file is about, by its name: 250-grounding.yaml is on grounding."""
    return re.sub(r"^\d+-", "", Path(file).stem).replace("_", " ").replace("-", " ")


class Book:
    """One edition of the knowledge, read from the store as it is needed."""

    def __init__(self, store: Store, edition: str):
        if edition not in EDITIONS:
            raise ValueError(f"there is no edition {edition!r} here; there are {', '.join(EDITIONS)}")
        self.store = store
        self.edition = edition
        self._tables: dict[str, Table | None] = {}
        self._entries: dict[str, Entry | None] = {}

    @classmethod
    def open(cls, edition: str = DEFAULT_EDITION, overlay: Path | None = None, folder: Path | None = None) -> Book:
        """The book of an edition, with a folder of amendments laid over it.

        Raises ValueError for an edition that is not here, KnowledgeError for amendments that do not hold.
        """
        if edition not in EDITIONS:
            raise ValueError(f"there is no edition {edition!r} here; there are {', '.join(EDITIONS)}")
        key = (folder, Path(overlay) if overlay is not None else None)
        if key not in _stores:
            _stores[key] = Store(folder, key[1])
        return cls(_stores[key], edition)

    def in_edition(self, edition: str) -> Book:
        """The same knowledge in another edition; what no edition changes is shared."""
        other = Book(self.store, edition)
        other.__dict__.update({name: self.__dict__[name] for name in SHARED if name in self.__dict__})
        return other

    def with_settings(self, chosen: Mapping[str, str]) -> Book:
        """The same edition with the defaults that somebody chose: convention → choice."""
        inputs = dict(self.inputs())
        for name, choice in chosen.items():
            convention = self.conventions().get(name)
            if convention is not None and choice in convention.gives:
                inputs[convention.input] = msgspec.structs.replace(
                    inputs[convention.input], default=convention.gives[choice], why=convention.why, setting=name
                )
        other = self.in_edition(self.edition)
        other._tables, other._entries = self._tables, self._entries
        other.__dict__["_input_map"] = inputs
        return other

    # --- tables and factors -------------------------------------------------------------------------------------------
    def has_table(self, name: str) -> bool:
        return self._table(name) is not None

    def table(self, name: str) -> Table:
        """A table as this edition prints it. Raises KeyError for a name that is none."""
        found = self._table(name)
        if found is None:
            raise KeyError(f"there is no table {name!r}")
        return found

    def sure_of_table(self, number: str) -> str:
        """How sure a table is, by the number that this edition gives it."""
        return self._sure_of_tables.get(number, "from-memory")

    @cached_property
    def _sure_of_tables(self) -> dict[str, str]:
        tables = self._all("tables", _Numbered).values()  # without their rows
        return {by_edition(table.number, self.edition)[0]: table.sure for table in reversed(tables)}

    def _table(self, name: str) -> Table | None:
        if name not in self._tables:
            text = self._one("tables", name, schemas.TableText)
            self._tables[name] = self._typed_table(text) if text else None
        return self._tables[name]

    def _typed_table(self, text: schemas.TableText) -> Table:
        columns = [Column(n, c.unit, c.kind, c.title) for n, c in text.columns.items()]
        rows = text.rows.get(self.edition, text.rows.get("", []))
        doubts = [{"why": d} if isinstance(d, str) else msgspec.structs.asdict(d) for d in text.doubts]
        return Table(
            text.name,
            by_edition(text.number, self.edition)[0],
            by_edition(text.title, self.edition)[0],
            text.key,
            columns,
            rows,
            text.sure,
            text.source,
            text.entry,
            [{key: value for key, value in doubt.items() if value} for doubt in doubts],
        )

    def tables(self) -> list[str]:
        """The names of all tables."""
        return [name for name, _ in self.store.all("tables")]

    def factor(self, name: str) -> Factor | None:
        """A loose number of the code in this edition, or None where there is none of that name."""
        return self._factor_map.get(name)

    def factors(self) -> dict[str, Factor]:
        """All factors that this edition has."""
        return self._factor_map

    @cached_property
    def _factor_map(self) -> dict[str, Factor]:
        typed = {name: self._typed_factor(text) for name, text in self._all("factors", schemas.Factor).items()}
        return {name: factor for name, factor in typed.items() if factor}

    def _typed_factor(self, written: schemas.Factor) -> Factor | None:
        if not schemas.has_edition(written.value, self.edition):
            return None
        text, checked = by_edition(written.value, self.edition)
        return Factor(
            written.name,
            factor_value(text, written.unit),
            written.unit,
            written.entry,
            written.sure,
            written.source,
            text,
            checked,
            written.amended,
        )

    # --- inputs, goals, words -----------------------------------------------------------------------------------------
    def input(self, name: str) -> Input | None:
        """What is known of an input (how to ask for it, its default), or None."""
        return self._input_map.get(name)

    def inputs(self) -> dict[str, Input]:
        """Every input by its name."""
        return self._input_map

    @cached_property
    def _input_map(self) -> dict[str, Input]:
        return self._all("inputs", Input)

    def goals(self) -> dict[str, Goal]:
        """Everything that can be worked out, by its name."""
        return self._goal_map

    @cached_property
    def _goal_map(self) -> dict[str, Goal]:
        return self._all("goals", Goal)

    def vocabulary(self) -> dict[str, dict[str, list[str]]]:
        """kind → name → the words people say for it, over all files."""
        return self._vocabulary

    @cached_property
    def _vocabulary(self) -> dict[str, dict[str, list[str]]]:
        return {kind: msgspec.json.decode(raw, type=dict[str, list[str]]) for kind, raw in self.store.all("vocabulary")}

    def conventions(self) -> dict[str, Convention]:
        """The named settings in which exam keys and trades differ."""
        return self._convention_map

    @cached_property
    def _convention_map(self) -> dict[str, Convention]:
        return self._all("conventions", Convention)

    def caution(self, name: str) -> str:
        """The text of a caution. Raises KeyError for a name that is none."""
        raw = self.store.get("cautions", name)
        if raw is None:
            raise KeyError(f"there is no caution {name!r}")
        return msgspec.json.decode(raw, type=str)

    @cached_property
    def problems(self) -> list[str]:
        """What of the knowledge was left out because it does not hold."""
        raw = self.store.get("problems", "all")
        return msgspec.json.decode(raw, type=list[str]) if raw else []

    # --- entries ------------------------------------------------------------------------------------------------------
    def has_entry(self, name: str) -> bool:
        return self._entry(name) is not None

    def entry(self, name: str) -> Entry:
        """A rule in this edition. Raises KeyError for a name that is none."""
        found = self._entry(name)
        if found is None:
            raise KeyError(f"there is no entry {name!r}")
        return found

    def _entry(self, name: str) -> Entry | None:
        if name not in self._entries:
            rule = self._one("rules", name, schemas.Rule)
            self._entries[name] = self._resolved(rule) if rule else None
        return self._entries[name]

    @cached_property
    def _subjects(self) -> tuple[list[str], list[str]]:
        figured = dict.fromkeys(_spoken(goal.file) for goal in self.goals().values())
        files = Counter(rule.file for rule in self._all("rules", _Filed).values())  # whole entries cost many times this
        return list(figured), [_spoken(file) for file, _ in files.most_common() if _ARTICLE.search(file)]

    def subjects(self) -> tuple[list[str], list[str]]:
        """What can be worked out and what can be looked up, by the names of the files; the latter by their entries."""
        return self._subjects

    def entries(self) -> list[Entry]:
        """Every rule in this edition, in the order of the files."""
        for name, rule in self._all("rules", schemas.Rule).items():
            if self._entries.get(name) is None:
                self._entries[name] = self._resolved(rule)
        return [found for name, _ in self.store.all("rules") if (found := self._entries[name])]

    def _resolved(self, rule: schemas.Rule) -> Entry:
        edition = self.edition
        section, checked = by_edition(rule.section, edition)
        values = {name: by_edition(text, edition)[0] for name, text in rule.values.items()}
        verdict = None
        if rule.verdict:
            holds = by_edition(rule.verdict.holds, edition)[0] if rule.verdict.holds is not None else ""
            verdict = Verdict(
                rule.verdict.yes, rule.verdict.no, {"yes": True, "no": False}.get(holds), rule.verdict.of or ""
            )
        return Entry(
            id=rule.name,
            title=rule.title,
            section=section,
            section_checked=checked,
            force=rule.force,
            answer=self._filled(by_edition(rule.answer, edition)[0], values),
            says=self._filled(by_edition(rule.says, edition)[0], values),
            values=values,
            sure=rule.sure,
            exists=schemas.has_edition(rule.section, edition),
            about=rule.about,
            lists={
                role: [item for item in items if not item.editions or edition in item.editions]
                for role, items in rule.lists.items()
            },
            closed=rule.closed in ("yes", "true"),
            verdict=verdict,
            asked_as=rule.asked_as,
            exceptions=rule.exceptions,
            mixups=rule.mixups,
            see=rule.see,
            cautions=rule.cautions,
            sources=rule.sources,
            amended=rule.amended,
            file=rule.file,
            line=rule.line,
        )

    def _filled(self, text: str, values: dict[str, str]) -> str:
        """The text with {names} replaced by the entry's values, else by factors; one that is neither stays visible."""

        def found(name: re.Match[str]) -> str:
            if name[1] in values:
                return values[name[1]]
            factor = self.factor(name[1])
            return factor.text if factor else name[0]

        return NAME.sub(found, text).replace("..", ".")  # a value may end in an abbreviation: 24 in.

    # --- search -------------------------------------------------------------------------------------------------------
    def search(self, words: Iterable[str], limit: int = 5, goals: bool = False) -> list[Hit]:
        """The entries nearest to what was asked, best first; `words` are the question's, their spelling mended.

        With `goals` also what can be worked out (`Hit.kind` is then "goal"), on the same scale.
        """
        return self._searcher.search(words, limit, goals)

    def outside(self, words: Iterable[str]) -> str:
        """What a question is about that fits better to something outside the code than to any entry, or nothing."""
        hits = self._searcher.ranked(words, goals=True)
        if not hits or hits[0].kind != "outside" or hits[0].score < CONFIDENT:
            return ""
        found = self._one("outside", hits[0].entry_id, schemas.Outside)
        return found.title if found else ""

    def warm(self) -> None:
        """Read everything now, for a process that will answer many questions."""
        self.subjects()
        self.sure_of_table("")
        self.entries()
        for name in self.tables():
            self.table(name)
        self._searcher.warm()

    def covers(self, phrase: str, text: str) -> float:
        """The share of a phrase, by the rarity of its words, that a text says too (0..1)."""
        return self._searcher.covers(phrase, text)

    def knows(self, entry: str, text: str) -> bool:
        """Whether an entry says any word of a text that tells something, or there is no such word in it."""
        return self._searcher.knows(entry, text)

    def telling(self, text: str) -> set[str]:
        """The words of a text that tell something, as stems, each by the group of words that stand for it."""
        return self._searcher.telling(text)

    def left_over(self, entry: str, text: str) -> float:
        """The share of a text, by the rarity of its words, that an entry does not say (0..1)."""
        return self._searcher.left_over(entry, text)

    def points(self, phrase: str, text: str) -> bool:
        """Whether a text says the rarest word of a phrase, or one that stands for it."""
        return self._searcher.points(phrase, text)

    @cached_property
    def _searcher(self) -> Searcher:
        return Searcher(self.store)

    # --- reading the store --------------------------------------------------------------------------------------------
    def _one(self, kind: str, name: str, struct: type[T]) -> T | None:
        raw = self.store.get(kind, name)
        return msgspec.json.decode(raw, type=struct) if raw else None

    def _all(self, kind: str, struct: type[T]) -> dict[str, T]:
        decoder: msgspec.json.Decoder[Any] = msgspec.json.Decoder(struct)
        return {name: decoder.decode(raw) for name, raw in self.store.all(kind)}


class _Numbered(msgspec.Struct):
    """Of a table no more than its number and how sure it is."""

    number: schemas.ByEdition
    sure: str = "from-memory"


class _Filed(msgspec.Struct):
    """Of a rule no more than the file that it stands in."""

    file: str = ""


NAME = re.compile(r"\{(\w+)\}")
TEXT_UNITS = ("size", "text", "choice", "yes/no")
_NUMBER = re.compile(r"-?(?:\d+/\d+|\d[\d,]*(?: \d+/\d+|\.\d+)?|\.\d+)%?(?![\d/])")


def factor_value(text: str, unit: str) -> float | str:
    """The number that a factor's text begins with ("3 VA" is 3, "125%" is 1.25); a text without one stays text."""
    found = None if unit in TEXT_UNITS else _NUMBER.match(text)
    return number(found[0]) if found else text

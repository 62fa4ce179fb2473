"""Tables as printed, and the four verbs through which all looking-up goes. Nothing is ever extrapolated."""

from __future__ import annotations

import copy
import re
from bisect import bisect_left
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Literal

from askcode.core.errors import OutsideTable

Cell = float | str | None

_SIZE = re.compile(r"(\d+)(/0)?$")
UNSAID = ("", "%", "ratio", "count", "number")  # units that are not said behind the number, or stand in it
LEAST_KCMIL = 100  # AWG numbers have two digits
NEAREST = 2  # rows that a refusal names: the one below and the one above


@lru_cache(maxsize=512)
def size_rank(size: str) -> int:
    """Order of wire sizes, thin to thick: AWG numbers fall, aughts and kcmil rise. Raises ValueError for no size."""
    found = _SIZE.match(size)
    if not found:
        raise ValueError(f"{size!r} is not a wire size")
    number = int(found.group(1))
    if found.group(2):
        return number - 1
    return 1000 + number if number >= LEAST_KCMIL else -number


def size_unit(size: str) -> str:
    """AWG up to 4/0, kcmil above; raises ValueError for no size."""
    return "AWG" if size_rank(size) < 1000 else "kcmil"


def number(text: str) -> float:
    """A printed number: 7 1/2, 1/2, 1,000 or 125%."""
    text = text.strip().replace(",", "")
    if text.endswith("%"):
        return float(text[:-1]) / 100
    whole, _, fraction = text.rpartition(" ")
    if "/" in fraction:
        top, bottom = fraction.split("/")
        return (float(whole) if whole else 0.0) + float(top) / float(bottom)
    return float(text)


@dataclass(frozen=True, slots=True)
class Column:
    """A column: the unit of its cells and how they compare. A blank last cell of `to` or `…up_to` has no end."""

    name: str
    unit: str = ""
    kind: Literal["number", "size", "text"] = "text"
    title: str = ""

    @property
    def open_ended(self) -> bool:
        return self.name == "to" or self.name.endswith("up_to")

    def told(self, text: str) -> str:
        """A cell as one would say it, with its unit: 12 AWG, 250 kcmil, 7 1/2 hp."""
        if self.kind == "size":
            return f"{text} {size_unit(text)}"
        return f"{text} {self.unit}" if self.kind == "number" and self.unit not in UNSAID else text


@dataclass(slots=True)
class Row:
    """One row that was found; reading a cell of it is noted, so that the reply can show what was read."""

    table: Table
    index: int
    reads: list[tuple[int, str]] | None = None

    def __getitem__(self, column: object) -> Any:
        name = column_name(column)
        value = self.table.cell(self.index, name)
        if value is None:
            raise self.table.outside(self.table.printed(self.index, self.table.key), name)
        if self.reads is not None:
            self.reads.append((self.index, name))
        return value

    def get(self, column: object) -> Cell:
        """The cell, or None where the table has none."""
        return None if self.table.cell(self.index, column_name(column)) is None else self[column]


def column_name(column: object) -> str:
    """Columns may be asked for by number (the 230 column): 230.0 is spoken 230."""
    return f"{column:g}" if isinstance(column, float) else str(column)


@dataclass(slots=True, eq=False)
class Table:
    """A table of one edition. `rows` hold the cells as printed, `number` is its number in that edition."""

    name: str
    number: str
    title: str
    key: str
    columns: list[Column]
    rows: list[list[str]]
    sure: str = "from-memory"
    source: str = ""
    entry: str | None = None
    doubts: list[dict[str, str]] = field(default_factory=list)
    reads: list[tuple[int, str]] | None = None
    _typed: dict[str, list[Cell]] = field(default_factory=dict, repr=False)

    def watched(self) -> Table:
        """The same table, noting what is read of it."""
        seen = copy.copy(self)
        seen.reads = []
        return seen

    @property
    def called(self) -> str:
        """How one cites it: Table 310.16, Chapter 9 Table 8."""
        return self.number if "Table" in self.number else f"Table {self.number}"

    # --- the four verbs -----------------------------------------------------------------------------------------------
    def exact(self, key: object) -> Row:
        """The row of this key."""
        wanted = self._rank(key, self._column(self.key))
        for index, value in enumerate(self._ranks(self.key)):
            if value == wanted:
                return self._row(index)
        raise self.outside(key)

    def next_up(self, value: object, column: object = None) -> Row:
        """The row whose column (the key's unless named) is the least one of at least the value; the first of equals."""
        name = self.key if column is None else column_name(column)
        wanted = self._rank(value, self._column(name))
        enough = [(have, index) for index, have in enumerate(self._ranks(name)) if have is not None and have >= wanted]  # type: ignore[operator]
        if not enough:
            raise self.outside(value, "" if name == self.key else name, by=name)
        _, index = min(enough)
        if self.reads is not None:
            self.reads.append((index, name))
        return self._row(index)

    def at_most(self, value: object, column: object = None) -> Row:
        """The last row whose column (the key's unless named) is at most the value."""
        name = self.key if column is None else column_name(column)
        wanted = self._rank(value, self._column(name))
        found = [i for i, have in enumerate(self._ranks(name)) if have is not None and have <= wanted]  # type: ignore[operator]
        if not found:
            raise self.outside(value, "" if name == self.key else name, by=name)
        if self.reads is not None:
            self.reads.append((found[-1], name))
        return self._row(found[-1])

    def between(self, value: object) -> Row:
        """The row whose `from` … `to` holds the value; a blank `to` has no end.

        Ranges are printed in whole numbers (26-30, 31-35); what lies between two of them belongs to the higher one."""
        wanted = self._rank(value, self._column("to"))
        for index, (low, high) in enumerate(zip(self._ranks("from"), self._ranks("to"), strict=True)):
            if (low is None or low - 1 < wanted) and high is not None and wanted <= high:  # type: ignore[operator]
                return self._row(index)
        raise self.outside(value)

    # --- cells --------------------------------------------------------------------------------------------------------
    def cell(self, index: int, column: str) -> Cell:
        """The typed cell, None where it is blank."""
        return self._values(column)[index]

    def printed(self, index: int, column: str) -> str:
        """The cell as it stands in the book."""
        return self.rows[index][self._position(column)]

    def printed_keys(self) -> list[str]:
        """The key column as printed."""
        return [self.printed(i, self.key) for i in range(len(self.rows))]

    def has_column(self, column: object) -> bool:
        return any(c.name == column_name(column) for c in self.columns)

    def outside(self, wanted: object, column: str = "", by: str = "") -> OutsideTable:
        """The refusal, with the rows nearest to what was wanted (`by` the column that was searched, else the key)."""
        key, searched = self._column(self.key), self._column(by or self.key)
        printed = [
            (rank, self.printed(i, self.key))
            for i, rank in enumerate(self._ranks(searched.name))
            if rank is not None and (not column or column == self.key or self.cell(i, column) is not None)
        ]
        nearest = [p for _, p in printed]
        begun = [p for p in nearest if searched.kind == "text" and p.startswith(f"{wanted} ")]  # a name cut short
        said = told = spoken(wanted)
        try:
            ranked = sorted(printed)
            at = bisect_left([r for r, _ in ranked], self._rank(wanted, searched))
            first = max(0, min(at - 1, len(ranked) - NEAREST))
            nearest = begun or [p for _, p in ranked[first : first + NEAREST]]
            told = searched.told(said)
        except (TypeError, ValueError):
            nearest = nearest[:8]
        shown = self._column(column).title or column if column else ""
        return OutsideTable(self.called, self.title, told, [key.told(p) for p in nearest], self.key, shown, said)

    def _row(self, index: int) -> Row:
        return Row(self, index, self.reads)

    def _column(self, name: str) -> Column:
        for column in self.columns:
            if column.name == name:
                return column
        raise self._no_column(name)

    def _no_column(self, name: str) -> OutsideTable:
        names = [c.title or c.name for c in self.columns if c.name != self.key]
        return OutsideTable(self.called, self.title, f"a column {name}", names, None)

    def _position(self, name: str) -> int:
        for position, column in enumerate(self.columns):
            if column.name == name:
                return position
        raise self._no_column(name)

    def _values(self, name: str) -> list[Cell]:
        if name not in self._typed:
            position = self._position(name)
            convert: Any = number if self.columns[position].kind == "number" else str
            cells = [row[position].strip() for row in self.rows]
            if self.columns[position].unit == "%":  # held as ratios, printed with or without their sign
                cells = [text + "%" if text and not text.endswith("%") else text for text in cells]
            self._typed[name] = [convert(text) if text else None for text in cells]
        return self._typed[name]

    def _ranks(self, name: str) -> list[Cell]:
        ranked = "rank " + name
        if ranked not in self._typed:
            column = self._column(name)
            ranks: list[Cell] = [None if value is None else self._rank(value, column) for value in self._values(name)]
            if column.open_ended and ranks and ranks[-1] is None:
                ranks[-1] = float("inf")
            self._typed[ranked] = ranks
        return self._typed[ranked]

    def _rank(self, value: object, column: Column) -> float | str:
        if column.kind == "size":
            try:
                return float(size_rank(column_name(value)))
            except ValueError:
                raise OutsideTable(self.called, self.title, spoken(value), [], column.name) from None
        if column.kind == "number":
            return round(value if isinstance(value, float) else number(str(value)), 9)  # 1.15 × 100 is 115 here
        return column_name(value)


def spoken(value: object) -> str:
    """A value as one would say it: no trailing noughts."""
    return f"{value:g}" if isinstance(value, float) else str(value)

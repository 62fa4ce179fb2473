"""How the tables of conductors are read: the column of a metal, the row that carries a current."""

from __future__ import annotations

from askcode.core.errors import OutsideTable, Refuse
from askcode.core.tables import Row, Table, size_rank

JUST = 1e-6  # what lifts a value just above or below a printed one; no table tells such values apart
PREFIX = {"copper": "cu", "aluminum": "al", "copper-clad aluminum": "al"}  # the last two share their columns


def metal_column(table: Table, metal: str, temperature: float, said_as: str = "insulation_temperature") -> str:
    """The column of a metal and a temperature. Raises Refuse where the ampacity tables have none; `said_as` is the
    input that such a temperature comes from."""
    if metal not in PREFIX:
        raise Refuse(f"There are no ampacities for {metal} conductors here.", "conductor_metal", list(PREFIX))
    column = f"{PREFIX[metal]}_{temperature:g}"
    if not table.has_column(column):
        have = [c.name.partition("_")[2] for c in table.columns if c.name.startswith(PREFIX[metal] + "_")]
        raise Refuse(f"The ampacity tables have no column for {temperature:g} °C.", said_as, have)
    return column


def listed_metal(metal: str) -> str:
    """The column that a metal shares where a table lists copper and aluminum only."""
    return "aluminum" if metal == "copper-clad aluminum" else metal


def other_metal(metal: str) -> str:
    """The metal whose column a finger slips into."""
    return "aluminum" if metal == "copper" else "copper"


def larger(*sizes: str) -> str:
    """The thickest of several wire sizes."""
    return max(sizes, key=size_rank)


def smaller(*sizes: str) -> str:
    """The thinnest of several wire sizes."""
    return min(sizes, key=size_rank)


def first_that_carries(table: Table, amperes: float, column: str, *, more: bool = False) -> str:
    """The first size whose ampacity in a column is at least (with `more`: above) so many amperes.

    Raises Refuse, asking for parallel conductors, where not even the last row carries them."""
    try:
        size: str = table.next_up(amperes + JUST if more else amperes, column)["size"]
    except OutsideTable:
        line = f"No size in the table carries {amperes:,.4g} A in that column; how many run in parallel for each phase?"
        raise Refuse(line, "parallel_sets") from None
    return size


def neighbor(row: Row, step: int, column: str) -> float:
    """The cell above or below the right one, into which a finger slips. Raises Refuse at the table's edge."""
    at = row.index + step
    value = row.table.cell(at, column) if 0 <= at < len(row.table.rows) else None
    if not isinstance(value, float):
        raise Refuse("there is no row beside this one")
    return value

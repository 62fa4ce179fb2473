"""How the tables of grounding are read: the row of a service conductor, the column of a metal."""

from __future__ import annotations

from askcode.calculators.conductors.tables import listed_metal
from askcode.core.errors import OutsideTable, Refuse
from askcode.core.tables import Row, Table


def size_by_conductor(table: Table, size: str, metal: str, grounding_metal: str) -> str:
    """The size in the row whose range holds a service conductor of this size and metal."""
    row = table.next_up(size, f"{column_of(metal, 'service_conductor_metal')}_up_to")
    return size_in_row(row, grounding_metal)


def size_by_area(table: Table, area: float, metal: str, grounding_metal: str) -> str:
    """The size in the row whose range holds service conductors of this metal and of this area together."""
    row = table.next_up(area, f"{column_of(metal, 'service_conductor_metal')}_cmil_up_to")
    return size_in_row(row, grounding_metal)


def size_with_area(table: Table, area: float) -> str:
    """The first size with at least this area. Raises Refuse past the last one."""
    try:
        size: str = table.next_up(area, "area_cmil")["size"]
    except OutsideTable:
        last = table.printed_keys()[-1]
        raise Refuse(f"No single conductor has {area:,.0f} cmil; the largest is {last} kcmil.") from None
    return size


def column_of(metal: str, said_as: str) -> str:
    """The metal as these tables list it. Raises Refuse for one that they do not."""
    listed = listed_metal(metal)
    if listed not in ("copper", "aluminum"):
        raise Refuse(f"The tables list copper and aluminum, not {metal}.", said_as, ["copper", "aluminum"])
    return listed


def size_in_row(row: Row, metal: str) -> str:
    size: str = row[column_of(metal, "grounding_metal")]
    return size

"""The equipment grounding conductor: by its device, and increased with its circuit's conductors."""

from __future__ import annotations

import math

from askcode.calculators.conductors.tables import JUST, metal_column, other_metal, smaller
from askcode.calculators.grounding import finds, mistake
from askcode.calculators.grounding.tables import size_by_conductor, size_in_row, size_with_area
from askcode.core.errors import OutsideTable, Refuse
from askcode.core.quantities import Amps, Celsius, Choice, Cmil, Count, Flag, Ratio, Size
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table


# --- when -------------------------------------------------------------------------------------------------------------
def conductors_were_increased(
    required_conductor_size: Size | None = None,
    installed_conductor_size: Size | None = None,
    increased_for_correction: Flag | None = None,
) -> bool:
    """the circuit's conductors were made larger than their ampacity asks for"""
    named = required_conductor_size is not None or installed_conductor_size is not None
    return named and increased_for_correction != "yes"


def circuit_conductors_are_given(conductor_size: Size | None = None) -> bool:
    """the size of the circuit's conductors is given"""
    return conductor_size is not None


def several_raceways(parallel_raceways: Count = ASSUMED) -> bool:
    """the circuit runs in several raceways"""
    return parallel_raceways > 1


# --- its size ---------------------------------------------------------------------------------------------------------
@finds(cites="equipment-ground-size")
def equipment_ground_of_table(
    equipment_grounds: Table, device_rating: Amps = ASSUMED, grounding_metal: Choice = ASSUMED
) -> Size:
    """Read the first row that is not below the device's {device_rating}: {result} {grounding_metal}."""
    try:
        row = equipment_grounds.next_up(device_rating)
    except OutsideTable:
        last = equipment_grounds.printed_keys()[-1]
        line = f"The table of equipment grounds ends at {last} A; {device_rating:,.6g} A is beyond it."
        raise Refuse(line, "device_rating") from None
    return size_in_row(row, grounding_metal)


@finds("equipment_ground_of_one", when=(no(conductors_were_increased), no(circuit_conductors_are_given)))
def equipment_ground_as_listed(equipment_ground_of_table: Size) -> Size:
    return equipment_ground_of_table


@finds(
    "equipment_ground_of_one",
    cites="equipment-ground-size",
    when=(no(conductors_were_increased), circuit_conductors_are_given),
)
def equipment_ground_within_circuit(equipment_ground_of_table: Size, conductor_size: Size) -> Size:
    """It need never be larger than the circuit's own conductors, {conductor_size}: {result}."""
    return smaller(equipment_ground_of_table, conductor_size)


@finds(cites="equipment-ground-increase", shows="{installed_area} / {needed_area} = {result}")
def increase_ratio(
    installed_area: Cmil, needed_area: Cmil, installed_conductor_size: Size, required_conductor_size: Size
) -> Ratio:
    """The circuit conductors were increased, so find in what proportion of area."""
    if installed_area < needed_area:
        line = (
            f"What is installed, {installed_conductor_size}, is smaller than what is needed, {required_conductor_size}."
        )
        raise Refuse(line, "installed_conductor_size")
    return installed_area / needed_area


@finds(cites="conductor-properties")
def installed_area(wire_areas: Table, installed_conductor_size: Size) -> Cmil:
    """{installed_conductor_size} as installed has {result}."""
    return wire_areas.exact(installed_conductor_size)["area_cmil"]


@finds(cites="conductor-properties")
def needed_area(wire_areas: Table, required_conductor_size: Size) -> Cmil:
    """{required_conductor_size} as needed has {result}."""
    return wire_areas.exact(required_conductor_size)["area_cmil"]


@finds(cites="conductor-properties")
def listed_ground_area(wire_areas: Table, equipment_ground_of_table: Size) -> Cmil:
    """The listed ground, {equipment_ground_of_table}, has {result}."""
    return wire_areas.exact(equipment_ground_of_table)["area_cmil"]


@finds(cites="equipment-ground-increase", shows="{listed_ground_area} × {installed_area} / {needed_area} = {result}")
def increased_ground_area(
    listed_ground_area: Cmil, installed_area: Cmil, needed_area: Cmil, increase_ratio: Ratio
) -> Cmil:
    """Increase the ground in the same proportion."""
    return listed_ground_area * installed_area / needed_area  # in this order exact where the areas are


@finds("equipment_ground_of_one", cites="equipment-ground-increase", when=conductors_were_increased)
def equipment_ground_increased(wire_areas: Table, increased_ground_area: Cmil, installed_conductor_size: Size) -> Size:
    """The first size with that area, but never more than the circuit conductors, is {result}."""
    return smaller(size_with_area(wire_areas, increased_ground_area), installed_conductor_size)


@finds("least_equipment_ground", when=no(several_raceways))
def least_equipment_ground(equipment_ground_of_one: Size) -> Size:
    return equipment_ground_of_one


@finds("least_equipment_ground", cites="equipment-ground-parallel", when=several_raceways)
def least_equipment_ground_in_each(equipment_ground_of_one: Size, parallel_raceways: Count = ASSUMED) -> Size:
    """Each of the {parallel_raceways} raceways gets a ground of the full size; it is never divided: {result}."""
    return equipment_ground_of_one


@mistake(of=equipment_ground_of_table, because="read the row below the device's rating")
def equipment_ground_of_row_below(
    equipment_grounds: Table, device_rating: Amps = ASSUMED, grounding_metal: Choice = ASSUMED
) -> Size:
    return size_in_row(equipment_grounds.at_most(device_rating - JUST), grounding_metal)


@mistake(of=equipment_ground_of_table, because="read the other metal's column")
def equipment_ground_of_other_metal(
    equipment_grounds: Table, device_rating: Amps = ASSUMED, grounding_metal: Choice = ASSUMED
) -> Size:
    return size_in_row(equipment_grounds.next_up(device_rating), other_metal(grounding_metal))


@mistake(of=equipment_ground_of_table, because="read the table of electrode conductors, which goes by a service")
def equipment_ground_by_conductor(
    grounding_electrode_conductors: Table,
    conductor_size: Size,
    conductor_metal: Choice = ASSUMED,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    return size_by_conductor(grounding_electrode_conductors, conductor_size, conductor_metal, grounding_metal)


@mistake(
    of=equipment_ground_within_circuit, because="took the table's size although the circuit's conductors are smaller"
)
def equipment_ground_larger_than_circuit(equipment_ground_of_table: Size) -> Size:
    return equipment_ground_of_table


@mistake(of=equipment_ground_increased, because="did not increase the ground with the conductors")
def equipment_ground_not_increased(equipment_ground_of_table: Size) -> Size:
    return equipment_ground_of_table


@mistake(of=equipment_ground_increased, because="made the ground as large as the circuit conductors")
def equipment_ground_as_circuit(installed_conductor_size: Size) -> Size:
    return installed_conductor_size


@mistake(of=increased_ground_area, because="took the proportion of the diameters instead of the areas")
def ground_area_by_diameter(listed_ground_area: Cmil, increase_ratio: Ratio) -> Cmil:
    return listed_ground_area * math.sqrt(increase_ratio)


@mistake(of=increased_ground_area, because="took the proportion of the ampacities instead of the areas")
def ground_area_by_ampacity(
    conductor_ampacities: Table,
    listed_ground_area: Cmil,
    installed_conductor_size: Size,
    required_conductor_size: Size,
    high_terminal_temperature: Celsius,
    conductor_metal: Choice = ASSUMED,
) -> Cmil:
    column = metal_column(conductor_ampacities, conductor_metal, high_terminal_temperature)
    installed = conductor_ampacities.exact(installed_conductor_size)[column]
    needed = conductor_ampacities.exact(required_conductor_size)[column]
    area: float = listed_ground_area * installed / needed
    return area


@mistake(of=least_equipment_ground_in_each, because="divided the ground among the raceways")
def equipment_ground_divided(
    equipment_grounds: Table,
    parallel_raceways: Count,
    device_rating: Amps = ASSUMED,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    return size_in_row(equipment_grounds.next_up(device_rating / parallel_raceways), grounding_metal)


@finds(cites="equipment-bonding-jumper-load-side")
def least_load_side_jumper(equipment_ground_of_one: Size) -> Size:
    """On the load side a bonding jumper is sized as the equipment ground: {result}."""
    return equipment_ground_of_one

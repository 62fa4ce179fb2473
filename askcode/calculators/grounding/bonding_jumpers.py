"""Bonding jumpers, the grounded service conductor, and the bonds of water piping and steel."""

from __future__ import annotations

from askcode.calculators.conductors.tables import larger, other_metal
from askcode.calculators.grounding import finds, mistake
from askcode.calculators.grounding.service_conductors import service_in_parallel
from askcode.calculators.grounding.tables import column_of, size_by_area, size_by_conductor, size_in_row, size_with_area
from askcode.core.errors import Refuse
from askcode.core.quantities import Amps, Choice, Cmil, Flag, Percent, Size
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table


# --- when -------------------------------------------------------------------------------------------------------------
def larger_than_jumper_table(service_area: Cmil, jumper_table_limit: Cmil) -> bool:
    """the conductors are larger than the table's last row"""
    return service_area > jumper_table_limit


def service_is_copper(service_conductor_metal: Choice) -> bool:
    """the service conductors are copper"""
    return service_conductor_metal == "copper"


def one_jumper_for_all(jumper_arrangement: Choice) -> bool:
    """one jumper serves all the sets"""
    return jumper_arrangement == "one for all"


def piping_bond_has_cap(piping_bond_is_capped: Flag) -> bool:
    """the edition lets the bonds of piping and steel end at the largest electrode conductor"""
    return piping_bond_is_capped == "yes"


# --- the jumpers ------------------------------------------------------------------------------------------------------
@finds("jumper_table_limit", cites="bonding-jumper-size", when=service_is_copper)
def jumper_table_limit_copper(bonding_copper_limit: Cmil) -> Cmil:
    return bonding_copper_limit


@finds("jumper_table_limit", cites="bonding-jumper-size", when=no(service_is_copper))
def jumper_table_limit_aluminum(bonding_aluminum_limit: Cmil) -> Cmil:
    return bonding_aluminum_limit


@finds("jumper_of_table", cites="bonding-jumper-size", when=no(service_in_parallel))
def jumper_of_table(
    bonding_jumpers: Table,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    """In the row that holds {service_conductor_size} {service_conductor_metal} stands {result} {grounding_metal}."""
    return size_by_conductor(bonding_jumpers, service_conductor_size, service_conductor_metal, grounding_metal)


@finds("jumper_of_table", cites="bonding-jumper-size", when=service_in_parallel)
def jumper_of_sets(
    bonding_jumpers: Table, service_area: Cmil, service_conductor_metal: Choice, grounding_metal: Choice = ASSUMED
) -> Size:
    """In the row that holds {service_area} of {service_conductor_metal} stands {result} {grounding_metal}."""
    return size_by_area(bonding_jumpers, service_area, service_conductor_metal, grounding_metal)


@finds(cites="bonding-jumper-size", shows="{service_area} × {bonding_area_factor} = {result}")
def jumper_area(
    service_area: Cmil, bonding_area_factor: Percent, service_conductor_metal: Choice, grounding_metal: Choice = ASSUMED
) -> Cmil:
    """Above the table's last row the jumper has {bonding_area_factor} of the area of the conductors."""
    of_service = column_of(service_conductor_metal, "service_conductor_metal")
    if of_service != column_of(grounding_metal, "grounding_metal"):
        raise Refuse(
            f"Above the table's last row a {grounding_metal} jumper goes by {grounding_metal} conductors of the same "
            f"ampacity, which I do not work out; I can size one of {service_conductor_metal}.",
            "grounding_metal",
            [service_conductor_metal],
        )
    return service_area * bonding_area_factor


@finds("least_bonding_jumper", cites="bonding-jumper-size", when=no(larger_than_jumper_table))
def bonding_jumper_of_table(jumper_of_table: Size) -> Size:
    return jumper_of_table


@finds("least_bonding_jumper", cites="bonding-jumper-size", when=larger_than_jumper_table)
def bonding_jumper_by_area(wire_areas: Table, jumper_area: Cmil) -> Size:
    """The first size with that area is {result}."""
    return size_with_area(wire_areas, jumper_area)


@finds(cites="main-bonding-jumper")
def least_main_bonding_jumper(least_bonding_jumper: Size) -> Size:
    """The main bonding jumper goes by the service conductors: {result}."""
    return least_bonding_jumper


@finds(cites="system-bonding-jumper")
def least_system_bonding_jumper(least_bonding_jumper: Size) -> Size:
    """The system bonding jumper goes by the derived ungrounded conductors: {result}."""
    return least_bonding_jumper


@finds("least_supply_side_jumper", cites="supply-side-bonding-jumper", when=no(service_in_parallel))
def least_supply_side_jumper(least_bonding_jumper: Size) -> Size:
    """The supply-side bonding jumper goes by the supply conductors: {result}."""
    return least_bonding_jumper


@finds("least_supply_side_jumper", cites="supply-side-bonding-jumper", when=(service_in_parallel, one_jumper_for_all))
def least_supply_side_jumper_for_all(least_bonding_jumper: Size) -> Size:
    """One supply-side bonding jumper for all the sets goes by all of their conductors: {result}."""
    return least_bonding_jumper


@finds(
    "least_supply_side_jumper", cites="supply-side-bonding-jumper", when=(service_in_parallel, no(one_jumper_for_all))
)
def least_supply_side_jumper_in_each(
    bonding_jumpers: Table,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    """A jumper in each raceway goes by the {service_conductor_size} {service_conductor_metal} in it: {result}."""
    return size_by_conductor(bonding_jumpers, service_conductor_size, service_conductor_metal, grounding_metal)


# --- the grounded service conductor -----------------------------------------------------------------------------------
@finds("least_grounded_conductor", cites=("neutral-to-service", "bonding-jumper-size"), when=no(service_in_parallel))
def least_grounded_conductor(least_bonding_jumper: Size) -> Size:
    """The grounded service conductor is never smaller than {result}; its load may ask for more."""
    return least_bonding_jumper


@finds("least_grounded_conductor", cites=("neutral-to-service", "parallel-conductors"), when=service_in_parallel)
def least_grounded_conductor_in_each(
    bonding_jumpers: Table,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    parallel_least_size: Size,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    """In each raceway it goes by the {service_conductor_size} there, but not below {parallel_least_size}: {result}."""
    return larger(
        size_by_conductor(bonding_jumpers, service_conductor_size, service_conductor_metal, grounding_metal),
        parallel_least_size,
    )


# --- water piping and steel -------------------------------------------------------------------------------------------
@finds("least_water_pipe_bond", cites="water-pipe-bonding", when=no(larger_than_jumper_table))
def least_water_pipe_bond(jumper_of_table: Size) -> Size:
    """Bond the metal water piping by the service conductors: {result}."""
    return jumper_of_table


@finds("least_water_pipe_bond", cites="water-pipe-bonding", when=(larger_than_jumper_table, piping_bond_has_cap))
def least_water_pipe_bond_at_cap(greatest_piping_bond: Size) -> Size:
    """The bond of the metal water piping need not be larger than {result}."""
    return greatest_piping_bond


@finds("least_water_pipe_bond", cites="water-pipe-bonding", when=(larger_than_jumper_table, no(piping_bond_has_cap)))
def least_water_pipe_bond_by_area(least_bonding_jumper: Size) -> Size:
    """Bond the metal water piping by the service conductors, without an upper end in this edition: {result}."""
    return least_bonding_jumper


@finds("least_steel_bond", cites="structural-steel-bonding", when=no(larger_than_jumper_table))
def least_steel_bond(jumper_of_table: Size) -> Size:
    """Bond the structural steel by the service conductors: {result}."""
    return jumper_of_table


@finds("least_steel_bond", cites="structural-steel-bonding", when=(larger_than_jumper_table, piping_bond_has_cap))
def least_steel_bond_at_cap(greatest_piping_bond: Size) -> Size:
    """The bond of the structural steel need not be larger than {result}."""
    return greatest_piping_bond


@finds("least_steel_bond", cites="structural-steel-bonding", when=(larger_than_jumper_table, no(piping_bond_has_cap)))
def least_steel_bond_by_area(least_bonding_jumper: Size) -> Size:
    """Bond the structural steel by the service conductors, without an upper end in this edition: {result}."""
    return least_bonding_jumper


@finds()
def greatest_piping_bond(
    piping_bond_cap_copper: Size, piping_bond_cap_aluminum: Size, grounding_metal: Choice = ASSUMED
) -> Size:
    copper = column_of(grounding_metal, "grounding_metal") == "copper"
    return piping_bond_cap_copper if copper else piping_bond_cap_aluminum


@mistake(of=bonding_jumper_by_area, because="stopped at the last row, as for an electrode conductor")
def bonding_jumper_capped(
    grounding_electrode_conductors: Table,
    service_area: Cmil,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    return size_by_area(grounding_electrode_conductors, service_area, service_conductor_metal, grounding_metal)


@mistake(of=least_water_pipe_bond_at_cap, because="went on with the share of the area, which this bond need not follow")
def water_pipe_bond_without_cap(least_bonding_jumper: Size) -> Size:
    return least_bonding_jumper


@mistake(of=least_steel_bond_at_cap, because="went on with the share of the area, which this bond need not follow")
def steel_bond_without_cap(least_bonding_jumper: Size) -> Size:
    return least_bonding_jumper


@mistake(of=jumper_of_table, because="read the other metal's column for the service conductors")
def jumper_of_other_service(
    bonding_jumpers: Table,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    other = other_metal(service_conductor_metal)
    return size_by_conductor(bonding_jumpers, service_conductor_size, other, grounding_metal)


@mistake(of=jumper_of_table, because="read the other metal's column for the jumper")
def jumper_of_other_metal(
    bonding_jumpers: Table,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    return size_by_conductor(
        bonding_jumpers, service_conductor_size, service_conductor_metal, other_metal(grounding_metal)
    )


@mistake(of=jumper_of_table, because="read the table of equipment grounds by the device")
def jumper_by_device(equipment_grounds: Table, device_rating: Amps, grounding_metal: Choice = ASSUMED) -> Size:
    return size_in_row(equipment_grounds.next_up(device_rating), grounding_metal)


@mistake(of=least_supply_side_jumper_for_all, because="went by the conductors of one set only")
def jumper_for_all_by_one_set(
    bonding_jumpers: Table,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    return size_by_conductor(bonding_jumpers, service_conductor_size, service_conductor_metal, grounding_metal)


@mistake(of=least_supply_side_jumper_in_each, because="went by the conductors of all the sets together")
def jumper_in_each_by_all_sets(least_bonding_jumper: Size) -> Size:
    return least_bonding_jumper

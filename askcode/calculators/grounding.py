"""Grounding and bonding: electrode conductors, equipment grounds, bonding jumpers."""

from __future__ import annotations

import math

from askcode.core.errors import Refuse
from askcode.core.quantities import Amps, Choice, Cmil, Count, Percent, Ratio, Size
from askcode.core.rules import ASSUMED, Subject, no
from askcode.core.tables import Table, size_rank

grounding = Subject("grounding")
finds, mistake = grounding.finds, grounding.mistake

CMIL_PER_KCMIL = 1000


def smaller(first: str, second: str) -> str:
    """The thinner of two wire sizes."""
    return min(first, second, key=size_rank)


# --- when ---------------------------------------------------------------------------------------------------------------
def service_in_parallel(service_sets: Count = ASSUMED) -> bool:
    """the service conductors run in parallel"""
    return service_sets > 1


def goes_to_rods_only(electrode: Choice = ASSUMED) -> bool:
    """it goes to rods, pipes or plates only"""
    return electrode in ("rod", "pipe", "plate")


def goes_to_concrete_only(electrode: Choice = ASSUMED) -> bool:
    """it goes to a concrete-encased electrode only"""
    return electrode == "concrete-encased"


def goes_to_ring_only(electrode: Choice = ASSUMED) -> bool:
    """it goes to a ground ring only"""
    return electrode == "ground ring"


def service_is_given(service_conductor_size: Size | None = None) -> bool:
    """the service conductors are given"""
    return service_conductor_size is not None


def conductors_were_increased(
    required_conductor_size: Size | None = None, installed_conductor_size: Size | None = None
) -> bool:
    """the circuit's conductors were made larger than needed"""
    return required_conductor_size is not None and installed_conductor_size is not None


def several_raceways(parallel_raceways: Count = ASSUMED) -> bool:
    """the circuit runs in several raceways"""
    return parallel_raceways > 1


def larger_than_jumper_table(service_area: Cmil, jumper_table_limit: Cmil) -> bool:
    """the conductors are larger than the table's last row"""
    return service_area > jumper_table_limit


def service_is_copper(service_conductor_metal: Choice) -> bool:
    """the service conductors are copper"""
    return service_conductor_metal == "copper"


# --- the service conductors, taken together -------------------------------------------------------------------------------------
@finds("service_area", cites="conductor-properties", when=no(service_in_parallel))
def service_area_of_one(wire_areas: Table, service_conductor_size: Size) -> Cmil:
    return wire_areas.exact(service_conductor_size)["area_cmil"]


@finds(cites="conductor-properties")
def service_conductor_area(wire_areas: Table, service_conductor_size: Size) -> Cmil:
    """One {service_conductor_size} conductor has {result}."""
    return wire_areas.exact(service_conductor_size)["area_cmil"]


@finds(
    "service_area",
    cites="conductor-properties",
    when=service_in_parallel,
    shows="{service_sets} × {service_conductor_area} = {result}",
)
def service_area_of_sets(service_conductor_area: Cmil, service_sets: Count = ASSUMED) -> Cmil:
    """Add up the conductors in parallel of one phase."""
    return service_conductor_area * service_sets


@finds("service_size", when=no(service_in_parallel))
def service_size_as_given(service_conductor_size: Size) -> Size:
    return service_conductor_size


@finds("service_size", cites="conductor-properties", when=service_in_parallel)
def service_size_of_sets(wire_areas: Table, service_area: Cmil) -> Size:
    """Together they count as one conductor of {result}."""
    kcmil = math.ceil(service_area / CMIL_PER_KCMIL - 1e-9)
    if size_rank(str(kcmil)) > 0:
        return str(kcmil)
    return wire_areas.next_up(service_area, "area_cmil")["size"]


# --- the grounding electrode conductor --------------------------------------------------------------------------------------------
@finds(cites="electrode-conductor-size")
def electrode_conductor_of_table(
    grounding_electrode_conductors: Table,
    service_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    """Read the row that holds a {service_size} {service_conductor_metal} service conductor, not the amperes: {result} {grounding_metal}."""
    row = grounding_electrode_conductors.next_up(service_size, f"{service_conductor_metal}_up_to")
    return row[grounding_metal]


@finds(
    "least_electrode_conductor",
    cites="electrode-conductor-size",
    when=(no(goes_to_rods_only), no(goes_to_concrete_only), no(goes_to_ring_only)),
)
def electrode_conductor_in_general(electrode_conductor_of_table: Size) -> Size:
    return electrode_conductor_of_table


@finds("rod_conductor", cites="electrode-conductor-to-rods")
def rod_conductor(rod_conductor_copper: Size, rod_conductor_aluminum: Size, grounding_metal: Choice = ASSUMED) -> Size:
    """Where it goes to rods, pipes or plates only, it need not be larger than {result} {grounding_metal}."""
    return rod_conductor_copper if grounding_metal == "copper" else rod_conductor_aluminum


@finds("least_electrode_conductor", cites="electrode-conductor-to-rods", when=(goes_to_rods_only, no(service_is_given)))
def electrode_conductor_to_rods(rod_conductor: Size) -> Size:
    return rod_conductor


@finds("least_electrode_conductor", cites="electrode-conductor-to-rods", when=(goes_to_rods_only, service_is_given))
def electrode_conductor_to_rods_of_service(rod_conductor: Size, electrode_conductor_of_table: Size) -> Size:
    """The smaller of the two is enough: {result}."""
    return smaller(rod_conductor, electrode_conductor_of_table)


@finds(cites="electrode-conductor-to-concrete")
def concrete_conductor(concrete_conductor_copper: Size, grounding_metal: Choice = ASSUMED) -> Size:
    """Where it goes to a concrete-encased electrode only, it need not be larger than {result} copper."""
    if grounding_metal != "copper":
        raise Refuse(
            "A conductor to a concrete-encased electrode is copper; which copper size is wanted?",
            "grounding_metal",
            ["copper"],
        )
    return concrete_conductor_copper


@finds(
    "least_electrode_conductor",
    cites="electrode-conductor-to-concrete",
    when=(goes_to_concrete_only, no(service_is_given)),
)
def electrode_conductor_to_concrete(concrete_conductor: Size) -> Size:
    return concrete_conductor


@finds(
    "least_electrode_conductor", cites="electrode-conductor-to-concrete", when=(goes_to_concrete_only, service_is_given)
)
def electrode_conductor_to_concrete_of_service(concrete_conductor: Size, electrode_conductor_of_table: Size) -> Size:
    """The smaller of the two is enough: {result}."""
    return smaller(concrete_conductor, electrode_conductor_of_table)


@finds("least_electrode_conductor", cites="electrode-conductor-to-ring", when=goes_to_ring_only)
def electrode_conductor_to_ring(ring_conductor_size: Size, electrode_conductor_of_table: Size) -> Size:
    """Where it goes to a ground ring only, it need not be larger than the ring, {ring_conductor_size}: {result}."""
    return smaller(ring_conductor_size, electrode_conductor_of_table)


@mistake(of=electrode_conductor_to_rods_of_service, because="took the table's size although it goes to rods only")
def rods_by_table(electrode_conductor_of_table: Size) -> Size:
    return electrode_conductor_of_table


@mistake(
    of=electrode_conductor_to_concrete_of_service,
    because="took the table's size although it goes to a concrete-encased electrode only",
)
def concrete_by_table(electrode_conductor_of_table: Size) -> Size:
    return electrode_conductor_of_table


@mistake(of=electrode_conductor_to_ring, because="took the table's size although it goes to a ground ring only")
def ring_by_table(electrode_conductor_of_table: Size) -> Size:
    return electrode_conductor_of_table


@mistake(of=electrode_conductor_of_table, because="read the other metal's column for the service conductors")
def electrode_conductor_of_other_service(
    grounding_electrode_conductors: Table,
    service_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    other = "aluminum" if service_conductor_metal == "copper" else "copper"
    return grounding_electrode_conductors.next_up(service_size, f"{other}_up_to")[grounding_metal]


@mistake(of=electrode_conductor_of_table, because="read the other metal's column for the electrode conductor")
def electrode_conductor_of_other_metal(
    grounding_electrode_conductors: Table,
    service_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    other = "aluminum" if grounding_metal == "copper" else "copper"
    row = grounding_electrode_conductors.next_up(service_size, f"{service_conductor_metal}_up_to")
    return row[other]


@mistake(of=service_size_of_sets, because="counted one of the parallel sets only")
def service_size_of_one_set(service_conductor_size: Size) -> Size:
    return service_conductor_size


# --- the equipment grounding conductor ----------------------------------------------------------------------------------------
@finds(cites="equipment-ground-size")
def equipment_ground_of_table(equipment_grounds: Table, device_rating: Amps, grounding_metal: Choice = ASSUMED) -> Size:
    """Read the first row that is not below the device's {device_rating}: {result} {grounding_metal}."""
    return equipment_grounds.next_up(device_rating)[grounding_metal]


@finds("equipment_ground_of_one", when=no(conductors_were_increased))
def equipment_ground_as_listed(equipment_ground_of_table: Size) -> Size:
    return equipment_ground_of_table


@finds(cites="equipment-ground-increase", shows="{installed_area} / {needed_area} = {result}")
def increase_ratio(installed_area: Cmil, needed_area: Cmil) -> Ratio:
    """The circuit conductors were increased, so find in what proportion of area."""
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
    return listed_ground_area * max(1.0, installed_area / needed_area)


@finds("equipment_ground_of_one", cites="equipment-ground-increase", when=conductors_were_increased)
def equipment_ground_increased(wire_areas: Table, increased_ground_area: Cmil, installed_conductor_size: Size) -> Size:
    """The first size with that area, but never more than the circuit conductors, is {result}."""
    found = wire_areas.next_up(increased_ground_area, "area_cmil")["size"]
    return smaller(found, installed_conductor_size)


@finds("least_equipment_ground", when=no(several_raceways))
def least_equipment_ground(equipment_ground_of_one: Size) -> Size:
    return equipment_ground_of_one


@finds("least_equipment_ground", cites="equipment-ground-parallel", when=several_raceways)
def least_equipment_ground_in_each(equipment_ground_of_one: Size, parallel_raceways: Count = ASSUMED) -> Size:
    """Each of the {parallel_raceways} raceways gets a ground of the full size; it is never divided: {result}."""
    return equipment_ground_of_one


@mistake(of=equipment_ground_of_table, because="read the row below the device's rating")
def equipment_ground_of_row_below(
    equipment_grounds: Table, device_rating: Amps, grounding_metal: Choice = ASSUMED
) -> Size:
    row = equipment_grounds.next_up(device_rating)
    return equipment_grounds.cell(max(0, row.index - 1), grounding_metal)


@mistake(of=equipment_ground_of_table, because="read the other metal's column")
def equipment_ground_of_other_metal(
    equipment_grounds: Table, device_rating: Amps, grounding_metal: Choice = ASSUMED
) -> Size:
    return equipment_grounds.next_up(device_rating)["aluminum" if grounding_metal == "copper" else "copper"]


@mistake(of=equipment_ground_increased, because="did not increase the ground with the conductors")
def equipment_ground_not_increased(equipment_ground_of_table: Size) -> Size:
    return equipment_ground_of_table


# --- bonding jumpers ------------------------------------------------------------------------------------------------------------
@finds("jumper_table_limit", cites="bonding-jumper-size", when=service_is_copper)
def jumper_table_limit_copper(bonding_copper_limit: Cmil) -> Cmil:
    return bonding_copper_limit


@finds("jumper_table_limit", cites="bonding-jumper-size", when=no(service_is_copper))
def jumper_table_limit_aluminum(bonding_aluminum_limit: Cmil) -> Cmil:
    return bonding_aluminum_limit


@finds(cites="bonding-jumper-size", shows="{service_area} × {bonding_area_factor} = {result}")
def jumper_area(
    service_area: Cmil, bonding_area_factor: Percent, service_conductor_metal: Choice, grounding_metal: Choice = ASSUMED
) -> Cmil:
    """Above the table's last row the jumper has {bonding_area_factor} of the area of the conductors."""
    if service_conductor_metal != grounding_metal:
        raise Refuse(
            "Above the table's last row the jumper is figured in the metal of the service conductors: "
            f"ask for a {service_conductor_metal} jumper.",
            "grounding_metal",
            [service_conductor_metal],
        )
    return service_area * bonding_area_factor


@finds("least_bonding_jumper", cites="bonding-jumper-size", when=no(larger_than_jumper_table))
def bonding_jumper_of_table(
    bonding_jumpers: Table, service_size: Size, service_conductor_metal: Choice, grounding_metal: Choice = ASSUMED
) -> Size:
    """Read the row that holds {service_size} {service_conductor_metal}: {result} {grounding_metal}."""
    return bonding_jumpers.next_up(service_size, f"{service_conductor_metal}_up_to")[grounding_metal]


@finds("least_bonding_jumper", cites="bonding-jumper-size", when=larger_than_jumper_table)
def bonding_jumper_by_area(wire_areas: Table, jumper_area: Cmil) -> Size:
    """The first size with that area is {result}."""
    return wire_areas.next_up(jumper_area, "area_cmil")["size"]


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


@finds("least_supply_side_jumper", cites="supply-side-bonding-jumper", when=service_in_parallel)
def least_supply_side_jumper_of_sets(
    bonding_jumpers: Table,
    least_bonding_jumper: Size,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    jumper_arrangement: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    """With {jumper_arrangement} the supply-side bonding jumper is {result}."""
    if jumper_arrangement == "one for all":
        return least_bonding_jumper
    row = bonding_jumpers.next_up(service_conductor_size, f"{service_conductor_metal}_up_to")
    return row[grounding_metal]


@finds(cites="water-pipe-bonding")
def water_pipe_jumper(
    bonding_jumpers: Table, service_size: Size, service_conductor_metal: Choice, grounding_metal: Choice = ASSUMED
) -> Size:
    """Read the row that holds {service_size} {service_conductor_metal}: {result} {grounding_metal}."""
    return bonding_jumpers.next_up(service_size, f"{service_conductor_metal}_up_to")[grounding_metal]


@finds(cites="water-pipe-bonding", when=no(larger_than_jumper_table))
def least_water_pipe_bond(water_pipe_jumper: Size) -> Size:
    """Bond the metal water piping by the service conductors: {result}."""
    return water_pipe_jumper


@finds(cites="structural-steel-bonding", when=no(larger_than_jumper_table))
def least_steel_bond(water_pipe_jumper: Size) -> Size:
    """Bond the structural steel by the service conductors: {result}."""
    return water_pipe_jumper


@mistake(of=bonding_jumper_by_area, because="stopped at the last row, as for an electrode conductor")
def bonding_jumper_capped(
    grounding_electrode_conductors: Table,
    service_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    row = grounding_electrode_conductors.next_up(service_size, f"{service_conductor_metal}_up_to")
    return row[grounding_metal]

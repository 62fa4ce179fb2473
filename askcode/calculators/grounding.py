"""Grounding and bonding: electrode conductors, equipment grounds, bonding jumpers."""

from __future__ import annotations

import math

from askcode.calculators.conductors import JUST, listed_metal, metal_column, other_metal
from askcode.core.errors import OutsideTable, Refuse
from askcode.core.quantities import Amps, Celsius, Choice, Cmil, Count, Flag, Percent, Ratio, Size
from askcode.core.rules import ASSUMED, Subject, no
from askcode.core.tables import Row, Table, size_rank

grounding = Subject("grounding")
finds, mistake = grounding.finds, grounding.mistake

RODS = ("rod", "pipe", "plate")
CONCRETE = "concrete-encased"
RING = "ground ring"


def smaller(first: str, second: str) -> str:
    """The thinner of two wire sizes."""
    return min(first, second, key=size_rank)


def row_of_size(table: Table, size: str, metal: str) -> Row:
    """The row whose range holds a service conductor of this size and metal."""
    return table.next_up(size, f"{_known(metal, 'service_conductor_metal')}_up_to")


def row_of_area(table: Table, area: float, metal: str) -> Row:
    """The row whose range holds service conductors of this metal and of this area together."""
    return table.next_up(area, f"{_known(metal, 'service_conductor_metal')}_cmil_up_to")


def size_with_area(table: Table, area: float) -> str:
    """The first size with at least this area. Raises Refuse past the last one."""
    try:
        size: str = table.next_up(area, "area_cmil")["size"]
    except OutsideTable:
        last = table.printed(len(table.rows) - 1, table.key)
        raise Refuse(f"No single conductor has {area:,.0f} cmil; the largest is {last} kcmil.") from None
    return size


def _known(metal: str, said_as: str) -> str:
    """The metal as these tables list it. Raises Refuse for one that they do not."""
    listed = listed_metal(metal)
    if listed not in ("copper", "aluminum"):
        raise Refuse(f"The tables list copper and aluminum, not {metal}.", said_as, ["copper", "aluminum"])
    return listed


def _sized(row: Row, metal: str) -> str:
    size: str = row[_known(metal, "grounding_metal")]
    return size


# --- when -------------------------------------------------------------------------------------------------------------
def service_in_parallel(service_sets: Count = ASSUMED) -> bool:
    """the service conductors run in parallel"""
    return service_sets > 1


def goes_to_rods_only(electrode: Choice = ASSUMED, other_electrode: Choice | None = None) -> bool:
    """it goes to rods, pipes or plates only"""
    return {electrode, other_electrode or electrode} <= {*RODS}


def goes_to_concrete_only(electrode: Choice = ASSUMED, other_electrode: Choice | None = None) -> bool:
    """it goes to a concrete-encased electrode, and to nothing that needs more"""
    both = {electrode, other_electrode or electrode}
    return CONCRETE in both and both <= {CONCRETE, *RODS}


def goes_to_ring_only(electrode: Choice = ASSUMED, other_electrode: Choice | None = None) -> bool:
    """it goes to a ground ring, and to nothing that needs more"""
    both = {electrode, other_electrode or electrode}
    return RING in both and both <= {RING, CONCRETE, *RODS}


def service_is_given(service_conductor_size: Size | None = None) -> bool:
    """the service conductors are given"""
    return service_conductor_size is not None


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


# --- the service conductors, taken together ---------------------------------------------------------------------------
@finds("service_area", cites="conductor-properties", when=no(service_in_parallel))
def service_area_of_one(service_conductor_area: Cmil) -> Cmil:
    return service_conductor_area


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


@mistake(of=service_area_of_sets, because="counted one of the parallel sets only")
def service_area_of_one_set(service_conductor_area: Cmil) -> Cmil:
    return service_conductor_area


# --- the grounding electrode conductor --------------------------------------------------------------------------------
@finds("electrode_conductor_of_table", cites="electrode-conductor-size", when=no(service_in_parallel))
def electrode_conductor_of_table(
    grounding_electrode_conductors: Table,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    """In the row that holds {service_conductor_size} {service_conductor_metal} stands {result} {grounding_metal}."""
    row = row_of_size(grounding_electrode_conductors, service_conductor_size, service_conductor_metal)
    return _sized(row, grounding_metal)


@finds("electrode_conductor_of_table", cites="electrode-conductor-size", when=service_in_parallel)
def electrode_conductor_of_sets(
    grounding_electrode_conductors: Table,
    service_area: Cmil,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    """In the row that holds {service_area} of {service_conductor_metal} stands {result} {grounding_metal}."""
    row = row_of_area(grounding_electrode_conductors, service_area, service_conductor_metal)
    return _sized(row, grounding_metal)


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
    copper = _known(grounding_metal, "grounding_metal") == "copper"
    return rod_conductor_copper if copper else rod_conductor_aluminum


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


@finds(cites=("electrode-conductor-to-ring", "ground-ring"))
def ring_conductor(ring_conductor_size: Size, least_ring_size: Size, grounding_metal: Choice = ASSUMED) -> Size:
    """Where it goes to a ground ring only, it need not be larger than the ring: {result} {grounding_metal}."""
    if grounding_metal != "copper":
        line = "A ground ring is of copper, and so is the conductor that goes by it; which copper size is wanted?"
        raise Refuse(line, "grounding_metal", ["copper"])
    if size_rank(ring_conductor_size) < size_rank(least_ring_size):
        line = f"A ground ring of {ring_conductor_size} AWG is too small; it is {least_ring_size} AWG or larger."
        raise Refuse(line, "ring_conductor_size")
    return ring_conductor_size


@finds("least_electrode_conductor", cites="electrode-conductor-to-ring", when=(goes_to_ring_only, no(service_is_given)))
def electrode_conductor_to_ring(ring_conductor: Size) -> Size:
    return ring_conductor


@finds("least_electrode_conductor", cites="electrode-conductor-to-ring", when=(goes_to_ring_only, service_is_given))
def electrode_conductor_to_ring_of_service(ring_conductor: Size, electrode_conductor_of_table: Size) -> Size:
    """The smaller of the two is enough: {result}."""
    return smaller(ring_conductor, electrode_conductor_of_table)


@mistake(of=electrode_conductor_to_rods_of_service, because="took the table's size although it goes to rods only")
def rods_by_table(electrode_conductor_of_table: Size) -> Size:
    return electrode_conductor_of_table


@mistake(of=electrode_conductor_to_rods_of_service, because="took the size for a concrete-encased electrode")
def rods_as_concrete(concrete_conductor_copper: Size) -> Size:
    return concrete_conductor_copper


@mistake(
    of=electrode_conductor_to_concrete_of_service,
    because="took the table's size although it goes to a concrete-encased electrode only",
)
def concrete_by_table(electrode_conductor_of_table: Size) -> Size:
    return electrode_conductor_of_table


@mistake(of=electrode_conductor_to_concrete_of_service, because="took the size for rods, pipes and plates")
def concrete_as_rods(rod_conductor_copper: Size) -> Size:
    return rod_conductor_copper


@mistake(of=electrode_conductor_to_ring_of_service, because="took the table's size although it goes to a ring only")
def ring_by_table(electrode_conductor_of_table: Size) -> Size:
    return electrode_conductor_of_table


@mistake(of=electrode_conductor_in_general, because="took the size that is enough for rods only")
def general_as_rods(rod_conductor_copper: Size) -> Size:
    return rod_conductor_copper


@mistake(
    of=electrode_conductor_in_general, because="took the size that is enough for a concrete-encased electrode only"
)
def general_as_concrete(concrete_conductor_copper: Size) -> Size:
    return concrete_conductor_copper


@mistake(of=electrode_conductor_in_general, because="read the table of equipment grounds by the amperes of the service")
def electrode_conductor_by_device(
    equipment_grounds: Table, device_rating: Amps, grounding_metal: Choice = ASSUMED
) -> Size:
    return _sized(equipment_grounds.next_up(device_rating), grounding_metal)


@mistake(of=electrode_conductor_of_table, because="read the other metal's column for the service conductors")
def electrode_conductor_of_other_service(
    grounding_electrode_conductors: Table,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    other = other_metal(service_conductor_metal)
    return _sized(row_of_size(grounding_electrode_conductors, service_conductor_size, other), grounding_metal)


@mistake(of=electrode_conductor_of_table, because="read the other metal's column for the electrode conductor")
def electrode_conductor_of_other_metal(
    grounding_electrode_conductors: Table,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    row = row_of_size(grounding_electrode_conductors, service_conductor_size, service_conductor_metal)
    return _sized(row, other_metal(grounding_metal))


@mistake(of=electrode_conductor_of_sets, because="read the other metal's column for the service conductors")
def electrode_conductor_of_other_service_sets(
    grounding_electrode_conductors: Table,
    service_area: Cmil,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    other = other_metal(service_conductor_metal)
    return _sized(row_of_area(grounding_electrode_conductors, service_area, other), grounding_metal)


# --- the equipment grounding conductor --------------------------------------------------------------------------------
@finds(cites="equipment-ground-size")
def equipment_ground_of_table(
    equipment_grounds: Table, device_rating: Amps = ASSUMED, grounding_metal: Choice = ASSUMED
) -> Size:
    """Read the first row that is not below the device's {device_rating}: {result} {grounding_metal}."""
    try:
        row = equipment_grounds.next_up(device_rating)
    except OutsideTable:
        last = equipment_grounds.printed(len(equipment_grounds.rows) - 1, equipment_grounds.key)
        line = f"The table of equipment grounds ends at {last} A; {device_rating:,.6g} A is beyond it."
        raise Refuse(line, "device_rating") from None
    return _sized(row, grounding_metal)


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
    return _sized(equipment_grounds.at_most(device_rating - JUST), grounding_metal)


@mistake(of=equipment_ground_of_table, because="read the other metal's column")
def equipment_ground_of_other_metal(
    equipment_grounds: Table, device_rating: Amps = ASSUMED, grounding_metal: Choice = ASSUMED
) -> Size:
    return _sized(equipment_grounds.next_up(device_rating), other_metal(grounding_metal))


@mistake(of=equipment_ground_of_table, because="read the table of electrode conductors, which goes by a service")
def equipment_ground_by_conductor(
    grounding_electrode_conductors: Table,
    conductor_size: Size,
    conductor_metal: Choice = ASSUMED,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    return _sized(row_of_size(grounding_electrode_conductors, conductor_size, conductor_metal), grounding_metal)


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
    return _sized(equipment_grounds.next_up(device_rating / parallel_raceways), grounding_metal)


@finds(cites="equipment-bonding-jumper-load-side")
def least_load_side_jumper(equipment_ground_of_one: Size) -> Size:
    """On the load side a bonding jumper is sized as the equipment ground: {result}."""
    return equipment_ground_of_one


# --- bonding jumpers --------------------------------------------------------------------------------------------------
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
    return _sized(row_of_size(bonding_jumpers, service_conductor_size, service_conductor_metal), grounding_metal)


@finds("jumper_of_table", cites="bonding-jumper-size", when=service_in_parallel)
def jumper_of_sets(
    bonding_jumpers: Table, service_area: Cmil, service_conductor_metal: Choice, grounding_metal: Choice = ASSUMED
) -> Size:
    """In the row that holds {service_area} of {service_conductor_metal} stands {result} {grounding_metal}."""
    return _sized(row_of_area(bonding_jumpers, service_area, service_conductor_metal), grounding_metal)


@finds(cites="bonding-jumper-size", shows="{service_area} × {bonding_area_factor} = {result}")
def jumper_area(
    service_area: Cmil, bonding_area_factor: Percent, service_conductor_metal: Choice, grounding_metal: Choice = ASSUMED
) -> Cmil:
    """Above the table's last row the jumper has {bonding_area_factor} of the area of the conductors."""
    if _known(service_conductor_metal, "service_conductor_metal") != _known(grounding_metal, "grounding_metal"):
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
    return _sized(row_of_size(bonding_jumpers, service_conductor_size, service_conductor_metal), grounding_metal)


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
    row = row_of_size(bonding_jumpers, service_conductor_size, service_conductor_metal)
    return max(_sized(row, grounding_metal), parallel_least_size, key=size_rank)


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
    copper = _known(grounding_metal, "grounding_metal") == "copper"
    return piping_bond_cap_copper if copper else piping_bond_cap_aluminum


@mistake(of=bonding_jumper_by_area, because="stopped at the last row, as for an electrode conductor")
def bonding_jumper_capped(
    grounding_electrode_conductors: Table,
    service_area: Cmil,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    row = row_of_area(grounding_electrode_conductors, service_area, service_conductor_metal)
    return _sized(row, grounding_metal)


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
    return _sized(row_of_size(bonding_jumpers, service_conductor_size, other), grounding_metal)


@mistake(of=jumper_of_table, because="read the other metal's column for the jumper")
def jumper_of_other_metal(
    bonding_jumpers: Table,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    row = row_of_size(bonding_jumpers, service_conductor_size, service_conductor_metal)
    return _sized(row, other_metal(grounding_metal))


@mistake(of=jumper_of_table, because="read the table of equipment grounds by the device")
def jumper_by_device(equipment_grounds: Table, device_rating: Amps, grounding_metal: Choice = ASSUMED) -> Size:
    return _sized(equipment_grounds.next_up(device_rating), grounding_metal)


@mistake(of=least_supply_side_jumper_for_all, because="went by the conductors of one set only")
def jumper_for_all_by_one_set(
    bonding_jumpers: Table,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    return _sized(row_of_size(bonding_jumpers, service_conductor_size, service_conductor_metal), grounding_metal)


@mistake(of=least_supply_side_jumper_in_each, because="went by the conductors of all the sets together")
def jumper_in_each_by_all_sets(least_bonding_jumper: Size) -> Size:
    return least_bonding_jumper

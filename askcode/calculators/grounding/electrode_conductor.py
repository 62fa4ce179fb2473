"""The grounding electrode conductor: by the service, or smaller where its electrode allows it."""

from __future__ import annotations

from askcode.calculators.conductors.tables import other_metal, smaller
from askcode.calculators.grounding import finds, mistake
from askcode.calculators.grounding.service_conductors import service_in_parallel, service_is_given
from askcode.calculators.grounding.tables import column_of, size_by_area, size_by_conductor, size_in_row
from askcode.core.errors import Refuse
from askcode.core.quantities import Amps, Choice, Cmil, Size
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table, size_rank

RODS = ("rod", "pipe", "plate")
CONCRETE = "concrete-encased"
RING = "ground ring"


# --- when -------------------------------------------------------------------------------------------------------------
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


# --- its size ---------------------------------------------------------------------------------------------------------
@finds("electrode_conductor_of_table", cites="electrode-conductor-size", when=no(service_in_parallel))
def electrode_conductor_of_table(
    grounding_electrode_conductors: Table,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    """In the row that holds {service_conductor_size} {service_conductor_metal} stands {result} {grounding_metal}."""
    return size_by_conductor(
        grounding_electrode_conductors, service_conductor_size, service_conductor_metal, grounding_metal
    )


@finds("electrode_conductor_of_table", cites="electrode-conductor-size", when=service_in_parallel)
def electrode_conductor_of_sets(
    grounding_electrode_conductors: Table,
    service_area: Cmil,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    """In the row that holds {service_area} of {service_conductor_metal} stands {result} {grounding_metal}."""
    return size_by_area(grounding_electrode_conductors, service_area, service_conductor_metal, grounding_metal)


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
    copper = column_of(grounding_metal, "grounding_metal") == "copper"
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
    return size_in_row(equipment_grounds.next_up(device_rating), grounding_metal)


@mistake(of=electrode_conductor_of_table, because="read the other metal's column for the service conductors")
def electrode_conductor_of_other_service(
    grounding_electrode_conductors: Table,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    other = other_metal(service_conductor_metal)
    return size_by_conductor(grounding_electrode_conductors, service_conductor_size, other, grounding_metal)


@mistake(of=electrode_conductor_of_table, because="read the other metal's column for the electrode conductor")
def electrode_conductor_of_other_metal(
    grounding_electrode_conductors: Table,
    service_conductor_size: Size,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    return size_by_conductor(
        grounding_electrode_conductors, service_conductor_size, service_conductor_metal, other_metal(grounding_metal)
    )


@mistake(of=electrode_conductor_of_sets, because="read the other metal's column for the service conductors")
def electrode_conductor_of_other_service_sets(
    grounding_electrode_conductors: Table,
    service_area: Cmil,
    service_conductor_metal: Choice,
    grounding_metal: Choice = ASSUMED,
) -> Size:
    other = other_metal(service_conductor_metal)
    return size_by_area(grounding_electrode_conductors, service_area, other, grounding_metal)

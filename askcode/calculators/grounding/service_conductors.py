"""The service conductors, which electrode conductors and bonding jumpers go by, taken together."""

from __future__ import annotations

from askcode.calculators.grounding import finds, mistake
from askcode.core.quantities import Cmil, Count, Size
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table


# --- when -------------------------------------------------------------------------------------------------------------
def service_in_parallel(service_sets: Count = ASSUMED) -> bool:
    """the service conductors run in parallel"""
    return service_sets > 1


def service_is_given(service_conductor_size: Size | None = None) -> bool:
    """the service conductors are given"""
    return service_conductor_size is not None


# --- their area -------------------------------------------------------------------------------------------------------
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

"""The conductors of a dwelling's service, which carry its whole load."""

from __future__ import annotations

from askcode.calculators.conductors import finds, mistake
from askcode.calculators.conductors.derating import warm_or_crowded
from askcode.calculators.conductors.tables import (
    JUST,
    first_that_carries,
    larger,
    listed_metal,
    metal_column,
    other_metal,
)
from askcode.core.errors import Refuse
from askcode.core.quantities import Amps, Celsius, Choice, Flag, Percent, Size
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table


def dwelling_table_exists(dwelling_table_is_printed: Flag) -> bool:
    """the edition prints a table for dwellings"""
    return dwelling_table_is_printed == "yes"


@finds(
    cites="dwelling-service-conductors",
    shows="{device_rating} × {dwelling_service_factor} = {result}",
)
def dwelling_ampacity(
    dwelling_service_conductors: Table, device_rating: Amps, dwelling_service_factor: Percent
) -> Amps:
    """Conductors that carry the whole load of a dwelling need {dwelling_service_factor} of its rating."""
    first = dwelling_service_conductors.cell(0, dwelling_service_conductors.key)
    last = dwelling_service_conductors.cell(-1, dwelling_service_conductors.key)
    if isinstance(first, float) and isinstance(last, float) and not first <= device_rating <= last:
        line = f"The rule for dwellings is for services of {first:g} to {last:g} A, not for {device_rating:g} A."
        raise Refuse(line, "device_rating")
    return device_rating * dwelling_service_factor


@finds(
    "least_dwelling_service_conductor",
    cites="dwelling-service-conductors",
    when=(dwelling_table_exists, no(warm_or_crowded)),
)
def dwelling_conductor_of_table(
    dwelling_service_conductors: Table, dwelling_ampacity: Amps, device_rating: Amps, conductor_metal: Choice
) -> Size:
    """The table for dwellings gives it: in the row of {device_rating} stands {result} {conductor_metal}."""
    return dwelling_service_conductors.next_up(device_rating)[listed_metal(conductor_metal)]


@finds(
    "dwelling_ampacity_before_factors",
    cites=("ambient-correction", "count-adjustment"),
    when=warm_or_crowded,
    shows="{dwelling_ampacity} / {ambient_factor} / {count_factor} = {result}",
)
def dwelling_ampacity_before_factors(dwelling_ampacity: Amps, ambient_factor: Percent, count_factor: Percent) -> Amps:
    """Before warmth and company take their part, the conductors must carry more."""
    return dwelling_ampacity / ambient_factor / count_factor


@finds(cites=("conductor-ampacity", "terminal-temperature"))
def dwelling_size_for_terminals(
    conductor_ampacities: Table, dwelling_ampacity: Amps, high_terminal_temperature: Celsius, conductor_metal: Choice
) -> Size:
    """The first size of the {high_terminal_temperature} column that carries {dwelling_ampacity} is {result}."""
    column = metal_column(conductor_ampacities, conductor_metal, high_terminal_temperature)
    return first_that_carries(conductor_ampacities, dwelling_ampacity, column)


@finds(cites="conductor-ampacity")
def dwelling_size_after_correction(
    conductor_ampacities: Table,
    dwelling_ampacity_before_factors: Amps,
    conductor_metal: Choice,
    insulation_temperature: Celsius = ASSUMED,
) -> Size:
    """The first size of the insulation's column, {insulation_temperature}, that carries it is {result}."""
    column = metal_column(conductor_ampacities, conductor_metal, insulation_temperature)
    return first_that_carries(conductor_ampacities, dwelling_ampacity_before_factors, column)


@finds("least_dwelling_service_conductor", when=(no(dwelling_table_exists), no(warm_or_crowded)))
def dwelling_conductor_by_ampacity(dwelling_size_for_terminals: Size) -> Size:
    return dwelling_size_for_terminals


@finds("least_dwelling_service_conductor", cites="dwelling-service-conductors", when=warm_or_crowded)
def dwelling_conductor_in_warmth(dwelling_size_for_terminals: Size, dwelling_size_after_correction: Size) -> Size:
    """Take the larger of the two: {result}."""
    return larger(dwelling_size_for_terminals, dwelling_size_after_correction)


@mistake(of=dwelling_conductor_of_table, because="took the whole rating instead of the part that a dwelling needs")
def dwelling_conductor_at_whole_rating(
    conductor_ampacities: Table, device_rating: Amps, high_terminal_temperature: Celsius, conductor_metal: Choice
) -> Size:
    column = metal_column(conductor_ampacities, conductor_metal, high_terminal_temperature)
    return first_that_carries(conductor_ampacities, device_rating, column)


@mistake(of=dwelling_conductor_of_table, because="read the other metal's column")
def dwelling_conductor_of_other_metal(
    dwelling_service_conductors: Table, device_rating: Amps, conductor_metal: Choice
) -> Size:
    return dwelling_service_conductors.next_up(device_rating)[other_metal(conductor_metal)]


@mistake(of=dwelling_conductor_of_table, because="read the row below the rating")
def dwelling_conductor_of_row_below(
    dwelling_service_conductors: Table, device_rating: Amps, conductor_metal: Choice
) -> Size:
    return dwelling_service_conductors.at_most(device_rating - JUST)[listed_metal(conductor_metal)]

"""Ampacity: what a size may carry, in its table, after derating and at its terminals."""

from __future__ import annotations

from askcode.calculators.conductors import finds, mistake
from askcode.calculators.conductors.derating import warm_or_crowded
from askcode.calculators.conductors.tables import metal_column, other_metal
from askcode.calculators.conductors.temperatures import nm_cable, uf_cable
from askcode.core.quantities import Amps, Celsius, Choice, Percent, Size
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table


# --- when -------------------------------------------------------------------------------------------------------------
def in_free_air(conductor_place: Choice = ASSUMED) -> bool:
    """the conductor is single in free air"""
    return conductor_place == "free air"


def limit_is_known(terminal_temperature: Celsius | None = None, insulation: Choice | None = None) -> bool:
    """the terminals' temperature is given, or the cable sets a limit of its own"""
    return terminal_temperature is not None or nm_cable(insulation) or uf_cable(insulation)


# --- what a size may carry --------------------------------------------------------------------------------------------
@finds("insulation_ampacity", cites="conductor-ampacity", when=no(in_free_air))
def insulation_ampacity_in_raceway(
    conductor_ampacities: Table,
    conductor_size: Size,
    conductor_metal: Choice = ASSUMED,
    insulation_temperature: Celsius = ASSUMED,
) -> Amps:
    """In the insulation's column, {insulation_temperature}, {conductor_size} {conductor_metal} carries {result}."""
    return _ampacity(conductor_ampacities, conductor_size, conductor_metal, insulation_temperature)


@finds("insulation_ampacity", cites="conductor-ampacity-free-air", when=in_free_air)
def insulation_ampacity_in_free_air(
    conductor_ampacities_free_air: Table,
    conductor_size: Size,
    conductor_metal: Choice = ASSUMED,
    insulation_temperature: Celsius = ASSUMED,
) -> Amps:
    """In free air, in the column of {insulation_temperature}, {conductor_size} {conductor_metal} carries {result}."""
    return _ampacity(conductor_ampacities_free_air, conductor_size, conductor_metal, insulation_temperature)


@finds(
    cites=("ambient-correction", "count-adjustment"),
    shows="{insulation_ampacity} × {ambient_factor} × {count_factor} = {result}",
)
def corrected_ampacity(insulation_ampacity: Amps, ambient_factor: Percent, count_factor: Percent) -> Amps:
    """Multiply by the factor for the warmth and by the one for the company of other conductors."""
    return insulation_ampacity * ambient_factor * count_factor


@finds(cites=("lower-ampacity", "terminal-temperature"))
def terminal_ampacity(
    conductor_ampacities: Table, conductor_size: Size, limit_temperature: Celsius, conductor_metal: Choice = ASSUMED
) -> Amps:
    """At the limit of {limit_temperature}, {conductor_size} {conductor_metal} may carry {result}."""
    return _ampacity(conductor_ampacities, conductor_size, conductor_metal, limit_temperature, "terminal_temperature")


@finds("ampacity", cites="conductor-ampacity", when=(no(warm_or_crowded), no(in_free_air)))
def ampacity_from_table(
    conductor_ampacities: Table, conductor_size: Size, column_temperature: Celsius, conductor_metal: Choice = ASSUMED
) -> Amps:
    """{conductor_size} {conductor_metal} carries {result} there."""
    return _ampacity(conductor_ampacities, conductor_size, conductor_metal, column_temperature)


@finds("ampacity", cites="lower-ampacity", when=(no(warm_or_crowded), in_free_air))
def ampacity_in_free_air(insulation_ampacity: Amps, terminal_ampacity: Amps) -> Amps:
    """Take the smaller of the two: {result}."""
    return min(insulation_ampacity, terminal_ampacity)


@finds("ampacity", cites="lower-ampacity", when=warm_or_crowded)
def ampacity_within_terminals(corrected_ampacity: Amps, terminal_ampacity: Amps) -> Amps:
    """The smaller of the two governs: {result}."""
    return min(corrected_ampacity, terminal_ampacity)


@finds("derated_ampacity", cites="lower-ampacity", when=limit_is_known)
def derated_ampacity_within_terminals(ampacity: Amps) -> Amps:
    return ampacity


@finds("derated_ampacity", cites="ambient-correction", when=no(limit_is_known))
def derated_ampacity(corrected_ampacity: Amps) -> Amps:
    return corrected_ampacity


@mistake(of=ampacity_from_table, because="read the 90 °C column although the terminals allow less")
def ampacity_in_insulation_column(
    conductor_ampacities: Table,
    conductor_size: Size,
    conductor_metal: Choice = ASSUMED,
    insulation_temperature: Celsius = ASSUMED,
) -> Amps:
    return _ampacity(conductor_ampacities, conductor_size, conductor_metal, insulation_temperature)


@mistake(of=ampacity_from_table, because="read the 75 °C column, which is not the right one here")
def ampacity_in_75_column(
    conductor_ampacities: Table,
    conductor_size: Size,
    high_terminal_temperature: Celsius,
    conductor_metal: Choice = ASSUMED,
) -> Amps:
    return _ampacity(conductor_ampacities, conductor_size, conductor_metal, high_terminal_temperature)


@mistake(of=ampacity_from_table, because="read the 60 °C column, which is not the right one here")
def ampacity_in_60_column(
    conductor_ampacities: Table,
    conductor_size: Size,
    low_terminal_temperature: Celsius,
    conductor_metal: Choice = ASSUMED,
) -> Amps:
    return _ampacity(conductor_ampacities, conductor_size, conductor_metal, low_terminal_temperature)


@mistake(of=ampacity_from_table, because="read the other metal's column")
def ampacity_of_other_metal(
    conductor_ampacities: Table, conductor_size: Size, column_temperature: Celsius, conductor_metal: Choice = ASSUMED
) -> Amps:
    return _ampacity(conductor_ampacities, conductor_size, other_metal(conductor_metal), column_temperature)


@mistake(of=ampacity_from_table, because="read the table for single conductors in free air")
def ampacity_as_in_free_air(
    conductor_ampacities_free_air: Table,
    conductor_size: Size,
    column_temperature: Celsius,
    conductor_metal: Choice = ASSUMED,
) -> Amps:
    return _ampacity(conductor_ampacities_free_air, conductor_size, conductor_metal, column_temperature)


@mistake(
    of=ampacity_within_terminals, because="did not hold the corrected ampacity to the limit of the terminals or cable"
)
def ampacity_without_limit(corrected_ampacity: Amps) -> Amps:
    return corrected_ampacity


@mistake(of=ampacity_within_terminals, because="left out the factors for warmth and company")
def ampacity_without_factors(terminal_ampacity: Amps) -> Amps:
    return terminal_ampacity


@mistake(of=corrected_ampacity, because="left out the factor for more than three conductors")
def corrected_without_count(insulation_ampacity: Amps, ambient_factor: Percent) -> Amps:
    return insulation_ampacity * ambient_factor


@mistake(of=corrected_ampacity, because="left out the factor for the warmth")
def corrected_without_ambient(insulation_ampacity: Amps, count_factor: Percent) -> Amps:
    return insulation_ampacity * count_factor


@mistake(of=corrected_ampacity, because="added up what the two factors take off instead of multiplying them")
def corrected_by_sum(insulation_ampacity: Amps, ambient_factor: Percent, count_factor: Percent) -> Amps:
    return insulation_ampacity * (ambient_factor + count_factor - 1)


@mistake(of=insulation_ampacity_in_raceway, because="started from the 75 °C column instead of the insulation's own")
def insulation_ampacity_from_75(
    conductor_ampacities: Table,
    conductor_size: Size,
    high_terminal_temperature: Celsius,
    conductor_metal: Choice = ASSUMED,
) -> Amps:
    return _ampacity(conductor_ampacities, conductor_size, conductor_metal, high_terminal_temperature)


@mistake(of=insulation_ampacity_in_raceway, because="started from the 60 °C column instead of the insulation's own")
def insulation_ampacity_from_60(
    conductor_ampacities: Table,
    conductor_size: Size,
    low_terminal_temperature: Celsius,
    conductor_metal: Choice = ASSUMED,
) -> Amps:
    return _ampacity(conductor_ampacities, conductor_size, conductor_metal, low_terminal_temperature)


def _ampacity(
    table: Table, size: str, metal: str, temperature: float, said_as: str = "insulation_temperature"
) -> float:
    amperes: float = table.exact(size)[metal_column(table, metal, temperature, said_as)]
    return amperes

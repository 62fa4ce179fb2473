"""Derating: correction for the warmth around, adjustment for the number of conductors together."""

from __future__ import annotations

from askcode.calculators.conductors import finds, mistake
from askcode.calculators.conductors.tables import neighbor
from askcode.core.errors import OutsideTable, Refuse
from askcode.core.quantities import Celsius, Choice, Count, Flag, Inches, Percent
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table


# --- when -------------------------------------------------------------------------------------------------------------
def low_on_a_roof(
    rooftop_height_limit: Inches,
    on_roof: Flag | None = None,
    height_above_roof: Inches | None = None,
    insulation: Choice | None = None,
) -> bool:
    """it lies in the sun close above a roof"""
    if insulation == "XHHW-2" or (on_roof != "yes" and height_above_roof is None):
        return False
    return height_above_roof is None or height_above_roof < rooftop_height_limit


def circuits_are_named(circuit_count: Count | None = None, circuit_kind: Choice | None = None) -> bool:
    """the circuits in the raceway are named"""
    return circuit_count is not None or circuit_kind is not None


def in_short_nipple(short_nipple: Flag | None = None) -> bool:
    """the raceway is a short nipple"""
    return short_nipple == "yes"


def warm_or_crowded(
    table_ambient_temperature: Celsius,
    table_conductor_count: Count,
    surrounding_temperature: Celsius,
    current_carrying_conductors: Count = ASSUMED,
    short_nipple: Flag | None = None,
) -> bool:
    """it is warmer or more crowded than the ampacity table is made for"""
    crowded = current_carrying_conductors > table_conductor_count and short_nipple != "yes"
    return crowded or surrounding_temperature != table_ambient_temperature


# --- how warm it is around --------------------------------------------------------------------------------------------
@finds("surrounding_temperature", when=no(low_on_a_roof))
def surrounding_temperature(ambient_temperature: Celsius = ASSUMED) -> Celsius:
    return ambient_temperature


@finds(
    "surrounding_temperature",
    cites="rooftop-height",
    when=low_on_a_roof,
    shows="{ambient_temperature} + {rooftop_adder} = {result}",
)
def surrounding_temperature_on_roof(
    ambient_temperature: Celsius, rooftop_adder: Celsius, rooftop_height_limit: Inches
) -> Celsius:
    """Less than {rooftop_height_limit} above a roof in the sun, add {rooftop_adder} to the outdoor temperature."""
    return ambient_temperature + rooftop_adder


@mistake(of=surrounding_temperature_on_roof, because="left out what a hot roof adds")
def surrounding_temperature_without_roof(ambient_temperature: Celsius) -> Celsius:
    return ambient_temperature


# --- how many conductors count ----------------------------------------------------------------------------------------
@finds(cites=("neutral-count", "equipment-ground-count"))
def counted_of_each_circuit(counted_conductors: Table, circuit_kind: Choice, nonlinear_load: Flag = ASSUMED) -> Count:
    """Of each {circuit_kind} circuit {result} conductors count; grounds never do."""
    column = "nonlinear" if nonlinear_load == "yes" else "linear"
    return counted_conductors.exact(circuit_kind)[column]


@finds(
    "current_carrying_conductors",
    cites="count-adjustment",
    when=circuits_are_named,
    shows="{circuit_count} × {counted_of_each_circuit} = {result}",
)
def current_carrying_conductors(circuit_count: Count, counted_of_each_circuit: Count) -> Count:
    """Count them over all the circuits."""
    return circuit_count * counted_of_each_circuit


@mistake(of=counted_of_each_circuit, because="counted every neutral")
def counted_with_every_neutral(counted_conductors: Table, circuit_kind: Choice) -> Count:
    return counted_conductors.exact(circuit_kind)["wires"]


@mistake(of=counted_of_each_circuit, because="left out the neutral, which carries current here")
def counted_without_neutral(counted_conductors: Table, circuit_kind: Choice) -> Count:
    return counted_conductors.exact(circuit_kind)["phases"]


@mistake(of=current_carrying_conductors, because="counted the equipment ground, which carries no current in normal use")
def counted_with_ground(circuit_count: Count, counted_of_each_circuit: Count) -> Count:
    return circuit_count * counted_of_each_circuit + 1


# --- the factors ------------------------------------------------------------------------------------------------------
@finds(cites="ambient-correction")
def ambient_factor(
    ambient_correction: Table, surrounding_temperature: Celsius, insulation_temperature: Celsius = ASSUMED
) -> Percent:
    """At {surrounding_temperature} the factor for {insulation_temperature} insulation is {result}."""
    column = f"t{insulation_temperature:g}"
    if not ambient_correction.has_column(column):
        line = f"There is no correction for {insulation_temperature:g} °C insulation."
        raise Refuse(line, "insulation_temperature")
    try:
        row = ambient_correction.between(surrounding_temperature)
    except OutsideTable:
        line = f"No insulation of the table may be used where it is {surrounding_temperature:g} °C."
        raise Refuse(line, "ambient_temperature") from None
    if row.get(column) is None:
        line = f"{insulation_temperature:g} °C insulation may not be used where it is {surrounding_temperature:g} °C."
        raise Refuse(line, "insulation_temperature")
    return row[column]


@finds("count_factor", cites="count-adjustment", when=no(in_short_nipple))
def count_factor(
    conductor_count_adjustment: Table, table_conductor_count: Count, current_carrying_conductors: Count = ASSUMED
) -> Percent:
    """For {current_carrying_conductors} current-carrying conductors take {result}."""
    if current_carrying_conductors <= table_conductor_count:
        return 1.0
    return conductor_count_adjustment.between(current_carrying_conductors)["percent"]


@finds("count_factor", cites="nipple-adjustment", when=in_short_nipple)
def count_factor_of_nipple() -> Percent:
    """In a short nipple nothing is taken off for the number of conductors: {result}."""
    return 1.0


@mistake(of=ambient_factor, because="read the factor of the row above, for cooler surroundings")
def ambient_factor_of_row_above(
    ambient_correction: Table, surrounding_temperature: Celsius, insulation_temperature: Celsius = ASSUMED
) -> Percent:
    return neighbor(ambient_correction.between(surrounding_temperature), -1, f"t{insulation_temperature:g}")


@mistake(of=ambient_factor, because="read the factor of the row below, for warmer surroundings")
def ambient_factor_of_row_below(
    ambient_correction: Table, surrounding_temperature: Celsius, insulation_temperature: Celsius = ASSUMED
) -> Percent:
    return neighbor(ambient_correction.between(surrounding_temperature), 1, f"t{insulation_temperature:g}")


@mistake(of=ambient_factor, because="read the correction in the 75 °C column")
def ambient_factor_in_75_column(
    ambient_correction: Table, surrounding_temperature: Celsius, high_terminal_temperature: Celsius
) -> Percent:
    return ambient_correction.between(surrounding_temperature)[f"t{high_terminal_temperature:g}"]


@mistake(of=count_factor, because="counted the equipment ground, which carries no current in normal use")
def count_factor_with_ground(
    conductor_count_adjustment: Table, current_carrying_conductors: Count = ASSUMED
) -> Percent:
    return conductor_count_adjustment.between(current_carrying_conductors + 1)["percent"]


@mistake(of=count_factor, because="read the row of fewer conductors")
def count_factor_of_row_above(
    conductor_count_adjustment: Table, current_carrying_conductors: Count = ASSUMED
) -> Percent:
    return neighbor(conductor_count_adjustment.between(current_carrying_conductors), -1, "percent")


@mistake(of=count_factor, because="read the row of more conductors")
def count_factor_of_row_below(
    conductor_count_adjustment: Table, current_carrying_conductors: Count = ASSUMED
) -> Percent:
    return neighbor(conductor_count_adjustment.between(current_carrying_conductors), 1, "percent")


@mistake(of=count_factor_of_nipple, because="adjusted for the number of conductors, which a short nipple does not need")
def count_factor_in_spite_of_nipple(
    conductor_count_adjustment: Table, current_carrying_conductors: Count = ASSUMED
) -> Percent:
    return conductor_count_adjustment.between(current_carrying_conductors)["percent"]

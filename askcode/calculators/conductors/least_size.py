"""The least size that carries a load."""

from __future__ import annotations

from askcode.calculators.conductors import finds, mistake
from askcode.calculators.conductors.ampacity import in_free_air
from askcode.calculators.conductors.derating import warm_or_crowded
from askcode.calculators.conductors.tables import first_that_carries, larger, metal_column, other_metal
from askcode.core.quantities import Amps, Celsius, Choice, Count, Percent, Size
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table


# --- when -------------------------------------------------------------------------------------------------------------
def in_parallel(parallel_sets: Count = ASSUMED) -> bool:
    """conductors run in parallel"""
    return parallel_sets > 1


# --- the least size ---------------------------------------------------------------------------------------------------
@finds()
def current_to_carry(required_ampacity: Amps) -> Amps:
    return required_ampacity


@finds()
def current_after_factors(actual_load: Amps) -> Amps:
    return actual_load


@finds("ampacity_of_each", when=no(in_parallel))
def ampacity_of_one(current_to_carry: Amps) -> Amps:
    return current_to_carry


@finds(
    "ampacity_of_each",
    cites="parallel-conductors",
    when=in_parallel,
    shows="{current_to_carry} / {parallel_sets} = {result}",
)
def ampacity_of_each(current_to_carry: Amps, parallel_sets: Count = ASSUMED) -> Amps:
    """Share the current among the conductors in parallel."""
    return current_to_carry / parallel_sets


@finds()
def smallest_size(least_copper_size: Size, least_aluminum_size: Size, conductor_metal: Choice = ASSUMED) -> Size:
    return least_copper_size if conductor_metal == "copper" else least_aluminum_size


@finds(cites=("conductor-ampacity", "lower-ampacity", "minimum-size"))
def size_for_terminals(
    conductor_ampacities: Table,
    ampacity_of_each: Amps,
    column_temperature: Celsius,
    smallest_size: Size,
    conductor_metal: Choice = ASSUMED,
) -> Size:
    """The first {conductor_metal} size of that column that carries {ampacity_of_each} is {result}."""
    column = metal_column(conductor_ampacities, conductor_metal, column_temperature)
    return larger(first_that_carries(conductor_ampacities, ampacity_of_each, column), smallest_size)


@finds(
    "ampacity_before_factors",
    cites=("ambient-correction", "count-adjustment"),
    when=no(in_parallel),
    shows="{current_after_factors} / {ambient_factor} / {count_factor} = {result}",
)
def ampacity_before_factors(current_after_factors: Amps, ambient_factor: Percent, count_factor: Percent) -> Amps:
    """Before warmth and company take their part, the conductors must carry more than the load."""
    return current_after_factors / ambient_factor / count_factor


@finds(
    "ampacity_before_factors",
    cites=("ambient-correction", "count-adjustment"),
    when=in_parallel,
    shows="{current_after_factors} / {parallel_sets} / {ambient_factor} / {count_factor} = {result}",
)
def ampacity_before_factors_of_each(
    current_after_factors: Amps, ambient_factor: Percent, count_factor: Percent, parallel_sets: Count = ASSUMED
) -> Amps:
    """Before warmth and company take their part, each conductor must carry more than its share of the load."""
    return current_after_factors / parallel_sets / ambient_factor / count_factor


@finds("size_after_correction", cites="conductor-ampacity", when=(warm_or_crowded, no(in_free_air)))
def size_after_correction(
    conductor_ampacities: Table,
    ampacity_before_factors: Amps,
    conductor_metal: Choice = ASSUMED,
    insulation_temperature: Celsius = ASSUMED,
) -> Size:
    """The first size of the insulation's column, {insulation_temperature}, that carries it is {result}."""
    column = metal_column(conductor_ampacities, conductor_metal, insulation_temperature)
    return first_that_carries(conductor_ampacities, ampacity_before_factors, column)


@finds("size_after_correction", cites="conductor-ampacity-free-air", when=(warm_or_crowded, in_free_air))
def size_after_correction_in_free_air(
    conductor_ampacities_free_air: Table,
    ampacity_before_factors: Amps,
    conductor_metal: Choice = ASSUMED,
    insulation_temperature: Celsius = ASSUMED,
) -> Size:
    """In free air the first size of the column of {insulation_temperature} that carries it is {result}."""
    column = metal_column(conductor_ampacities_free_air, conductor_metal, insulation_temperature)
    return first_that_carries(conductor_ampacities_free_air, ampacity_before_factors, column)


@finds("size_for_load", when=no(warm_or_crowded))
def size_for_load(size_for_terminals: Size) -> Size:
    return size_for_terminals


@finds("size_for_load", cites="continuous-load", when=warm_or_crowded)
def size_for_load_in_warmth(size_for_terminals: Size, size_after_correction: Size) -> Size:
    """Take the larger of the two: {result}."""
    return larger(size_for_terminals, size_after_correction)


@finds("least_conductor_size", when=no(in_parallel))
def least_conductor_size(size_for_load: Size) -> Size:
    return size_for_load


@finds("least_conductor_size", cites="parallel-conductors", when=in_parallel)
def least_conductor_size_in_parallel(size_for_load: Size, parallel_least_size: Size) -> Size:
    """Conductors in parallel are {parallel_least_size} or larger: {result} in each set."""
    return larger(size_for_load, parallel_least_size)


@mistake(of=size_for_terminals, because="read the 90 °C column although the terminals allow less")
def size_in_insulation_column(
    conductor_ampacities: Table,
    ampacity_of_each: Amps,
    smallest_size: Size,
    conductor_metal: Choice = ASSUMED,
    insulation_temperature: Celsius = ASSUMED,
) -> Size:
    column = metal_column(conductor_ampacities, conductor_metal, insulation_temperature)
    return larger(first_that_carries(conductor_ampacities, ampacity_of_each, column), smallest_size)


@mistake(of=size_for_terminals, because="read the 75 °C column although the terminals count as 60 °C")
def size_in_75_column(
    conductor_ampacities: Table,
    ampacity_of_each: Amps,
    high_terminal_temperature: Celsius,
    conductor_metal: Choice = ASSUMED,
) -> Size:
    column = metal_column(conductor_ampacities, conductor_metal, high_terminal_temperature)
    return first_that_carries(conductor_ampacities, ampacity_of_each, column)


@mistake(of=size_for_terminals, because="read the 60 °C column although the terminals allow more")
def size_in_60_column(
    conductor_ampacities: Table,
    ampacity_of_each: Amps,
    low_terminal_temperature: Celsius,
    conductor_metal: Choice = ASSUMED,
) -> Size:
    column = metal_column(conductor_ampacities, conductor_metal, low_terminal_temperature)
    return first_that_carries(conductor_ampacities, ampacity_of_each, column)


@mistake(of=size_for_terminals, because="read the other metal's column")
def size_of_other_metal(
    conductor_ampacities: Table, ampacity_of_each: Amps, column_temperature: Celsius, conductor_metal: Choice = ASSUMED
) -> Size:
    column = metal_column(conductor_ampacities, other_metal(conductor_metal), column_temperature)
    return first_that_carries(conductor_ampacities, ampacity_of_each, column)


@mistake(of=ampacity_of_each, because="did not share the current among the parallel sets")
def ampacity_not_shared(current_to_carry: Amps) -> Amps:
    return current_to_carry


@mistake(of=ampacity_before_factors, because="took the factors off the 125% figure, which counts the heat twice")
def factors_off_the_required_ampacity(current_to_carry: Amps, ambient_factor: Percent, count_factor: Percent) -> Amps:
    return current_to_carry / ambient_factor / count_factor


@mistake(of=size_for_load_in_warmth, because="left out the factors for warmth and company")
def size_without_factors(size_for_terminals: Size) -> Size:
    return size_for_terminals


@mistake(of=least_conductor_size_in_parallel, because="overlooked that conductors in parallel are 1/0 or larger")
def parallel_without_least_size(size_for_load: Size) -> Size:
    return size_for_load

"""Conductors: what they may carry (correction, adjustment, terminals) and the least size that carries a load."""

from __future__ import annotations

from askcode.core.quantities import Amps, Celsius, Choice, Count, Flag, Percent, Size
from askcode.core.rules import ASSUMED, Subject, no
from askcode.core.tables import Table, size_rank

conductors = Subject("conductors")
finds, mistake = conductors.finds, conductors.mistake


def metal_column(metal: str, temperature: float) -> str:
    """The ampacity tables have a column for each metal and temperature; copper-clad aluminum shares aluminum's."""
    return f"{'cu' if metal == 'copper' else 'al'}_{temperature:g}"


def larger(*sizes: str) -> str:
    """The thickest of several wire sizes."""
    return max(sizes, key=size_rank)


# --- when ---------------------------------------------------------------------------------------------------------------
def in_free_air(conductor_place: Choice = ASSUMED) -> bool:
    """the conductor is single in free air"""
    return conductor_place == "free air"


def warm_or_crowded(
    table_ambient_temperature: Celsius,
    table_conductor_count: Count,
    ambient_temperature: Celsius = ASSUMED,
    current_carrying_conductors: Count = ASSUMED,
) -> bool:
    """it is warmer or more crowded than the ampacity table is made for"""
    return ambient_temperature != table_ambient_temperature or current_carrying_conductors > table_conductor_count


def terminals_are_marked(terminal_temperature: Celsius | None = None) -> bool:
    """the terminals' temperature is given"""
    return terminal_temperature is not None


def in_parallel(parallel_sets: Count = ASSUMED) -> bool:
    """conductors run in parallel"""
    return parallel_sets > 1


def circuit_is_given(
    device_rating: Amps | None = None,
    load: Amps | None = None,
    continuous_load: Amps | None = None,
    noncontinuous_load: Amps | None = None,
) -> bool:
    """the circuit's rating or load is given"""
    return (device_rating, load, continuous_load, noncontinuous_load) != (None, None, None, None)


def load_is_split(continuous_load: Amps | None = None, noncontinuous_load: Amps | None = None) -> bool:
    """the load is given as continuous and noncontinuous"""
    return continuous_load is not None or noncontinuous_load is not None


def only_rating_is_given(
    device_rating: Amps | None = None,
    load: Amps | None = None,
    continuous_load: Amps | None = None,
    noncontinuous_load: Amps | None = None,
) -> bool:
    """only the circuit's rating is given"""
    return device_rating is not None and (load, continuous_load, noncontinuous_load) == (None, None, None)


def load_is_continuous(load_runs_three_hours: Flag) -> bool:
    """the load runs three hours or more"""
    return load_runs_three_hours == "yes"


# --- what the conductors must carry -----------------------------------------------------------------------------------------
@finds(
    "required_ampacity",
    cites="continuous-load",
    when=load_is_split,
    shows="{continuous_load} × {continuous_load_factor} + {noncontinuous_load} = {result}",
)
def required_ampacity_of_split_load(
    continuous_load_factor: Percent, continuous_load: Amps = ASSUMED, noncontinuous_load: Amps = ASSUMED
) -> Amps:
    """Count the part of the load that runs three hours or more at {continuous_load_factor}."""
    return continuous_load * continuous_load_factor + noncontinuous_load


@finds(
    "required_ampacity",
    cites="continuous-load",
    when=(no(load_is_split), no(only_rating_is_given), load_is_continuous),
    shows="{load} × {continuous_load_factor} = {result}",
)
def required_ampacity_of_continuous_load(load: Amps, continuous_load_factor: Percent) -> Amps:
    """Count a load that runs three hours or more at {continuous_load_factor}."""
    return load * continuous_load_factor


@finds(
    "required_ampacity",
    cites="continuous-load",
    when=(no(load_is_split), no(only_rating_is_given), no(load_is_continuous)),
)
def required_ampacity_of_noncontinuous_load(load: Amps) -> Amps:
    """A load that is not continuous counts as it is: {result}."""
    return load


@finds("required_ampacity", cites="conductor-protection", when=(no(load_is_split), only_rating_is_given))
def required_ampacity_of_rating(device_rating: Amps) -> Amps:
    """Let the conductors carry the rating of the circuit: {result}."""
    return device_rating


@finds("actual_load", when=load_is_split)
def actual_load_of_parts(continuous_load: Amps = ASSUMED, noncontinuous_load: Amps = ASSUMED) -> Amps:
    return continuous_load + noncontinuous_load


@finds("actual_load", when=(no(load_is_split), no(only_rating_is_given)))
def actual_load_as_given(load: Amps) -> Amps:
    return load


@finds("actual_load", when=(no(load_is_split), only_rating_is_given))
def actual_load_of_rating(device_rating: Amps) -> Amps:
    return device_rating


@mistake(of=required_ampacity_of_split_load, because="left out the 125% for the continuous part")
def split_load_without_factor(continuous_load: Amps = ASSUMED, noncontinuous_load: Amps = ASSUMED) -> Amps:
    return continuous_load + noncontinuous_load


@mistake(of=required_ampacity_of_split_load, because="took 125% of the whole load")
def split_load_all_at_factor(
    continuous_load_factor: Percent, continuous_load: Amps = ASSUMED, noncontinuous_load: Amps = ASSUMED
) -> Amps:
    return (continuous_load + noncontinuous_load) * continuous_load_factor


@mistake(of=required_ampacity_of_continuous_load, because="left out the 125% for a continuous load")
def continuous_load_without_factor(load: Amps) -> Amps:
    return load


# --- temperatures -----------------------------------------------------------------------------------------------------------
@finds(cites="insulation-ratings")
def insulation_temperature(insulations: Table, insulation: Choice = ASSUMED) -> Celsius:
    """{insulation} insulation is rated {result} in dry places."""
    return insulations.exact(insulation)["dry"]


@finds()
def circuit_current(required_ampacity: Amps, device_rating: Amps | None = None) -> Amps:
    return required_ampacity if device_rating is None else device_rating


@finds("terminal_temperature", cites="terminal-temperature", when=circuit_is_given, assumed=True)
def terminal_temperature_by_circuit(
    circuit_current: Amps,
    terminal_limit_current: Amps,
    low_terminal_temperature: Celsius,
    high_terminal_temperature: Celsius,
) -> Celsius:
    """Terminals count as 60 °C up to 100 A and as 75 °C above, unless they are marked."""
    return low_terminal_temperature if circuit_current <= terminal_limit_current else high_terminal_temperature


@finds("terminal_temperature", cites="terminal-temperature", when=no(circuit_is_given), assumed=True)
def terminal_temperature_by_size(
    conductor_size: Size,
    terminal_limit_size: Size,
    low_terminal_temperature: Celsius,
    high_terminal_temperature: Celsius,
) -> Celsius:
    """Terminals for 14 to 1 AWG count as 60 °C and for larger sizes as 75 °C, unless they are marked."""
    small = size_rank(conductor_size) <= size_rank(terminal_limit_size)
    return low_terminal_temperature if small else high_terminal_temperature


# --- ampacity ---------------------------------------------------------------------------------------------------------------
@finds("insulation_ampacity", cites="conductor-ampacity", when=no(in_free_air))
def insulation_ampacity_in_raceway(
    conductor_ampacities: Table,
    conductor_size: Size,
    conductor_metal: Choice = ASSUMED,
    insulation_temperature: Celsius = ASSUMED,
) -> Amps:
    """Start from the column of the insulation, {insulation_temperature}: {conductor_size} {conductor_metal} carries {result}."""
    return conductor_ampacities.exact(conductor_size)[metal_column(conductor_metal, insulation_temperature)]


@finds("insulation_ampacity", cites="conductor-ampacity-free-air", when=in_free_air)
def insulation_ampacity_in_free_air(
    conductor_ampacities_free_air: Table,
    conductor_size: Size,
    conductor_metal: Choice = ASSUMED,
    insulation_temperature: Celsius = ASSUMED,
) -> Amps:
    """In free air, in the column of {insulation_temperature}, {conductor_size} {conductor_metal} carries {result}."""
    table = conductor_ampacities_free_air
    return table.exact(conductor_size)[metal_column(conductor_metal, insulation_temperature)]


@finds(cites="ambient-correction")
def ambient_factor(
    ambient_correction: Table, ambient_temperature: Celsius = ASSUMED, insulation_temperature: Celsius = ASSUMED
) -> Percent:
    """At {ambient_temperature} the factor for {insulation_temperature} insulation is {result}."""
    return ambient_correction.between(ambient_temperature)[f"t{insulation_temperature:g}"]


@finds(cites="count-adjustment")
def count_factor(
    conductor_count_adjustment: Table, table_conductor_count: Count, current_carrying_conductors: Count = ASSUMED
) -> Percent:
    """For {current_carrying_conductors} current-carrying conductors take {result}."""
    if current_carrying_conductors <= table_conductor_count:
        return 1.0
    return conductor_count_adjustment.between(current_carrying_conductors)["percent"]


@finds(
    cites=("ambient-correction", "count-adjustment"),
    shows="{insulation_ampacity} × {ambient_factor} × {count_factor} = {result}",
)
def corrected_ampacity(insulation_ampacity: Amps, ambient_factor: Percent, count_factor: Percent) -> Amps:
    """Multiply by the factor for the warmth and by the one for the company of other conductors."""
    return insulation_ampacity * ambient_factor * count_factor


@finds(cites="terminal-temperature")
def terminal_ampacity(
    conductor_ampacities: Table,
    conductor_size: Size,
    conductor_metal: Choice = ASSUMED,
    terminal_temperature: Celsius = ASSUMED,
) -> Amps:
    """The terminals, {terminal_temperature}, allow {result}."""
    return conductor_ampacities.exact(conductor_size)[metal_column(conductor_metal, terminal_temperature)]


@finds("column_temperature", cites="terminal-temperature")
def column_temperature(insulation_temperature: Celsius = ASSUMED, terminal_temperature: Celsius = ASSUMED) -> Celsius:
    """Read the column of the weaker of the two, insulation and terminals: {result}."""
    return min(insulation_temperature, terminal_temperature)


@finds("ampacity", cites="conductor-ampacity", when=(no(warm_or_crowded), no(in_free_air)))
def ampacity_from_table(
    conductor_ampacities: Table, conductor_size: Size, column_temperature: Celsius, conductor_metal: Choice = ASSUMED
) -> Amps:
    """{conductor_size} {conductor_metal} carries {result} there."""
    return conductor_ampacities.exact(conductor_size)[metal_column(conductor_metal, column_temperature)]


@finds("ampacity", cites="terminal-temperature", when=(no(warm_or_crowded), in_free_air))
def ampacity_in_free_air(insulation_ampacity: Amps, terminal_ampacity: Amps) -> Amps:
    """Take the smaller of the two: {result}."""
    return min(insulation_ampacity, terminal_ampacity)


@finds("ampacity", cites="terminal-temperature", when=warm_or_crowded)
def ampacity_within_terminals(corrected_ampacity: Amps, terminal_ampacity: Amps) -> Amps:
    """The smaller of the two governs: {result}."""
    return min(corrected_ampacity, terminal_ampacity)


@finds("derated_ampacity", cites="terminal-temperature", when=terminals_are_marked)
def derated_ampacity_within_terminals(ampacity: Amps) -> Amps:
    return ampacity


@finds("derated_ampacity", cites="ambient-correction", when=no(terminals_are_marked))
def derated_ampacity(corrected_ampacity: Amps) -> Amps:
    return corrected_ampacity


@mistake(of=ampacity_from_table, because="read the 90 °C column although the terminals allow less")
def ampacity_in_insulation_column(
    conductor_ampacities: Table,
    conductor_size: Size,
    conductor_metal: Choice = ASSUMED,
    insulation_temperature: Celsius = ASSUMED,
) -> Amps:
    return conductor_ampacities.exact(conductor_size)[metal_column(conductor_metal, insulation_temperature)]


@mistake(of=ampacity_from_table, because="read the other metal's column")
def ampacity_of_other_metal(
    conductor_ampacities: Table, conductor_size: Size, column_temperature: Celsius, conductor_metal: Choice = ASSUMED
) -> Amps:
    other = "aluminum" if conductor_metal == "copper" else "copper"
    return conductor_ampacities.exact(conductor_size)[metal_column(other, column_temperature)]


@mistake(of=corrected_ampacity, because="left out the factor for more than three conductors")
def corrected_without_count(insulation_ampacity: Amps, ambient_factor: Percent) -> Amps:
    return insulation_ampacity * ambient_factor


@mistake(of=corrected_ampacity, because="left out the factor for the warmth")
def corrected_without_ambient(insulation_ampacity: Amps, count_factor: Percent) -> Amps:
    return insulation_ampacity * count_factor


@mistake(of=insulation_ampacity_in_raceway, because="started from the 75 °C column instead of the insulation's own")
def insulation_ampacity_from_75(
    conductor_ampacities: Table,
    conductor_size: Size,
    high_terminal_temperature: Celsius,
    conductor_metal: Choice = ASSUMED,
) -> Amps:
    return conductor_ampacities.exact(conductor_size)[metal_column(conductor_metal, high_terminal_temperature)]


@mistake(of=insulation_ampacity_in_raceway, because="started from the 60 °C column instead of the insulation's own")
def insulation_ampacity_from_60(
    conductor_ampacities: Table,
    conductor_size: Size,
    low_terminal_temperature: Celsius,
    conductor_metal: Choice = ASSUMED,
) -> Amps:
    return conductor_ampacities.exact(conductor_size)[metal_column(conductor_metal, low_terminal_temperature)]


# --- the least size ---------------------------------------------------------------------------------------------------------
@finds()
def current_to_carry(required_ampacity: Amps) -> Amps:
    return required_ampacity


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


@finds(cites=("conductor-ampacity", "terminal-temperature"))
def size_for_terminals(
    conductor_ampacities: Table, ampacity_of_each: Amps, column_temperature: Celsius, conductor_metal: Choice = ASSUMED
) -> Size:
    """The first {conductor_metal} size of that column that carries {ampacity_of_each} is {result}."""
    column = metal_column(conductor_metal, column_temperature)
    row = conductor_ampacities.next_up(ampacity_of_each, column)
    return row["size"]


@finds(
    "ampacity_before_factors",
    cites=("ambient-correction", "count-adjustment"),
    when=no(in_parallel),
    shows="{actual_load} / {ambient_factor} / {count_factor} = {result}",
)
def ampacity_before_factors(actual_load: Amps, ambient_factor: Percent, count_factor: Percent) -> Amps:
    """Before warmth and company are taken off, the conductors must carry more than the load."""
    return actual_load / ambient_factor / count_factor


@finds(
    "ampacity_before_factors",
    cites=("ambient-correction", "count-adjustment"),
    when=in_parallel,
    shows="{actual_load} / {parallel_sets} / {ambient_factor} / {count_factor} = {result}",
)
def ampacity_before_factors_of_each(
    actual_load: Amps, ambient_factor: Percent, count_factor: Percent, parallel_sets: Count = ASSUMED
) -> Amps:
    """Before warmth and company are taken off, each conductor must carry more than its share of the load."""
    return actual_load / parallel_sets / ambient_factor / count_factor


@finds("size_after_correction", cites="conductor-ampacity", when=warm_or_crowded)
def size_after_correction(
    conductor_ampacities: Table,
    ampacity_before_factors: Amps,
    conductor_metal: Choice = ASSUMED,
    insulation_temperature: Celsius = ASSUMED,
) -> Size:
    """The first size of the insulation's column, {insulation_temperature}, that carries it is {result}."""
    column = metal_column(conductor_metal, insulation_temperature)
    return conductor_ampacities.next_up(ampacity_before_factors, column)["size"]


@finds("size_for_load", when=no(warm_or_crowded))
def size_for_load(size_for_terminals: Size) -> Size:
    return size_for_terminals


@finds("size_for_load", cites="conductor-ampacity", when=warm_or_crowded)
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
    conductor_metal: Choice = ASSUMED,
    insulation_temperature: Celsius = ASSUMED,
) -> Size:
    column = metal_column(conductor_metal, insulation_temperature)
    return larger(conductor_ampacities.next_up(ampacity_of_each, column)["size"], "14")


@mistake(of=size_for_terminals, because="read the 60 °C column although the terminals allow more")
def size_in_60_column(
    conductor_ampacities: Table,
    ampacity_of_each: Amps,
    low_terminal_temperature: Celsius,
    conductor_metal: Choice = ASSUMED,
) -> Size:
    column = metal_column(conductor_metal, low_terminal_temperature)
    return conductor_ampacities.next_up(ampacity_of_each, column)["size"]


@mistake(of=size_for_terminals, because="read the other metal's column")
def size_of_other_metal(
    conductor_ampacities: Table, ampacity_of_each: Amps, column_temperature: Celsius, conductor_metal: Choice = ASSUMED
) -> Size:
    other = metal_column("aluminum" if conductor_metal == "copper" else "copper", column_temperature)
    return conductor_ampacities.next_up(ampacity_of_each, other)["size"]


@mistake(of=ampacity_of_each, because="did not share the current among the parallel sets")
def ampacity_not_shared(current_to_carry: Amps) -> Amps:
    return current_to_carry


# --- a dwelling's service ----------------------------------------------------------------------------------------------------
@finds(cites="dwelling-service-conductors")
def least_dwelling_service_conductor(
    dwelling_service_conductors: Table, device_rating: Amps, conductor_metal: Choice
) -> Size:
    """For conductors that carry the whole load of a dwelling, read the row of the {device_rating} service: {result} {conductor_metal}."""
    return dwelling_service_conductors.next_up(device_rating)[conductor_metal]

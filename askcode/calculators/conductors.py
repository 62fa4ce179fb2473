"""Conductors: what they may carry (correction, adjustment, terminals) and the least size that carries a load."""

from __future__ import annotations

from askcode.core.errors import OutsideTable, Refuse
from askcode.core.quantities import Amps, Celsius, Choice, Count, Flag, Inches, Percent, Size
from askcode.core.rules import ASSUMED, Subject, no
from askcode.core.tables import Row, Table, size_rank, spoken

conductors = Subject("conductors")
finds, mistake = conductors.finds, conductors.mistake

JUST = 1e-6  # what lifts a value just above or below a printed one; no table tells such values apart
PREFIX = {"copper": "cu", "aluminum": "al", "copper-clad aluminum": "al"}  # the last two share their columns


def metal_column(table: Table, metal: str, temperature: float, said_as: str = "insulation_temperature") -> str:
    """The column of a metal and a temperature. Raises Refuse where the ampacity tables have none; `said_as` is the
    input that such a temperature comes from."""
    if metal not in PREFIX:
        raise Refuse(f"There are no ampacities for {metal} conductors here.", "conductor_metal", list(PREFIX))
    column = f"{PREFIX[metal]}_{temperature:g}"
    if not table.has_column(column):
        have = [c.name.partition("_")[2] for c in table.columns if c.name.startswith(PREFIX[metal] + "_")]
        raise Refuse(f"The ampacity tables have no column for {temperature:g} °C.", said_as, have)
    return column


def listed_metal(metal: str) -> str:
    """The column that a metal shares where a table lists copper and aluminum only."""
    return "aluminum" if metal == "copper-clad aluminum" else metal


def other_metal(metal: str) -> str:
    """The metal whose column a finger slips into."""
    return "aluminum" if metal == "copper" else "copper"


def larger(*sizes: str) -> str:
    """The thickest of several wire sizes."""
    return max(sizes, key=size_rank)


def first_that_carries(table: Table, amperes: float, column: str, *, more: bool = False) -> str:
    """The first size whose ampacity in a column is at least (with `more`: above) so many amperes.

    Raises Refuse, asking for parallel conductors, where not even the last row carries them."""
    try:
        size: str = table.next_up(amperes + JUST if more else amperes, column)["size"]
    except OutsideTable:
        line = f"No size in the table carries {amperes:,.4g} A in that column; how many run in parallel for each phase?"
        raise Refuse(line, "parallel_sets") from None
    return size


def neighbor(row: Row, step: int, column: str) -> float:
    """The cell above or below the right one, into which a finger slips. Raises Refuse at the table's edge."""
    at = row.index + step
    value = row.table.cell(at, column) if 0 <= at < len(row.table.rows) else None
    if not isinstance(value, float):
        raise Refuse("there is no row beside this one")
    return value


# --- when -------------------------------------------------------------------------------------------------------------
def in_free_air(conductor_place: Choice = ASSUMED) -> bool:
    """the conductor is single in free air"""
    return conductor_place == "free air"


def in_wet_place(wet_place: Flag | None = None) -> bool:
    """the place is wet"""
    return wet_place == "yes"


def in_short_nipple(short_nipple: Flag | None = None) -> bool:
    """the raceway is a short nipple"""
    return short_nipple == "yes"


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


def circuits_are_named(circuit_count: Count | None = None, circuit_kind: Choice | None = None) -> bool:
    """the circuits in the raceway are named"""
    return circuit_count is not None or circuit_kind is not None


def nm_cable(insulation: Choice | None = None) -> bool:
    """it is NM cable"""
    return insulation in ("NM", "NM-B", "NMC", "NMC-B")


def uf_cable(insulation: Choice | None = None) -> bool:
    """it is UF cable"""
    return insulation in ("UF", "UF-B")


def small_se_cable(small_se_size: Size, insulation: Choice | None = None, conductor_size: Size | None = None) -> bool:
    """it is one of the small SE cables"""
    se = insulation in ("SE", "SER", "SEU")
    return se and conductor_size is not None and size_rank(conductor_size) <= size_rank(small_se_size)


def lies_in_thermal_insulation(in_thermal_insulation: Flag) -> bool:
    """the cable lies in thermal insulation"""
    return in_thermal_insulation == "yes"


def limit_is_known(terminal_temperature: Celsius | None = None, insulation: Choice | None = None) -> bool:
    """the terminals' temperature is given, or the cable sets a limit of its own"""
    return terminal_temperature is not None or nm_cable(insulation) or uf_cable(insulation)


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


def rating_is_given(device_rating: Amps | None = None) -> bool:
    """the rating of the circuit's device is given"""
    return device_rating is not None


def load_is_split(continuous_load: Amps | None = None, noncontinuous_load: Amps | None = None) -> bool:
    """the load is given as continuous and noncontinuous"""
    return continuous_load is not None or noncontinuous_load is not None


def continuous_part_of_whole(
    load: Amps | None = None, continuous_load: Amps | None = None, noncontinuous_load: Amps | None = None
) -> bool:
    """the whole load and its continuous part are given"""
    return load is not None and continuous_load is not None and noncontinuous_load is None


def noncontinuous_part_of_whole(
    load: Amps | None = None, continuous_load: Amps | None = None, noncontinuous_load: Amps | None = None
) -> bool:
    """the whole load and its noncontinuous part are given"""
    return load is not None and continuous_load is None and noncontinuous_load is not None


def only_rating_is_given(
    device_rating: Amps | None = None,
    load: Amps | None = None,
    continuous_load: Amps | None = None,
    noncontinuous_load: Amps | None = None,
) -> bool:
    """only the circuit's rating is given"""
    return device_rating is not None and (load, continuous_load, noncontinuous_load) == (None, None, None)


def load_is_continuous(load_runs_three_hours: Flag = ASSUMED) -> bool:
    """the load runs three hours or more"""
    return load_runs_three_hours == "yes"


def listed_for_whole_rating(listed_for_100_percent: Flag | None = None) -> bool:
    """the device and its assembly are listed for 100 percent of its rating"""
    return listed_for_100_percent == "yes"


# --- what the conductors must carry -----------------------------------------------------------------------------------
@finds("continuous_percent", when=no(listed_for_whole_rating))
def continuous_percent(continuous_load_factor: Percent) -> Percent:
    return continuous_load_factor


@finds("continuous_percent", cites=("continuous-load", "continuous-load-device"), when=listed_for_whole_rating)
def continuous_percent_of_listed_assembly() -> Percent:
    """In an assembly that is listed for 100% of its rating, a continuous load counts as it is."""
    return 1.0


@finds("continuous_part", when=no(noncontinuous_part_of_whole))
def continuous_part_as_given(continuous_load: Amps = ASSUMED) -> Amps:
    return continuous_load


@finds(
    "continuous_part",
    cites="continuous-load",
    when=noncontinuous_part_of_whole,
    shows="{load} − {noncontinuous_load} = {result}",
)
def continuous_part_of_load(load: Amps, noncontinuous_load: Amps) -> Amps:
    """The rest of the load is continuous."""
    return _rest(load, noncontinuous_load, "noncontinuous_load")


@finds("noncontinuous_part", when=no(continuous_part_of_whole))
def noncontinuous_part_as_given(noncontinuous_load: Amps = ASSUMED) -> Amps:
    return noncontinuous_load


@finds(
    "noncontinuous_part",
    cites="continuous-load",
    when=continuous_part_of_whole,
    shows="{load} − {continuous_load} = {result}",
)
def noncontinuous_part_of_load(load: Amps, continuous_load: Amps) -> Amps:
    """The rest of the load is not continuous."""
    return _rest(load, continuous_load, "continuous_load")


@finds(
    "required_ampacity",
    cites=("continuous-load", "continuous-load-feeder"),
    when=load_is_split,
    shows="{continuous_part} × {continuous_percent} + {noncontinuous_part} = {result}",
)
def required_ampacity_of_split_load(
    continuous_percent: Percent, continuous_part: Amps, noncontinuous_part: Amps
) -> Amps:
    """Count the part of the load that runs three hours or more at {continuous_percent}."""
    if continuous_part + noncontinuous_part == 0:
        raise Refuse("A load of 0 A needs no conductor; how many amperes is the load?", "load")
    return continuous_part * continuous_percent + noncontinuous_part


@finds(
    "required_ampacity",
    cites=("continuous-load", "continuous-load-feeder"),
    when=(no(load_is_split), no(only_rating_is_given), load_is_continuous),
    shows="{load} × {continuous_percent} = {result}",
)
def required_ampacity_of_continuous_load(load: Amps, continuous_percent: Percent) -> Amps:
    """Count a load that runs three hours or more at {continuous_percent}."""
    return load * continuous_percent


@finds(
    "required_ampacity",
    cites=("continuous-load", "continuous-load-feeder"),
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
def actual_load_of_parts(continuous_part: Amps, noncontinuous_part: Amps) -> Amps:
    return continuous_part + noncontinuous_part


@finds("actual_load", when=(no(load_is_split), no(only_rating_is_given)))
def actual_load_as_given(load: Amps) -> Amps:
    return load


@finds("actual_load", when=(no(load_is_split), only_rating_is_given))
def actual_load_of_rating(device_rating: Amps) -> Amps:
    return device_rating


@mistake(of=required_ampacity_of_split_load, because="left out the 125% for the continuous part")
def split_load_without_factor(continuous_part: Amps, noncontinuous_part: Amps) -> Amps:
    return continuous_part + noncontinuous_part


@mistake(of=required_ampacity_of_split_load, because="took 125% of the whole load")
def split_load_all_at_factor(continuous_load_factor: Percent, continuous_part: Amps, noncontinuous_part: Amps) -> Amps:
    return (continuous_part + noncontinuous_part) * continuous_load_factor


@mistake(
    of=required_ampacity_of_split_load, because="took 125% of the noncontinuous part instead of the continuous one"
)
def split_load_factor_on_the_other(
    continuous_load_factor: Percent, continuous_part: Amps, noncontinuous_part: Amps
) -> Amps:
    return continuous_part + noncontinuous_part * continuous_load_factor


@mistake(of=required_ampacity_of_continuous_load, because="left out the 125% for a continuous load")
def continuous_load_without_factor(load: Amps) -> Amps:
    return load


@mistake(of=required_ampacity_of_noncontinuous_load, because="took 125%, which is for continuous loads")
def noncontinuous_load_with_factor(load: Amps, continuous_load_factor: Percent) -> Amps:
    return load * continuous_load_factor


def _rest(whole: float, part: float, said_as: str) -> float:
    """What is left of a load. Raises Refuse for a part that is larger than the whole."""
    if part > whole:
        raise Refuse(f"The part, {spoken(part)} A, is more than the whole load, {spoken(whole)} A.", said_as)
    return whole - part


# --- temperatures -----------------------------------------------------------------------------------------------------
@finds("insulation_temperature", cites="insulation-ratings", when=no(in_wet_place))
def insulation_temperature(insulations: Table, insulation: Choice = ASSUMED) -> Celsius:
    """{insulation} insulation is rated {result} in dry places."""
    return insulations.exact(insulation)["dry"]


@finds("insulation_temperature", cites=("insulation-ratings", "wet-location-conductors"), when=in_wet_place)
def insulation_temperature_in_wet_place(insulations: Table, insulation: Choice = ASSUMED) -> Celsius:
    """{insulation} insulation is rated {result} in wet places."""
    row = insulations.exact(insulation)
    if row.get("wet") is None:
        raise Refuse(f"{insulation} is not for wet places; which insulation made for them is it?", "insulation")
    return row["wet"]


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


# --- which temperature holds ------------------------------------------------------------------------------------------
@finds("circuit_current", when=rating_is_given)
def circuit_current_of_rating(device_rating: Amps) -> Amps:
    return device_rating


@finds("circuit_current", when=no(rating_is_given))
def circuit_current_of_load(required_ampacity: Amps) -> Amps:
    return required_ampacity


@finds("terminal_temperature", cites="terminal-temperature", when=circuit_is_given, assumed=True)
def terminal_temperature_by_circuit(
    circuit_current: Amps,
    terminal_limit_current: Amps,
    low_terminal_temperature: Celsius,
    high_terminal_temperature: Celsius,
) -> Celsius:
    """Unmarked terminals count as {result} here; up to {terminal_limit_current} the lower column holds."""
    return low_terminal_temperature if circuit_current <= terminal_limit_current else high_terminal_temperature


@finds("terminal_temperature", cites="terminal-temperature", when=no(circuit_is_given), assumed=True)
def terminal_temperature_by_size(
    terminal_limit_size: Size,
    low_terminal_temperature: Celsius,
    high_terminal_temperature: Celsius,
    conductor_size: Size | None = None,
) -> Celsius:
    """Unmarked terminals count as {result} here; up to {terminal_limit_size} the lower column holds."""
    # Where a size is looked for, none is asked for here: the load or the circuit will be, and decides then.
    small = conductor_size is None or size_rank(conductor_size) <= size_rank(terminal_limit_size)
    return low_terminal_temperature if small else high_terminal_temperature


@finds("limit_temperature", when=(no(nm_cable), no(uf_cable), no(small_se_cable)))
def limit_of_terminals(terminal_temperature: Celsius = ASSUMED) -> Celsius:
    return terminal_temperature


@finds("limit_temperature", when=(small_se_cable, no(lies_in_thermal_insulation)))
def limit_of_terminals_of_small_se(terminal_temperature: Celsius = ASSUMED) -> Celsius:
    return terminal_temperature


@finds("limit_temperature", cites="nm-ampacity", when=nm_cable)
def limit_of_nm_cable(cable_limit_temperature: Celsius) -> Celsius:
    """NM cable stays within the {result} column, though its conductors are rated for more."""
    return cable_limit_temperature


@finds("limit_temperature", cites="uf-ampacity", when=uf_cable)
def limit_of_uf_cable(cable_limit_temperature: Celsius) -> Celsius:
    """UF cable counts as {result} conductors."""
    return cable_limit_temperature


@finds("limit_temperature", cites="se-uses", when=(small_se_cable, lies_in_thermal_insulation))
def limit_of_se_cable(cable_limit_temperature: Celsius, small_se_size: Size) -> Celsius:
    """SE cable of {small_se_size} and smaller in thermal insulation stays within the {result} column."""
    return cable_limit_temperature


@finds(cites="lower-ampacity")
def column_temperature(limit_temperature: Celsius, insulation_temperature: Celsius = ASSUMED) -> Celsius:
    """Read the column that the insulation and the terminals (or the cable) both allow: {result}."""
    return min(insulation_temperature, limit_temperature)


@mistake(of=limit_of_nm_cable, because="forgot that NM cable stays within the 60 °C column")
def nm_cable_by_terminals(terminal_temperature: Celsius = ASSUMED) -> Celsius:
    return terminal_temperature


@mistake(of=limit_of_nm_cable, because="read the 75 °C column for NM cable")
def nm_cable_at_75(high_terminal_temperature: Celsius) -> Celsius:
    return high_terminal_temperature


@mistake(of=limit_of_uf_cable, because="forgot that UF cable counts as 60 °C conductors")
def uf_cable_at_75(high_terminal_temperature: Celsius) -> Celsius:
    return high_terminal_temperature


# --- ampacity ---------------------------------------------------------------------------------------------------------
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


@mistake(of=insulation_temperature, because="worked in the 75 °C columns instead of the insulation's own")
def insulation_counted_as_75(high_terminal_temperature: Celsius) -> Celsius:
    return high_terminal_temperature


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


def _ampacity(
    table: Table, size: str, metal: str, temperature: float, said_as: str = "insulation_temperature"
) -> float:
    amperes: float = table.exact(size)[metal_column(table, metal, temperature, said_as)]
    return amperes


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


# --- a dwelling's service ---------------------------------------------------------------------------------------------
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

"""Voltage drop: what a run loses, how far it may go, and the size that carries the load and holds the drop.

By the constant K, the ohms of one circular mil of metal a foot long in a loaded conductor (75 °C). The
reactance of alternating current and the power factor are left out, which for the sizes of branch circuits hardly shows.
"""

from __future__ import annotations

from askcode.calculators.circuits import circuits
from askcode.calculators.conductors.least_size import in_parallel
from askcode.calculators.conductors.loads import load_is_split, only_rating_is_given
from askcode.calculators.conductors.tables import larger
from askcode.calculators.grounding.equipment_ground import equipment_ground_increased
from askcode.calculators.motors import motors
from askcode.calculators.supply import supply, three_phase
from askcode.core.errors import OutsideTable, Refuse
from askcode.core.quantities import Amps, Choice, Cmil, Count, Feet, Flag, Number, Percent, Size, Volts
from askcode.core.rules import ASSUMED, Subject, no
from askcode.core.tables import Table, size_rank, spoken

voltage_drop = Subject("voltage_drop", builds_on=[circuits, supply])
finds, mistake = voltage_drop.finds, voltage_drop.mistake


# --- when -------------------------------------------------------------------------------------------------------------
def measured_one_way(length_measure: Choice = ASSUMED) -> bool:
    """the length was measured one way"""
    return length_measure == "one way"


def copper(conductor_metal: Choice = ASSUMED) -> bool:
    """the conductors are copper"""
    return conductor_metal == "copper"


def aluminum(conductor_metal: Choice = ASSUMED) -> bool:
    """the conductors are aluminum"""
    return conductor_metal == "aluminum"


def drop_decides(size_for_drop: Size, least_conductor_size: Size) -> bool:
    """the drop asks for more than the load"""
    return size_rank(size_for_drop) > size_rank(least_conductor_size)


# --- the run ----------------------------------------------------------------------------------------------------------
@finds("one_way_length", when=measured_one_way)
def one_way_length(distance: Feet) -> Feet:
    return distance


@finds("one_way_length", cites="voltage-drop-arithmetic", when=no(measured_one_way), shows="{distance} / 2 = {result}")
def one_way_length_of_loop(distance: Feet) -> Feet:
    """Out and back was measured; half of it is the run."""
    return distance / 2


@finds("constant_k", cites="voltage-drop-arithmetic", when=copper)
def constant_of_copper(copper_k: Number = ASSUMED) -> Number:
    """For copper K is {result}: the ohms of one circular mil, a foot long."""
    return copper_k


@finds("constant_k", cites="voltage-drop-arithmetic", when=aluminum)
def constant_of_aluminum(aluminum_k: Number = ASSUMED) -> Number:
    """For aluminum K is {result}: the ohms of one circular mil, a foot long."""
    return aluminum_k


@finds(cites="conductor-properties")
def conductor_area(wire_areas: Table, conductor_size: Size) -> Cmil:
    """{conductor_size} has an area of {result}."""
    return wire_areas.exact(conductor_size)["area_cmil"]


@finds("run_area", when=no(in_parallel))
def run_area(conductor_area: Cmil) -> Cmil:
    return conductor_area


@finds(
    "run_area",
    cites="conductor-properties",
    when=in_parallel,
    shows="{parallel_sets} × {conductor_area} = {result}",
)
def run_area_of_sets(conductor_area: Cmil, parallel_sets: Count = ASSUMED) -> Cmil:
    """Conductors in parallel add their areas."""
    return parallel_sets * conductor_area


@finds(
    "run_current",
    cites="voltage-drop-arithmetic",
    when=load_is_split,
    shows="{continuous_part} + {noncontinuous_part} = {result}",
)
def run_current_of_parts(continuous_part: Amps, noncontinuous_part: Amps) -> Amps:
    """The drop goes by what flows: both parts of the load, each as it is."""
    return continuous_part + noncontinuous_part


@finds("run_current", when=(no(load_is_split), no(only_rating_is_given)))
def run_current(load: Amps) -> Amps:
    return load


@finds("run_current", when=(no(load_is_split), only_rating_is_given))
def run_current_of_device(device_rating: Amps) -> Amps:
    line = f"The drop goes by the load, not by the device's {spoken(device_rating)} A. How many amperes is the load?"
    raise Refuse(line, "load")


@finds("sizing_run_current", when=no(only_rating_is_given))
def sizing_run_current(run_current: Amps) -> Amps:
    return run_current


@finds("sizing_run_current", cites="voltage-drop-arithmetic", when=only_rating_is_given, assumed=True)
def sizing_run_current_of_device(device_rating: Amps) -> Amps:
    """Only the circuit's rating was named; all of its {device_rating} was taken as the load."""
    return device_rating


@mistake(of=one_way_length_of_loop, because="took out and back for the one-way length, which counts it twice")
def one_way_length_of_whole_loop(distance: Feet) -> Feet:
    return distance


@mistake(of=constant_of_copper, because="took the K of aluminum")
def constant_of_copper_slipped(aluminum_k: Number = ASSUMED) -> Number:
    return aluminum_k


@mistake(of=constant_of_aluminum, because="took the K of copper")
def constant_of_aluminum_slipped(copper_k: Number = ASSUMED) -> Number:
    return copper_k


@mistake(of=run_area_of_sets, because="counted one of the parallel sets only")
def run_area_of_one_set(conductor_area: Cmil) -> Cmil:
    return conductor_area


@mistake(of=run_current, because="took 80% of the load (80% is what a device may carry for hours, not what flows)")
def run_current_derated(load: Amps, continuous_load_factor: Percent) -> Amps:
    return load / continuous_load_factor


@mistake(of=run_current, because="took 125% of the load; the drop goes by what flows")
def run_current_with_factor(load: Amps, continuous_load_factor: Percent) -> Amps:
    return load * continuous_load_factor


@mistake(of=run_current_of_parts, because="took 125% of the continuous part; the drop goes by what flows")
def run_current_of_parts_with_factor(
    continuous_part: Amps, noncontinuous_part: Amps, continuous_load_factor: Percent
) -> Amps:
    return continuous_part * continuous_load_factor + noncontinuous_part


# --- the drop ---------------------------------------------------------------------------------------------------------
@finds(
    "voltage_drop",
    cites="voltage-drop-arithmetic",
    when=no(three_phase),
    shows="2 × {constant_k} × {run_current} × {one_way_length} / {run_area} = {result}",
)
def drop_out_and_back(constant_k: Number, run_current: Amps, one_way_length: Feet, run_area: Cmil) -> Volts:
    """The current goes out and comes back, so the length counts twice."""
    return 2 * constant_k * run_current * one_way_length / run_area


@finds(
    "voltage_drop",
    cites="voltage-drop-arithmetic",
    when=three_phase,
    shows="{square_root_of_three} × {constant_k} × {run_current} × {one_way_length} / {run_area} = {result}",
)
def drop_three_phase(
    square_root_of_three: Number, constant_k: Number, run_current: Amps, one_way_length: Feet, run_area: Cmil
) -> Volts:
    """In a three-phase run the length counts {square_root_of_three} times."""
    return square_root_of_three * constant_k * run_current * one_way_length / run_area


@finds(cites="voltage-drop-advice", shows="{voltage_drop} / {voltage} = {result}")
def voltage_drop_percent(voltage_drop: Volts, voltage: Volts) -> Percent:
    """Compare the drop with the voltage that the run starts from."""
    return voltage_drop / voltage


@finds("voltage_drop_of_source")
def voltage_drop_beside_percent(voltage_drop: Volts, voltage_drop_percent: Percent) -> Volts:
    return voltage_drop


@finds(cites="voltage-drop-arithmetic", shows="{voltage} − {voltage_drop} = {result}")
def voltage_at_load(voltage: Volts, voltage_drop: Volts) -> Volts:
    """What is left arrives at the load."""
    if voltage_drop >= voltage:
        raise Refuse(f"The run would lose all of its {spoken(voltage)} V; is the length or the size right?", "distance")
    return voltage - voltage_drop


@mistake(of=drop_out_and_back, because="forgot that the current also comes back: the length counts twice")
def drop_one_way_only(constant_k: Number, run_current: Amps, one_way_length: Feet, run_area: Cmil) -> Volts:
    return constant_k * run_current * one_way_length / run_area


@mistake(of=drop_out_and_back, because="doubled the length and then counted it twice again")
def drop_doubled_twice(constant_k: Number, run_current: Amps, one_way_length: Feet, run_area: Cmil) -> Volts:
    return 4 * constant_k * run_current * one_way_length / run_area


@mistake(of=drop_out_and_back, because="took the factor of a three-phase run")
def drop_as_three_phase(
    square_root_of_three: Number, constant_k: Number, run_current: Amps, one_way_length: Feet, run_area: Cmil
) -> Volts:
    return square_root_of_three * constant_k * run_current * one_way_length / run_area


@mistake(of=drop_three_phase, because="took 2 for a three-phase run")
def drop_as_single_phase(constant_k: Number, run_current: Amps, one_way_length: Feet, run_area: Cmil) -> Volts:
    return 2 * constant_k * run_current * one_way_length / run_area


@mistake(of=drop_three_phase, because="left out the square root of three")
def drop_three_phase_without_root(constant_k: Number, run_current: Amps, one_way_length: Feet, run_area: Cmil) -> Volts:
    return constant_k * run_current * one_way_length / run_area


# --- what may be lost -------------------------------------------------------------------------------------------------
@finds(cites="voltage-drop-advice", shows="{voltage} × {target_percent} = {result}")
def allowed_drop(voltage: Volts, target_percent: Percent = ASSUMED) -> Volts:
    """Hold the drop to {target_percent} of {voltage}; that is good advice, no rule."""
    if target_percent >= 1:
        raise Refuse(
            f"A run cannot lose {target_percent:.0%} of its voltage; how many percent may it?", "target_percent"
        )
    return voltage * target_percent


@mistake(of=allowed_drop, because="held the drop to 5%, which is the advice for feeder and branch circuit together")
def allowed_drop_in_all(voltage: Volts, whole_drop_advice: Percent) -> Volts:
    return voltage * whole_drop_advice


# --- the size ---------------------------------------------------------------------------------------------------------
@finds(
    "required_area",
    cites="voltage-drop-arithmetic",
    when=no(three_phase),
    shows="2 × {constant_k} × {sizing_run_current} × {one_way_length} / {allowed_drop} = {result}",
)
def required_area_out_and_back(
    constant_k: Number, one_way_length: Feet, allowed_drop: Volts, sizing_run_current: Amps = ASSUMED
) -> Cmil:
    """The current goes out and comes back; so much area holds the drop."""
    return 2 * constant_k * sizing_run_current * one_way_length / allowed_drop


@finds(
    "required_area",
    cites="voltage-drop-arithmetic",
    when=three_phase,
    shows="{square_root_of_three} × {constant_k} × {sizing_run_current} × {one_way_length} / {allowed_drop} = {result}",
)
def required_area_three_phase(
    square_root_of_three: Number,
    constant_k: Number,
    one_way_length: Feet,
    allowed_drop: Volts,
    sizing_run_current: Amps = ASSUMED,
) -> Cmil:
    """In a three-phase run the length counts {square_root_of_three} times; so much area holds the drop."""
    return square_root_of_three * constant_k * sizing_run_current * one_way_length / allowed_drop


@finds("required_area_of_each", when=no(in_parallel))
def required_area_of_one(required_area: Cmil) -> Cmil:
    return required_area


@finds(
    "required_area_of_each",
    cites="conductor-properties",
    when=in_parallel,
    shows="{required_area} / {parallel_sets} = {result}",
)
def required_area_of_each(required_area: Cmil, parallel_sets: Count = ASSUMED) -> Cmil:
    """Conductors in parallel share the area."""
    return required_area / parallel_sets


@finds(cites="conductor-properties")
def size_for_drop(wire_areas: Table, required_area_of_each: Cmil) -> Size:
    """The first size with {required_area_of_each} or more is {result}."""
    try:
        size: str = wire_areas.next_up(required_area_of_each, "area_cmil")["size"]
    except OutsideTable:
        line = f"No size has {required_area_of_each:,.0f} cmil; how many run in parallel for each phase?"
        raise Refuse(line, "parallel_sets") from None
    return size


@finds("least_size_for_run", cites="voltage-drop-advice", when=drop_decides)
def size_of_run_by_drop(least_conductor_size: Size, size_for_drop: Size) -> Size:
    """The load alone would do with {least_conductor_size}; the drop decides: {result}."""
    return larger(least_conductor_size, size_for_drop)


@finds("least_size_for_run", cites="conductor-ampacity", when=no(drop_decides))
def size_of_run_by_load(least_conductor_size: Size, size_for_drop: Size) -> Size:
    """The drop alone would do with {size_for_drop}; the load decides: {result}."""
    return larger(least_conductor_size, size_for_drop)


@finds("load_runs_three_hours", cites="continuous-load", assumed=True)
def load_counted_as_it_is() -> Flag:
    """Nothing said that the load is continuous, so it was counted as it is."""
    return "no"


@mistake(of=required_area_out_and_back, because="forgot that the current also comes back: the length counts twice")
def required_area_one_way_only(
    constant_k: Number, one_way_length: Feet, allowed_drop: Volts, sizing_run_current: Amps = ASSUMED
) -> Cmil:
    return constant_k * sizing_run_current * one_way_length / allowed_drop


@mistake(of=required_area_out_and_back, because="doubled the length and then counted it twice again")
def required_area_doubled_twice(
    constant_k: Number, one_way_length: Feet, allowed_drop: Volts, sizing_run_current: Amps = ASSUMED
) -> Cmil:
    return 4 * constant_k * sizing_run_current * one_way_length / allowed_drop


@mistake(of=required_area_three_phase, because="took 2 for a three-phase run")
def required_area_as_single_phase(
    constant_k: Number, one_way_length: Feet, allowed_drop: Volts, sizing_run_current: Amps = ASSUMED
) -> Cmil:
    return 2 * constant_k * sizing_run_current * one_way_length / allowed_drop


@mistake(of=size_for_drop, because="rounded down to the next smaller size, which loses more than was aimed at")
def size_for_drop_rounded_down(wire_areas: Table, required_area_of_each: Cmil) -> Size:
    return wire_areas.at_most(required_area_of_each, "area_cmil")["size"]


@mistake(of=size_of_run_by_drop, because="looked at the load only and left out the drop")
def size_of_run_without_looking_at_drop(least_conductor_size: Size) -> Size:
    return least_conductor_size


@mistake(of=size_of_run_by_load, because="looked at the drop only; the conductor must also carry the load")
def size_of_run_without_looking_at_load(size_for_drop: Size) -> Size:
    return size_for_drop


# --- how far, how much ------------------------------------------------------------------------------------------------
@finds(
    "greatest_one_way_length",
    cites="voltage-drop-arithmetic",
    when=no(three_phase),
    shows="{allowed_drop} × {run_area} / (2 × {constant_k} × {sizing_run_current}) = {result}",
)
def longest_out_and_back(
    allowed_drop: Volts, run_area: Cmil, constant_k: Number, sizing_run_current: Amps = ASSUMED
) -> Feet:
    """The current goes out and comes back, so half of the wire is the run."""
    return allowed_drop * run_area / (2 * constant_k * sizing_run_current)


@finds(
    "greatest_one_way_length",
    cites="voltage-drop-arithmetic",
    when=three_phase,
    shows="{allowed_drop} × {run_area} / ({square_root_of_three} × {constant_k} × {sizing_run_current}) = {result}",
)
def longest_three_phase(
    allowed_drop: Volts,
    run_area: Cmil,
    square_root_of_three: Number,
    constant_k: Number,
    sizing_run_current: Amps = ASSUMED,
) -> Feet:
    """In a three-phase run the length counts {square_root_of_three} times."""
    return allowed_drop * run_area / (square_root_of_three * constant_k * sizing_run_current)


@finds("greatest_run", when=measured_one_way)
def greatest_run(greatest_one_way_length: Feet) -> Feet:
    return greatest_one_way_length


@finds(
    "greatest_run",
    cites="voltage-drop-arithmetic",
    when=no(measured_one_way),
    shows="{greatest_one_way_length} × 2 = {result}",
)
def greatest_loop(greatest_one_way_length: Feet) -> Feet:
    """Out and back it is twice that."""
    return greatest_one_way_length * 2


@finds(
    "load_for_drop",
    cites="voltage-drop-arithmetic",
    when=no(three_phase),
    shows="{allowed_drop} × {run_area} / (2 × {constant_k} × {one_way_length}) = {result}",
)
def greatest_load_out_and_back(allowed_drop: Volts, run_area: Cmil, constant_k: Number, one_way_length: Feet) -> Amps:
    """The current goes out and comes back; so many amperes lose just that much."""
    return allowed_drop * run_area / (2 * constant_k * one_way_length)


@finds(
    "load_for_drop",
    cites="voltage-drop-arithmetic",
    when=three_phase,
    shows="{allowed_drop} × {run_area} / ({square_root_of_three} × {constant_k} × {one_way_length}) = {result}",
)
def greatest_load_three_phase(
    allowed_drop: Volts, run_area: Cmil, square_root_of_three: Number, constant_k: Number, one_way_length: Feet
) -> Amps:
    """In a three-phase run the length counts {square_root_of_three} times; so many amperes lose just that much."""
    return allowed_drop * run_area / (square_root_of_three * constant_k * one_way_length)


@finds(cites="conductor-ampacity")
def greatest_run_load(load_for_drop: Amps, ampacity: Amps) -> Amps:
    """Take the smaller of {load_for_drop}, by the drop, and {ampacity}, what the conductor may carry."""
    return min(load_for_drop, ampacity)


@mistake(of=longest_out_and_back, because="forgot that the current also comes back: the length counts twice")
def longest_one_way_only(
    allowed_drop: Volts, run_area: Cmil, constant_k: Number, sizing_run_current: Amps = ASSUMED
) -> Feet:
    return allowed_drop * run_area / (constant_k * sizing_run_current)


@mistake(of=longest_out_and_back, because="halved the length twice")
def longest_halved_twice(
    allowed_drop: Volts, run_area: Cmil, constant_k: Number, sizing_run_current: Amps = ASSUMED
) -> Feet:
    return allowed_drop * run_area / (4 * constant_k * sizing_run_current)


@mistake(of=longest_three_phase, because="took 2 for a three-phase run")
def longest_as_single_phase(
    allowed_drop: Volts, run_area: Cmil, constant_k: Number, sizing_run_current: Amps = ASSUMED
) -> Feet:
    return allowed_drop * run_area / (2 * constant_k * sizing_run_current)


# --- a circuit's run: the conductor for a load at a distance, and its ground ------------------------------------------
circuit_runs = Subject("circuit_runs", builds_on=[circuits, voltage_drop])


@circuit_runs.finds("load_runs_three_hours", cites="continuous-load", assumed=True)
def load_counted_as_continuous() -> Flag:
    """Nothing said how long the load runs, so it was counted as continuous, the safe side."""
    return "yes"


@circuit_runs.finds(cites="conductor-ampacity")
def least_size_without_drop(
    least_conductor_size: Size, drop_is_ignored: Flag, distance: Feet | None = None, voltage: Volts | None = None
) -> Size:
    """The drop on the way is left out, as it was said: {result}."""
    return least_conductor_size


@circuit_runs.finds()
def required_conductor_size(least_conductor_size: Size) -> Size:
    return least_conductor_size


@circuit_runs.finds()
def installed_conductor_size(least_size_for_run: Size) -> Size:
    return least_size_for_run


@circuit_runs.finds("equipment_ground_of_one", when=no(drop_decides))
def equipment_ground_of_run(equipment_ground_of_table: Size) -> Size:
    return equipment_ground_of_table


circuit_runs.finds("equipment_ground_of_one", cites="equipment-ground-increase", when=drop_decides)(
    equipment_ground_increased
)

# --- a motor's run ----------------------------------------------------------------------------------------------------
motor_runs = Subject("motor_runs", builds_on=[motors, voltage_drop], thing="motor")


@motor_runs.finds("run_current", cites="motor-table-current")
def run_current_of_motor(full_load_current: Amps) -> Amps:
    """The drop goes by the motor's full-load current, {result}, without the 125%."""
    return full_load_current


@motor_runs.finds("sizing_run_current")
def sizing_current_of_motor(run_current: Amps) -> Amps:
    return run_current


@motor_runs.mistake(of=run_current_of_motor, because="took 125% of the motor's current; the drop goes by what flows")
def run_current_of_motor_with_factor(full_load_current: Amps, motor_conductor_factor: Percent) -> Amps:
    return full_load_current * motor_conductor_factor

"""One motor: its current, its conductors, its protective devices, its disconnect and its starting current."""

from __future__ import annotations

from askcode.calculators.conductors import conductors
from askcode.calculators.grounding import grounding, smaller
from askcode.calculators.overcurrent import overcurrent
from askcode.core.errors import OutsideTable, Refuse
from askcode.core.quantities import (
    Amps,
    Celsius,
    Choice,
    Flag,
    Horsepower,
    Kva,
    KvaPerHorsepower,
    Minutes,
    Number,
    Percent,
    Size,
    Volts,
)
from askcode.core.rules import ASSUMED, Subject, no
from askcode.core.tables import Table

motors = Subject("motors", builds_on=[conductors, overcurrent, grounding], thing="motor")
finds, mistake = motors.finds, motors.mistake

DUAL_ELEMENT = "dual-element fuse"
SOME_FUSE = "fuse"  # a fuse of which nobody said what kind it is
PHASES_OF_TYPE = {"dc": "dc", "single-phase": "1", "wound-rotor": "3", "synchronous": "3"}


def which_fuse() -> Refuse:
    """The two kinds of fuse have far different percentages, so neither is assumed."""
    kinds = [DUAL_ELEMENT, "nontime-delay fuse"]
    return Refuse("Which fuse is it: dual-element (time-delay) or nontime-delay?", "device_type", kinds)


def rating_column(device_type: str) -> str:
    """Fuses are made in a few more standard ratings than breakers."""
    return "breaker" if device_type.endswith("breaker") else "rating"


# --- when -------------------------------------------------------------------------------------------------------------
def single_phase(phases: Choice = ASSUMED) -> bool:
    """the motor is single-phase"""
    return phases == "1"


def three_phase(phases: Choice = ASSUMED) -> bool:
    """the motor is three-phase"""
    return phases == "3"


def direct_current(phases: Choice = ASSUMED) -> bool:
    """it is a direct-current motor"""
    return phases == "dc"


def synchronous(motor_type: Choice = ASSUMED) -> bool:
    """it is a synchronous motor"""
    return motor_type == "synchronous"


def type_tells_phases(motor_type: Choice | None = None) -> bool:
    """the kind of motor tells its phases"""
    return motor_type in PHASES_OF_TYPE


def beyond_single_phase_table(
    motor_currents_single_phase: Table,
    motor_voltage_columns: Table,
    horsepower: Horsepower | None = None,
    voltage: Volts | None = None,
) -> bool:
    """the single-phase table has no motor of this horsepower or voltage"""
    try:
        if voltage is not None and motor_voltage_columns.between(voltage).get("single_phase") is None:
            return True
        if horsepower is not None:
            motor_currents_single_phase.next_up(horsepower)
    except OutsideTable:
        return True
    return False


def has_design_letter_for_75(design_letter: Choice | None = None) -> bool:
    """the nameplate shows design letter B, C or D"""
    return design_letter in ("B", "C", "D")


def squirrel_cage_without_letter(
    motor_currents_single_phase: Table,
    motor_voltage_columns: Table,
    phases: Choice | None = None,
    motor_type: Choice | None = None,
    design_letter: Choice | None = None,
    horsepower: Horsepower | None = None,
    voltage: Volts | None = None,
) -> bool:
    """it is a three-phase squirrel-cage motor and no design letter was named"""
    if design_letter is not None or motor_type not in (None, "squirrel-cage"):
        return False
    if phases is not None:
        return phases == "3"
    return beyond_single_phase_table(motor_currents_single_phase, motor_voltage_columns, horsepower, voltage)


def continuous_duty(duty: Choice = ASSUMED) -> bool:
    """the motor runs in continuous duty"""
    return duty == "continuous"


def inverse_time(device_type: Choice = ASSUMED) -> bool:
    """the device is an inverse-time breaker"""
    return device_type == "inverse-time breaker"


def instantaneous_trip(device_type: Choice = ASSUMED) -> bool:
    """the device is an instantaneous-trip breaker"""
    return device_type == "instantaneous-trip breaker"


def dual_element(device_type: Choice = ASSUMED) -> bool:
    """the device is a dual-element fuse"""
    return device_type == DUAL_ELEMENT


def nontime_delay(device_type: Choice = ASSUMED) -> bool:
    """the device is a nontime-delay fuse"""
    return device_type == "nontime-delay fuse"


def unspecific_fuse(device_type: Choice = ASSUMED) -> bool:
    """the device is a fuse of an unnamed kind"""
    return device_type == SOME_FUSE


def will_not_start(starting: Choice = ASSUMED) -> bool:
    """the motor will not start on the device of the usual size"""
    return starting == "will not start"


def efficient_design_b(energy_efficient: Flag = ASSUMED) -> bool:
    """it is an energy-efficient or premium-efficiency Design B motor"""
    return energy_efficient == "yes"


def squirrel_cage(motor_type: Choice = ASSUMED) -> bool:
    """it is a squirrel-cage motor"""
    return motor_type == "squirrel-cage"


def breaker_limit_is_passed(full_load_current: Amps, device_ceiling_breaker_limit: Amps) -> bool:
    """the full-load current is above 100 A"""
    return full_load_current > device_ceiling_breaker_limit


def large_fuse_is_reached(
    full_load_current: Amps, device_ceiling_fuse_large: Percent, device_ceiling_fuse_limit: Amps
) -> bool:
    """the percentage for fuses above 600 A gives one above 600 A"""
    return full_load_current * device_ceiling_fuse_large > device_ceiling_fuse_limit


def ceiling_is_higher(device_limit: Amps, usual_device_rating: Amps) -> bool:
    """the ceiling lies above the device of the usual size"""
    return device_limit > usual_device_rating


def marks_are_given(service_factor: Number | None = None, temperature_rise: Celsius | None = None) -> bool:
    """a service factor or a temperature rise was named"""
    return service_factor is not None or temperature_rise is not None


def overload_marking_allows_more(marked_for_more: Flag = ASSUMED) -> bool:
    """a service factor of 1.15 or more, or a rise of 40 °C or less, is marked"""
    return marked_for_more == "yes"


def usual_overload_trips(overload_trips: Flag = ASSUMED) -> bool:
    """the usual overload setting trips while the motor starts or carries its load"""
    return overload_trips == "yes"


def code_letter_is_given(code_letter: Choice | None = None) -> bool:
    """the code letter was named"""
    return code_letter is not None


# --- the supply -------------------------------------------------------------------------------------------------------
@finds("phases", cites="motor-table-current", when=type_tells_phases)
def phases_of_type(motor_type: Choice = ASSUMED) -> Choice:
    return PHASES_OF_TYPE[motor_type]


@finds("phases", when=beyond_single_phase_table, assumed=True)
def phases_beyond_single_phase_table() -> Choice:
    """Three-phase (3): the single-phase table has no motor of this horsepower or voltage."""
    return "3"


@finds("table_voltage", cites="motor-voltage-names", when=single_phase)
def table_voltage_single_phase(motor_voltage_columns: Table, voltage: Volts) -> Volts:
    """A {voltage} supply is read in the {result} column of the single-phase table."""
    return motor_voltage_columns.between(voltage)["single_phase"]


@finds("table_voltage", cites="motor-voltage-names", when=three_phase)
def table_voltage_three_phase(motor_voltage_columns: Table, voltage: Volts) -> Volts:
    """A {voltage} supply is read in the {result} column of the three-phase table."""
    return motor_voltage_columns.between(voltage)["three_phase"]


@finds("table_voltage", cites="motor-currents-dc", when=direct_current)
def table_voltage_dc(motor_voltage_columns: Table, voltage: Volts) -> Volts:
    """A {voltage} supply is read in the {result} column of the direct-current table."""
    return motor_voltage_columns.between(voltage)["dc"]


# --- the full-load current --------------------------------------------------------------------------------------------
@finds("full_load_current", cites=("motor-table-current", "motor-currents-single-phase"), when=single_phase)
def full_load_current_single_phase(
    motor_currents_single_phase: Table, horsepower: Horsepower, table_voltage: Volts
) -> Amps:
    """Take the full-load current from the table, not the nameplate: {horsepower} at {table_voltage} is {result}."""
    return motor_currents_single_phase.exact(horsepower)[table_voltage]


@finds(
    "full_load_current",
    cites=("motor-table-current", "motor-currents-three-phase"),
    when=(three_phase, no(synchronous)),
)
def full_load_current_three_phase(
    motor_currents_three_phase: Table, horsepower: Horsepower, table_voltage: Volts
) -> Amps:
    """Take the full-load current from the table, not the nameplate: {horsepower} at {table_voltage} is {result}."""
    return motor_currents_three_phase.exact(horsepower)[table_voltage]


@finds(
    "full_load_current", cites=("motor-table-current", "motor-currents-three-phase"), when=(three_phase, synchronous)
)
def full_load_current_synchronous(
    synchronous_motor_currents: Table, horsepower: Horsepower, table_voltage: Volts
) -> Amps:
    """Read the synchronous side of the table (unity power factor): {horsepower} at {table_voltage} is {result}."""
    return synchronous_motor_currents.exact(horsepower)[table_voltage]


@finds("full_load_current", cites=("motor-table-current", "motor-currents-dc"), when=direct_current)
def full_load_current_dc(motor_currents_dc: Table, horsepower: Horsepower, table_voltage: Volts) -> Amps:
    """Take the full-load current from the table of dc motors: {horsepower} at {table_voltage} is {result}."""
    return motor_currents_dc.exact(horsepower)[table_voltage]


@mistake(of=full_load_current_single_phase, because="read the three-phase table for a single-phase motor")
def single_phase_from_three_phase_table(
    motor_currents_three_phase: Table, horsepower: Horsepower, table_voltage: Volts
) -> Amps:
    return motor_currents_three_phase.exact(horsepower)[table_voltage]


@mistake(of=full_load_current_single_phase, because="read the column of the next lower voltage")
def single_phase_in_lower_column(
    motor_currents_single_phase: Table, horsepower: Horsepower, table_voltage: Volts
) -> Amps:
    return motor_currents_single_phase.exact(horsepower)[_column_beside(motor_currents_single_phase, table_voltage, -1)]


@mistake(of=full_load_current_single_phase, because="read the column of the next higher voltage")
def single_phase_in_higher_column(
    motor_currents_single_phase: Table, horsepower: Horsepower, table_voltage: Volts
) -> Amps:
    return motor_currents_single_phase.exact(horsepower)[_column_beside(motor_currents_single_phase, table_voltage, 1)]


@mistake(of=full_load_current_single_phase, because="used the nameplate current instead of the table's")
def nameplate_for_single_phase(nameplate_current: Amps) -> Amps:
    return nameplate_current


@mistake(of=full_load_current_three_phase, because="read the single-phase table for a three-phase motor")
def three_phase_from_single_phase_table(
    motor_currents_single_phase: Table, horsepower: Horsepower, table_voltage: Volts
) -> Amps:
    return motor_currents_single_phase.exact(horsepower)[table_voltage]


@mistake(of=full_load_current_three_phase, because="read the column of the next lower voltage")
def three_phase_in_lower_column(
    motor_currents_three_phase: Table, horsepower: Horsepower, table_voltage: Volts
) -> Amps:
    return motor_currents_three_phase.exact(horsepower)[_column_beside(motor_currents_three_phase, table_voltage, -1)]


@mistake(of=full_load_current_three_phase, because="read the column of the next higher voltage")
def three_phase_in_higher_column(
    motor_currents_three_phase: Table, horsepower: Horsepower, table_voltage: Volts
) -> Amps:
    return motor_currents_three_phase.exact(horsepower)[_column_beside(motor_currents_three_phase, table_voltage, 1)]


@mistake(of=full_load_current_three_phase, because="read the row of the next larger motor")
def three_phase_in_next_row(motor_currents_three_phase: Table, horsepower: Horsepower, table_voltage: Volts) -> Amps:
    return motor_currents_three_phase.next_up(horsepower + 0.01)[table_voltage]


@mistake(of=full_load_current_three_phase, because="used the nameplate current instead of the table's")
def nameplate_for_three_phase(nameplate_current: Amps) -> Amps:
    return nameplate_current


@mistake(of=full_load_current_synchronous, because="read the induction side of the table for a synchronous motor")
def synchronous_from_induction_side(
    motor_currents_three_phase: Table, horsepower: Horsepower, table_voltage: Volts
) -> Amps:
    return motor_currents_three_phase.exact(horsepower)[table_voltage]


@mistake(of=full_load_current_dc, because="read the single-phase table for a dc motor")
def dc_from_single_phase_table(
    motor_currents_single_phase: Table, horsepower: Horsepower, voltage: Volts, motor_voltage_columns: Table
) -> Amps:
    return motor_currents_single_phase.exact(horsepower)[motor_voltage_columns.between(voltage)["single_phase"]]


def _column_beside(table: Table, voltage: float, step: int) -> str:
    """The voltage column beside the right one, into which a finger slips; refused at the table's edge."""
    names = [c.name for c in table.columns if c.name != table.key]
    at = names.index(f"{voltage:g}") + step
    if not 0 <= at < len(names):
        raise Refuse("there is no column beside this one")
    return names[at]


# --- conductors -------------------------------------------------------------------------------------------------------
@finds("sizing_current", when=continuous_duty)
def sizing_current(full_load_current: Amps) -> Amps:
    return full_load_current


@finds("sizing_current", when=no(continuous_duty))
def sizing_current_of_duty(nameplate_current: Amps) -> Amps:
    return nameplate_current


@finds("sizing_percent", when=continuous_duty)
def sizing_percent(motor_conductor_factor: Percent) -> Percent:
    return motor_conductor_factor


@finds("sizing_percent", cites="motor-duty-conductors", when=no(continuous_duty))
def sizing_percent_of_duty(motor_duty_percents: Table, time_rating: Minutes, duty: Choice = ASSUMED) -> Percent:
    """For {duty} duty and a time rating of {time_rating} take {result} of the nameplate current."""
    rated = "30-60" if time_rating in ("30", "60") else time_rating
    return motor_duty_percents.exact(duty)[rated]


@finds(
    "required_ampacity",
    cites="motor-conductors",
    when=continuous_duty,
    shows="{sizing_current} × {sizing_percent} = {result}",
)
def required_ampacity(sizing_current: Amps, sizing_percent: Percent) -> Amps:
    """Let the conductors carry {sizing_percent} of the motor's full-load current."""
    return sizing_current * sizing_percent


@finds(
    "required_ampacity",
    cites="motor-duty-conductors",
    when=no(continuous_duty),
    shows="{sizing_current} × {sizing_percent} = {result}",
)
def required_ampacity_of_duty(sizing_current: Amps, sizing_percent: Percent) -> Amps:
    """Let the conductors carry that part of the nameplate current."""
    return sizing_current * sizing_percent


@finds(cites="motor-conductors")
def actual_load(required_ampacity: Amps) -> Amps:
    """A motor's conductors must still carry {result} after warmth and company are taken off."""
    return required_ampacity


@finds("terminal_temperature", cites="motor-terminal-temperature", when=has_design_letter_for_75)
def terminal_temperature_of_design_letter(high_terminal_temperature: Celsius) -> Celsius:
    """A motor with design letter B, C or D may use the {result} column."""
    return high_terminal_temperature


@finds("terminal_temperature", cites="motor-terminal-temperature", when=squirrel_cage_without_letter, assumed=True)
def terminal_temperature_of_squirrel_cage(high_terminal_temperature: Celsius) -> Celsius:
    """Nearly all three-phase squirrel-cage motors carry design letter B, and those may use the 75 °C column."""
    return high_terminal_temperature


@finds(
    "terminal_temperature",
    cites="terminal-temperature",
    when=(no(has_design_letter_for_75), no(squirrel_cage_without_letter)),
    assumed=True,
)
def terminal_temperature_of_other_motor(
    required_ampacity: Amps,
    terminal_limit_current: Amps,
    low_terminal_temperature: Celsius,
    high_terminal_temperature: Celsius,
) -> Celsius:
    """Terminals count as 60 °C up to 100 A and as 75 °C above, unless they are marked."""
    return low_terminal_temperature if required_ampacity <= terminal_limit_current else high_terminal_temperature


@mistake(of=required_ampacity, because="left out the 125%")
def required_ampacity_without_factor(full_load_current: Amps) -> Amps:
    return full_load_current


@mistake(of=required_ampacity, because="took the percentage of the nameplate current instead of the table's")
def required_ampacity_of_nameplate(nameplate_current: Amps, motor_conductor_factor: Percent) -> Amps:
    return nameplate_current * motor_conductor_factor


@mistake(of=required_ampacity, because="sized the conductors to the breaker, which may be far larger than the wire")
def required_ampacity_of_device(greatest_device_rating: Amps) -> Amps:
    return greatest_device_rating


@mistake(of=required_ampacity_of_duty, because="took 125%, which is for continuous duty")
def duty_at_continuous_factor(full_load_current: Amps, motor_conductor_factor: Percent) -> Amps:
    return full_load_current * motor_conductor_factor


# --- the short-circuit device -----------------------------------------------------------------------------------------
@finds("percent_row", when=single_phase)
def percent_row_single_phase() -> Choice:
    return "single-phase"


@finds("percent_row", when=direct_current)
def percent_row_dc() -> Choice:
    return "dc"


@finds("percent_row", when=three_phase)
def percent_row_of_type(motor_type: Choice = ASSUMED) -> Choice:
    return motor_type


@finds(
    "percent_row",
    when=(three_phase, instantaneous_trip, squirrel_cage, efficient_design_b),
    over=percent_row_of_type,
)
def percent_row_energy_efficient() -> Choice:
    return "design-b-energy-efficient"


@finds("device_ceiling_percent", cites="motor-device-ceiling", when=unspecific_fuse)
def ceiling_percent_of_some_fuse(device_type: Choice = ASSUMED) -> Percent:
    raise which_fuse()


@finds(cites="motor-device")
def usual_device_percent(motor_device_percents: Table, percent_row: Choice, device_type: Choice = ASSUMED) -> Percent:
    """For this kind of motor ({percent_row}) and this device ({device_type}) the limit is {result} of the current."""
    if device_type == SOME_FUSE:
        raise which_fuse()
    return motor_device_percents.exact(percent_row)[device_type]


@finds("motor_device_percent", when=no(will_not_start))
def motor_device_percent(usual_device_percent: Percent) -> Percent:
    return usual_device_percent


@finds("motor_device_percent", when=will_not_start)
def motor_device_percent_of_ceiling(device_ceiling_percent: Percent) -> Percent:
    return device_ceiling_percent


@finds(cites="motor-device", shows="{full_load_current} × {motor_device_percent} = {result}")
def device_limit(full_load_current: Amps, motor_device_percent: Percent) -> Amps:
    """Take that percentage of the table's full-load current."""
    return full_load_current * motor_device_percent


@finds(
    "greatest_device_rating",
    cites=("motor-device-next-size", "standard-ratings"),
    when=(no(will_not_start), no(instantaneous_trip)),
)
def greatest_device_rating(standard_device_ratings: Table, device_limit: Amps, device_type: Choice = ASSUMED) -> Amps:
    """The standard rating at or next above {device_limit} is {result}."""
    return standard_device_ratings.next_up(device_limit, rating_column(device_type))["rating"]


@finds("greatest_device_rating", cites="motor-instantaneous-trip", when=(no(will_not_start), instantaneous_trip))
def greatest_instantaneous_setting(device_limit: Amps) -> Amps:
    """An instantaneous-trip breaker is adjustable: set it at {result} at most; standard ratings do not matter."""
    return device_limit


# --- ... when the motor will not start --------------------------------------------------------------------------------
@finds("device_ceiling_percent", cites="motor-device-ceiling", when=(inverse_time, no(breaker_limit_is_passed)))
def ceiling_percent_small_breaker(device_ceiling_breaker_small: Percent, device_ceiling_breaker_limit: Amps) -> Percent:
    """A breaker may go to {result} if the motor will not start and draws {device_ceiling_breaker_limit} or less."""
    return device_ceiling_breaker_small


@finds("device_ceiling_percent", cites="motor-device-ceiling", when=(inverse_time, breaker_limit_is_passed))
def ceiling_percent_large_breaker(device_ceiling_breaker_large: Percent, device_ceiling_breaker_limit: Amps) -> Percent:
    """A breaker may go to {result} if the motor will not start and draws over {device_ceiling_breaker_limit}."""
    return device_ceiling_breaker_large


@finds("device_ceiling_percent", cites="motor-device-ceiling", when=dual_element)
def ceiling_percent_dual_element(device_ceiling_dual_element: Percent) -> Percent:
    """If the motor will not start, a dual-element fuse may go to {result}."""
    return device_ceiling_dual_element


@finds("device_ceiling_percent", cites="motor-device-ceiling", when=(nontime_delay, no(large_fuse_is_reached)))
def ceiling_percent_nontime_delay(device_ceiling_nontime_delay: Percent, device_ceiling_fuse_limit: Amps) -> Percent:
    """If the motor will not start, a nontime-delay fuse of up to {device_ceiling_fuse_limit} may go to {result}."""
    return device_ceiling_nontime_delay


@finds("device_ceiling_percent", cites="motor-device-ceiling", when=(nontime_delay, large_fuse_is_reached))
def ceiling_percent_large_fuse(device_ceiling_fuse_large: Percent, device_ceiling_fuse_limit: Amps) -> Percent:
    """If the motor will not start, a fuse above {device_ceiling_fuse_limit} may go to {result}."""
    return device_ceiling_fuse_large


@finds("device_ceiling_percent", cites="motor-instantaneous-trip", when=(instantaneous_trip, no(efficient_design_b)))
def ceiling_percent_instantaneous(instantaneous_ceiling: Percent) -> Percent:
    """If the motor will not start, an instantaneous-trip breaker may be set up to {result}."""
    return instantaneous_ceiling


@finds("device_ceiling_percent", cites="motor-instantaneous-trip", when=(instantaneous_trip, efficient_design_b))
def ceiling_percent_instantaneous_efficient(instantaneous_ceiling_design_b_efficient: Percent) -> Percent:
    """If an energy-efficient Design B motor will not start, an instantaneous-trip breaker may be set up to {result}."""
    return instantaneous_ceiling_design_b_efficient


@finds("usual_device_limit", cites="motor-device", shows="{full_load_current} × {usual_device_percent} = {result}")
def usual_device_limit(full_load_current: Amps, usual_device_percent: Percent) -> Amps:
    """With the ordinary percentage it would be {result}."""
    return full_load_current * usual_device_percent


@finds(cites=("motor-device-next-size", "standard-ratings"))
def usual_device_rating(
    standard_device_ratings: Table, usual_device_limit: Amps, device_type: Choice = ASSUMED
) -> Amps:
    """The usual device is the standard rating at or next above {usual_device_limit}: {result}."""
    return standard_device_ratings.next_up(usual_device_limit, rating_column(device_type))["rating"]


@finds(
    "greatest_device_rating",
    cites=("motor-device-ceiling", "standard-ratings"),
    when=(will_not_start, no(instantaneous_trip), ceiling_is_higher),
)
def greatest_rating_below_ceiling(
    standard_device_ratings: Table, device_limit: Amps, device_type: Choice = ASSUMED
) -> Amps:
    """Nothing is rounded up past the ceiling: the largest standard rating within {device_limit} is {result}."""
    return standard_device_ratings.at_most(device_limit, rating_column(device_type))["rating"]


@finds(
    "greatest_device_rating",
    cites=("motor-device-ceiling", "standard-ratings"),
    when=(will_not_start, nontime_delay, no(large_fuse_is_reached), ceiling_is_higher),
    over=greatest_rating_below_ceiling,
)
def greatest_small_fuse_below_ceiling(
    standard_device_ratings: Table, device_limit: Amps, device_ceiling_fuse_limit: Amps
) -> Amps:
    """That percentage ends with fuses of {device_ceiling_fuse_limit}: the largest standard rating is {result}."""
    return standard_device_ratings.at_most(min(device_limit, device_ceiling_fuse_limit))["rating"]


@finds(
    "greatest_device_rating",
    cites=("motor-device-next-size", "motor-device-ceiling"),
    when=(will_not_start, no(instantaneous_trip), no(ceiling_is_higher)),
)
def greatest_rating_at_usual_size(usual_device_rating: Amps, device_limit: Amps) -> Amps:
    """The ceiling of {device_limit} gives no larger standard rating than the usual one, {result}."""
    return usual_device_rating


@finds("greatest_device_rating", cites="motor-instantaneous-trip", when=(will_not_start, instantaneous_trip))
def greatest_instantaneous_ceiling(device_limit: Amps) -> Amps:
    """The setting is adjustable, so it may stand at {result}."""
    return device_limit


@mistake(of=greatest_device_rating, because="rounded down to a standard rating, although the next one up is allowed")
def device_rounded_down(standard_device_ratings: Table, device_limit: Amps, device_type: Choice = ASSUMED) -> Amps:
    return standard_device_ratings.at_most(device_limit, rating_column(device_type))["rating"]


@mistake(of=device_limit, because="took 125%, which is for the conductors")
def device_at_conductor_factor(full_load_current: Amps, motor_conductor_factor: Percent) -> Amps:
    return full_load_current * motor_conductor_factor


@mistake(of=device_limit, because="took the percentage of the nameplate current instead of the table's")
def device_of_nameplate(nameplate_current: Amps, motor_device_percent: Percent) -> Amps:
    return nameplate_current * motor_device_percent


@mistake(of=usual_device_percent, because="took the percentage of an inverse-time breaker")
def percent_of_breaker(motor_device_percents: Table, percent_row: Choice) -> Percent:
    return motor_device_percents.exact(percent_row)["inverse-time breaker"]


@mistake(of=usual_device_percent, because="took the percentage of a dual-element fuse")
def percent_of_dual_element(motor_device_percents: Table, percent_row: Choice) -> Percent:
    return motor_device_percents.exact(percent_row)[DUAL_ELEMENT]


@mistake(of=usual_device_percent, because="took the percentage of a nontime-delay fuse")
def percent_of_nontime_delay(motor_device_percents: Table, percent_row: Choice) -> Percent:
    return motor_device_percents.exact(percent_row)["nontime-delay fuse"]


@mistake(of=usual_device_percent, because="read the squirrel-cage row for another kind of motor")
def percent_of_squirrel_cage(motor_device_percents: Table, device_type: Choice = ASSUMED) -> Percent:
    return motor_device_percents.exact("squirrel-cage")[device_type]


@mistake(of=greatest_rating_below_ceiling, because="rounded up past the ceiling, where no next size up is allowed")
def rating_above_ceiling(standard_device_ratings: Table, device_limit: Amps, device_type: Choice = ASSUMED) -> Amps:
    return standard_device_ratings.next_up(device_limit, rating_column(device_type))["rating"]


@mistake(of=greatest_rating_below_ceiling, because="stayed at the usual percentage, although the motor will not start")
def rating_not_raised(usual_device_rating: Amps) -> Amps:
    return usual_device_rating


@mistake(of=greatest_device_rating, because="took the ceiling, which is only for a motor that will not start")
def rating_raised_at_once(
    standard_device_ratings: Table,
    full_load_current: Amps,
    device_ceiling_percent: Percent,
    device_type: Choice = ASSUMED,
) -> Amps:
    ceiling = full_load_current * device_ceiling_percent
    return standard_device_ratings.at_most(ceiling, rating_column(device_type))["rating"]


@mistake(
    of=greatest_instantaneous_setting, because="rounded up to a standard rating, which an adjustable setting has not"
)
def instantaneous_rounded_up(standard_device_ratings: Table, device_limit: Amps) -> Amps:
    return standard_device_ratings.next_up(device_limit, "breaker")["rating"]


# --- what a feeder and an equipment ground go by ----------------------------------------------------------------------
@finds("dual_element_percent", cites="motor-device")
def dual_element_percent(motor_device_percents: Table, percent_row: Choice) -> Percent:
    """In its place count a dual-element fuse, {result} of the full-load current."""
    return motor_device_percents.exact(percent_row)[DUAL_ELEMENT]


@finds(cites="motor-device", shows="{full_load_current} × {dual_element_percent} = {result}")
def dual_element_limit(full_load_current: Amps, dual_element_percent: Percent) -> Amps:
    """Take that percentage of the full-load current."""
    return full_load_current * dual_element_percent


@finds("counted_device_rating", cites="motor-device", when=no(instantaneous_trip))
def counted_device_rating(greatest_device_rating: Amps) -> Amps:
    return greatest_device_rating


@finds("counted_device_rating", cites=("motor-device-next-size", "standard-ratings"), when=instantaneous_trip)
def counted_dual_element_rating(standard_device_ratings: Table, dual_element_limit: Amps) -> Amps:
    """An instantaneous-trip breaker has no rating; the fuse at or next above {dual_element_limit} is {result}."""
    return standard_device_ratings.next_up(dual_element_limit, "rating")["rating"]


@finds("branch_device_rating")
def branch_device_rating(counted_device_rating: Amps) -> Amps:
    return counted_device_rating


@finds("device_rating", cites="equipment-ground-motor", when=no(instantaneous_trip))
def device_rating(counted_device_rating: Amps) -> Amps:
    """No smaller device was named, so count the largest that is allowed: {result}."""
    return counted_device_rating


@finds("device_rating", cites="equipment-ground-motor", when=instantaneous_trip)
def device_rating_of_dual_element(counted_device_rating: Amps) -> Amps:
    """With an instantaneous-trip breaker the equipment ground goes by the largest dual-element fuse: {result}."""
    return counted_device_rating


# --- overload ---------------------------------------------------------------------------------------------------------
@finds("marked_for_more", cites="motor-overload", when=marks_are_given)
def marked_for_more(
    service_factor_mark: Number,
    temperature_rise_mark: Celsius,
    service_factor: Number | None = None,
    temperature_rise: Celsius | None = None,
) -> Flag:
    """Is a service factor of {service_factor_mark} up or a rise of {temperature_rise_mark} down marked? {result}."""
    strong = service_factor is not None and service_factor >= service_factor_mark
    cool = temperature_rise is not None and temperature_rise <= temperature_rise_mark
    return "yes" if strong or cool else "no"


@finds("overload_factor", cites="motor-overload", when=(no(usual_overload_trips), overload_marking_allows_more))
def overload_factor_with_mark(overload_factor_marked: Percent) -> Percent:
    """With a marked 1.15 service factor or 40 °C rise, the overload may be set at {result} of the nameplate."""
    return overload_factor_marked


@finds("overload_factor", cites="motor-overload", when=(no(usual_overload_trips), no(overload_marking_allows_more)))
def overload_factor_without_mark(overload_factor_other: Percent) -> Percent:
    """Without a marked 1.15 service factor or 40 °C rise, the overload may be set at {result} of the nameplate."""
    return overload_factor_other


@finds("overload_factor", cites="motor-overload-step-up", when=(usual_overload_trips, overload_marking_allows_more))
def overload_step_up_with_mark(overload_step_up_marked: Percent) -> Percent:
    """As the usual setting trips, it may be raised to {result} of the nameplate current."""
    return overload_step_up_marked


@finds("overload_factor", cites="motor-overload-step-up", when=(usual_overload_trips, no(overload_marking_allows_more)))
def overload_step_up_without_mark(overload_step_up_other: Percent) -> Percent:
    """As the usual setting trips, it may be raised to {result} of the nameplate current."""
    return overload_step_up_other


@finds(cites="motor-overload", shows="{nameplate_current} × {overload_factor} = {result}")
def greatest_overload_setting(nameplate_current: Amps, overload_factor: Percent) -> Amps:
    """Set the overload from the nameplate, and do not round up."""
    return nameplate_current * overload_factor


@mistake(of=greatest_overload_setting, because="used the table's current instead of the nameplate's")
def overload_of_table_current(full_load_current: Amps, overload_factor: Percent) -> Amps:
    return full_load_current * overload_factor


@mistake(of=greatest_overload_setting, because="rounded up to a standard breaker rating, which overloads have not")
def overload_rounded_up(standard_device_ratings: Table, nameplate_current: Amps, overload_factor: Percent) -> Amps:
    return standard_device_ratings.next_up(nameplate_current * overload_factor, "breaker")["rating"]


@mistake(of=overload_factor_with_mark, because="took the percentage of a motor without such a mark")
def overload_as_unmarked(overload_factor_other: Percent) -> Percent:
    return overload_factor_other


@mistake(of=overload_factor_with_mark, because="took the step-up at once, which is only for an overload that trips")
def overload_stepped_up_at_once(overload_step_up_marked: Percent) -> Percent:
    return overload_step_up_marked


@mistake(of=overload_factor_without_mark, because="took the percentage for a service factor of 1.15 or a rise of 40 °C")
def overload_as_marked(overload_factor_marked: Percent) -> Percent:
    return overload_factor_marked


@mistake(of=overload_factor_without_mark, because="took the step-up at once, which is only for an overload that trips")
def unmarked_stepped_up_at_once(overload_step_up_other: Percent) -> Percent:
    return overload_step_up_other


@mistake(of=overload_step_up_with_mark, because="stayed at the first percentage, although the overload trips")
def marked_not_stepped_up(overload_factor_marked: Percent) -> Percent:
    return overload_factor_marked


@mistake(of=overload_step_up_without_mark, because="stayed at the first percentage, although the overload trips")
def unmarked_not_stepped_up(overload_factor_other: Percent) -> Percent:
    return overload_factor_other


# --- disconnect -------------------------------------------------------------------------------------------------------
@finds(cites="motor-disconnect-rating", shows="{full_load_current} × {motor_disconnect_factor} = {result}")
def least_disconnect_rating(full_load_current: Amps, motor_disconnect_factor: Percent) -> Amps:
    """Rate the disconnect for {motor_disconnect_factor} of the full-load current."""
    return full_load_current * motor_disconnect_factor


@mistake(of=least_disconnect_rating, because="took 125%, which is for the conductors")
def disconnect_at_conductor_factor(full_load_current: Amps, motor_conductor_factor: Percent) -> Amps:
    return full_load_current * motor_conductor_factor


@mistake(of=least_disconnect_rating, because="left out the 115%")
def disconnect_without_factor(full_load_current: Amps) -> Amps:
    return full_load_current


# --- locked rotor -----------------------------------------------------------------------------------------------------
@finds(cites="motor-locked-rotor")
def locked_rotor_kva_per_horsepower(code_letters: Table, code_letter: Choice) -> KvaPerHorsepower:
    """Code letter {code_letter} goes up to {result}."""
    return code_letters.exact(code_letter)["greatest"]


@finds(cites="motor-locked-rotor", shows="{horsepower} × {locked_rotor_kva_per_horsepower} = {result}")
def locked_rotor_kva(horsepower: Horsepower, locked_rotor_kva_per_horsepower: KvaPerHorsepower) -> Kva:
    """Multiply by the horsepower."""
    return horsepower * locked_rotor_kva_per_horsepower


@finds(
    "locked_rotor_current",
    cites="motor-locked-rotor",
    when=(code_letter_is_given, single_phase),
    shows="{locked_rotor_kva} × 1000 / {voltage} = {result}",
)
def locked_rotor_current_single_phase(locked_rotor_kva: Kva, voltage: Volts) -> Amps:
    """Divide by the voltage."""
    return locked_rotor_kva * 1000 / voltage


@finds(
    "locked_rotor_current",
    cites=("motor-locked-rotor", "three-phase-current"),
    when=(code_letter_is_given, three_phase),
    shows="{locked_rotor_kva} × 1000 / {voltage} / {square_root_of_three} = {result}",
)
def locked_rotor_current_three_phase(locked_rotor_kva: Kva, voltage: Volts, square_root_of_three: Number) -> Amps:
    """Divide by the voltage and, for three phases, by {square_root_of_three}."""
    return locked_rotor_kva * 1000 / voltage / square_root_of_three


@finds("locked_rotor_current", cites="motor-locked-rotor-tables", when=(no(code_letter_is_given), single_phase))
def locked_rotor_current_of_single_phase_table(
    locked_rotor_currents_single_phase: Table, horsepower: Horsepower, table_voltage: Volts
) -> Amps:
    """Without a code letter, read the locked-rotor table: {horsepower} at {table_voltage} is {result}."""
    return locked_rotor_currents_single_phase.exact(horsepower)[table_voltage]


@finds("locked_rotor_current", cites="motor-locked-rotor-tables", when=(no(code_letter_is_given), three_phase))
def locked_rotor_current_of_three_phase_table(
    locked_rotor_currents_three_phase: Table, horsepower: Horsepower, table_voltage: Volts
) -> Amps:
    """Without a code letter, read the table for designs B, C and D: {horsepower} at {table_voltage} is {result}."""
    return locked_rotor_currents_three_phase.exact(horsepower)[table_voltage]


@mistake(of=locked_rotor_current_three_phase, because="left out the square root of three")
def locked_rotor_without_root(locked_rotor_kva: Kva, voltage: Volts) -> Amps:
    return locked_rotor_kva * 1000 / voltage


@mistake(of=locked_rotor_current_single_phase, because="divided by the square root of three, which is for three phases")
def locked_rotor_with_root(locked_rotor_kva: Kva, voltage: Volts, square_root_of_three: Number) -> Amps:
    return locked_rotor_kva * 1000 / voltage / square_root_of_three


@mistake(of=locked_rotor_kva_per_horsepower, because="took the lower end of the code letter's range")
def lower_end_of_code_letter(code_letters: Table, code_letter: Choice) -> KvaPerHorsepower:
    return code_letters.exact(code_letter)["least"]


# --- its equipment ground ---------------------------------------------------------------------------------------------
def ground_and_conductors_alike(grounding_metal: Choice = ASSUMED, conductor_metal: Choice = ASSUMED) -> bool:
    """ground and circuit conductors are of one metal"""
    return grounding_metal == conductor_metal


def motor_is_known(horsepower: Horsepower | None = None, full_load_current: Amps | None = None) -> bool:
    """the motor's horsepower or current was named"""
    return horsepower is not None or full_load_current is not None


@finds("least_equipment_ground", cites="equipment-ground-size", when=(motor_is_known, ground_and_conductors_alike))
def least_equipment_ground(equipment_ground_of_one: Size, least_conductor_size: Size) -> Size:
    """It need not be larger than the circuit conductors, {least_conductor_size}: {result}."""
    return smaller(equipment_ground_of_one, least_conductor_size)


@finds("least_equipment_ground", when=(motor_is_known, no(ground_and_conductors_alike)))
def least_equipment_ground_of_other_metal(equipment_ground_of_one: Size) -> Size:
    return equipment_ground_of_one


@finds("least_equipment_ground", when=no(motor_is_known))
def least_equipment_ground_by_device(equipment_ground_of_one: Size) -> Size:
    return equipment_ground_of_one

"""The conductors of a motor: by its duty, with the terminals that its design letter allows."""

from __future__ import annotations

from askcode.calculators.motors import finds, mistake
from askcode.calculators.motors.supply import beyond_single_phase_table
from askcode.core.quantities import Amps, Celsius, Choice, Horsepower, Minutes, Percent, Volts
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table


# --- when -------------------------------------------------------------------------------------------------------------
def continuous_duty(duty: Choice = ASSUMED) -> bool:
    """the motor runs in continuous duty"""
    return duty == "continuous"


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


# --- what they must carry ---------------------------------------------------------------------------------------------
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
def terminal_temperature_by_ampacity(
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


@mistake(of=required_ampacity, because="took the percentage that is for an overload without a marked service factor")
def required_ampacity_by_overload(full_load_current: Amps, overload_factor_other: Percent) -> Amps:
    return full_load_current * overload_factor_other


@mistake(of=required_ampacity, because="took the percentage of the nameplate current instead of the table's")
def required_ampacity_of_nameplate(nameplate_current: Amps, motor_conductor_factor: Percent) -> Amps:
    return nameplate_current * motor_conductor_factor


@mistake(of=required_ampacity, because="sized the conductors to the breaker, which may be far larger than the wire")
def required_ampacity_of_device(greatest_device_rating: Amps) -> Amps:
    return greatest_device_rating


@mistake(of=required_ampacity_of_duty, because="took 125%, which is for continuous duty")
def duty_at_continuous_factor(full_load_current: Amps, motor_conductor_factor: Percent) -> Amps:
    return full_load_current * motor_conductor_factor

"""A feeder for several motors: its conductors and its device."""

from __future__ import annotations

import math

from askcode.calculators.conductors import conductors
from askcode.calculators.grounding import grounding
from askcode.calculators.motors import motors
from askcode.calculators.motors.conductors import terminal_temperature_by_ampacity
from askcode.calculators.overcurrent import overcurrent
from askcode.core.quantities import Amps, Each, Flag, Horsepower, Percent, several
from askcode.core.rules import ASSUMED, Subject, no
from askcode.core.tables import Table

motor_feeders = Subject("motor_feeders", builds_on=[conductors, overcurrent, grounding], each=[motors])
finds, mistake = motor_feeders.finds, motor_feeders.mistake


# --- when -------------------------------------------------------------------------------------------------------------
def other_loads_are_continuous(continuous_load: Amps | None = None) -> bool:
    """some of the other loads run three hours or more"""
    return continuous_load is not None


def other_load_runs_three_hours(other_load: Amps | None = None, load_runs_three_hours: Flag | None = None) -> bool:
    """the other load runs three hours or more"""
    return other_load is not None and load_runs_three_hours == "yes"


def other_loads_are_given(
    other_load: Amps | None = None, continuous_load: Amps | None = None, noncontinuous_load: Amps | None = None
) -> bool:
    """the feeder carries other loads too"""
    return any((other_load, continuous_load, noncontinuous_load))


# --- conductors -------------------------------------------------------------------------------------------------------
@finds(cites="motor-feeder-conductors")
def largest_full_load_current(full_load_current: Each[Amps]) -> Amps:
    """Of the full-load currents {full_load_current} the largest is {result}."""
    return max(several(full_load_current))


@finds(cites="motor-feeder-conductors", shows="{full_load_current} − {largest_full_load_current} = {result}")
def rest_of_full_load_currents(full_load_current: Each[Amps], largest_full_load_current: Amps) -> Amps:
    """Add up the others."""
    return _without(several(full_load_current), largest_full_load_current)


@finds(
    cites="motor-feeder-conductors",
    shows="{largest_full_load_current} × {feeder_largest_motor_factor} + {rest_of_full_load_currents} = {result}",
)
def motors_ampacity(
    largest_full_load_current: Amps, feeder_largest_motor_factor: Percent, rest_of_full_load_currents: Amps
) -> Amps:
    """Count the largest motor at {feeder_largest_motor_factor} and the others as they are."""
    return largest_full_load_current * feeder_largest_motor_factor + rest_of_full_load_currents


@finds("other_ampacity", when=no(other_loads_are_continuous))
def other_ampacity(other_load: Amps = ASSUMED, noncontinuous_load: Amps = ASSUMED) -> Amps:
    return other_load + noncontinuous_load


@finds(
    "other_ampacity",
    cites=("motor-feeder-conductors", "continuous-load-feeder"),
    when=other_loads_are_continuous,
    shows="{continuous_load} × {continuous_load_factor} + {noncontinuous_load} + {other_load} = {result}",
)
def other_ampacity_with_continuous(
    continuous_load: Amps,
    continuous_load_factor: Percent,
    noncontinuous_load: Amps = ASSUMED,
    other_load: Amps = ASSUMED,
) -> Amps:
    """Of the other loads, count those that run three hours or more at {continuous_load_factor}."""
    return continuous_load * continuous_load_factor + noncontinuous_load + other_load


@finds(
    "other_ampacity",
    cites=("motor-feeder-conductors", "continuous-load-feeder"),
    when=(no(other_loads_are_continuous), other_load_runs_three_hours),
    over=other_ampacity,
    shows="{other_load} × {continuous_load_factor} + {noncontinuous_load} = {result}",
)
def other_ampacity_of_long_load(
    other_load: Amps, continuous_load_factor: Percent, noncontinuous_load: Amps = ASSUMED
) -> Amps:
    """The other load runs three hours or more, so count it at {continuous_load_factor}."""
    return other_load * continuous_load_factor + noncontinuous_load


@finds("required_ampacity", when=no(other_loads_are_given))
def required_ampacity_of_motors(motors_ampacity: Amps, other_ampacity: Amps) -> Amps:
    return motors_ampacity + other_ampacity


@finds(
    "required_ampacity",
    cites="motor-feeder-conductors",
    when=other_loads_are_given,
    shows="{motors_ampacity} + {other_ampacity} = {result}",
)
def required_ampacity_with_other_loads(motors_ampacity: Amps, other_ampacity: Amps) -> Amps:
    """Add the other loads."""
    return motors_ampacity + other_ampacity


@finds()
def actual_load(required_ampacity: Amps) -> Amps:
    return required_ampacity


finds("terminal_temperature", cites="terminal-temperature", assumed=True)(terminal_temperature_by_ampacity)


@mistake(of=motors_ampacity, because="took 125% of every motor instead of the largest")
def every_motor_at_factor(full_load_current: Each[Amps], feeder_largest_motor_factor: Percent) -> Amps:
    return sum(several(full_load_current)) * feeder_largest_motor_factor


@mistake(of=motors_ampacity, because="left out the 125% of the largest motor")
def feeder_without_factor(full_load_current: Each[Amps]) -> Amps:
    return sum(several(full_load_current))


@mistake(of=motors_ampacity, because="counted the largest motor alone")
def largest_motor_alone(largest_full_load_current: Amps, feeder_largest_motor_factor: Percent) -> Amps:
    return largest_full_load_current * feeder_largest_motor_factor


@mistake(
    of=motors_ampacity, because="took the motor of the most horsepower as the largest, not that of the most current"
)
def largest_by_horsepower(
    horsepower: Each[Horsepower], full_load_current: Each[Amps], feeder_largest_motor_factor: Percent
) -> Amps:
    currents = several(full_load_current)
    _, strongest = max(zip(several(horsepower), currents, strict=True))
    return sum(currents) + strongest * (feeder_largest_motor_factor - 1)


@mistake(of=motors_ampacity, because="sized the conductors to the feeder's device")
def ampacity_of_device(greatest_device_rating: Amps) -> Amps:
    return greatest_device_rating


# --- the feeder's device ----------------------------------------------------------------------------------------------
@finds(cites="motor-feeder-device")
def largest_branch_device(branch_device_rating: Each[Amps]) -> Amps:
    """Of the motors' own devices {branch_device_rating} the largest is {result}."""
    return max(several(branch_device_rating))


@finds(cites="motor-feeder-device")
def current_of_largest_device(branch_device_rating: Each[Amps], full_load_current: Each[Amps]) -> Amps:
    """The motor with that device takes {result}."""
    _, current = max(zip(several(branch_device_rating), several(full_load_current), strict=True))
    return current


@finds(cites="motor-feeder-device", shows="{full_load_current} − {current_of_largest_device} = {result}")
def other_full_load_currents(full_load_current: Each[Amps], current_of_largest_device: Amps) -> Amps:
    """Add up the full-load currents of the other motors."""
    return _without(several(full_load_current), current_of_largest_device)


@finds(
    "device_limit",
    cites="motor-feeder-device",
    when=no(other_loads_are_given),
    shows="{largest_branch_device} + {other_full_load_currents} = {result}",
)
def device_limit(largest_branch_device: Amps, other_full_load_currents: Amps) -> Amps:
    """Add them to the largest device."""
    return largest_branch_device + other_full_load_currents


@finds(
    "device_limit",
    cites="motor-feeder-device",
    when=other_loads_are_given,
    shows="{largest_branch_device} + {other_full_load_currents} + {other_ampacity} = {result}",
)
def device_limit_with_other_loads(
    largest_branch_device: Amps, other_full_load_currents: Amps, other_ampacity: Amps
) -> Amps:
    """Add them and the other loads to the largest device."""
    return largest_branch_device + other_full_load_currents + other_ampacity


@finds(cites=("motor-feeder-device", "standard-ratings"))
def greatest_device_rating(standard_device_ratings: Table, device_limit: Amps) -> Amps:
    """There is no next size up here: the largest standard rating that does not pass {device_limit} is {result}."""
    return standard_device_ratings.at_most(device_limit, "breaker")["rating"]


@finds(cites="equipment-ground-size")
def device_rating(greatest_device_rating: Amps) -> Amps:
    """No smaller device was named, so count the largest that is allowed: {result}."""
    return greatest_device_rating


@mistake(of=greatest_device_rating, because="rounded up, which is allowed for one motor's branch circuit only")
def feeder_device_rounded_up(standard_device_ratings: Table, device_limit: Amps) -> Amps:
    return standard_device_ratings.next_up(device_limit, "breaker")["rating"]


@mistake(of=device_limit, because="added up the devices of all the motors")
def sum_of_branch_devices(branch_device_rating: Each[Amps]) -> Amps:
    return sum(several(branch_device_rating))


@mistake(of=device_limit, because="added the current of the largest motor too, whose device already counts")
def largest_motor_counted_twice(largest_branch_device: Amps, full_load_current: Each[Amps]) -> Amps:
    return largest_branch_device + sum(several(full_load_current))


@mistake(of=device_limit, because="took the ampacity of the conductors as the device")
def device_of_ampacity(required_ampacity: Amps) -> Amps:
    return required_ampacity


def _without(values: list[float], one: float) -> float:
    """The sum of all but one of them; nothing is subtracted, so that no rounding error is left behind."""
    others = list(values)
    others.remove(one)
    return math.fsum(others)

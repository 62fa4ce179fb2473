"""The short-circuit device of a motor: the usual one, how far it may go, and what a feeder and a ground count of it."""

from __future__ import annotations

from askcode.calculators.motors import finds, mistake
from askcode.calculators.motors.device_percents import (
    DUAL_ELEMENT,
    instantaneous_trip,
    large_fuse_is_reached,
    nontime_delay,
    will_not_start,
)
from askcode.core.quantities import Amps, Choice, Percent
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table


def rating_column(motor_device: str) -> str:
    """Fuses are made in a few more standard ratings than breakers."""
    return "breaker" if motor_device.endswith("breaker") else "rating"


def ceiling_is_higher(device_limit: Amps, usual_device_rating: Amps) -> bool:
    """the ceiling lies above the device of the usual size"""
    return device_limit > usual_device_rating


# --- the usual device -------------------------------------------------------------------------------------------------
@finds(cites="motor-device", shows="{full_load_current} × {motor_device_percent} = {result}")
def device_limit(full_load_current: Amps, motor_device_percent: Percent) -> Amps:
    """Take that percentage of the table's full-load current."""
    return full_load_current * motor_device_percent


@finds(
    "greatest_device_rating",
    cites=("motor-device-next-size", "standard-ratings"),
    when=(no(will_not_start), no(instantaneous_trip)),
)
def greatest_device_rating(standard_device_ratings: Table, device_limit: Amps, motor_device: Choice = ASSUMED) -> Amps:
    """The standard rating at or next above {device_limit} is {result}."""
    return standard_device_ratings.next_up(device_limit, rating_column(motor_device))["rating"]


@finds("greatest_device_rating", cites="motor-instantaneous-trip", when=(no(will_not_start), instantaneous_trip))
def greatest_instantaneous_setting(device_limit: Amps) -> Amps:
    """An instantaneous-trip breaker is adjustable: set it at {result} at most; standard ratings do not matter."""
    return device_limit


@mistake(of=greatest_device_rating, because="rounded down to a standard rating, although the next one up is allowed")
def device_rounded_down(standard_device_ratings: Table, device_limit: Amps, motor_device: Choice = ASSUMED) -> Amps:
    return standard_device_ratings.at_most(device_limit, rating_column(motor_device))["rating"]


@mistake(of=device_limit, because="took 125%, which is for the conductors")
def device_at_conductor_factor(full_load_current: Amps, motor_conductor_factor: Percent) -> Amps:
    return full_load_current * motor_conductor_factor


@mistake(of=device_limit, because="took the percentage of the nameplate current instead of the table's")
def device_of_nameplate(nameplate_current: Amps, motor_device_percent: Percent) -> Amps:
    return nameplate_current * motor_device_percent


@mistake(of=greatest_device_rating, because="took the ceiling, which is only for a motor that will not start")
def rating_raised_at_once(
    standard_device_ratings: Table,
    full_load_current: Amps,
    device_ceiling_percent: Percent,
    motor_device: Choice = ASSUMED,
) -> Amps:
    ceiling = full_load_current * device_ceiling_percent
    return standard_device_ratings.at_most(ceiling, rating_column(motor_device))["rating"]


@mistake(
    of=greatest_instantaneous_setting, because="rounded up to a standard rating, which an adjustable setting has not"
)
def instantaneous_rounded_up(standard_device_ratings: Table, device_limit: Amps) -> Amps:
    return standard_device_ratings.next_up(device_limit, "breaker")["rating"]


# --- where the motor will not start -----------------------------------------------------------------------------------
@finds("usual_device_limit", cites="motor-device", shows="{full_load_current} × {usual_device_percent} = {result}")
def usual_device_limit(full_load_current: Amps, usual_device_percent: Percent) -> Amps:
    """With the ordinary percentage it would be {result}."""
    return full_load_current * usual_device_percent


@finds(cites=("motor-device-next-size", "standard-ratings"))
def usual_device_rating(
    standard_device_ratings: Table, usual_device_limit: Amps, motor_device: Choice = ASSUMED
) -> Amps:
    """The usual device is the standard rating at or next above {usual_device_limit}: {result}."""
    return standard_device_ratings.next_up(usual_device_limit, rating_column(motor_device))["rating"]


@finds(
    "greatest_device_rating",
    cites=("motor-device-ceiling", "standard-ratings"),
    when=(will_not_start, no(instantaneous_trip), ceiling_is_higher),
)
def greatest_rating_below_ceiling(
    standard_device_ratings: Table, device_limit: Amps, motor_device: Choice = ASSUMED
) -> Amps:
    """Nothing is rounded up past the ceiling: the largest standard rating within {device_limit} is {result}."""
    return standard_device_ratings.at_most(device_limit, rating_column(motor_device))["rating"]


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


@mistake(of=greatest_rating_below_ceiling, because="rounded up past the ceiling, where no next size up is allowed")
def rating_above_ceiling(standard_device_ratings: Table, device_limit: Amps, motor_device: Choice = ASSUMED) -> Amps:
    return standard_device_ratings.next_up(device_limit, rating_column(motor_device))["rating"]


@mistake(of=greatest_rating_below_ceiling, because="stayed at the usual percentage, although the motor will not start")
def rating_not_raised(usual_device_rating: Amps) -> Amps:
    return usual_device_rating


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

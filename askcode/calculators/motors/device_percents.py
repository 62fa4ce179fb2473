"""The percentage of a motor's current that its short-circuit device goes by: the usual one, and the ceiling."""

from __future__ import annotations

from askcode.calculators.motors import finds, mistake
from askcode.calculators.motors.supply import direct_current, single_phase, three_phase
from askcode.core.errors import Refuse
from askcode.core.quantities import Amps, Choice, Flag, Percent
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table

DUAL_ELEMENT = "dual-element fuse"
SOME_FUSE, SOME_BREAKER = "fuse", "breaker"  # of which nobody said what kind they are


def which_fuse() -> Refuse:
    """The two kinds of fuse have far different percentages, so neither is assumed."""
    kinds = [DUAL_ELEMENT, "nontime-delay fuse"]
    return Refuse("Which fuse is it: dual-element (time-delay) or nontime-delay?", "device_type", kinds)


# --- when -------------------------------------------------------------------------------------------------------------
def inverse_time(motor_device: Choice = ASSUMED) -> bool:
    """the device is an inverse-time breaker"""
    return motor_device == "inverse-time breaker"


def instantaneous_trip(motor_device: Choice = ASSUMED) -> bool:
    """the device is an instantaneous-trip breaker"""
    return motor_device == "instantaneous-trip breaker"


def dual_element(motor_device: Choice = ASSUMED) -> bool:
    """the device is a dual-element fuse"""
    return motor_device == DUAL_ELEMENT


def nontime_delay(motor_device: Choice = ASSUMED) -> bool:
    """the device is a nontime-delay fuse"""
    return motor_device == "nontime-delay fuse"


def unspecific_fuse(motor_device: Choice = ASSUMED) -> bool:
    """the device is a fuse of an unnamed kind"""
    return motor_device == SOME_FUSE


def unspecific_breaker(device_type: Choice = ASSUMED) -> bool:
    """the device is a breaker of an unnamed kind"""
    return device_type == SOME_BREAKER


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


# --- which device it is -----------------------------------------------------------------------------------------------
@finds("motor_device", when=no(unspecific_breaker))
def motor_device_as_named(device_type: Choice = ASSUMED) -> Choice:
    return device_type


@finds("motor_device", when=unspecific_breaker, assumed=True)
def motor_device_of_some_breaker() -> Choice:
    """An ordinary molded-case breaker is inverse-time."""
    return "inverse-time breaker"


# --- the usual one ----------------------------------------------------------------------------------------------------
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


@finds(cites="motor-device")
def usual_device_percent(motor_device_percents: Table, percent_row: Choice, motor_device: Choice = ASSUMED) -> Percent:
    """For this kind of motor ({percent_row}) and this device ({motor_device}) the limit is {result} of the current."""
    if motor_device == SOME_FUSE:
        raise which_fuse()
    return motor_device_percents.exact(percent_row)[motor_device]


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
def percent_of_squirrel_cage(motor_device_percents: Table, motor_device: Choice = ASSUMED) -> Percent:
    return motor_device_percents.exact("squirrel-cage")[motor_device]


# --- the ceiling, where the motor will not start ----------------------------------------------------------------------
@finds("device_ceiling_percent", cites="motor-device-ceiling", when=unspecific_fuse)
def ceiling_percent_of_some_fuse(motor_device: Choice = ASSUMED) -> Percent:
    raise which_fuse()


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


# --- which of them holds ----------------------------------------------------------------------------------------------
@finds("motor_device_percent", when=no(will_not_start))
def motor_device_percent(usual_device_percent: Percent) -> Percent:
    return usual_device_percent


@finds("motor_device_percent", when=will_not_start)
def motor_device_percent_of_ceiling(device_ceiling_percent: Percent) -> Percent:
    return device_ceiling_percent

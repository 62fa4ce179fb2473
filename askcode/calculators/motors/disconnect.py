"""The disconnect of a motor."""

from __future__ import annotations

from askcode.calculators.motors import finds, mistake
from askcode.core.quantities import Amps, Percent


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

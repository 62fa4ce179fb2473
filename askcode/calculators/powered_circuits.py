"""Circuits of a load whose power was told: its amperes, and what follows from them."""

from __future__ import annotations

from askcode.calculators.circuits import circuits
from askcode.calculators.supply import supply, three_phase
from askcode.core.quantities import Amps, Number, VoltAmperes, Volts, Watts
from askcode.core.rules import ASSUMED, Subject, no

powered_circuits = Subject("powered_circuits", builds_on=[circuits, supply])
finds, mistake = powered_circuits.finds, powered_circuits.mistake


# --- when -------------------------------------------------------------------------------------------------------------
def power_is_told(load_power: Watts | None = None, load_apparent_power: VoltAmperes | None = None) -> bool:
    """the load is given by its power"""
    return load_power is not None or load_apparent_power is not None


def told_in_watts(load_apparent_power: VoltAmperes | None = None) -> bool:
    """the power is given in watts"""
    return load_apparent_power is None


# --- amperes of a power -----------------------------------------------------------------------------------------------
@finds("volt_amperes_of_load", when=(power_is_told, told_in_watts), assumed=True)
def volt_amperes_of_watts(load_power: Watts) -> VoltAmperes:
    """No power factor below one was named (heat has none), so a watt counts as a voltampere."""
    return load_power


@finds("volt_amperes_of_load", when=(power_is_told, no(told_in_watts)))
def volt_amperes_as_told(load_apparent_power: VoltAmperes) -> VoltAmperes:
    return load_apparent_power


@finds(
    "load",
    cites="three-phase-current",
    when=(power_is_told, no(three_phase)),
    shows="{volt_amperes_of_load} / {voltage} = {result}",
)
def load_of_power(voltage: Volts, volt_amperes_of_load: VoltAmperes = ASSUMED) -> Amps:
    """Divide the power by the voltage."""
    return volt_amperes_of_load / voltage


@finds(
    "load",
    cites="three-phase-current",
    when=(power_is_told, three_phase),
    shows="{volt_amperes_of_load} / {voltage} / {square_root_of_three} = {result}",
)
def load_of_three_phase_power(
    voltage: Volts, square_root_of_three: Number, volt_amperes_of_load: VoltAmperes = ASSUMED
) -> Amps:
    """Divide the power by the voltage and, for three phases, by {square_root_of_three}."""
    return volt_amperes_of_load / voltage / square_root_of_three


@mistake(of=load_of_three_phase_power, because="left out the square root of three")
def load_without_root(voltage: Volts, volt_amperes_of_load: VoltAmperes = ASSUMED) -> Amps:
    return volt_amperes_of_load / voltage


@mistake(of=load_of_power, because="divided by the square root of three, which is for three phases")
def load_with_root(voltage: Volts, square_root_of_three: Number, volt_amperes_of_load: VoltAmperes = ASSUMED) -> Amps:
    return volt_amperes_of_load / voltage / square_root_of_three

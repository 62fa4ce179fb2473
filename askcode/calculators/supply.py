"""The supply of a circuit: the phases that its voltage tells."""

from __future__ import annotations

from askcode.core.errors import OutsideTable
from askcode.core.quantities import Choice, Volts
from askcode.core.rules import ASSUMED, Subject
from askcode.core.tables import Table

supply = Subject("supply")


# --- when -------------------------------------------------------------------------------------------------------------
def three_phase(phases: Choice = ASSUMED) -> bool:
    """the circuit is three-phase"""
    return phases == "3"


def line_to_neutral(single_phase_voltages: Table, voltage: Volts | None = None) -> bool:
    """the voltage is one between a line and the neutral"""
    return _to_neutral(single_phase_voltages, voltage) == "yes"


def voltage_of_a_dwelling(single_phase_voltages: Table, voltage: Volts | None = None) -> bool:
    """the voltage is that between the lines of a dwelling"""
    return _to_neutral(single_phase_voltages, voltage) == "no"


def _to_neutral(table: Table, voltage: float | None) -> object:
    try:
        return table.between(voltage)["line_to_neutral"] if voltage is not None else None
    except OutsideTable:
        return None


# --- phases -----------------------------------------------------------------------------------------------------------
@supply.finds("phases", cites="voltage-drop-arithmetic", when=line_to_neutral)
def phases_to_neutral(voltage: Volts) -> Choice:
    """{voltage} is found between a line and the neutral, so the circuit is single-phase."""
    return "1"


@supply.finds("phases", cites="voltage-drop-arithmetic", when=voltage_of_a_dwelling, assumed=True)
def phases_of_a_dwelling(voltage: Volts) -> Choice:
    """Single-phase (1), as {voltage} is in a dwelling."""
    return "1"

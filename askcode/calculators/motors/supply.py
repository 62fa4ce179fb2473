"""The supply of a motor: its phases, and the column of the tables that its voltage is read in."""

from __future__ import annotations

from askcode.calculators.motors import finds
from askcode.calculators.supply import line_to_neutral
from askcode.core.errors import OutsideTable
from askcode.core.quantities import Choice, Horsepower, Volts
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table

PHASES_OF_TYPE = {"dc": "dc", "single-phase": "1", "wound-rotor": "3", "synchronous": "3"}


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


# --- its phases and voltage -------------------------------------------------------------------------------------------
@finds("phases", cites="motor-table-current", when=type_tells_phases)
def phases_of_type(motor_type: Choice = ASSUMED) -> Choice:
    return PHASES_OF_TYPE[motor_type]


@finds("phases", when=(line_to_neutral, no(beyond_single_phase_table), no(type_tells_phases)), assumed=True)
def phases_of_line_to_neutral() -> Choice:
    """Single-phase (1), as a motor of this voltage runs between a line and the neutral."""
    return "1"


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

"""The full-load current of a motor, from the table of its kind."""

from __future__ import annotations

from askcode.calculators.motors import finds, mistake
from askcode.calculators.motors.supply import direct_current, single_phase, three_phase
from askcode.core.errors import Refuse
from askcode.core.quantities import Amps, Choice, Horsepower, Volts
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table


def synchronous(motor_type: Choice = ASSUMED) -> bool:
    """it is a synchronous motor"""
    return motor_type == "synchronous"


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

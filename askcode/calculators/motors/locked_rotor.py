"""What a motor takes when it starts: with its rotor locked, by its code letter or by the table."""

from __future__ import annotations

from askcode.calculators.motors import finds, mistake
from askcode.calculators.motors.supply import single_phase, three_phase
from askcode.core.quantities import Amps, Choice, Horsepower, Kva, KvaPerHorsepower, Number, Volts
from askcode.core.rules import no
from askcode.core.tables import Table


def code_letter_is_given(code_letter: Choice | None = None) -> bool:
    """the code letter was named"""
    return code_letter is not None


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

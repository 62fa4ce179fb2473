"""Which temperature holds: the insulation's, the terminals' or the cable's, and so the column to read."""

from __future__ import annotations

from askcode.calculators.conductors import finds, mistake
from askcode.core.errors import Refuse
from askcode.core.quantities import Amps, Celsius, Choice, Flag, Size
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table, size_rank


# --- when -------------------------------------------------------------------------------------------------------------
def in_wet_place(wet_place: Flag | None = None) -> bool:
    """the place is wet"""
    return wet_place == "yes"


def nm_cable(insulation: Choice | None = None) -> bool:
    """it is NM cable"""
    return insulation in ("NM", "NM-B", "NMC", "NMC-B")


def uf_cable(insulation: Choice | None = None) -> bool:
    """it is UF cable"""
    return insulation in ("UF", "UF-B")


def small_se_cable(small_se_size: Size, insulation: Choice | None = None, conductor_size: Size | None = None) -> bool:
    """it is one of the small SE cables"""
    se = insulation in ("SE", "SER", "SEU")
    return se and conductor_size is not None and size_rank(conductor_size) <= size_rank(small_se_size)


def lies_in_thermal_insulation(in_thermal_insulation: Flag) -> bool:
    """the cable lies in thermal insulation"""
    return in_thermal_insulation == "yes"


def circuit_is_given(
    device_rating: Amps | None = None,
    load: Amps | None = None,
    continuous_load: Amps | None = None,
    noncontinuous_load: Amps | None = None,
) -> bool:
    """the circuit's rating or load is given"""
    return (device_rating, load, continuous_load, noncontinuous_load) != (None, None, None, None)


def rating_is_given(device_rating: Amps | None = None) -> bool:
    """the rating of the circuit's device is given"""
    return device_rating is not None


# --- the insulation ---------------------------------------------------------------------------------------------------
@finds("insulation_temperature", cites="insulation-ratings", when=no(in_wet_place))
def insulation_temperature(insulations: Table, insulation: Choice = ASSUMED) -> Celsius:
    """{insulation} insulation is rated {result} in dry places."""
    return insulations.exact(insulation)["dry"]


@finds("insulation_temperature", cites=("insulation-ratings", "wet-location-conductors"), when=in_wet_place)
def insulation_temperature_in_wet_place(insulations: Table, insulation: Choice = ASSUMED) -> Celsius:
    """{insulation} insulation is rated {result} in wet places."""
    row = insulations.exact(insulation)
    if row.get("wet") is None:
        raise Refuse(f"{insulation} is not for wet places; which insulation made for them is it?", "insulation")
    return row["wet"]


@mistake(of=insulation_temperature, because="worked in the 75 °C columns instead of the insulation's own")
def insulation_counted_as_75(high_terminal_temperature: Celsius) -> Celsius:
    return high_terminal_temperature


# --- the terminals, or the cable --------------------------------------------------------------------------------------
@finds("circuit_current", when=rating_is_given)
def circuit_current_of_rating(device_rating: Amps) -> Amps:
    return device_rating


@finds("circuit_current", when=no(rating_is_given))
def circuit_current_of_load(required_ampacity: Amps) -> Amps:
    return required_ampacity


@finds("terminal_temperature", cites="terminal-temperature", when=circuit_is_given, assumed=True)
def terminal_temperature_by_circuit(
    circuit_current: Amps,
    terminal_limit_current: Amps,
    low_terminal_temperature: Celsius,
    high_terminal_temperature: Celsius,
) -> Celsius:
    """Unmarked terminals count as {result} here; up to {terminal_limit_current} the lower column holds."""
    return low_terminal_temperature if circuit_current <= terminal_limit_current else high_terminal_temperature


@finds("terminal_temperature", cites="terminal-temperature", when=no(circuit_is_given), assumed=True)
def terminal_temperature_by_size(
    terminal_limit_size: Size,
    low_terminal_temperature: Celsius,
    high_terminal_temperature: Celsius,
    conductor_size: Size | None = None,
) -> Celsius:
    """Unmarked terminals count as {result} here; up to {terminal_limit_size} the lower column holds."""
    # Where a size is looked for, none is asked for here: the load or the circuit will be, and decides then.
    small = conductor_size is None or size_rank(conductor_size) <= size_rank(terminal_limit_size)
    return low_terminal_temperature if small else high_terminal_temperature


@finds("limit_temperature", when=(no(nm_cable), no(uf_cable), no(small_se_cable)))
def limit_of_terminals(terminal_temperature: Celsius = ASSUMED) -> Celsius:
    return terminal_temperature


@finds("limit_temperature", when=(small_se_cable, no(lies_in_thermal_insulation)))
def limit_of_terminals_of_small_se(terminal_temperature: Celsius = ASSUMED) -> Celsius:
    return terminal_temperature


@finds("limit_temperature", cites="nm-ampacity", when=nm_cable)
def limit_of_nm_cable(cable_limit_temperature: Celsius) -> Celsius:
    """NM cable stays within the {result} column, though its conductors are rated for more."""
    return cable_limit_temperature


@finds("limit_temperature", cites="uf-ampacity", when=uf_cable)
def limit_of_uf_cable(cable_limit_temperature: Celsius) -> Celsius:
    """UF cable counts as {result} conductors."""
    return cable_limit_temperature


@finds("limit_temperature", cites="se-uses", when=(small_se_cable, lies_in_thermal_insulation))
def limit_of_se_cable(cable_limit_temperature: Celsius, small_se_size: Size) -> Celsius:
    """SE cable of {small_se_size} and smaller in thermal insulation stays within the {result} column."""
    return cable_limit_temperature


@finds(cites="lower-ampacity")
def column_temperature(limit_temperature: Celsius, insulation_temperature: Celsius = ASSUMED) -> Celsius:
    """Read the column that the insulation and the terminals (or the cable) both allow: {result}."""
    return min(insulation_temperature, limit_temperature)


@mistake(of=limit_of_nm_cable, because="forgot that NM cable stays within the 60 °C column")
def nm_cable_by_terminals(terminal_temperature: Celsius = ASSUMED) -> Celsius:
    return terminal_temperature


@mistake(of=limit_of_nm_cable, because="read the 75 °C column for NM cable")
def nm_cable_at_75(high_terminal_temperature: Celsius) -> Celsius:
    return high_terminal_temperature


@mistake(of=limit_of_uf_cable, because="forgot that UF cable counts as 60 °C conductors")
def uf_cable_at_75(high_terminal_temperature: Celsius) -> Celsius:
    return high_terminal_temperature

"""What the conductors must carry: a load that runs for hours counts a little heavier."""

from __future__ import annotations

from askcode.calculators.conductors import finds, mistake
from askcode.core.errors import Refuse
from askcode.core.quantities import Amps, Choice, Flag, Percent
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import spoken


# --- when -------------------------------------------------------------------------------------------------------------
def load_is_split(continuous_load: Amps | None = None, noncontinuous_load: Amps | None = None) -> bool:
    """the load is given as continuous and noncontinuous"""
    return continuous_load is not None or noncontinuous_load is not None


def continuous_part_of_whole(
    load: Amps | None = None, continuous_load: Amps | None = None, noncontinuous_load: Amps | None = None
) -> bool:
    """the whole load and its continuous part are given"""
    return load is not None and continuous_load is not None and noncontinuous_load is None


def noncontinuous_part_of_whole(
    load: Amps | None = None, continuous_load: Amps | None = None, noncontinuous_load: Amps | None = None
) -> bool:
    """the whole load and its noncontinuous part are given"""
    return load is not None and continuous_load is None and noncontinuous_load is not None


def only_rating_is_given(
    device_rating: Amps | None = None,
    load: Amps | None = None,
    continuous_load: Amps | None = None,
    noncontinuous_load: Amps | None = None,
) -> bool:
    """only the circuit's rating is given"""
    return device_rating is not None and (load, continuous_load, noncontinuous_load) == (None, None, None)


def load_is_continuous(load_runs_three_hours: Flag = ASSUMED) -> bool:
    """the load runs three hours or more"""
    return load_runs_three_hours == "yes"


def listed_for_whole_rating(listed_for_100_percent: Flag | None = None) -> bool:
    """the device and its assembly are listed for 100 percent of its rating"""
    return listed_for_100_percent == "yes"


def charges_vehicles(load_kind: Choice | None = None) -> bool:
    """it charges electric vehicles"""
    return load_kind == "vehicle charger"


def heats_stored_water(load_kind: Choice | None = None) -> bool:
    """it is a storage water heater"""
    return load_kind == "storage water heater"


def heats_rooms(load_kind: Choice | None = None) -> bool:
    """it is fixed electric heating"""
    return load_kind == "fixed space heating"


# --- loads that count as continuous, however long they are on ---------------------------------------------------------
@finds("load_runs_three_hours", cites="ev-charging-continuous", when=charges_vehicles)
def vehicle_charging_is_continuous() -> Flag:
    """Charging a vehicle counts as a continuous load."""
    return "yes"


@finds("load_runs_three_hours", cites="storage-water-heater-continuous", when=heats_stored_water)
def stored_water_is_continuous() -> Flag:
    """A storage water heater counts as a continuous load."""
    return "yes"


@finds("load_runs_three_hours", cites="space-heating-continuous", when=heats_rooms)
def space_heating_is_continuous() -> Flag:
    """Fixed electric space heating counts as a continuous load."""
    return "yes"


# --- what they must carry ---------------------------------------------------------------------------------------------
@finds("continuous_percent", when=no(listed_for_whole_rating))
def continuous_percent(continuous_load_factor: Percent) -> Percent:
    return continuous_load_factor


@finds("continuous_percent", cites=("continuous-load", "continuous-load-device"), when=listed_for_whole_rating)
def continuous_percent_of_listed_assembly() -> Percent:
    """In an assembly that is listed for 100% of its rating, a continuous load counts as it is."""
    return 1.0


@finds("continuous_part", when=no(noncontinuous_part_of_whole))
def continuous_part_as_given(continuous_load: Amps = ASSUMED) -> Amps:
    return continuous_load


@finds(
    "continuous_part",
    cites="continuous-load",
    when=noncontinuous_part_of_whole,
    shows="{load} − {noncontinuous_load} = {result}",
)
def continuous_part_of_load(load: Amps, noncontinuous_load: Amps) -> Amps:
    """The rest of the load is continuous."""
    return _rest(load, noncontinuous_load, "noncontinuous_load")


@finds("noncontinuous_part", when=no(continuous_part_of_whole))
def noncontinuous_part_as_given(noncontinuous_load: Amps = ASSUMED) -> Amps:
    return noncontinuous_load


@finds(
    "noncontinuous_part",
    cites="continuous-load",
    when=continuous_part_of_whole,
    shows="{load} − {continuous_load} = {result}",
)
def noncontinuous_part_of_load(load: Amps, continuous_load: Amps) -> Amps:
    """The rest of the load is not continuous."""
    return _rest(load, continuous_load, "continuous_load")


@finds(
    "required_ampacity",
    cites=("continuous-load", "continuous-load-feeder"),
    when=load_is_split,
    shows="{continuous_part} × {continuous_percent} + {noncontinuous_part} = {result}",
)
def required_ampacity_of_split_load(
    continuous_percent: Percent, continuous_part: Amps, noncontinuous_part: Amps
) -> Amps:
    """Count the part of the load that runs three hours or more at {continuous_percent}."""
    if continuous_part + noncontinuous_part == 0:
        raise Refuse("A load of 0 A needs no conductor; how many amperes is the load?", "load")
    return continuous_part * continuous_percent + noncontinuous_part


@finds(
    "required_ampacity",
    cites=("continuous-load", "continuous-load-feeder"),
    when=(no(load_is_split), no(only_rating_is_given), load_is_continuous),
    shows="{load} × {continuous_percent} = {result}",
)
def required_ampacity_of_continuous_load(load: Amps, continuous_percent: Percent) -> Amps:
    """Count a load that runs three hours or more at {continuous_percent}."""
    return load * continuous_percent


@finds(
    "required_ampacity",
    cites=("continuous-load", "continuous-load-feeder"),
    when=(no(load_is_split), no(only_rating_is_given), no(load_is_continuous)),
)
def required_ampacity_of_noncontinuous_load(load: Amps) -> Amps:
    """A load that is not continuous counts as it is: {result}."""
    return load


@finds("required_ampacity", cites="conductor-protection", when=(no(load_is_split), only_rating_is_given))
def required_ampacity_of_rating(device_rating: Amps) -> Amps:
    """Let the conductors carry the rating of the circuit: {result}."""
    return device_rating


@finds("actual_load", when=load_is_split)
def actual_load_of_parts(continuous_part: Amps, noncontinuous_part: Amps) -> Amps:
    return continuous_part + noncontinuous_part


@finds("actual_load", when=(no(load_is_split), no(only_rating_is_given)))
def actual_load_as_given(load: Amps) -> Amps:
    return load


@finds("actual_load", when=(no(load_is_split), only_rating_is_given))
def actual_load_of_rating(device_rating: Amps) -> Amps:
    return device_rating


@mistake(of=required_ampacity_of_split_load, because="left out the 125% for the continuous part")
def split_load_without_factor(continuous_part: Amps, noncontinuous_part: Amps) -> Amps:
    return continuous_part + noncontinuous_part


@mistake(of=required_ampacity_of_split_load, because="took 125% of the whole load")
def split_load_all_at_factor(continuous_load_factor: Percent, continuous_part: Amps, noncontinuous_part: Amps) -> Amps:
    return (continuous_part + noncontinuous_part) * continuous_load_factor


@mistake(
    of=required_ampacity_of_split_load, because="took 125% of the noncontinuous part instead of the continuous one"
)
def split_load_factor_on_the_other(
    continuous_load_factor: Percent, continuous_part: Amps, noncontinuous_part: Amps
) -> Amps:
    return continuous_part + noncontinuous_part * continuous_load_factor


@mistake(of=required_ampacity_of_continuous_load, because="left out the 125% for a continuous load")
def continuous_load_without_factor(load: Amps) -> Amps:
    return load


@mistake(of=required_ampacity_of_noncontinuous_load, because="took 125%, which is for continuous loads")
def noncontinuous_load_with_factor(load: Amps, continuous_load_factor: Percent) -> Amps:
    return load * continuous_load_factor


def _rest(whole: float, part: float, said_as: str) -> float:
    """What is left of a load. Raises Refuse for a part that is larger than the whole."""
    if part > whole:
        raise Refuse(f"The part, {spoken(part)} A, is more than the whole load, {spoken(whole)} A.", said_as)
    return whole - part

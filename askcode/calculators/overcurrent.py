"""Overcurrent: standard ratings, the next size up and where it is not allowed, small conductors."""

from __future__ import annotations

from askcode.calculators.conductors import conductors, in_parallel, larger
from askcode.core.quantities import Amps, Choice, Count, Flag, Size
from askcode.core.rules import ASSUMED, Subject, no
from askcode.core.tables import Table

overcurrent = Subject("overcurrent", builds_on=[conductors])
finds, mistake = overcurrent.finds, overcurrent.mistake


# --- when ---------------------------------------------------------------------------------------------------------------
def several_receptacles(feeds_receptacles: Flag = ASSUMED) -> bool:
    """the branch circuit has several receptacles for cord-and-plug loads"""
    return feeds_receptacles == "yes"


def above_next_size_limit(combined_ampacity: Amps, next_size_up_limit: Amps) -> bool:
    """the conductors carry more than 800 A"""
    return combined_ampacity > next_size_up_limit


def small_conductor(small_conductor_devices: Table, conductor_size: Size | None = None) -> bool:
    """the conductor is one of the small sizes"""
    rows = range(len(small_conductor_devices.rows))
    return conductor_size in [small_conductor_devices.printed(i, small_conductor_devices.key) for i in rows]


# --- the device for a load ---------------------------------------------------------------------------------------------------
@finds(cites=("continuous-load-device", "standard-ratings"))
def least_device_rating(standard_device_ratings: Table, required_ampacity: Amps) -> Amps:
    """The first standard rating that is not below {required_ampacity} is {result}."""
    return standard_device_ratings.next_up(required_ampacity, "breaker")["breaker"]


@mistake(of=least_device_rating, because="took the next standard rating down")
def device_rounded_down(standard_device_ratings: Table, required_ampacity: Amps) -> Amps:
    return standard_device_ratings.at_most(required_ampacity, "breaker")["breaker"]


# --- the conductor that its device protects ------------------------------------------------------------------------------------
@finds()
def protecting_rating(
    standard_device_ratings: Table, required_ampacity: Amps, device_rating: Amps | None = None
) -> Amps:
    if device_rating is not None:
        return device_rating
    return standard_device_ratings.next_up(required_ampacity, "breaker")["breaker"]


def device_is_above_limit(protecting_rating: Amps, next_size_up_limit: Amps) -> bool:
    """the device is rated above 800 A"""
    return protecting_rating > next_size_up_limit


def device_is_small(small_conductor_devices: Table, protecting_rating: Amps, conductor_metal: Choice = ASSUMED) -> bool:
    """the device is small enough for the rule of the small conductors"""
    limits = [small_conductor_devices.cell(i, conductor_metal) for i in range(len(small_conductor_devices.rows))]
    return protecting_rating <= max(limit for limit in limits if isinstance(limit, float))


@finds("current_to_carry", when=no(device_is_above_limit))
def current_to_carry_below_limit(required_ampacity: Amps) -> Amps:
    return required_ampacity


@finds("current_to_carry", cites="above-800", when=device_is_above_limit)
def current_to_carry_above_limit(protecting_rating: Amps) -> Amps:
    """Above 800 A the conductors must carry the whole rating of their device, {protecting_rating}."""
    return protecting_rating


@finds("size_for_device", cites="small-conductors")
def size_for_device(small_conductor_devices: Table, protecting_rating: Amps, conductor_metal: Choice = ASSUMED) -> Size:
    """A device of {protecting_rating} may protect {conductor_metal} of {result} or larger."""
    return small_conductor_devices.next_up(protecting_rating, conductor_metal)["size"]


@finds("least_conductor_size", when=(no(in_parallel), no(device_is_small)))
def least_conductor_size_for_load(size_for_load: Size) -> Size:
    return size_for_load


@finds("least_conductor_size", cites="conductor-protection", when=(no(in_parallel), device_is_small))
def least_conductor_size_for_device(size_for_load: Size, size_for_device: Size) -> Size:
    """The larger of the two governs: {result}."""
    return larger(size_for_load, size_for_device)


@finds("least_conductor_size", cites="parallel-conductors", when=in_parallel)
def least_conductor_size_in_parallel(size_for_load: Size, parallel_least_size: Size) -> Size:
    """Conductors in parallel are {parallel_least_size} or larger: {result} in each set."""
    return larger(size_for_load, parallel_least_size)


# --- the device for a conductor ----------------------------------------------------------------------------------------------
@finds("combined_ampacity", when=no(in_parallel))
def combined_ampacity_of_one(ampacity: Amps) -> Amps:
    return ampacity


@finds(
    "combined_ampacity", cites="parallel-conductors", when=in_parallel, shows="{ampacity} × {parallel_sets} = {result}"
)
def combined_ampacity(ampacity: Amps, parallel_sets: Count = ASSUMED) -> Amps:
    """Conductors in parallel carry together what each carries."""
    return ampacity * parallel_sets


@finds(
    "device_for_ampacity",
    cites=("next-size-up", "standard-ratings"),
    when=(no(several_receptacles), no(above_next_size_limit)),
)
def device_next_size_up(standard_device_ratings: Table, combined_ampacity: Amps) -> Amps:
    """Conductors good for {combined_ampacity} may have the standard rating at or next above it: {result}."""
    return standard_device_ratings.next_up(combined_ampacity, "breaker")["breaker"]


@finds(
    "device_for_ampacity",
    cites=("next-size-up", "standard-ratings"),
    when=(several_receptacles, no(above_next_size_limit)),
)
def device_for_receptacles(standard_device_ratings: Table, combined_ampacity: Amps) -> Amps:
    """A circuit of several receptacles may not use the next size up: {result}."""
    return standard_device_ratings.at_most(combined_ampacity, "breaker")["breaker"]


@finds("device_for_ampacity", cites=("above-800", "standard-ratings"), when=above_next_size_limit)
def device_above_limit(standard_device_ratings: Table, combined_ampacity: Amps, next_size_up_limit: Amps) -> Amps:
    """Above {next_size_up_limit} the conductors must carry the whole rating of the device, so go down: {result}."""
    return standard_device_ratings.at_most(combined_ampacity, "breaker")["breaker"]


@finds("small_conductor_limit", cites="small-conductors")
def small_conductor_limit(
    small_conductor_devices: Table, conductor_size: Size, conductor_metal: Choice = ASSUMED
) -> Amps:
    """Whatever its ampacity, {conductor_size} {conductor_metal} may be protected at {result} at most."""
    return small_conductor_devices.exact(conductor_size)[conductor_metal]


@finds("greatest_device_rating", when=no(small_conductor))
def greatest_device_rating(device_for_ampacity: Amps) -> Amps:
    return device_for_ampacity


@finds("greatest_device_rating", cites=("small-conductors", "conductor-protection"), when=small_conductor)
def greatest_device_rating_of_small(device_for_ampacity: Amps, small_conductor_limit: Amps) -> Amps:
    """The smaller of the two governs: {result}."""
    return min(device_for_ampacity, small_conductor_limit)


@mistake(of=greatest_device_rating_of_small, because="overlooked the limit for small conductors")
def device_without_small_limit(device_for_ampacity: Amps) -> Amps:
    return device_for_ampacity


@mistake(of=device_next_size_up, because="took the next standard rating down although the next one up is allowed")
def device_next_size_down(standard_device_ratings: Table, combined_ampacity: Amps) -> Amps:
    return standard_device_ratings.at_most(combined_ampacity, "breaker")["breaker"]


@mistake(of=device_above_limit, because="took the next size up, which ends at 800 A")
def device_up_above_limit(standard_device_ratings: Table, combined_ampacity: Amps) -> Amps:
    return standard_device_ratings.next_up(combined_ampacity, "breaker")["breaker"]


@mistake(of=device_for_receptacles, because="took the next size up, which a circuit of several receptacles may not use")
def device_up_for_receptacles(standard_device_ratings: Table, combined_ampacity: Amps) -> Amps:
    return standard_device_ratings.next_up(combined_ampacity, "breaker")["breaker"]

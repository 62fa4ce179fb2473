"""Overcurrent: standard ratings, the next size up and where it is not allowed, small conductors."""

from __future__ import annotations

from askcode.calculators.conductors import conductors
from askcode.calculators.conductors.derating import warm_or_crowded as is_warm_or_crowded
from askcode.calculators.conductors.least_size import in_parallel
from askcode.calculators.conductors.tables import JUST, first_that_carries, larger, metal_column
from askcode.core.errors import OutsideTable, Refuse
from askcode.core.quantities import Amps, Celsius, Choice, Count, Flag, Percent, Size
from askcode.core.rules import ASSUMED, Subject, no
from askcode.core.tables import Table, size_rank, spoken

overcurrent = Subject("overcurrent", builds_on=[conductors])
finds, mistake = overcurrent.finds, overcurrent.mistake


# --- when -------------------------------------------------------------------------------------------------------------
def several_receptacles(feeds_receptacles: Flag = ASSUMED) -> bool:
    """the branch circuit has several receptacles for cord-and-plug loads"""
    return feeds_receptacles == "yes"


def said_to_feed_receptacles(feeds_receptacles: Flag | None = None) -> bool:
    """it was said that the branch circuit has several receptacles"""
    return feeds_receptacles == "yes"


def above_next_size_limit(combined_ampacity: Amps, next_size_up_limit: Amps) -> bool:
    """the conductors carry more than devices of the next size up go to"""
    return combined_ampacity > next_size_up_limit


def small_conductor(small_conductor_devices: Table, conductor_size: Size | None = None) -> bool:
    """the conductor is one of the small sizes"""
    return conductor_size in small_conductor_devices.printed_keys()


def device_is_above_limit(protecting_rating: Amps, next_size_up_limit: Amps) -> bool:
    """the device is rated above those that may be the next size up"""
    return protecting_rating > next_size_up_limit


def device_is_small(small_conductor_devices: Table, protecting_rating: Amps, conductor_metal: Choice = ASSUMED) -> bool:
    """the device is small enough for one of the small conductors"""
    limits = [small_conductor_devices.cell(i, conductor_metal) for i in range(len(small_conductor_devices.rows))]
    return protecting_rating <= max(limit for limit in limits if isinstance(limit, float))


def comes_out_small(small_conductor_devices: Table, size_for_ampacity: Size) -> bool:
    """by its ampacity alone one of the small conductors would do"""
    return size_for_ampacity in small_conductor_devices.printed_keys()


def device_may_ask_for_more(
    table_ambient_temperature: Celsius,
    table_conductor_count: Count,
    surrounding_temperature: Celsius,
    device_rating: Amps | None = None,
    current_carrying_conductors: Count = ASSUMED,
    short_nipple: Flag | None = None,
) -> bool:
    """the device was named, or something has to be corrected or adjusted"""
    return device_rating is not None or is_warm_or_crowded(
        table_ambient_temperature,
        table_conductor_count,
        surrounding_temperature,
        current_carrying_conductors,
        short_nipple,
    )


# --- the device for a load --------------------------------------------------------------------------------------------
@finds(cites=("continuous-load-device", "continuous-load-device-feeder", "standard-ratings"))
def least_device_rating(standard_device_ratings: Table, required_ampacity: Amps) -> Amps:
    """The first standard rating that is not below {required_ampacity} is {result}."""
    return _next_standard(standard_device_ratings, required_ampacity)


@mistake(of=least_device_rating, because="took the next standard rating down")
def device_rounded_down(standard_device_ratings: Table, required_ampacity: Amps) -> Amps:
    return standard_device_ratings.at_most(required_ampacity, "breaker")["breaker"]


def _next_standard(table: Table, amperes: float) -> float:
    """The standard rating at or next above. Raises Refuse past the last one."""
    try:
        rating: float = table.next_up(amperes, "breaker")["breaker"]
    except OutsideTable:
        last = table.printed_keys()[-1]
        raise Refuse(f"No standard rating is as large as {amperes:,.6g} A; the last one is {last} A.", "load") from None
    return rating


# --- the conductor that its device protects ---------------------------------------------------------------------------
@finds()
def protecting_rating(
    standard_device_ratings: Table, required_ampacity: Amps, device_rating: Amps | None = None
) -> Amps:
    if device_rating is None:
        return _next_standard(standard_device_ratings, required_ampacity)
    if device_rating < required_ampacity:
        line = f"A {spoken(device_rating)} A device is too small for a load that counts as {required_ampacity:,.6g} A."
        raise Refuse(line, "device_rating")
    return device_rating


@finds("current_to_carry", when=(no(device_is_above_limit), no(said_to_feed_receptacles)))
def current_to_carry_below_limit(required_ampacity: Amps) -> Amps:
    return required_ampacity


@finds("current_to_carry", cites="above-800", when=device_is_above_limit)
def current_to_carry_above_limit(protecting_rating: Amps, next_size_up_limit: Amps) -> Amps:
    """Above {next_size_up_limit} the conductors must carry the whole rating of their device, {protecting_rating}."""
    return protecting_rating


@finds("current_to_carry", cites="next-size-up", when=(no(device_is_above_limit), said_to_feed_receptacles))
def current_to_carry_of_receptacles(protecting_rating: Amps) -> Amps:
    """Conductors of a circuit with several receptacles must carry the whole rating of their device, {result}."""
    return protecting_rating


@finds("current_after_factors", when=(no(device_is_above_limit), no(said_to_feed_receptacles)))
def current_after_factors_below_limit(actual_load: Amps) -> Amps:
    return actual_load


@finds("current_after_factors", when=device_is_above_limit)
def current_after_factors_above_limit(protecting_rating: Amps) -> Amps:
    return protecting_rating


@finds("current_after_factors", when=(no(device_is_above_limit), said_to_feed_receptacles))
def current_after_factors_of_receptacles(protecting_rating: Amps) -> Amps:
    return protecting_rating


@finds(cites=("next-size-up", "standard-ratings"))
def rating_below(standard_device_ratings: Table, protecting_rating: Amps) -> Amps:
    """A {protecting_rating} device may be the next size up of conductors good for more than {result}."""
    try:
        return standard_device_ratings.at_most(protecting_rating - JUST, "breaker")["breaker"]
    except OutsideTable:  # the device is the smallest there is
        return 0.0


@finds("rating_below_of_each", when=no(in_parallel))
def rating_below_of_one(rating_below: Amps) -> Amps:
    return rating_below


@finds(
    "rating_below_of_each",
    cites="parallel-conductors",
    when=in_parallel,
    shows="{rating_below} / {parallel_sets} = {result}",
)
def rating_below_of_each(rating_below: Amps, parallel_sets: Count = ASSUMED) -> Amps:
    """Each conductor in parallel has its share of that."""
    return rating_below / parallel_sets


@finds("size_for_protection", cites=("conductor-protection", "conductor-ampacity"), when=no(is_warm_or_crowded))
def size_for_protection(
    conductor_ampacities: Table,
    rating_below_of_each: Amps,
    column_temperature: Celsius,
    conductor_metal: Choice = ASSUMED,
) -> Size:
    """The first {conductor_metal} size of that column good for more than {rating_below_of_each} is {result}."""
    column = metal_column(conductor_ampacities, conductor_metal, column_temperature)
    return first_that_carries(conductor_ampacities, rating_below_of_each, column, more=True)


@finds(
    cites=("conductor-protection", "ambient-correction", "count-adjustment"),
    shows="{rating_below_of_each} / {ambient_factor} / {count_factor} = {result}",
)
def protected_before_factors(rating_below_of_each: Amps, ambient_factor: Percent, count_factor: Percent) -> Amps:
    """The device protects the corrected ampacity too; before the factors the conductors need more than that."""
    return rating_below_of_each / ambient_factor / count_factor


@finds("size_for_protection", cites=("conductor-protection", "conductor-ampacity"), when=is_warm_or_crowded)
def size_for_protection_in_warmth(
    conductor_ampacities: Table,
    rating_below_of_each: Amps,
    protected_before_factors: Amps,
    column_temperature: Celsius,
    conductor_metal: Choice = ASSUMED,
    insulation_temperature: Celsius = ASSUMED,
) -> Size:
    """At {insulation_temperature} the first size for more than that, and right for the terminals too, is {result}."""
    start = metal_column(conductor_ampacities, conductor_metal, insulation_temperature)
    limit = metal_column(conductor_ampacities, conductor_metal, column_temperature)
    return larger(
        first_that_carries(conductor_ampacities, protected_before_factors, start, more=True),
        first_that_carries(conductor_ampacities, rating_below_of_each, limit, more=True),
    )


@finds("size_for_ampacity", when=no(device_may_ask_for_more))
def size_for_ampacity(size_for_load: Size) -> Size:
    return size_for_load


@finds("size_for_ampacity", when=(device_may_ask_for_more, device_is_above_limit))
def size_for_ampacity_above_limit(size_for_load: Size) -> Size:
    return size_for_load


@finds("size_for_ampacity", when=(device_may_ask_for_more, no(device_is_above_limit), said_to_feed_receptacles))
def size_for_ampacity_of_receptacles(size_for_load: Size) -> Size:
    return size_for_load


@finds(
    "size_for_ampacity",
    cites="conductor-protection",
    when=(device_may_ask_for_more, no(device_is_above_limit), no(said_to_feed_receptacles)),
)
def size_for_load_and_protection(size_for_load: Size, size_for_protection: Size) -> Size:
    """The larger of the two, for the load and for its device, is {result}."""
    return larger(size_for_load, size_for_protection)


@finds("size_for_device", cites="small-conductors")
def size_for_device(small_conductor_devices: Table, protecting_rating: Amps, conductor_metal: Choice = ASSUMED) -> Size:
    """A device of {protecting_rating} may protect {conductor_metal} of {result} or larger."""
    return small_conductor_devices.next_up(protecting_rating, conductor_metal)["size"]


@finds("least_conductor_size", when=(no(in_parallel), no(device_is_small), no(comes_out_small)))
def least_conductor_size_for_ampacity(size_for_ampacity: Size) -> Size:
    return size_for_ampacity


@finds(
    "least_conductor_size",
    cites=("small-conductors", "conductor-protection"),
    when=(no(in_parallel), no(device_is_small), comes_out_small),
)
def least_conductor_size_beyond_small(
    small_conductor_devices: Table, conductor_ampacities: Table, size_for_ampacity: Size, protecting_rating: Amps
) -> Size:
    """No small conductor, such as {size_for_ampacity}, may have a device of {protecting_rating}: go to {result}."""
    last = conductor_ampacities.exact(small_conductor_devices.printed_keys()[-1])
    return conductor_ampacities.printed(last.index + 1, conductor_ampacities.key)


@finds("least_conductor_size", cites="conductor-protection", when=(no(in_parallel), device_is_small))
def least_conductor_size_for_device(size_for_ampacity: Size, size_for_device: Size) -> Size:
    """The larger of the two, by ampacity and by device, governs: {result}."""
    return larger(size_for_ampacity, size_for_device)


@finds("least_conductor_size", cites="parallel-conductors", when=in_parallel)
def least_conductor_size_in_parallel(size_for_ampacity: Size, parallel_least_size: Size) -> Size:
    """Conductors in parallel are {parallel_least_size} or larger: {result} in each set."""
    return larger(size_for_ampacity, parallel_least_size)


@mistake(of=current_to_carry_above_limit, because="sized for the load, although above 800 A the whole rating counts")
def current_to_carry_of_load(required_ampacity: Amps) -> Amps:
    return required_ampacity


@mistake(of=size_for_load_and_protection, because="did not check that the device protects the conductors")
def size_without_protection(size_for_load: Size) -> Size:
    return size_for_load


@mistake(of=least_conductor_size_beyond_small, because="overlooked the limit for small conductors")
def size_by_ampacity_beyond_small(size_for_ampacity: Size) -> Size:
    return size_for_ampacity


@mistake(of=least_conductor_size_for_device, because="overlooked the limit for small conductors")
def size_by_ampacity_for_device(size_for_ampacity: Size) -> Size:
    return size_for_ampacity


@mistake(of=least_conductor_size_in_parallel, because="overlooked that conductors in parallel are 1/0 or larger")
def parallel_without_least_size(size_for_ampacity: Size) -> Size:
    return size_for_ampacity


# --- the device for a conductor ---------------------------------------------------------------------------------------
@finds("combined_ampacity", when=no(in_parallel))
def combined_ampacity_of_one(ampacity: Amps) -> Amps:
    return ampacity


@finds(
    "combined_ampacity", cites="parallel-conductors", when=in_parallel, shows="{ampacity} × {parallel_sets} = {result}"
)
def combined_ampacity(
    ampacity: Amps, parallel_least_size: Size, parallel_sets: Count = ASSUMED, conductor_size: Size | None = None
) -> Amps:
    """Conductors in parallel carry together what each carries."""
    if conductor_size is not None and size_rank(conductor_size) < size_rank(parallel_least_size):
        line = f"{conductor_size} AWG may not run in parallel; the smallest is {parallel_least_size} AWG."
        raise Refuse(line, "conductor_size")
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
    """A circuit of several receptacles may not use the next size up of {combined_ampacity}: {result}."""
    return _standard_below(standard_device_ratings, combined_ampacity)


@finds("device_for_ampacity", cites=("above-800", "standard-ratings"), when=above_next_size_limit)
def device_above_limit(standard_device_ratings: Table, combined_ampacity: Amps, next_size_up_limit: Amps) -> Amps:
    """Above {next_size_up_limit} the conductors must carry the whole rating of the device, so go down: {result}."""
    return _standard_below(standard_device_ratings, combined_ampacity)


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
    return _standard_below(standard_device_ratings, combined_ampacity)


@mistake(of=device_above_limit, because="took the next size up, which ends at 800 A")
def device_up_above_limit(standard_device_ratings: Table, combined_ampacity: Amps) -> Amps:
    return standard_device_ratings.next_up(combined_ampacity, "breaker")["breaker"]


@mistake(of=device_for_receptacles, because="took the next size up, which a circuit of several receptacles may not use")
def device_up_for_receptacles(standard_device_ratings: Table, combined_ampacity: Amps) -> Amps:
    return standard_device_ratings.next_up(combined_ampacity, "breaker")["breaker"]


@mistake(of=combined_ampacity, because="counted one of the parallel sets only")
def ampacity_of_one_set(ampacity: Amps) -> Amps:
    return ampacity


def _standard_below(table: Table, amperes: float) -> float:
    """The standard rating at or next below. Raises Refuse where there is none."""
    try:
        rating: float = table.at_most(amperes, "breaker")["breaker"]
    except OutsideTable:
        raise Refuse(f"No standard device is as small as {amperes:.4g} A.", "ampacity") from None
    return rating

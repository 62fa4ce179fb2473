"""Circuits: the load, its conductors, its device and its ground, asked of the same facts."""

from __future__ import annotations

from askcode.calculators.conductors.loads import load_is_continuous
from askcode.calculators.grounding import grounding
from askcode.calculators.overcurrent import overcurrent
from askcode.core.quantities import Amps, Percent
from askcode.core.rules import Subject, no
from askcode.core.tables import Table

circuits = Subject("circuits", builds_on=[overcurrent, grounding])


@circuits.finds("device_rating", cites="continuous-load-device", assumed=True)
def device_rating_for_load(least_device_rating: Amps) -> Amps:
    """No device was named; the smallest standard one for the load was taken: {result}."""
    return least_device_rating


@circuits.finds(
    "greatest_load",
    cites="continuous-load-device",
    when=load_is_continuous,
    shows="{device_rating} / {continuous_load_factor} = {result}",
)
def greatest_continuous_load(device_rating: Amps, continuous_load_factor: Percent) -> Amps:
    """A device that is not listed for its whole rating carries less of a load that runs three hours or more."""
    return device_rating / continuous_load_factor


@circuits.finds("greatest_load", cites="continuous-load-device", when=no(load_is_continuous))
def greatest_noncontinuous_load(device_rating: Amps) -> Amps:
    """A load that runs less than three hours may be as large as the rating of the device: {result}."""
    return device_rating


@circuits.mistake(of=greatest_continuous_load, because="loaded the device with its whole rating")
def whole_rating(device_rating: Amps) -> Amps:
    return device_rating


@circuits.finds(cites="standard-ratings")
def next_standard_rating(standard_device_ratings: Table, reference_current: Amps) -> Amps:
    """The standard rating next above {reference_current} is {result}."""
    above = reference_current * (1 + 1e-9)  # a rating that is standard itself is not the next one up
    return standard_device_ratings.next_up(above, "breaker")["breaker"]

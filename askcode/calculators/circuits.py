"""Circuits: the load, its conductors, its device and its ground, asked of the same facts."""

from __future__ import annotations

from askcode.calculators.grounding import grounding
from askcode.calculators.overcurrent import overcurrent
from askcode.core.quantities import Amps
from askcode.core.rules import Subject

circuits = Subject("circuits", builds_on=[overcurrent, grounding])


@circuits.finds("device_rating", cites="continuous-load-device", assumed=True)
def device_rating_for_load(least_device_rating: Amps) -> Amps:
    """No device was named; the smallest standard one for the load was taken: {result}."""
    return least_device_rating

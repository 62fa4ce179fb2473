"""The equipment ground of a motor's circuit."""

from __future__ import annotations

from askcode.calculators.conductors.tables import smaller
from askcode.calculators.motors import finds
from askcode.calculators.motors.device_percents import instantaneous_trip
from askcode.core.quantities import Amps, Choice, Horsepower, Size
from askcode.core.rules import ASSUMED, no


# --- when -------------------------------------------------------------------------------------------------------------
def ground_and_conductors_alike(grounding_metal: Choice = ASSUMED, conductor_metal: Choice = ASSUMED) -> bool:
    """ground and circuit conductors are of one metal"""
    return grounding_metal == conductor_metal


def motor_is_known(horsepower: Horsepower | None = None, full_load_current: Amps | None = None) -> bool:
    """the motor's horsepower or current was named"""
    return horsepower is not None or full_load_current is not None


# --- the device that it goes by ---------------------------------------------------------------------------------------
@finds("device_rating", cites="equipment-ground-motor", when=no(instantaneous_trip))
def device_rating(counted_device_rating: Amps) -> Amps:
    """No smaller device was named, so count the largest that is allowed: {result}."""
    return counted_device_rating


@finds("device_rating", cites="equipment-ground-motor", when=instantaneous_trip)
def device_rating_of_dual_element(counted_device_rating: Amps) -> Amps:
    """With an instantaneous-trip breaker the equipment ground goes by the largest dual-element fuse: {result}."""
    return counted_device_rating


# --- its size ---------------------------------------------------------------------------------------------------------
@finds("least_equipment_ground", cites="equipment-ground-size", when=(motor_is_known, ground_and_conductors_alike))
def least_equipment_ground(equipment_ground_of_one: Size, least_conductor_size: Size) -> Size:
    """It need not be larger than the circuit conductors, {least_conductor_size}: {result}."""
    return smaller(equipment_ground_of_one, least_conductor_size)


@finds("least_equipment_ground", when=(motor_is_known, no(ground_and_conductors_alike)))
def least_equipment_ground_of_other_metal(equipment_ground_of_one: Size) -> Size:
    return equipment_ground_of_one


@finds("least_equipment_ground", when=no(motor_is_known))
def least_equipment_ground_by_device(equipment_ground_of_one: Size) -> Size:
    return equipment_ground_of_one

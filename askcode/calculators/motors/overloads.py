"""The overload of a motor, which goes by its nameplate."""

from __future__ import annotations

from askcode.calculators.motors import finds, mistake
from askcode.core.quantities import Amps, Celsius, Flag, Number, Percent
from askcode.core.rules import ASSUMED, no
from askcode.core.tables import Table


# --- when -------------------------------------------------------------------------------------------------------------
def marks_are_given(service_factor: Number | None = None, temperature_rise: Celsius | None = None) -> bool:
    """a service factor or a temperature rise was named"""
    return service_factor is not None or temperature_rise is not None


def overload_marking_allows_more(marked_for_more: Flag = ASSUMED) -> bool:
    """a service factor of 1.15 or more, or a rise of 40 °C or less, is marked"""
    return marked_for_more == "yes"


def usual_overload_trips(overload_trips: Flag = ASSUMED) -> bool:
    """the usual overload setting trips while the motor starts or carries its load"""
    return overload_trips == "yes"


# --- the setting ------------------------------------------------------------------------------------------------------
@finds("marked_for_more", cites="motor-overload", when=marks_are_given)
def marked_for_more(
    service_factor_mark: Number,
    temperature_rise_mark: Celsius,
    service_factor: Number | None = None,
    temperature_rise: Celsius | None = None,
) -> Flag:
    """Is a service factor of {service_factor_mark} up or a rise of {temperature_rise_mark} down marked? {result}."""
    strong = service_factor is not None and service_factor >= service_factor_mark
    cool = temperature_rise is not None and temperature_rise <= temperature_rise_mark
    return "yes" if strong or cool else "no"


@finds("overload_factor", cites="motor-overload", when=(no(usual_overload_trips), overload_marking_allows_more))
def overload_factor_with_mark(overload_factor_marked: Percent) -> Percent:
    """With a marked 1.15 service factor or 40 °C rise, the overload may be set at {result} of the nameplate."""
    return overload_factor_marked


@finds("overload_factor", cites="motor-overload", when=(no(usual_overload_trips), no(overload_marking_allows_more)))
def overload_factor_without_mark(overload_factor_other: Percent) -> Percent:
    """Without a marked 1.15 service factor or 40 °C rise, the overload may be set at {result} of the nameplate."""
    return overload_factor_other


@finds("overload_factor", cites="motor-overload-step-up", when=(usual_overload_trips, overload_marking_allows_more))
def overload_step_up_with_mark(overload_step_up_marked: Percent) -> Percent:
    """As the usual setting trips, it may be raised to {result} of the nameplate current."""
    return overload_step_up_marked


@finds("overload_factor", cites="motor-overload-step-up", when=(usual_overload_trips, no(overload_marking_allows_more)))
def overload_step_up_without_mark(overload_step_up_other: Percent) -> Percent:
    """As the usual setting trips, it may be raised to {result} of the nameplate current."""
    return overload_step_up_other


@finds(cites="motor-overload", shows="{nameplate_current} × {overload_factor} = {result}")
def greatest_overload_setting(nameplate_current: Amps, overload_factor: Percent) -> Amps:
    """Set the overload from the nameplate, and do not round up."""
    return nameplate_current * overload_factor


@mistake(of=greatest_overload_setting, because="used the table's current instead of the nameplate's")
def overload_of_table_current(full_load_current: Amps, overload_factor: Percent) -> Amps:
    return full_load_current * overload_factor


@mistake(of=greatest_overload_setting, because="rounded up to a standard breaker rating, which overloads have not")
def overload_rounded_up(standard_device_ratings: Table, nameplate_current: Amps, overload_factor: Percent) -> Amps:
    return standard_device_ratings.next_up(nameplate_current * overload_factor, "breaker")["rating"]


@mistake(of=overload_factor_with_mark, because="took the percentage of a motor without such a mark")
def overload_as_unmarked(overload_factor_other: Percent) -> Percent:
    return overload_factor_other


@mistake(of=overload_factor_with_mark, because="took the step-up at once, which is only for an overload that trips")
def overload_stepped_up_at_once(overload_step_up_marked: Percent) -> Percent:
    return overload_step_up_marked


@mistake(of=overload_factor_without_mark, because="took the percentage for a service factor of 1.15 or a rise of 40 °C")
def overload_as_marked(overload_factor_marked: Percent) -> Percent:
    return overload_factor_marked


@mistake(of=overload_factor_without_mark, because="took the step-up at once, which is only for an overload that trips")
def unmarked_stepped_up_at_once(overload_step_up_other: Percent) -> Percent:
    return overload_step_up_other


@mistake(of=overload_step_up_with_mark, because="stayed at the first percentage, although the overload trips")
def marked_not_stepped_up(overload_factor_marked: Percent) -> Percent:
    return overload_factor_marked


@mistake(of=overload_step_up_without_mark, because="stayed at the first percentage, although the overload trips")
def unmarked_not_stepped_up(overload_factor_other: Percent) -> Percent:
    return overload_factor_other

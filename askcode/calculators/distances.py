"""Distances: how deep wiring is buried, how much room stays in front of equipment, how far apart supports may be."""

from __future__ import annotations

import math
from typing import Annotated

from askcode.core.errors import Refuse
from askcode.core.quantities import Amps, Choice, Count, Feet, Flag, Inches, Unit, Volts
from askcode.core.rules import ASSUMED, Subject, no
from askcode.core.tables import Table

distances = Subject("distances")
finds, mistake = distances.finds, distances.mistake

TradeSize = Annotated[str, Unit("trade size")]

# Which column of the cover table a wiring method reads; what may not be buried at all stands in neither.
RIGID = ("RMC", "IMC")
OTHER_RACEWAYS = ("PVC", "RTRC", "HDPE", "NUCC", "EMT", "LFNC", "LFMC")
BURIED_CABLES = ("UF", "USE", "MC", "MI", "TC", "direct-burial cable", "cable")
SPACED_BY_SIZE = ("PVC", "RTRC")
THREADED = ("RMC", "IMC")

# Nominal systems that are grounded at their neutral or midpoint: line voltage and voltage to ground.
TO_GROUND = {120.0: 120.0, 208.0: 120.0, 240.0: 120.0, 480.0: 277.0, 600.0: 347.0}


# --- when -------------------------------------------------------------------------------------------------------------
def system_is_known(voltage: Volts | None = None) -> bool:
    """the voltage is that of a usual grounded system"""
    return voltage in TO_GROUND


def is_cable(wiring_method: Choice) -> bool:
    """it is a cable or single conductors laid in the earth"""
    return wiring_method in BURIED_CABLES


def is_rigid(wiring_method: Choice) -> bool:
    """it is rigid or intermediate metal conduit"""
    return wiring_method in RIGID


def gfci_protected(
    gfci_cover_voltage: Volts,
    gfci_cover_device: Amps,
    gfci_circuit: Flag = ASSUMED,
    voltage: Volts | None = None,
    device_rating: Amps | None = None,
) -> bool:
    """it is a residential branch circuit of at most 120 V and 20 A with GFCI protection"""
    small = (voltage or 0) <= gfci_cover_voltage and (device_rating or 0) <= gfci_cover_device
    return gfci_circuit == "yes" and small


def low_voltage(
    low_voltage_cover: Volts, low_voltage_circuit: Flag = ASSUMED, voltage: Volts | None = None
) -> bool:
    """it is irrigation control or landscape lighting of at most 30 V"""
    return low_voltage_circuit == "yes" and (voltage or 0) <= low_voltage_cover


def thirty_volts_or_less(low_voltage_cover: Volts, voltage: Volts | None = None) -> bool:
    """the circuit is of at most 30 V"""
    return voltage is not None and voltage <= low_voltage_cover


def service_cable(wiring_method: Choice) -> bool:
    """it is service-entrance cable, which serves outside as well as inside"""
    return wiring_method == "SE"


def spaced_by_trade_size(wiring_method: Choice) -> bool:
    """the distance goes by the trade size"""
    return wiring_method in SPACED_BY_SIZE


def may_be_threaded(wiring_method: Choice) -> bool:
    """it is rigid or intermediate metal conduit"""
    return wiring_method in THREADED


def threaded(threaded_couplings: Flag = ASSUMED) -> bool:
    """the run is straight and has threaded couplings"""
    return threaded_couplings == "yes"


def one_support_reaches(distance: Feet, end_distance: Feet) -> bool:
    """the run is so short that one support serves both ends"""
    return distance <= end_distance + end_distance


# --- cover ------------------------------------------------------------------------------------------------------------
@finds("place", assumed=True)
def place() -> Choice:
    """No street, driveway, slab or building above it was named, so the row for all other locations is read."""
    return "all other locations"


@finds("low_voltage_circuit", when=thirty_volts_or_less, assumed=True)
def low_voltage_circuit() -> Flag:
    """A buried circuit of so few volts is taken for landscape lighting or irrigation control."""
    return "yes"


@finds("cover_column", when=(no(gfci_protected), no(low_voltage)))
def cover_column(wiring_method: Choice) -> Choice:
    if wiring_method in BURIED_CABLES:
        return "cable"
    if wiring_method in RIGID:
        return "rigid"
    return _raceway(wiring_method, "other raceway")


@finds("cover_column", cites="burial-depth", when=(gfci_protected, no(low_voltage)))
def cover_column_of_gfci_circuit(wiring_method: Choice) -> Choice:
    """A residential branch circuit of at most 120 V and 20 A with GFCI protection has a column of its own."""
    if wiring_method in BURIED_CABLES:
        return "gfci circuit"
    return "rigid" if wiring_method in RIGID else _raceway(wiring_method, "gfci circuit in raceway")


@finds("cover_column", cites="burial-depth", when=low_voltage)
def cover_column_of_low_voltage(wiring_method: Choice) -> Choice:
    """Irrigation control and landscape lighting of at most 30 V have a column of their own."""
    if wiring_method in BURIED_CABLES:
        return "control 30 V"
    return "rigid" if wiring_method in RIGID else _raceway(wiring_method, "control 30 V in raceway")


@finds("least_cover", cites="burial-depth")
def least_cover(
    cover_depths: Table,
    wiring_method: Choice,
    cover_column: Choice,
    cover_table_voltage: Volts,
    place: Choice = ASSUMED,
    voltage: Volts | None = None,
) -> Inches:
    """Measured from its top to the surface, {wiring_method} needs {result} of cover here: {place}."""
    if voltage is not None and voltage > cover_table_voltage:
        raise Refuse(f"Over {cover_table_voltage:g} V another table holds, which is not covered yet", "voltage")
    return cover_depths.exact(place)[cover_column]


@mistake(of=least_cover, because="read the column of cables laid in the earth, as if all wiring needed 24 in.")
def cover_of_cable(cover_depths: Table, place: Choice = ASSUMED) -> Inches:
    return cover_depths.exact(place)["cable"]


@mistake(of=least_cover, because="read the column of rigid and intermediate metal conduit")
def cover_of_rigid(cover_depths: Table, place: Choice = ASSUMED) -> Inches:
    return cover_depths.exact(place)["rigid"]


@mistake(of=least_cover, because="read the column of PVC and other raceways")
def cover_of_other_raceway(cover_depths: Table, place: Choice = ASSUMED) -> Inches:
    return cover_depths.exact(place)["other raceway"]


@mistake(of=least_cover, because="read the column of GFCI-protected residential circuits")
def cover_of_gfci_circuit(cover_depths: Table, place: Choice = ASSUMED) -> Inches:
    return cover_depths.exact(place)["gfci circuit"]


@mistake(of=least_cover, because="read the general row instead of the place's own")
def cover_of_general_row(cover_depths: Table, cover_column: Choice) -> Inches:
    return cover_depths.exact("all other locations")[cover_column]


def _raceway(wiring_method: str, column: str) -> str:
    if wiring_method not in OTHER_RACEWAYS:
        if wiring_method == "raceway":
            raise Refuse("Which raceway is it? They need different depths", "wiring_method", ["PVC", "RMC", "IMC"])
        raise Refuse(f"{wiring_method} is not laid in the earth", "wiring_method", ["UF", "PVC", "RMC"])
    return column


# --- working space ----------------------------------------------------------------------------------------------------
@finds("voltage_to_ground", cites="working-space-depth", when=system_is_known, assumed=True)
def voltage_to_ground(voltage: Volts) -> Volts:
    """A system of this voltage is usually grounded at its neutral."""
    return TO_GROUND[voltage]


@finds(cites=("working-space-depth", "working-space-conditions"))
def least_working_space_depth(
    working_space_depths: Table, working_space_condition: Choice, voltage_to_ground: Volts = ASSUMED
) -> Feet:
    """At {voltage_to_ground} to ground, condition {working_space_condition} needs a clear depth of {result}."""
    return working_space_depths.between(voltage_to_ground)[f"condition_{working_space_condition}"]


@mistake(of=least_working_space_depth, because="went by the line voltage instead of the voltage to ground")
def depth_of_line_voltage(working_space_depths: Table, voltage: Volts, working_space_condition: Choice) -> Feet:
    return working_space_depths.between(voltage)[f"condition_{working_space_condition}"]


@mistake(of=least_working_space_depth, because="took it for condition 1, nothing live or grounded opposite")
def depth_of_condition_1(working_space_depths: Table, voltage_to_ground: Volts = ASSUMED) -> Feet:
    return working_space_depths.between(voltage_to_ground)["condition_1"]


@mistake(of=least_working_space_depth, because="took it for condition 2, grounded parts opposite")
def depth_of_condition_2(working_space_depths: Table, voltage_to_ground: Volts = ASSUMED) -> Feet:
    return working_space_depths.between(voltage_to_ground)["condition_2"]


@mistake(of=least_working_space_depth, because="took it for condition 3, live parts opposite")
def depth_of_condition_3(working_space_depths: Table, voltage_to_ground: Volts = ASSUMED) -> Feet:
    return working_space_depths.between(voltage_to_ground)["condition_3"]


# --- supports ---------------------------------------------------------------------------------------------------------
@finds("supported_as", when=no(service_cable))
def supported_as_it_is(wiring_method: Choice) -> Choice:
    return wiring_method


@finds("supported_as", when=service_cable)
def supported_by_its_use(wiring_method: Choice, cable_use: Choice) -> Choice:
    return "SE as service cable" if cable_use == "service" else wiring_method


@finds("greatest_support_spacing", cites="support-spacing", when=(no(spaced_by_trade_size), no(may_be_threaded)))
def greatest_support_spacing(support_spacings: Table, supported_as: Choice) -> Feet:
    """{supported_as} is secured at least every {result}."""
    return support_spacings.exact(supported_as)["spacing_ft"]


@finds("greatest_support_spacing", cites="support-spacing", when=spaced_by_trade_size)
def greatest_support_spacing_of_pvc(pvc_support_spacings: Table, trade_size: TradeSize, wiring_method: Choice) -> Feet:
    """{wiring_method} of this trade size is supported at least every {result}."""
    return pvc_support_spacings.exact(trade_size)["spacing_ft"]


@finds("greatest_support_spacing", cites="support-spacing", when=(may_be_threaded, no(threaded)))
def greatest_support_spacing_of_rigid(support_spacings: Table, wiring_method: Choice) -> Feet:
    """{wiring_method} is secured at least every {result}."""
    return support_spacings.exact(wiring_method)["spacing_ft"]


@finds("greatest_support_spacing", cites="support-spacing", when=(may_be_threaded, threaded))
def greatest_support_spacing_of_threaded(
    threaded_conduit_support_spacings: Table, trade_size: TradeSize, wiring_method: Choice
) -> Feet:
    """Straight {wiring_method} of this trade size, with threaded couplings, is supported at least every {result}."""
    return threaded_conduit_support_spacings.exact(trade_size)["spacing_ft"]


@finds(cites="support-spacing")
def greatest_first_support(support_spacings: Table, wiring_method: Choice) -> Inches:
    """The first support of {wiring_method} is within {result} of each box, cabinet or other end."""
    return support_spacings.exact(wiring_method)["first_support"]


@finds(cites="support-spacing", shows="{greatest_first_support} / 12 = {result}")
def end_distance(greatest_first_support: Inches) -> Feet:
    """That is, in feet:"""
    return greatest_first_support / 12


@finds(cites="support-spacing", shows="{distance} − {end_distance} − {end_distance} = {result}")
def length_between_end_supports(distance: Feet, end_distance: Feet) -> Feet:
    """With a support at the greatest distance from each end, this much lies between those two."""
    return distance - end_distance - end_distance


@finds("least_supports", cites="support-spacing", when=one_support_reaches)
def one_support(end_distance: Feet) -> Count:
    """One support within {end_distance} of both ends is enough."""
    return 1.0


@finds("least_supports", cites="support-spacing", when=no(one_support_reaches))
def least_supports(length_between_end_supports: Feet, greatest_support_spacing: Feet) -> Count:
    """Divide it into parts of {greatest_support_spacing} or less; with both end supports that makes {result}."""
    return float(math.ceil(round(length_between_end_supports / greatest_support_spacing, 9)) + 1)


@mistake(of=least_supports, because="divided the whole run by the spacing and forgot the supports at the ends")
def supports_without_ends(distance: Feet, greatest_support_spacing: Feet) -> Count:
    return float(math.floor(distance / greatest_support_spacing))


@mistake(of=greatest_support_spacing, because="took the distance of the first support for the spacing")
def spacing_of_first_support(end_distance: Feet) -> Feet:
    return end_distance

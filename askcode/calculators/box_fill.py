"""Box fill: 314.16. What is in a box, counted as conductors, held against the box's volume."""

from __future__ import annotations

import math

from askcode.core.errors import Refuse
from askcode.core.quantities import Choice, Count, CubicInches, Each, Flag, Number, Size, several
from askcode.core.rules import ASSUMED, Subject, no
from askcode.core.tables import Table

# A box holds wires (loose ones of a size, or cables of a kind), devices and equipment grounds.
wires_in_box = Subject("wires_in_box", thing="wires")
devices_in_box = Subject("devices_in_box", thing="device", each=[wires_in_box])
grounds_in_box = Subject("grounds_in_box", thing="ground", each=[wires_in_box])
box_fill = Subject(
    "box_fill",
    builds_on=[wires_in_box, devices_in_box, grounds_in_box],
    each=[wires_in_box, devices_in_box, grounds_in_box],
)
finds, mistake = box_fill.finds, box_fill.mistake

NOTHING = 0.0


# --- when -------------------------------------------------------------------------------------------------------------
def in_cables(cable_wires: Count | None = None) -> bool:
    """the conductors come in cables"""
    return cable_wires is not None


def cables_have_grounds(cable_has_ground: Flag = ASSUMED) -> bool:
    """the cables have an equipment ground"""
    return cable_has_ground == "yes"


def is_there(box_device: Choice = ASSUMED) -> bool:
    """the box holds a device"""
    return box_device != "none"


def ground_size_is_named(box_ground_size: Size | None = None) -> bool:
    """the size of the grounds is named"""
    return box_ground_size is not None


def pigtails_are_named(pigtails: Count | None = None) -> bool:
    """pigtails are named"""
    return pigtails is not None


def has_clamps(internal_clamps: Flag = ASSUMED) -> bool:
    """the box has cable clamps inside"""
    return internal_clamps == "yes"


def has_fittings(fitting_count: Count) -> bool:
    """the box holds a stud, a hickey or a terminal block"""
    return fitting_count > 0


def grounds_are_named(named_ground_count: Count) -> bool:
    """equipment grounds are named"""
    return named_ground_count > 0


def cables_bring_grounds(cable_ground_count: Each[Count]) -> bool:
    """the cables bring equipment grounds"""
    return sum(several(cable_ground_count)) > 0


def has_grounds(ground_count: Count = ASSUMED) -> bool:
    """there are equipment grounds"""
    return ground_count > 0


def further_grounds_count(further_ground_allowance: Number) -> bool:
    """the edition counts grounds beyond the first few"""
    return further_ground_allowance > 0


def more_than_the_first_few(grounds_in_first_allowance: Count, ground_count: Count = ASSUMED) -> bool:
    """there are more grounds than one allowance covers"""
    return ground_count > grounds_in_first_allowance


def box_is_in_the_table(box: Choice | None = None, gangs: Count | None = None) -> bool:
    """the box is one of the table"""
    return box is not None and gangs is None


def gangs_are_named(gangs: Count | None = None) -> bool:
    """the gangs of the box are named"""
    return gangs is not None


def nothing_else_is_in_the_box(other_fill: CubicInches) -> bool:
    """the box holds nothing but the conductors"""
    return other_fill == NOTHING


# --- conductors -------------------------------------------------------------------------------------------------------
@wires_in_box.finds(cites="box-fill-allowances")
def conductor_volume(box_conductor_size: Size, conductor_volumes: Table) -> CubicInches:
    """A {box_conductor_size} conductor takes {result}."""
    return conductor_volumes.exact(box_conductor_size)["volume"]


@wires_in_box.finds(
    "insulated_conductors", cites="box-fill-counting", when=in_cables, shows="{cables} × {cable_wires} = {result}"
)
def conductors_of_cables(cable_wires: Count, cables: Count = ASSUMED) -> Count:
    """Take a cable for its insulated conductors."""
    return cables * cable_wires


@wires_in_box.finds(cites="box-fill-counting", shows="{insulated_conductors} × {conductor_volume} = {result}")
def wires_volume(insulated_conductors: Count, conductor_volume: CubicInches) -> CubicInches:
    """Count each insulated conductor that comes into the box once."""
    return insulated_conductors * conductor_volume


@finds()
def largest_conductor_volume(conductor_volume: Each[CubicInches]) -> CubicInches:
    return max(several(conductor_volume))


@finds("pigtail_fill", cites="box-fill-counting", when=pigtails_are_named)
def fill_of_pigtails(pigtails: Count) -> CubicInches:
    """A pigtail begins and ends in the box, so the {pigtails} of them count nothing."""
    return NOTHING


@finds("pigtail_fill", when=no(pigtails_are_named))
def no_pigtails() -> CubicInches:
    return NOTHING


@mistake(of=fill_of_pigtails, because="counted the pigtails")
def pigtails_as_conductors(pigtails: Count, largest_conductor_volume: CubicInches) -> CubicInches:
    return pigtails * largest_conductor_volume


# --- clamps and fittings ----------------------------------------------------------------------------------------------
@finds(
    "clamp_fill",
    cites="box-fill-counting",
    when=has_clamps,
    shows="{clamp_allowance} × {largest_conductor_volume} = {result}",
)
def fill_of_clamps(clamp_allowance: Count, largest_conductor_volume: CubicInches) -> CubicInches:
    """Count all the clamps inside together as one of the largest conductor."""
    return clamp_allowance * largest_conductor_volume


@finds("clamp_fill", when=no(has_clamps))
def no_clamps() -> CubicInches:
    return NOTHING


@mistake(of=fill_of_clamps, because="counted a clamp for each cable")
def clamp_for_each_cable(largest_conductor_volume: CubicInches, cables: Each[Count] = ASSUMED) -> CubicInches:
    return sum(several(cables)) * largest_conductor_volume


@mistake(of=fill_of_clamps, because="left out the clamps")
def without_clamps() -> CubicInches:
    return NOTHING


@finds()
def fitting_count(
    terminal_block_allowance: Count,
    fixture_stud: Flag = ASSUMED,
    hickey: Flag | None = None,
    terminal_block: Flag | None = None,
) -> Count:
    return (fixture_stud == "yes") + (hickey == "yes") + (terminal_block == "yes") * terminal_block_allowance


@finds(
    "fitting_fill",
    cites="box-fill-counting",
    when=has_fittings,
    shows="{fitting_count} × {largest_conductor_volume} = {result}",
)
def fill_of_fittings(fitting_count: Count, largest_conductor_volume: CubicInches) -> CubicInches:
    """Count each kind of support fitting as one of the largest conductor."""
    return fitting_count * largest_conductor_volume


@finds("fitting_fill", when=no(has_fittings))
def no_fittings() -> CubicInches:
    return NOTHING


# --- devices ----------------------------------------------------------------------------------------------------------
@devices_in_box.finds("device_wire_volume", assumed=True)
def wire_of_device_as_the_largest(conductor_volume: Each[CubicInches]) -> CubicInches:
    """No wire was named for the device, so the largest in the box was taken: {result}."""
    return max(several(conductor_volume))


def device_wire_is_named(device_wire_size: Size | None = None) -> bool:
    """the wire of the device is named"""
    return device_wire_size is not None


@devices_in_box.finds("device_wire_volume", cites="box-fill-allowances", when=device_wire_is_named)
def wire_of_device(device_wire_size: Size, conductor_volumes: Table) -> CubicInches:
    """The {device_wire_size} conductor of the device takes {result}."""
    return conductor_volumes.exact(device_wire_size)["volume"]


@devices_in_box.finds(
    "device_volume",
    cites="box-fill-devices",
    when=is_there,
    shows="{device_allowance} × {device_wire_volume} = {result}",
)
def volume_of_device(device_allowance: Count, device_wire_volume: CubicInches = ASSUMED) -> CubicInches:
    """Count the yoke of the device as {device_allowance} of its largest conductor."""
    return device_allowance * device_wire_volume


@devices_in_box.finds("device_volume", when=no(is_there))
def no_device() -> CubicInches:
    return NOTHING


@finds()
def device_fill(device_volume: Each[CubicInches], box_device: Each[Choice] = ASSUMED) -> CubicInches:
    # "2 devices, a switch and a receptacle" names each device twice: in general and by its kind
    volumes, kinds = several(device_volume), several(box_device)
    general = math.fsum(v for v, kind in zip(volumes, kinds, strict=True) if kind == "device")
    return max(general, math.fsum(volumes) - general)


@mistake(of=volume_of_device, because="counted a device as one conductor instead of two")
def device_counted_once(device_wire_volume: CubicInches = ASSUMED) -> CubicInches:
    return device_wire_volume


@mistake(of=device_fill, because="left out the device")
def without_device() -> CubicInches:
    return NOTHING


# --- equipment grounds ------------------------------------------------------------------------------------------------
@wires_in_box.finds("cable_ground_count", when=(in_cables, cables_have_grounds))
def grounds_of_cables(cables: Count = ASSUMED) -> Count:
    return cables


@wires_in_box.finds("cable_ground_count", when=(in_cables, no(cables_have_grounds)))
def cables_without_ground() -> Count:
    return NOTHING


@wires_in_box.finds("cable_ground_count", when=no(in_cables))
def grounds_of_no_cable() -> Count:
    return NOTHING


@wires_in_box.finds()
def cable_ground_size(box_conductor_size: Size, cable_grounds: Table) -> Size:
    return cable_grounds.exact(box_conductor_size)["ground"]


@wires_in_box.finds("cable_ground_volume", when=in_cables)
def volume_of_cable_ground(cable_ground_size: Size, conductor_volumes: Table) -> CubicInches:
    return conductor_volumes.exact(cable_ground_size)["volume"]


@wires_in_box.finds("cable_ground_volume", when=no(in_cables))
def volume_without_cable() -> CubicInches:
    return NOTHING


@grounds_in_box.finds()
def grounds_here(box_grounds: Count | None = None) -> Count:
    return box_grounds or NOTHING


@grounds_in_box.finds("ground_volume", cites="box-fill-allowances", when=ground_size_is_named)
def volume_of_ground(box_ground_size: Size, conductor_volumes: Table) -> CubicInches:
    """A {box_ground_size} ground takes {result}."""
    return conductor_volumes.exact(box_ground_size)["volume"]


@grounds_in_box.finds("ground_volume", assumed=True)
def ground_as_the_largest_conductor(conductor_volume: Each[CubicInches]) -> CubicInches:
    """No size was named for the grounds, so that of the largest conductor was taken: {result}."""
    return max(several(conductor_volume))


@finds()
def named_ground_count(grounds_here: Each[Count]) -> Count:
    return sum(several(grounds_here))


@finds("ground_count", when=grounds_are_named)
def ground_count_named(named_ground_count: Count) -> Count:
    return named_ground_count


@finds("ground_count", when=(no(grounds_are_named), cables_bring_grounds))
def ground_count_of_cables(cable_ground_count: Each[Count]) -> Count:
    """The cables bring an equipment ground each: {result}."""
    return sum(several(cable_ground_count))


@finds("ground_count", when=(no(grounds_are_named), no(cables_bring_grounds)), assumed=True)
def no_ground_named() -> Count:
    """No equipment ground was named."""
    return NOTHING


@finds("largest_ground_volume", when=grounds_are_named)
def largest_of_named_grounds(ground_volume: Each[CubicInches] = ASSUMED) -> CubicInches:
    return max(several(ground_volume))


@finds("largest_ground_volume", when=no(grounds_are_named))
def largest_of_cable_grounds(cable_ground_volume: Each[CubicInches]) -> CubicInches:
    return max(several(cable_ground_volume))


@finds("ground_fill", cites="box-fill-grounds", when=has_grounds)
def grounds_as_one(largest_ground_volume: CubicInches, ground_count: Count = ASSUMED) -> CubicInches:
    """Count the equipment grounds ({ground_count}) together as one of the largest of them: {result}."""
    return largest_ground_volume


@finds(cites="box-fill-grounds", shows="{ground_count} − {grounds_in_first_allowance} = {result}")
def further_grounds(ground_count: Count, grounds_in_first_allowance: Count) -> Count:
    """One allowance covers up to {grounds_in_first_allowance} equipment grounds."""
    return ground_count - grounds_in_first_allowance


@finds(cites="box-fill-grounds", shows="{further_grounds} × {further_ground_allowance} = {result}")
def further_allowances(further_grounds: Count, further_ground_allowance: Number) -> Number:
    """Each further one adds {further_ground_allowance} of an allowance."""
    return further_grounds * further_ground_allowance


@finds(
    "ground_fill",
    cites="box-fill-grounds",
    when=(has_grounds, further_grounds_count, more_than_the_first_few),
    over=grounds_as_one,
    shows="{largest_ground_volume} + {further_allowances} × {largest_ground_volume} = {result}",
)
def grounds_with_quarters(largest_ground_volume: CubicInches, further_allowances: Number) -> CubicInches:
    """Take the allowances of the largest of the grounds."""
    return largest_ground_volume + further_allowances * largest_ground_volume


@finds("ground_fill", when=no(has_grounds))
def no_grounds() -> CubicInches:
    return NOTHING


@mistake(of=grounds_as_one, because="counted every equipment ground")
def every_ground(largest_ground_volume: CubicInches, ground_count: Count = ASSUMED) -> CubicInches:
    return ground_count * largest_ground_volume


@mistake(of=grounds_as_one, because="left out the equipment grounds")
def without_grounds() -> CubicInches:
    return NOTHING


@mistake(of=grounds_with_quarters, because="counted every equipment ground in full")
def every_ground_in_full(largest_ground_volume: CubicInches, ground_count: Count = ASSUMED) -> CubicInches:
    return ground_count * largest_ground_volume


@mistake(of=grounds_with_quarters, because="counted all the grounds as one, as earlier editions did")
def grounds_of_2017(largest_ground_volume: CubicInches) -> CubicInches:
    return largest_ground_volume


@finds("volume_of_grounds", when=(no(grounds_are_named), no(cables_bring_grounds)))
def volume_of_unknown_grounds(box_grounds: Count, box_ground_size: Size, conductor_volumes: Table) -> CubicInches:
    return conductor_volumes.exact(box_ground_size)["volume"] * box_grounds


@finds("volume_of_grounds", when=grounds_are_named)
def volume_of_named_grounds(ground_fill: CubicInches) -> CubicInches:
    return ground_fill


@finds("volume_of_grounds", when=(no(grounds_are_named), cables_bring_grounds))
def volume_of_cable_grounds(ground_fill: CubicInches) -> CubicInches:
    return ground_fill


# --- the box ----------------------------------------------------------------------------------------------------------
@finds(
    cites="box-fill-counting",
    shows="{wires_volume} + {clamp_fill} + {fitting_fill} + {device_fill} + {ground_fill} = {result}",
)
def least_box_volume(
    wires_volume: Each[CubicInches],
    clamp_fill: CubicInches,
    fitting_fill: CubicInches,
    device_fill: CubicInches,
    ground_fill: CubicInches,
    pigtail_fill: CubicInches,
) -> CubicInches:
    """Add it all up; the box must have at least that volume."""
    return math.fsum((*several(wires_volume), clamp_fill, fitting_fill, device_fill, ground_fill, pigtail_fill))


@finds(cites="box-volumes", when=no(gangs_are_named))
def box_volume(box: Choice, box_volumes: Table) -> CubicInches:
    """The box has {result}."""
    return box_volumes.exact(box)["volume"]


@finds("box_volume", cites="box-volumes", when=gangs_are_named)
def volume_of_gangs(box: Choice, gangs: Count, box_volumes: Table) -> CubicInches:
    """With {gangs} gangs the box has {result}."""
    row = box_volumes.exact(box)
    return row["volume"] * (gangs if row.get("gangs") else 1)


@finds(cites="box-volumes")
def least_box(least_box_volume: CubicInches, box_volumes: Table, box_shape: Choice = ASSUMED) -> Choice:
    """Of the boxes of that shape ({box_shape}) the smallest with {least_box_volume} is {result}."""
    return box_volumes.next_up(least_box_volume, box_shape)["box"]


@mistake(of=least_box_volume, because="counted every conductor as the largest")
def wires_as_the_largest(
    insulated_conductors: Each[Count],
    largest_conductor_volume: CubicInches,
    other_fill: CubicInches,
) -> CubicInches:
    return sum(several(insulated_conductors)) * largest_conductor_volume + other_fill


# --- how many conductors fit ------------------------------------------------------------------------------------------
@finds()
def other_fill(
    clamp_fill: CubicInches, fitting_fill: CubicInches, device_fill: CubicInches, ground_fill: CubicInches
) -> CubicInches:
    return clamp_fill + fitting_fill + device_fill + ground_fill


@finds(cites="box-fill-counting", shows="{box_volume} − {other_fill} = {result}")
def volume_left(box_volume: CubicInches, other_fill: CubicInches) -> CubicInches:
    """Take what else is in the box off its volume."""
    if other_fill > box_volume:
        raise Refuse("What is named fills more than the box by itself; no conductor fits.", "box_volume")
    return box_volume - other_fill


@finds(cites="box-fill-allowances", shows="{volume_left} / {conductor_volume} = {result}")
def conductors_by_volume(volume_left: CubicInches, conductor_volume: CubicInches) -> Number:
    """See how many conductors the rest has room for."""
    return volume_left / conductor_volume


@finds("greatest_conductor_count", cites="box-fill-counting")
def conductors_in_a_volume(conductors_by_volume: Number) -> Count:
    """Only whole conductors fit: {result}."""
    return math.floor(round(conductors_by_volume, 6))


@finds(
    "greatest_conductor_count",
    cites="box-volumes",
    when=(box_is_in_the_table, nothing_else_is_in_the_box),
    over=conductors_in_a_volume,
)
def conductors_of_the_table(box: Choice, box_conductor_size: Size, box_volumes: Table) -> Count:
    """With nothing else in the box, the table gives the number of {box_conductor_size} conductors: {result}."""
    return box_volumes.exact(box)[box_conductor_size]


@mistake(of=conductors_in_a_volume, because="rounded up")
def conductors_rounded_up(conductors_by_volume: Number) -> Count:
    return math.ceil(conductors_by_volume)

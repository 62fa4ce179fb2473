"""What a value says by its neighbours: the unit of the one beside it, one more size of a list, one of two values.

Each function looks over the quantities of a text, in order, and changes those that their neighbours explain.
"""

from __future__ import annotations

import re
from itertools import pairwise
from typing import TYPE_CHECKING

from parsers import numbers
from parsers.fittings import trade_sizes, trade_sizes_of_a_list

if TYPE_CHECKING:
    from parsers.quantities import Quantity

_LIST_JOIN = re.compile(
    r"\s*-?\s*(?:,\s*(?:and|or|&)?|\+|&|and|or|to|-|/|plus)\s*(?:an?\s+|the\s+|one\s+|another\s+)?", re.ASCII
)
_PLURAL_NUMBER = re.compile(r"(?<![\d./#])(\d{1,3}(?:\.5)?)\s?'?s\b", re.ASCII)
_PLURAL_JOIN = re.compile(
    r"(?:\s?'?s\b)?\s*(?:motors?\b)?\s*(?:,\s*(?:and\s)?|\+|&|and\b|plus\b)\s*(?:an?\s+|one\s+|another\s+|\d{1,2}\s+|\(\d\)\s*)?|"
    r"\s?'?s\s+an?\s+",
    re.ASCII,
)
_SHARED = {
    "horsepower",
    "current",
    "voltage",
    "power",
    "apparent_power",
    "length",
    "resistance",
    "temperature",
    "wire_size",
    "trade_size",
    "percent",
}
_RANGED = {"horsepower", "current", "length", "power", "apparent_power", "temperature", "percent"}
_CHOSEN_FROM = _RANGED | {"wire_size"}
# Between two values of which one is meant: "10 to 15 hp", "75 ft or maybe 100"; "from 20 to 30 A" are two.
_EITHER_JOIN = re.compile(r"(?:-|\s+(?:to|thru|through|or\s+maybe)\s+|\s*,?\s*maybe\s+|(?P<alone>\s+or\s+))", re.ASCII)
_BETWEEN = re.compile(r"\bbetween\s+$", re.ASCII)
_AND_JOIN = re.compile(r"\s+and\s+", re.ASCII)
_FROM = re.compile(r"\b(?:from|up|down|raise|bump|go|went|going|increase|increased)\s+(?:a\s+)?$", re.ASCII)
_ONE_OF = {"horsepower", "length", "wire_size"}  # "5 or 10 hp" is one motor; "15 or 20 A receptacles" are both kinds
# Before a number that has no unit, where one with its unit went before.
_OR_JOIN = re.compile(
    r"(?:[^.?!;\n\d]{0,30}\bor\s+(?:(?:do|does|is|should|must|would|can|will|has|have|needs?|it|i|we|they|be|to|an?|maybe|"
    r"even|use|go)\s+){0,5}|\s*,?\s*(?:or\s+)?maybe\s+)",
    re.ASCII,
)
_ENDS = re.compile(r"\s*(?:$|[.?!;,\n])", re.ASCII)
_SYSTEM_VOLTS = {115, 120, 208, 230, 240, 277, 460, 480, 575}
_BESIDE = re.compile(r"(?:[ ,]|\bat\b){1,4}", re.ASCII)
_OTHER_PLACE = re.compile(r"[^.?!;\n\d]{0,30}\b(?:with|and|vs\.?|versus|but)\s+(?:only\s+)?", re.ASCII)
_AT_PLACE = re.compile(r"\s+(?:at|on)\s+(?:the|my|its)\b", re.ASCII)
_SAID = re.compile(numbers.NUMBER, re.ASCII)
_AMPS_ARE = re.compile(r"\bamps?\s+(?:is|are)\s+$", re.ASCII)
_BARE_JOIN = re.compile(r" (?:(?:an?|\x01) )?", re.ASCII)
_MUCH_ALIKE = 0.15  # two readings of one voltage
LEAST_LISTED = 3  # horsepower; "2 10 and 15 hp" may be two of 10
FAR_APART = 8  # times; so much larger a number is not the other end of a range
_SIZES = {"18", "16", "14", "12", "10", "8", "6", "4"}
_AND_SIZE = re.compile(r"(?:\s?'?s\b)?\s*(?:,\s*)?(?:and|plus|\+|&|,)\s*(?P<c>an?|another|\d{1,2})\s+", re.ASCII)
_NO_SIZE = re.compile(
    r"\s*-?\s*(?:way|gang|pole|square|sq\b|x\b|by\b|breaker|bkr|amp|switch|recept|device|cable|conduct|wires?\b|\d)",
    re.ASCII,
)
_ARTICLE = re.compile(r"\b(?:an?|another)\s+$", re.ASCII)
_THE = re.compile(r"\b(?:the|that|those)\s+$", re.ASCII)
_VOLTS_BEFORE = re.compile(
    r"(?:ph|phases?|ø|hp|horse|horsepower)[\s,]+(?:1(?:10|15|20)|2[0-4]\d|277|4[468]0|5[57][05]|600)$", re.ASCII
)


def told_by_neighbours(low: str, found: list[Quantity]) -> list[Quantity]:
    """The quantities of a lowered text, with what their neighbours tell."""
    found = _share_forward(low, found)
    trade_sizes(low, found)
    _share_units(low, found)
    trade_sizes_of_a_list(low, found)
    found = _counts_of_sizes(low, found)
    _motors_of_a_list(low, found)
    _sizes_again(low, found)
    _either(low, found)
    return found


def _share_forward(low: str, found: list[Quantity]) -> list[Quantity]:
    """Give a number without a unit what the value before it says, and take its count in."""
    before: Quantity | None = None
    counts: set[int] = set()  # where a count begins that is now part of a size
    for this in found:
        if this.kind != "number" or not this.bare or before is None:
            before = this if this.kind != "number" else before
        elif before.kind == "wire_size":
            if join := _one_more_size(low, before, this):
                this.kind, this.value, this.bare = "wire_size", str(this.value), False
                this.count = int(join["c"]) if join["c"].isdigit() else 1
                this.start, this.more = join.start("c"), {} if join["c"].isdigit() else {"article": True}
                counts.add(id(this))
            elif str(this.value) in _SIZES and _one_or_the_other(low, before, this):
                this.kind, this.value, this.bare = "wire_size", str(this.value), False
        elif before.kind in _RANGED and _one_or_the_other(low, before, this):
            this.kind, this.unit, this.more = before.kind, before.unit, {"shared": True}
        elif _volts_by_place(low, before, this, any(quantity.kind == "voltage" for quantity in found)):
            this.kind, this.unit = "voltage", "V"
    starts = {quantity.start for quantity in found if id(quantity) in counts}
    return [quantity for quantity in found if quantity.start not in starts or id(quantity) in counts]


def _one_more_size(low: str, before: Quantity, this: Quantity) -> re.Match[str] | None:
    """The words between two sizes of a list, the second without a mark: "two 10s and a 12"."""
    if "wires" in before.more or str(this.value) not in _SIZES or _NO_SIZE.match(low, this.end):
        return None
    return _AND_SIZE.fullmatch(low, before.end, this.start)


def _one_or_the_other(low: str, before: Quantity, this: Quantity) -> bool:
    """Whether a number is put up beside a value: "is a 15 amp breaker enough or 20", "80 ft maybe 90"."""
    join = None if before.bare else _OR_JOIN.fullmatch(low, before.end, this.start)
    return join is not None and _ENDS.match(low, this.end) is not None


def _volts_by_place(low: str, before: Quantity, this: Quantity, volts_told: bool) -> bool:
    """Whether a number is volts by where it stands: "30 A 240", "113 volts at the end with 121 at the panel"."""
    if before.kind == "current":
        stands = _BESIDE.fullmatch(low, before.end, this.start) and _ENDS.match(low, this.end)
        return not volts_told and this.value in _SYSTEM_VOLTS and stands is not None
    if before.kind != "voltage" or before.bare:
        return False
    volts = float(before.value)
    stands = _OTHER_PLACE.fullmatch(low, before.end, this.start) and _AT_PLACE.match(low, this.end)
    return abs(float(this.value) - volts) < _MUCH_ALIKE * volts and stands is not None


def _counts_of_sizes(low: str, found: list[Quantity]) -> list[Quantity]:
    """Take the count before a size that only its neighbour told to be one: "a 12, one 14-3", "two 8, three #10"."""
    counts: set[int] = set()
    for before, this in pairwise([None, *found]):
        if this is None or this.kind != "wire_size" or not this.more.get("shared") or this.count is not None:
            continue
        if before is not None and before.kind == "number" and not low[before.end : this.start].strip():
            this.count, this.start = int(before.value), before.start
            counts.add(id(before))
        elif article := _ARTICLE.search(low, 0, this.start):
            this.count, this.start, this.more = 1, article.start(), this.more | {"article": True}
    return [quantity for quantity in found if id(quantity) not in counts]


def _sizes_again(low: str, found: list[Quantity]) -> None:
    """In "two 12/2, one 10/3, the receptacle on the 12" the last is a size that was named before."""
    named = {quantity.value for quantity in found if quantity.kind == "wire_size"}
    for quantity in found:
        if quantity.kind == "number" and str(quantity.value) in named and _THE.search(low, 0, quantity.start):
            quantity.kind, quantity.value, quantity.bare = "wire_size", str(quantity.value), False


def _either(low: str, found: list[Quantity]) -> None:
    """Mark two values of which only one can be meant: "10 to 15 hp", "75 ft or maybe 100"."""
    for one, other in pairwise(found):
        join = _EITHER_JOIN.fullmatch(low, one.end, other.start)
        if join is None and _BETWEEN.search(low, 0, one.start):
            join = _AND_JOIN.fullmatch(low, one.end, other.start)
        if not join or one.kind != other.kind or one.kind not in _CHOSEN_FROM or one.value == other.value:
            continue
        if "wires" in one.more or "wires" in other.more:
            continue  # "12/2 or 12/3" are two cables
        if (join.groupdict().get("alone") and one.kind not in _ONE_OF) or _FROM.search(low, 0, one.start):
            continue
        one.more = one.more | {"either": (one.value, other.value)}
        other.more = other.more | {"either": (one.value, other.value)}


def _share_units(low: str, found: list[Quantity]) -> None:
    """In "40, 25 and 10 hp" the first two are horsepower too, and in "15- and 20-ampere" the first is amperes."""
    for index in range(len(found) - 2, -1, -1):
        this, after = found[index], found[index + 1]
        if (
            not this.bare
            or this.kind != "number"
            or after.kind not in _SHARED
            or (after.bare and not after.more.get("shared"))
        ):
            continue
        if after.kind in ("power", "apparent_power") and this.value in _SYSTEM_VOLTS:
            continue  # "208 to 240, .75 kVA"
        if after.kind == "voltage" and float(after.value) > FAR_APART * float(this.value):
            continue  # "x2, 15 kV"
        if after.kind == "current" and _AMPS_ARE.search(low, 0, this.start):
            continue  # "20 amp is 12, 30 amp is 10"
        if after.kind in ("current", "length") and _VOLTS_BEFORE.search(low, max(0, this.start - 12), this.end):
            continue  # "three phase 230, 27 amps"
        if after.more.get("to_ground") or not _listed(low, this, after):
            continue
        if after.kind == "wire_size":
            if str(this.value) not in ("14", "12", "10", "8", "6", "4", "3", "2", "1", "250", "350", "500"):
                continue
            this.value = str(this.value)
        elif after.kind == "trade_size":
            this.value = numbers.trade_size(low[this.start : this.end])
        elif after.kind == "temperature" and "fahrenheit" in after.more:
            this.value = round((float(this.value) - 32) * 5 / 9, 1)
        elif scale := after.more.get("scaled") or _scale(low, after):
            this.value = numbers.whole(float(this.value) * scale)
            this.more = {"scaled": scale}
        this.kind, this.unit, this.more = after.kind, after.unit, this.more | {"shared": True}
        if "scale" in after.more:
            this.more["scale"] = after.more["scale"]


def _listed(low: str, this: Quantity, after: Quantity) -> bool:
    """Whether two numbers stand in one list or range: "10, 15 and 20 hp", "10 15 and 20 hp"; "8 - 100 W" counts 8."""
    if after.kind in ("horsepower", "temperature") and this.value in _SYSTEM_VOLTS:
        return False  # "a 50 hp on 480 and a 3 hp", "on 208, 75 degree lugs"
    shared = after.kind == "horsepower" and after.more.get("shared")
    if shared and _BARE_JOIN.fullmatch(low, this.end, after.start):
        return float(this.value) >= LEAST_LISTED
    join = _LIST_JOIN.fullmatch(low, this.end, after.start)
    counts = join is not None and " - " in join.group() and after.kind in ("power", "apparent_power")
    return join is not None and not (counts and float(after.value) > FAR_APART * float(this.value))


def _scale(low: str, quantity: Quantity) -> float | None:
    """What a number was multiplied with to come to its unit (kVA, yards), if with anything."""
    said = _SAID.match(low, quantity.start)
    if said is None or isinstance(quantity.value, str) or quantity.kind not in ("power", "apparent_power", "length"):
        return None
    scale = float(quantity.value) / numbers.value(said[0]) if numbers.value(said[0]) else 1.0
    return round(scale, 6) if abs(scale - 1) > 0.01 else None


def _motors_of_a_list(low: str, found: list[Quantity]) -> None:
    """In "three 10s and a 40 hp" the 10s are motors, no wires."""
    listed = [  # without the counts: the two of "two 25s"
        quantity
        for quantity, after in zip(found, [*found[1:], None], strict=False)
        if quantity.kind != "number" or after is None or low[quantity.end : after.start].strip()
    ]
    for one, other in (*pairwise(listed), *pairwise(reversed(listed))):
        if other.kind != "horsepower" or one.kind not in ("wire_size", "number"):
            continue
        size = _PLURAL_NUMBER.search(low[one.start : one.end + 3])  # with what follows the plural: "230 single" is none
        first, last = sorted((one, other), key=lambda quantity: quantity.start)
        if size is None or not _PLURAL_JOIN.fullmatch(low, first.end, last.start):
            continue
        one.kind, one.unit, one.value, one.count = "horsepower", "hp", numbers.value(size[1]), None
        one.start, one.end, one.more = one.start + size.start(1), one.start + size.end(), {"shared": True}

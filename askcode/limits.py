"""Phrases of an entry with a limit in them: "[over 50 lb] light on a plain box" stands for each weight above it."""

from __future__ import annotations

import re
from collections.abc import Callable

from askcode.core.tables import size_rank
from askcode.measures import measure, spelled

UNIT_NAMES = {
    "length": r"(?:ft|feet|foot|in|inch|inches|'|\")",
    "area": r"(?:sq\.? ?ft|square f(?:ee|oo)t|sqft)",
    "current": r"(?:amps?|amperes?|a)",
    "voltage": r"(?:volts?|v)",
    "ohms": r"(?:ohms?)",
    "weight": r"(?:lbs?|pounds?)",
    "power": r"(?:kw|hp|va|watts?)",
}
HAS_UNIT = {
    name: re.compile(rf"(?:\d{{1,3}}(?:,\d{{3}})+|\d+ \d+/\d+|\d+/\d+|\d*\.?\d+)\s*-?\s*{unit}(?![a-z])", re.I)
    for name, unit in UNIT_NAMES.items()
}
_INCHES_BEHIND = (
    r"(?:(?<=ft)|(?<=feet)|(?<=foot)|(?<='))\.?\s*-?\s*(?:\d+ \d+/\d+|\d+/\d+|\d+)\s*-?\s*(?:inch(?:es)?|in|\")"
)
HAS_UNIT["length"] = re.compile(rf"{HAS_UNIT['length'].pattern}(?:{_INCHES_BEHIND}(?![a-z]))?", re.I)
_SIZE = re.compile(
    r"(?:(?:\b(?:no\.?|number|size)|#)\s*(\d/0|\d+)|\b(\d/0)|\b(\d+)(?=\s*(?:awg|kcmil|mcm|gauge|ga)\b))"
    r"(?:\s*(?:awg|kcmil|mcm|gauge|ga)\b)?",
    re.I,
)
_LIMIT = re.compile(r"\[(?P<side>over|under|from|up to) (?P<amount>[^\]]+)\]", re.I)
_SIDES: dict[str, Callable[[float, float], bool]] = {
    "over": lambda have, limit: have > limit,
    "under": lambda have, limit: have < limit,
    "from": lambda have, limit: have >= limit,
    "up to": lambda have, limit: have <= limit,
}


def fitted(phrase: str, text: str) -> str | None:
    """A phrase with the amount that a text states in the place of its limit; None where the text states none of that
    unit, more than one, or one on the other side of the limit. A phrase without a limit stays as it is."""
    limit = _LIMIT.search(phrase)
    if limit is None:
        return phrase
    due = amounts(limit["amount"])
    stated = [
        (kind, _side(value, said, text), said) for kind, value, said in amounts(text) if due and kind == due[0][0]
    ]
    if len({value for _, value, _ in stated}) != 1 or not _SIDES[limit["side"].lower()](stated[0][1], due[0][1]):
        return None
    return phrase[: limit.start()] + stated[0][2] + phrase[limit.end() :]


_LESS = r"(?:under|below|less than|(?:short|small|narrow|light)er than|not quite|shy of)\s*(?:an? )?$"
_MORE = r"(?:over|above|more than|(?:long|larg|bigg|wid|heavi|high)er than|past)\s*(?:an? )?$"


def _side(value: float, said: str, text: str) -> float:
    """A value, or one just beside it where a text says that it is under or over that: "a hallway under 10 ft"."""
    text = spelled(text)
    before = text[: text.find(said)]
    return value - JUST * bool(re.search(_LESS, before, re.I)) + JUST * bool(re.search(_MORE, before, re.I))


JUST = 1e-6


def open_ended(text: str) -> str:
    """The side to which the first amount of a text that has one is open: "over", "under", or nothing."""
    for _, _, said in amounts(text):
        before = spelled(text)[: spelled(text).find(said)]
        if found := "over" * bool(re.search(_MORE, before, re.I)) or "under" * bool(re.search(_LESS, before, re.I)):
            return found
    return ""


def amounts(text: str) -> list[tuple[str, float, str]]:
    """The amounts of a text with a unit: their kind, value (lengths in inches, wire sizes by thickness) and words."""
    text = spelled(text)
    found = [("size", float(size_rank(m[1] or m[2] or m[3])), m[0]) for m in _SIZE.finditer(text)]
    for kind, pattern in HAS_UNIT.items():
        for told in pattern.finditer(text):
            if kind == "voltage" and "/" in told[0]:  # 120/240 V: the higher of the two
                found.append((kind, max(map(float, re.findall(r"\d+", told[0]))), told[0].strip()))
                continue
            amount = measure(re.sub(r"[^\d,./ -].*", "", told[0]) if kind != "length" else told[0])
            if amount is not None:
                found.append((kind, amount[0], told[0].strip()))
    return found

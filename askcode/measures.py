"""Amounts in options and entries, made comparable: lengths in inches, sizes by thickness, numbers in words."""

from __future__ import annotations

import re

from askcode.core.tables import number, size_rank

Measure = tuple[
    float, str
]  # an amount and its unit: inches for lengths, `size` for wire sizes, else the word behind it

INCHES = {"ft": 12.0, "in": 1.0, "foot": 12.0, "feet": 12.0, "inch": 1.0, "inches": 1.0, "'": 12.0, '"': 1.0}
INCHES |= {"m": 1 / 0.0254, "mm": 1 / 25.4}
_AMOUNT = r"\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+[ -]\d+/\d+|\d+/\d+|\d*\.?\d+"
_MEASURE = re.compile(rf"({_AMOUNT})\s*-?\s*(feet|foot|ft|inches|inch|in(?![a-z])|'|\")?")
_SIZE = re.compile(r"(?:\b(?:no\.?|number|size)\s*|#\s*)?\b(\d/0|\d+)\s*(awg|kcmil|mcm|gauge|ga)?\b", re.I)
_NUMBERS = re.compile(r"\d+/0\b|\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+[ -]\d+/\d+|\d+/\d+|\d*\.\d+|\d+")
_WORDS = {
    word: str(value)
    for value, word in enumerate(
        ["none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"]
    )
} | {"twelve": "12", "½": " 1/2", "¼": " 1/4", "¾": " 3/4"}
_PARTS = {0.0: "", 0.25: "1/4", 0.375: "3/8", 0.5: "1/2", 0.75: "3/4"}  # of an inch, as trade sizes are printed
_SPELLED = re.compile("|".join(rf"\b{w}\b" if w.isalpha() else w for w in _WORDS), re.I)


def numbers(text: str) -> list[str]:
    """The numbers of a text as they stand there; 1/0 is one of them."""
    return [n.replace("-", " ") if "/" in n else n for n in _NUMBERS.findall(text)]


def spelled(text: str) -> str:
    """Small numbers in words as digits."""
    return _SPELLED.sub(lambda found: _WORDS[found[0].lower()], text)


def measure(text: str) -> Measure | None:
    """The amount that a text begins to tell: 6 ft 7 in. is 79 inches, 1/0 AWG the rank of that size, 1,200 A 1200 a."""
    if sized := as_size(text):
        return sized
    text = spelled(text.lower())
    total, unit = 0.0, ""
    for found in _MEASURE.finditer(text):
        value = number(found[1].replace("-", " "))
        if found[2]:
            total, unit = total + value * INCHES[found[2]], "in"
        elif not unit:
            return value, (re.findall(r"[a-z%]+", text[found.end() :]) or [""])[0].rstrip("s")
    return (round(total, 4), unit) if unit else None


def as_size(text: str) -> Measure | None:
    """The wire size that a text tells, by thickness; None where it is no size (a bare number is none)."""
    for found in _SIZE.finditer(text):
        if found[2] or "/0" in found[1] or found[0].lstrip()[:1] == "#":
            return float(size_rank(found[1])), "size"
    return None


def of_fact(value: float | str, unit: str | None) -> Measure | None:
    """The amount of a fact that was read."""
    if unit == "size":
        return float(size_rank(str(value))), "size"
    if not isinstance(value, (int, float)):
        return None
    return (value * INCHES[unit], "in") if unit in INCHES else (value, (unit or "").lower())


def held(value: float | str, unit: str | None, wanted: str) -> float | str:
    """A value as the engine holds it in the unit of its input: lengths in that unit, a percentage as a ratio, a trade
    size as it is printed (1 1/4)."""
    if not isinstance(value, (int, float)) or unit == wanted != "%":
        return value
    if wanted == "trade size":
        whole, part = divmod(value, 1)
        return " ".join(text for text in (f"{whole:g}" if whole else "", _PARTS.get(part, f"{part:g}")) if text)
    if unit == "%":
        return value / 100
    return round(value * INCHES[unit] / INCHES[wanted], 4) if unit in INCHES and wanted in INCHES else value


def same(one: Measure | None, other: Measure | None) -> bool:
    """Whether two amounts are the same; one without a unit fits any but a size."""
    if one is None or other is None or one[0] != other[0]:
        return False
    return one[1] == other[1] or (not one[1] and other[1] != "size") or (not other[1] and one[1] != "size")

"""Numbers as people write and say them: 7-1/2, 7½, .5, 1,200, seven and a half, two hundred, four eighty, two aught.

Number words become digits before anything else is read, so that every other pattern needs to know digits only.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from parsers.edits import Edit

# A number in digits, for the patterns: mixed, fraction, thousands with commas, decimals. Fractions are those of a rule.
FRACTION = (
    r"(?:1/2|[12]/3|[13]/4|[1-4]/5|[15]/6|[1357]/8|[1379]/10|(?:1[135]|[13579])/16|(?:[12][13579]|31|[13579])/32|\d{1,2}/64)"
    r"(?![\d/])"
)
MIXED = rf"\d{{1,3}}[- ]{FRACTION}"
PLAIN = r"(?:\d{1,3}(?:,\d{3})+|\d{1,9})(?:\.\d{1,6})?|\.\d{1,6}"
NUMBER = rf"(?:{MIXED}|{FRACTION}|{PLAIN})"

_UNITS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9}
_TEENS = {"ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16,
          "seventeen": 17, "eighteen": 18, "nineteen": 19}  # fmt: skip
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80,
         "ninety": 90}  # fmt: skip
_SMALL = _UNITS | _TEENS | _TENS
_NOUGHT = {"aught", "ought", "aughts", "oughts", "naught", "nought", "ot", "ott"}
_ZEROS = {"double": "2/0", "triple": "3/0", "quad": "4/0", "quadruple": "4/0"}
_PARTS = {
    "half": 2,
    "halves": 2,
    "quarter": 4,
    "quarters": 4,
    "eighth": 8,
    "eighths": 8,
    "sixteenth": 16,
    "sixteenths": 16,
}
NUMBER_WORDS = (
    frozenset(_SMALL) | _NOUGHT | frozenset(_PARTS) | frozenset(_ZEROS) | {"hundred", "thousand", "oh", "point"}
)

_WORD = "|".join(sorted([*_SMALL, *_NOUGHT, *_PARTS, "hundred", "thousand"], key=len, reverse=True))
_JOIN = r"(?:\s*-\s*|\s+)"
# "and" joins the words of one number after a hundred and before a part: a hundred and ten, two and a half; but
# "ten and twenty" are two.
_AND = (
    rf"(?:(?:(?<=hundred)|(?<=thousand)){_JOIN}and{_JOIN}|{_JOIN}and{_JOIN}(?:a{_JOIN})?"
    rf"(?=(?:half|halves|quarter|eighth|sixteenth)\b|(?:{'|'.join(_UNITS)}){_JOIN}(?:quarters?|eighths?|sixteenths?)\b)|{_JOIN})"
)
_POINT = rf"(?<!this )(?<!that )(?<!the )(?<!a )point(?={_JOIN}(?:{'|'.join(_SMALL)})\b)"
_IN_DIGITS = (  # 7 and a half, 2 hundred, 4 aught
    rf"(?<![\d./-])\d{{1,3}}(?={_JOIN}and{_JOIN}(?:a{_JOIN})?(?:half|quarter|three{_JOIN}quarters?|\d/\d)\b"
    r"|\s+(?:hundred|thousand|[ao]ughts?)\b)"
)
_SAID = re.compile(
    rf"\b(?:an?\s+(?=hundred|half|quarter)|(?:{'|'.join(_ZEROS)}){_JOIN}(?=(?:a|o|n)ught))?"
    rf"(?:{_WORD}|{_POINT}|{_IN_DIGITS})"
    rf"(?:{_AND}(?:{_WORD}|oh|slash{_JOIN}oh|point|a(?={_JOIN}(?:half|quarter)))\b)*(?:{_JOIN}and{_JOIN}\d/\d)?",
    re.ASCII,
)
_SPLIT = re.compile(r"[\s-]+")
_AND_PART = re.compile(rf"\band{_JOIN}(?:a{_JOIN})?(?={'|'.join(_PARTS)}\b)")
# "one" is a number before these and in a compound; elsewhere it is a pronoun or says "single".
_COUNTED = re.compile(
    r"\s*-?\s*(?:hp\b|h\.p|horse|volts?\b|amps?\b|amperes?\b|inch|foot|ft\b|hundred|#|\d|awg|gauge|ga\b|ton\b|kw\b|kva\b|"
    r"percent|phase|ph\b|pole|gang|sets?\b|hour|(?:\d+ )?(?:cu|copper|al|aluminum)\b)",
    re.ASCII,
)
_NUMBERED = re.compile(r"(?:\bnumber|\bno\.?|\bnum|#)\s*$", re.ASCII)
_SPACED_SIZE = re.compile(r"(?<![\d/.-])([1-4]) ?/ ?0(?![\d/]|\.\d)", re.ASCII)
_MANY = re.compile(
    r"[\s-]*(?:amps?|amperes?|a|horse|hp|horsepower|inch|in)\b\.?[\s-]*(?:[a-z-]+\s+){0,2}?[a-z]{3,}s\b",
    re.ASCII,
)
_MEASURED = re.compile(
    r"[\s-]*(?:amps?|amperes?|horse|hp|horsepower|gauge|awg|ga|inch|inches|foot|feet|ft|ton|sets?|hours?)\b", re.ASCII
)
_VOLTS = re.compile(r"[\s-]*(?:v|volts?|w|watts?|va|rpm|square)\b", re.ASCII)
_HORSE = re.compile(r"[\s-]*(?:hp|horse)", re.ASCII)
_LARGE_MOTORS = {125, 150, 250, 350, 450}  # of three digits with a last word: "one forty horse" is one of 40
_ALONE = re.compile(r"[\s-]*(?:phases?|ph|wires?|poles?|gang|prong|way)\b", re.ASCII)
_INCH_AND = re.compile(r"\b(?:an? |1[ -]|one[ -])?(inch(?:es)?) and an? (quarter|half)\b", re.ASCII)
_GLUED = r"(?:hp|h\.p\.?|vac|vdc|volts?|v|phase|ph|ø|p|amps?|a|ft|feet|cu|al|kva|kw|hz|awg|kcmil|mcm)"
_RUN_ON = re.compile(
    rf"(?<![\w.#/-])#?(?!\d{{3}}\.\d)\d[\d./-]*(?:{_GLUED}(?=[\d#.])#?\.?\d[\d./-]*)+", re.ASCII
)  # a section's "250.102c1" is none
_INNER_UNIT = re.compile(rf"(?<=\d){_GLUED}(?=[#.]?\d)", re.ASCII)
_SINGULAR_S = re.compile(r"\b(?:gas|less|across|is|was|has|its|this|plus|class|bus|series)$")


def value(text: str) -> float:
    """The number that is written, or a ValueError: 7-1/2 is 7.5, 1,200 is 1200. Whole numbers come back whole."""
    text = text.strip().replace(",", "")
    whole, slash, below = text.partition("/")
    if not slash:
        number = float(text)
    else:
        if float(below) == 0:
            raise ValueError(f"{text} is a size, not a number")
        first = re.split(r"[- ]", whole.strip())
        above = float(first[-1]) / float(below)
        number = (float(first[0]) if len(first) > 1 else 0) + above
    return int(number) if number == int(number) else number


def apart(low: str) -> list[Edit]:
    """The places in a lowered text where one value runs into the next, with a space for each: 2hp230v1ph."""
    return [
        (found.start() + unit.end(), found.start() + unit.end(), " ")
        for found in _RUN_ON.finditer(low)
        for unit in _INNER_UNIT.finditer(found.group())
    ]


def may_say(low: str) -> bool:
    """Whether number words may stand in a lowered text."""
    return _SAID.search(low) is not None or "inch and a" in low


def said(low: str) -> list[Edit]:
    """The places where number words stand in a lowered text, and the digits for each."""
    edits: list[Edit] = []
    if "inch and a" in low:
        inches = [(*found.span(), f"1-1/{_PARTS[found[2]]} inch") for found in _INCH_AND.finditer(low)]
        blank = low
        for start, end, _ in inches:
            blank = blank[:start] + "." * (end - start) + blank[end:]
        return sorted(inches + said(blank))
    if "/ 0" in low or " /0" in low:
        edits += [(*found.span(), f"{found[1]}/0") for found in _SPACED_SIZE.finditer(low) if " " in found.group()]
    for found in _SAID.finditer(low):
        start, end = found.span()
        text = found.group()
        parted = _AND_PART.sub("&", text)  # "two and a quarter" is no two quarters
        words = [word for word in _SPLIT.split(parted) if word and word not in ("and", "a", "an", "slash")]
        after = low[end : end + 60]
        cable = words[-2:-1] in (["ten"], ["twelve"], ["fourteen"]) and words[-1] in ("two", "three")
        cable = cable and "phase" not in after[:8]  # twelve two | wire
        alone = words.pop() if len(words) > 1 and words[-1] in _UNITS and _ALONE.match(after) and not cable else ""
        digits = " ".join(_spoken(words, after))
        if alone and digits:  # four eighty | three phase
            middle = start + text.rindex(alone)
            edits.append((start, start + len(low[start:middle].rstrip(" -")), digits))
            start, digits = middle, str(_UNITS[alone])
        if digits == "1" and (text == "one" and not _COUNTED.match(after) and not _NUMBERED.search(low[:start])):
            continue
        if text == "one" and re.match(r"\s+\d/\d", after):
            continue  # "one 1/2 inch emt" is no 1-1/2
        if words[0] in _PARTS and not re.match(r"[\s-]*(?:an?\s+)?(?:hp\b|h\.p|horse|inch|in\b|ton\b|\")", after):
            continue  # "half of the circuit"
        if digits:
            edits.append((start, end, digits))
    return sorted(edits)


def _spoken(words: list[str], after: str) -> Iterator[str]:
    """The numbers of a run of number words, each in digits."""
    at, count = 0, len(words)

    def word(ahead: int = 0) -> str:
        return words[at + ahead] if at + ahead < count else ""

    while at < count:
        first = word()
        if first in _ZEROS:
            yield _ZEROS[first]
            at += 2
            continue
        if word(2) == "hundred" and at + 3 == count and first in _TENS and word(1) in _UNITS and _VOLTS.match(after):
            yield str((_TENS[first] + _UNITS[word(1)]) * 100)  # twenty three hundred volts, forty five hundred watts
            return
        if first == "point" and word(1) in _SMALL:
            decimals, at = _decimals(words, at + 1)
            yield f".{decimals}"
            continue
        if first in _PARTS:
            yield f"1/{_PARTS[first]}"
            at += 1
            continue
        if first in ("hundred", "thousand"):
            number, at = (100 if first == "hundred" else 1000), at + 1
            if word() in _SMALL:
                more, at = _below_hundred(words, at)
                number += more
        elif first.isdigit():
            number, at = int(first), at + 1
        elif first in _SMALL:
            number, at = _below_hundred(words, at)
        else:  # a stray "oh", "aught" or "point"
            at += 1
            continue
        if word() in _NOUGHT or (word() == "oh" and number <= 4 and word(1) not in _UNITS):
            at += 1
            if number <= 4:
                yield f"{number}/0"
            continue
        for scale, size in (("hundred", 100), ("thousand", 1000), ("hundred", 100)):
            if word() == scale or (scale == "hundred" and number >= 1000 and word(1) == scale):
                if number >= 1000:
                    number, at = number + _SMALL.get(word(), 0) * size, at + 2
                else:
                    number, at = number * size, at + 1
                if word() in _SMALL and not (size == 1000 and word(1) == "hundred"):
                    more, at = _below_hundred(words, at)
                    number += more
        if number < 10 and word() == "oh" and word(1) in _UNITS:
            number, at = number * 100 + _UNITS[word(1)], at + 2  # two oh eight
        elif (
            number < 10
            and word() in _TENS
            and not (at + 1 >= count - 1 and _several(after))
            and not (_HORSE.match(after) and number * 100 + _below_hundred(words, at)[0] not in _LARGE_MOTORS)
        ):
            more, at = _below_hundred(words, at)
            number = number * 100 + more  # four eighty
        elif (
            number in (1, 2, 4)
            and word() in ("ten", "fifteen", "twelve")
            and at + 1 == count
            and not _MEASURED.match(after)
        ):
            number, at = number * 100 + _TEENS[word()], at + 1  # one fifteen
        elif (
            number in (6, 8, 10, 12, 14)
            and word() in ("two", "three")
            and at + 1 == count
            and not _MEASURED.match(after)
        ):
            yield f"{number}-{_UNITS[word()]}"  # twelve two: a cable
            at += 1
            continue
        if word() == "point" and word(1) in _SMALL | {"oh": 0}:
            decimals, at = _decimals(words, at + 1)
            yield f"{number}.{decimals}"
        elif word()[:1] == "&" and number >= 100 and number % 100 == 0 and _PARTS[word()[1:]] <= 4:
            yield str(number + 100 // _PARTS[word()[1:]])  # a hundred and a quarter: 125
            at += 1
        elif word()[:1] == "&":
            yield f"{number}-1/{_PARTS[word()[1:]]}"
            at += 1
        elif word() in ("half", "quarter") and number >= 100 and number % 100 == 0:
            yield str(number + 100 // _PARTS[word()])  # a hundred and a quarter: 125
            at += 1
        elif word() in _PARTS:
            # seven and a half; but three quarters, five eighths
            part = _PARTS[word()]
            at += 1
            yield f"{number}/{part}" if part > 2 and 1 < number < part else f"{number}-1/{part}"
        elif word() in _UNITS and word(1) in _PARTS and _PARTS[word(1)] > 2:
            yield f"{number}-{_UNITS[word()]}/{_PARTS[word(1)]}"  # one and three quarters
            at += 2
        elif re.fullmatch(r"\d/\d", word()):
            yield f"{number}-{word()}"
            at += 1
        else:
            yield str(number)


def _decimals(words: list[str], at: int) -> tuple[str, int]:
    """The digits behind a point: one five, oh five, fifteen."""
    digits = ""
    if words[at] in _SMALL and words[at] not in _UNITS:
        number, at = _below_hundred(words, at)
        return str(number), at
    while at < len(words) and (words[at] in _UNITS or words[at] == "oh"):
        digits += str(_UNITS.get(words[at], 0))
        at += 1
    return digits, at


def _below_hundred(words: list[str], at: int) -> tuple[int, int]:
    number = _SMALL[words[at]]
    at += 1
    if number >= 20 and at < len(words) and words[at] in _UNITS:
        following = words[at + 1] if at + 1 < len(words) else ""
        if following not in _TENS and following not in _NOUGHT and following not in ("hundred", "oh"):
            return number + _UNITS[words[at]], at + 1
    return number, at


def _several(after: str) -> bool:
    """True before a measure and a plural: two twenty amp circuits are two circuits of 20 A."""
    found = _MANY.match(after)
    return found is not None and not _SINGULAR_S.search(found.group())


def whole(number: float) -> float:
    """A number without the dust of reckoning, whole where it is."""
    number = round(number, 6)
    return int(number) if number == int(number) else number


def trade_size(text: str) -> str:
    """A trade size as the tables write it: 1.25 is 1 1/4."""
    text = text.strip().replace("-", " ")
    for tail, part in ((".25", " 1/4"), (".5", " 1/2"), (".75", " 3/4"), (".125", " 1/8"), (".875", " 7/8")):
        if text.endswith(tail):
            text = text.removesuffix(tail) + part
    return text.strip()

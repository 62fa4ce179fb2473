"""Quantities in a text: number and unit, sizes, systems, counts. Character patterns, read from patterns/*.yaml.

All patterns that begin with a number are joined into one expression that is tried where a number begins; the first
that fits wins, in the order of the file. So the cost grows with the numbers in a question, hardly with the patterns.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from parsers import numbers
from parsers.neighbours import told_by_neighbours

PATTERNS = Path(__file__).parent / "patterns"
HOTTEST = 250  # degrees, with no letter

_AWG = r"(?:[1-4]/0|18|16|14|12|10|[1-8])"
_KCMIL = r"(?:250|300|350|400|500|600|700|750|800|900|1000|1250|1500|1750|2000)"
_START = re.compile(
    r"(?:(?<![\w.])|(?<=\bx)|(?<=\dx))(?:(?<![a-z]-)|(?<=\dhp-)|(?<=\dv-)|(?<=\da-)|(?<=ph-))(?:-?\.?\d|\#\s*\d|\(\d{1,2}\)\s*(?:[#\d]|sets?\b|runs?\b)|no\.?\s*(?=\d)|number\s+(?=\d)|num\s+(?=\d)|nbr\s+(?=\d)|size\s+#?(?=\d)|awg\s*#?(?=\d))",
    re.ASCII,
)
_ARTICLE_A = re.compile(
    r"(?<=\d)\s([am])\b(?!\s*(?:$|[,;.?!)+&-]|\n|(?i:bre?a?ke?r|bkr|br\b|cb\b|(?:of\s+)?load|cont|non|c[ik]r?c?[uk]|ckt|fuse|feeder|main|service|"
    r"svc|panel|at\b|on\b|@|each|per\b|x\b|\d|"
    r"(?<=m )(?:of|in|for|and|from|to|run|long|away|down|deep|between|with|each|one)\b|"
    r"what|which|how|egc|gec|thanks|max\b|awg|"
    r"over\s?load|ols?\b|s\.?f\b|sf\d|"
    r"(?:temp\w*\s+)?rise|#|v(?:olt(?:age)?)?\s*-?drop|fl[ac]\b|ocpd|overcurrent|nameplate|tag\b)))",
    re.ASCII,
)
# "350 al, 3 in pipe" counts conductors; "on 3 in pipe" and "3 in. pipe" tell a trade size.
_COUNT_IN = re.compile(
    r"(?:\b(?:thhn|thwn|thw|xhhw|rhw|tw|cu|copper|al|alum|aluminum|awg|kcmil|mcm|ccc|wires?|conductors?)(?:-2)?\s*,?|"
    r"\b(?:[1-4]/0|#\s*\d{1,2})\s*,)\s*\d{1,2}\s(in)\s(?=(?:emt|imc|rmc|rigid|pvc|ent|fmc|lfmc|conduit|pipe|raceway)\b)",
    re.ASCII,
)
# In "in 1 emt" the number counts raceways and tells nothing more.
_ONE_IN = re.compile(r"(?<=\bin )1(?= (?:emt|imc|rmc|rigid|pvc|ent|fmc|lfmc|conduit|pipe|raceway|cable)\b)", re.ASCII)
# In "#10 cu in 1/2 emt" the metal stands before a raceway; "18 cu in" tells a volume.
_CU_IN = re.compile(
    r"(?:#\s?\d{1,2}|/0|kcmil|mcm|\d{1,2}\)?\s(?:#?\d{1,2})) cu( in) "
    r"(?=\(?\d|an?\b|one\b|the\b|same\b|emt|pvc|pipe|conduit)",
    re.ASCII,
)
_OPENING = re.compile(r"-|\(\d{1,2}\)\s*", re.ASCII)  # of "-20 C" and "(2) 5 hp", where no pattern takes it in
# In "a 5 a 10 and a 20 hp" the "a" stands before each of a list.
_ARTICLE_LIST = re.compile(r"(?<=\b[a] )\d{1,3}(?:\.5)?\s(a)\s(?=\d{1,3}(?:\.5)?(?:\s(?:and|a)\b|,))", re.ASCII)
_COUNT_BEFORE = re.compile(
    r"(?<![\d./#-])\(?(\d{1,2})\)?\s*(?:x\s*|ea\.?\s+|(?:identical|equal|more|of those|of the)\s+)?$", re.ASCII
)


@dataclass(slots=True)
class Quantity:
    """A value read from the text, with the place that it was read from."""

    kind: str
    value: float | str
    unit: str | None
    start: int
    end: int
    bare: bool = False  # a number without its unit; `kind` is then number, or what it is likely to be
    count: int | None = None  # how many of them, where the text says so
    more: dict[str, Any] = field(default_factory=dict)  # the lower voltage of a system, the wires of a cable, the poles


def load_yaml(name: str) -> Any:
    """A file of patterns, with every scalar as text."""
    import yaml

    loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
    return yaml.load((PATTERNS / name).read_text("utf-8"), loader)


def load_words(name: str) -> set[str]:
    """The words of a plain list; lines that begin with # are remarks."""
    lines = (PATTERNS / name).read_text("utf-8").splitlines()
    return {word for line in lines if not line.startswith("#") for word in line.split()}


@cache
def _units() -> tuple[dict[str, tuple[str, str, float]], str, frozenset[str]]:
    """Each unit word with its kind, unit and factor; the alternation of them all; those right after the number."""
    meaning: dict[str, tuple[str, str, float]] = {}
    attached: set[str] = set()
    for name, entry in load_yaml("units.yaml").items():
        told = (entry["kind"], entry.get("unit", name), float(entry.get("factor", 1)))
        for word in entry.get("words", []):
            meaning[word.lower()] = told
        for word in entry.get("attached", []):
            meaning[word] = told
            attached.add(word)
    words = "|".join(re.escape(word).replace(r"\ ", r"[\s-]*") for word in sorted(meaning, key=len, reverse=True))
    return meaning, words, frozenset(attached)


def unit_words() -> set[str]:
    """All words that units are written with."""
    return {part for word in _units()[0] for part in re.split(r"[\s.-]+", word) if part.isalpha()}


def _macros() -> dict[str, str]:
    return {
        "number": numbers.NUMBER,
        "mixed": numbers.MIXED,
        "fraction": numbers.FRACTION,
        "gap": r"\s*-?\s*",
        "inch": r"\s*-?\s*(?:\"|''|in\b\.?|inch(?:es)?\b)?",
        "awg": _AWG,
        "kcmil": _KCMIL,
        "size": f"(?:{_AWG}|{_KCMIL})",
        "volts3": r"(?:120|208|240|277|480|600|2400|4160|7200|12470|13200|13800)",
        "line": r"(?:115|120|200|208|220|230|240|277|440|460|480|550|575|600)",  # volts of a motor's nameplate
        "units": _units()[1],
    }


def _filled(pattern: str) -> str:
    for name, macro in _macros().items():
        pattern = pattern.replace("{" + name + "}", macro)
    return pattern


class Quantities:
    """Reads the quantities of a text."""

    def __init__(self) -> None:
        self.patterns = load_yaml("quantities.yaml")
        self.labels = load_yaml("labels.yaml")
        self._units, _, self._attached = _units()
        parts = []
        for index, pattern in enumerate(self.patterns):
            body = re.sub(r"\(\?P<(\w+)>", rf"(?P<\1_{index}>", _filled(pattern["match"]))
            parts.append(f"(?P<pattern_{index}>{body})")
        self._master = re.compile("|".join(parts), re.ASCII)
        self._of_group = {f"pattern_{index}": (index, pattern) for index, pattern in enumerate(self.patterns)}
        self._groups: list[dict[str, str]] = [{} for _ in self.patterns]
        for name in self._master.groupindex:
            plain, _, position = name.rpartition("_")
            self._groups[int(position)][plain] = name
        self._labels = [
            (re.compile(_filled(entry["match"]), re.ASCII), entry, tuple(entry["hint"])) for entry in self.labels
        ]

    def read(self, work: str) -> list[Quantity]:
        """The quantities in the text, in order, none over another."""
        low = lowered(work)
        found: list[Quantity] = []
        taken: list[tuple[int, int]] = []
        left = low  # what a label has read already is blanked for the next: of "SF 1.25 FLA 96" the 1.25 is no FLA
        for pattern, entry, hints in self._labels:
            if any(hint in low for hint in hints):
                for match in pattern.finditer(left):
                    start, end = match.span()
                    if any(start < stop and begin < end for begin, stop in taken):
                        continue
                    quantity = self._label(entry, match)
                    if quantity is not None:
                        found.append(quantity)
                        taken.append((start, end))
                        left = f"{left[:start]}{'_' * (end - start)}{left[end:]}"
        at = 0
        for start_match in _START.finditer(low):
            start = start_match.start()
            if start < at:
                continue
            hit = self._master.match(low, start)
            if hit is None and (opening := _OPENING.match(low, start)):
                hit = self._master.match(low, opening.end())
            if hit is None or any(start < stop and begin < hit.end() for begin, stop in taken):
                continue
            index, pattern = self._of_group[str(hit.lastgroup)]
            groups = self._groups[index]
            named = {plain: hit[full] for plain, full in groups.items() if plain != "pattern" and hit[full] is not None}
            end = start + len(low[start : hit.end()].rstrip()) if hit.start() == start else hit.end()
            for quantity in self._made(pattern, named, hit.start(), end):
                found.append(quantity)
                at = quantity.end
        found.sort(key=lambda quantity: quantity.start)
        return told_by_neighbours(low, found)

    # --- one pattern --------------------------------------------------------------------------------------------------
    def _label(self, entry: dict[str, Any], match: re.Match[str]) -> Quantity | None:
        named = {name: text for name, text in match.groupdict().items() if text is not None}
        if "n" not in named and "n2" in named:
            named["n"] = named.pop("n2")
        made = list(self._made(entry, named, match.start(), match.end()))
        return made[0] if made else None

    def _made(self, entry: dict[str, Any], named: dict[str, str], start: int, end: int) -> Iterator[Quantity]:
        verb, kind, unit = entry["value"], entry.get("kind", ""), entry.get("unit")
        count = next((int(named[name]) for name in ("c", "c2") if name in named), None)
        n = next((named[name] for name in ("n", "n2", "n3", "n4") if name in named), "")
        try:
            if verb == "number":
                number = numbers.value(n)
                if kind in ("sets", "raceway_count", "count") and number < 1:
                    return
                yield Quantity(kind, number, unit, start, end, bare=kind == "number", count=count)
            elif verb == "unit":
                kind, unit, factor = (
                    self._units[re.sub(r"\s*-\s*|\s+", " ", named["u"])]
                    if named["u"] not in self._units
                    else self._units[named["u"]]
                )
                if kind == "voltage" and "dc" in named["u"]:
                    yield Quantity("phases", "dc", None, start, end)
                number = numbers.value(n)  # a third stays a third
                yield Quantity(kind, number if factor == 1 else numbers.whole(number * factor), unit, start, end)
            elif verb in ("size", "cable"):
                wires = {"wires": int(named["w"])} if verb == "cable" else {}
                if "grounds" in entry:
                    count, wires = count or 1, {"grounds": 1}  # "a 12 ground"
                size = next(named[name] for name in ("s", "s2") if name in named)
                yield Quantity("wire_size", size, None, start, end, count=count, more=wires)
                for other in {named[name] for name in ("n", "n2") if name in named} - {size}:  # neutral, ground
                    yield Quantity("wire_size", other, None, start, end, more={"along": True})
            elif verb == "zeros":
                yield Quantity("wire_size", f"{len(named['s'])}/0", None, start, end)
            elif verb == "text":
                yield Quantity(kind, n.strip(), None, start, end)
            elif verb == "named":  # a name made of what was said: "{n} square x {d}"
                said = {name: numbers.trade_size(text) for name, text in {**named, "n": n}.items()}
                more = {"topic": entry["topic"]} if "topic" in entry else {}
                yield Quantity(kind, entry["as"].format(**said), None, start, end, more=more)
            elif verb == "letter":
                yield Quantity(kind, n.upper(), None, start, end)
            elif verb == "phase":
                yield Quantity("phases", n, None, start, end)
            elif verb == "constant":
                yield Quantity(kind, entry["constant"], None, start, end)
            elif verb == "one":  # a word that counts one: "a ground"
                yield Quantity(kind, 1, unit, start, end)
            elif verb == "pair":  # a device marked for two temperatures, of which the higher is what it can take
                yield Quantity(kind, int(named["a"]), unit, start, end, more={"along": True})
                yield Quantity(kind, numbers.value(n), unit, start, end)
            elif verb == "supply":
                yield Quantity("voltage", int(named["v"]), "V", start, end)
                yield Quantity("phases", n, None, start, end)
            elif verb == "poles":
                yield Quantity("current", numbers.value(n), "A", start, end, more={"poles": int(named["p"])})
            elif verb == "celsius":
                letter = (named.get("u") or named.get("u2") or "c")[0]
                number = numbers.value(n.removeprefix("-")) * (-1 if n.startswith("-") else 1)
                more = {} if named.get("u") or named.get("u2") else {"scale": "not said"}
                if not (named.get("u") or named.get("u2")) and abs(number) > HOTTEST:
                    return  # degrees of a bend
                if letter == "f":
                    number, more = round((number - 32) * 5 / 9, 1), {"fahrenheit": number}
                yield Quantity("temperature", numbers.whole(number), "°C", start, end, more=more)
            elif verb == "fraction":
                percent = "%" in n or "percent" in n or float(n.strip(" %percnt")) > 2
                number = float(n.strip(" %percnt")) / (100 if percent else 1)
                yield Quantity(kind, number, unit, start, end)
            elif verb == "feet_inches":
                yield Quantity(
                    "length", numbers.whole(numbers.value(n) + numbers.value(named["i"]) / 12), "ft", start, end
                )
            elif verb == "either":  # a motor that can be connected for two voltages: of its two currents one is meant
                values = (numbers.value(n), numbers.value(named["n2"]))
                if not 1.5 <= values[0] / values[1] <= 2.5:
                    return
                for number in values:
                    yield Quantity(kind, number, unit, start, end, more={"either": values})
            elif verb == "thick_by_long":
                yield Quantity("length", numbers.value(n), "in", start, end)
                yield Quantity("length", numbers.value(named["i"]), "ft", start, end)
            elif verb == "trade_size":
                yield Quantity(kind, numbers.trade_size(n), unit, start, end, count=count)
            elif verb == "system":
                yield from self._system(named, start, end)
            elif verb == "step":
                volts = sorted(int(named[name]) for name in ("hi", "lo") if name in named)
                step = {"primary": int(named["n"])} | ({"to_ground": volts[0]} if len(volts) > 1 else {})
                yield Quantity("voltage", int(named["n"]), "V", start, end, more={"along": True})
                yield Quantity("voltage", volts[-1], "V", start, end, more=step)
        except (ValueError, ZeroDivisionError, OverflowError):
            return

    @staticmethod
    def _system(named: dict[str, str], start: int, end: int) -> Iterator[Quantity]:
        low, high = sorted((int(named["a"]), int(named["b"])))
        if (low, high) not in _SYSTEMS and not named.get("y"):
            middle = start + len(named["a"])
            yield Quantity("voltage", int(named["a"]), "V", start, middle, bare=True)
            yield Quantity("voltage", int(named["b"]), "V", middle + 1, end, bare=True)
            return
        yield Quantity("voltage", high, "V", start, end, more={"to_ground": low, "wye": (low, high) in _WYE})


# Systems with a neutral: volts to ground, volts between lines. Other pairs (230/460) are two voltages to choose from.
_SYSTEMS = {(110, 220), (120, 240), (125, 250)}
_WYE = {(120, 208), (277, 480), (347, 600), (220, 380), (230, 400), (240, 415)}
_SYSTEMS |= _WYE


def lowered(work: str) -> str:
    """The text in lower case, of the same length, with the article "a" after a number put out of the amperes' way."""
    low = work.lower()
    if len(low) != len(work):  # a few letters grow when lowered
        low = "".join(char.lower() if len(char.lower()) == 1 else char for char in work)
    if " a " in work or " m " in work:
        for found in _ARTICLE_A.finditer(work):
            at = found.start(1)
            low = low[:at] + "\x01" + low[at + 1 :]
        for found in _ARTICLE_LIST.finditer(low):
            low = low[: found.start(1)] + "\x01" + low[found.end(1) :]
    if " in 1 " in low:
        low = _ONE_IN.sub("\x01", low)
    for found in _CU_IN.finditer(low) if " cu in " in low else ():
        low = low[: found.start(1)] + " \x01\x01" + low[found.end(1) :]
    if " in " in low:
        for found in _COUNT_IN.finditer(low):
            low = low[: found.start(1)] + "\x01\x01" + low[found.end(1) :]
    return low


def count_before(low: str, start: int) -> tuple[int, int] | None:
    """The small number right before a place ("three 10 hp motors") and where it begins."""
    found = _COUNT_BEFORE.search(low, max(0, start - 24), start)
    return (int(found[1]), found.start(1)) if found else None

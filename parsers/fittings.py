"""Trade sizes told by the raceway or the fitting beside them, as patterns/fittings.yaml lists those."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING

from parsers import numbers

if TYPE_CHECKING:
    from parsers.quantities import Quantity

_AS_FRACTION = {"0.375": "3/8", "0.5": "1/2", "0.75": "3/4"}
_ASKS_SIZE = re.compile(
    r"\btrade size\b|\b(?:smallest|minimum|what size|least size)\s+(?:[a-z]+\s+){0,3}"
    r"(?:emt|imc|rmc|pvc|ent|conduit|raceway)\b",
    re.ASCII,
)
_OPENS_OPTION = re.compile(r"\n\s*\(?[a-h][).:]\s*$", re.ASCII)
_BESIDE = re.compile(r"\s*(?:,|and|or|&|,\s*and)\s*(?:an?\s+|one\s+|\d\s+)?", re.ASCII)


@dataclass(frozen=True)
class _Words:
    """The expressions made of the lists of fittings.yaml."""

    sizes: frozenset[str]
    before: re.Pattern[str]  # a fitting right before the size
    after: re.Pattern[str]  # a fitting right after it
    measured: re.Pattern[str]  # a word after it that makes it a measure


@cache
def _words() -> _Words:
    from parsers.quantities import load_yaml

    told = load_yaml("fittings.yaml")
    fitting, kind, between, measure = ("|".join(told[name]) for name in ("fittings", "kinds", "told", "measures"))
    return _Words(
        frozenset(told["sizes"]),
        re.compile(rf"\b(?:{fitting})\s+(?:(?:{between})\s+){{0,2}}(?:an?\s+)?$", re.ASCII),
        re.compile(rf"[\s\"'.-]*(?:(?:{kind})[\s-]+){{0,3}}(?:{fitting})\b(?!\s+\d+\s*(?:in|ft)\b)", re.ASCII),
        re.compile(rf"[\s\"'.-]*(?:in\b\.?|inch(?:es)?)?\s*-?\s*(?:{measure})\b", re.ASCII),
    )


def trade_sizes(low: str, found: list[Quantity]) -> None:
    """Make a trade size of inches, and of a number without a unit, that stand beside a raceway or a fitting; and of the
    inches of an option where a trade size is asked for."""
    words, asks_size = _words(), _ASKS_SIZE.search(low) is not None
    for this in found:
        bare = this.kind == "number" and this.bare
        if not bare and not (this.kind == "length" and this.unit == "in"):
            continue
        size = _size(low[this.start : this.end].strip(" \"'-inche.") if bare else f"{float(this.value):g}")
        if size not in words.sizes or words.measured.match(low, this.end):
            continue
        if bare and "/" not in size:
            continue  # "2 clamps" counts
        fits = words.after.match(low, this.end) or words.before.search(low, 0, this.start)
        asked = not bare and asks_size and _OPENS_OPTION.search(low, 0, this.start)
        if fits or asked:
            this.kind, this.unit, this.value, this.bare = "trade_size", "in", size, False


def trade_sizes_of_a_list(low: str, found: list[Quantity]) -> None:
    """In "two 2 inch and one 1-1/2 inch emt" the first tells a trade size too."""
    for this, after in pairwise(found):
        inches = this.kind == "length" and this.unit == "in"
        if inches and after.kind == "trade_size" and _BESIDE.fullmatch(low, this.end, after.start):
            this.kind, this.value = "trade_size", _size(f"{float(this.value):g}")


def _size(text: str) -> str:
    """A trade size as the tables write it."""
    size = numbers.trade_size(text)
    return _AS_FRACTION.get(size, size)

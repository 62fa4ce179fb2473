"""Quantities carry their unit in the annotation, so that both ends of every edge can be compared at import."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Generic, TypeVar, get_args, get_origin


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as it is shown, and how many decimals a reader wants of it."""

    symbol: str
    decimals: int = 2


Amps = Annotated[float, Unit("A")]
Volts = Annotated[float, Unit("V")]
VoltAmperes = Annotated[float, Unit("VA", 0)]
Kva = Annotated[float, Unit("kVA")]
Kilowatts = Annotated[float, Unit("kW")]
Watts = Annotated[float, Unit("W")]
Ohms = Annotated[float, Unit("Ω", 4)]
Percent = Annotated[float, Unit("%")]  # held as a ratio: 1.25 is shown as 125%
Ratio = Annotated[float, Unit("ratio", 3)]
Horsepower = Annotated[float, Unit("hp")]
KvaPerHorsepower = Annotated[float, Unit("kVA/hp")]
Number = Annotated[float, Unit("number")]
Count = Annotated[float, Unit("count", 0)]
Minutes = Annotated[str, Unit("min")]  # text: the tables also hold "continuous" and "30 & 60"
Celsius = Annotated[float, Unit("°C", 1)]
Feet = Annotated[float, Unit("ft")]
Inches = Annotated[float, Unit("in")]
CubicInches = Annotated[float, Unit("cu in")]
SquareInches = Annotated[float, Unit("sq in", 4)]
Cmil = Annotated[float, Unit("cmil", 0)]
Size = Annotated[str, Unit("size")]  # a wire size is text: "10", "1/0", "250"
Choice = Annotated[str, Unit("choice")]
Flag = Annotated[str, Unit("yes/no")]  # "yes" or "no": what nobody said is neither

T = TypeVar("T")


class Each(Generic[T]):
    """Annotation of a parameter that collects a quantity over all the things of a job; the rule receives a list."""


def several(values: Each[T]) -> list[T]:
    """What the engine hands to an `Each[...]` parameter: one value of every thing."""
    assert isinstance(values, list)
    return values


def unit_of(annotation: Any) -> Unit | None:
    """The unit inside an annotation (also inside Each[...] or a union), or None where it names no quantity."""
    if get_origin(annotation) is Each:
        return unit_of(get_args(annotation)[0])
    for part in getattr(annotation, "__metadata__", ()):
        if isinstance(part, Unit):
            return part
    for part in get_args(annotation):
        if found := unit_of(part):
            return found
    return None


def is_each(annotation: Any) -> bool:
    """Whether the annotation asks for one value of every thing."""
    return get_origin(annotation) is Each

"""Score the reader against phrases that were written without sight of it: precision, recall and F1 of what was read.

python -m tests.corpus_score [FILE]     prints the figures, and every phrase that was read otherwise
"""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

import parsers

BLIND = Path(__file__).parent / "corpus" / "blind"
# Kinds of the corpus, and what the reader calls each where it is more particular.
KINDS = {
    "horsepower": ["horsepower"], "voltage": ["voltage", "drop_volts"], "voltage_to_ground": ["voltage_to_ground"],
    "current": [
        "current", "rated_load_current", "minimum_circuit_ampacity", "greatest_overcurrent_device", "locked_rotor_amps"
    ],
    "wire_size": ["wire_size"], "sets": ["sets"], "temperature": ["temperature"], "length": ["length", "thickness"],
    "percent": ["percent"], "power": ["power"], "apparent_power": ["apparent_power"], "trade_size": ["trade_size"],
    "volume": ["volume"], "minutes": ["minutes"], "service_factor": ["service_factor"], "code_letter": ["code_letter"],
    "phases": ["phases"], "metal": ["metal"], "insulation": ["insulation"], "device_type": ["device_type"],
    "motor_type": ["motor_type"], "electrode": ["electrode"],
}  # fmt: skip
OF_READER = {name: kind for kind, names in KINDS.items() for name in names}
# Words that name no one kind of device, what the corpus lists as the phases only, and a cable that it does not list.
NOT_LISTED = {
    ("device_type", "breaker"), ("device_type", "fuse"), ("motor_type", "dc"), ("motor_type", "single-phase"),
    ("insulation", "NM-B"),
}  # fmt: skip
NEVER_AMISS = ("wire_size", "voltage", "horsepower")
SAME = {"UF-B": "UF"}  # the cable and its type letters
UNITLESS = {"trade_size", "sets", "service_factor"}
FEET = {"ft": 1.0, "in": 1 / 12, "mm": 1 / 304.8, "m": 1 / 0.3048}
Read = tuple[str, str]  # kind and value, with its unit


def written(kind: str, value: Any, unit: str | None) -> Read:
    """A value as it is compared: lengths in feet, the rest in the unit that both sides use."""
    if kind == "length":
        return kind, f"{float(value) * FEET[unit or 'ft']:.2f} ft"
    if isinstance(value, int | float):
        return kind, f"{value:.2f}".rstrip("0").rstrip(".") + f" {unit or ''}".rstrip()
    return kind, SAME.get(str(value), str(value)).replace("-", " ")


def of_gold(case: dict[str, Any]) -> Counter[Read]:
    """What should be read from a phrase, each value once however often it is said."""
    return Counter({written(r["kind"], r["value"], r.get("unit")) for r in case["reads"]})


def kind_of(fact: parsers.Fact) -> str | None:
    """What the corpus calls a fact; "277 volts to ground" is a voltage to ground by what it fills."""
    best = fact.inputs[0][0] if fact.inputs else ""
    return best if fact.kind == "voltage" and best == "voltage_to_ground" else OF_READER.get(fact.kind)


def of_reading(reading: parsers.Reading) -> Counter[Read]:
    """What was read, in the question and in its options, each value once: three motors of "three 10 hp" are one."""
    facts = [*reading.facts, *(fact for option in reading.options for fact in option.facts)]
    told = {
        written(kind, fact.value, None if kind in UNITLESS else fact.unit)
        for fact in facts
        if (kind := kind_of(fact)) and not fact.negated and (kind, fact.value) not in NOT_LISTED
    }
    entities = [entity for option in reading.options for entity in option.entities if entity.kind in KINDS]
    named = {written(e.kind, e.name, None) for e in entities if (e.kind, e.name) not in NOT_LISTED}
    return Counter(told | named)


@dataclass
class Score:
    """Counts of right, missed and wrong, in all and by kind, with the phrases that differ."""

    right: Counter[str] = field(default_factory=Counter)
    missed: Counter[str] = field(default_factory=Counter)
    wrong: Counter[str] = field(default_factory=Counter)
    differ: list[str] = field(default_factory=list)
    amiss: list[str] = field(default_factory=list)  # a number read as a size, a voltage or a horsepower that it is not

    def add(self, case: dict[str, Any], reading: parsers.Reading) -> None:
        """Count one phrase."""
        gold, read = of_gold(case), of_reading(reading)
        for counts, counted in ((self.right, gold & read), (self.missed, gold - read), (self.wrong, read - gold)):
            for (kind, _), times in counted.items():
                counts[kind] += times
        if gold != read:
            line = f"{case['says']!r}: missed {sorted(gold - read)}, wrong {sorted(read - gold)}"
            self.differ.append(line)
            self.amiss += [f"{kind} of {line}" for kind in NEVER_AMISS if any(k == kind for k, _ in read - gold)]

    @property
    def precision(self) -> float:
        """The share of what was read that is so."""
        return self.right.total() / (self.right.total() + self.wrong.total())

    @property
    def recall(self) -> float:
        """The share of what was said that was read."""
        return self.right.total() / (self.right.total() + self.missed.total())

    @property
    def f1(self) -> float:
        """The harmonic mean of the two."""
        return 2 * self.precision * self.recall / (self.precision + self.recall)

    def __str__(self) -> str:
        kinds = "\n".join(
            f"  {kind:18}{self.right[kind]:4} right{self.missed[kind]:4} missed{self.wrong[kind]:4} wrong"
            for kind in KINDS
            if self.right[kind] + self.missed[kind] + self.wrong[kind]
        )
        return f"precision {self.precision:.2%}, recall {self.recall:.2%}, F1 {self.f1:.2%}\n{kinds}"


def score(reader: parsers.Reader, file: Path) -> Score:
    """The score of a file of phrases."""
    total = Score()
    for case in yaml.load(file.read_text("utf-8"), yaml.CSafeLoader):
        total.add(case, reader.read(case["says"]))
    return total


if __name__ == "__main__":
    from tests.test_reading import make_reader

    for path in [Path(name) for name in sys.argv[1:]] or sorted(BLIND.glob("*.yaml")):
        result = score(make_reader(), path)
        print(path.name, result, *result.differ, sep="\n")
        print("\na number read as a size, a voltage or a horsepower that it is not:", *result.amiss, sep="\n")

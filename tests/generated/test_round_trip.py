"""Facts → a phrase → read → the same facts, whatever way of writing them was picked."""

from __future__ import annotations

from collections import Counter
from random import Random
from typing import Any

import pytest

import parsers
from tests.generated.grammar import Phrase, Value, phrase
from tests.test_reading import reader  # noqa: F401  (a fixture)

EXAMPLES, SEED, SHOWN = 20_000, 314, 25


def facts_of(reading: parsers.Reading) -> dict[str, Value]:
    """What each value was taken for."""
    return {fact.inputs[0][0]: fact.value for fact in reversed(reading.facts) if fact.inputs}


def same(one: Value | None, other: Value | None) -> bool:
    if isinstance(one, int | float) and isinstance(other, int | float):
        return abs(one - other) < 0.06
    return str(one) == str(other)


def differences(made: Phrase, read: dict[str, Value]) -> dict[str, Any]:
    """The inputs that came back otherwise: what was written and what was read."""
    along = {name.rstrip("?"): value for name, value in made.facts.items() if name.endswith("?")}
    wrote = {name: value for name, value in made.facts.items() if not name.endswith("?")}
    wrote |= {name: value for name, value in along.items() if name in read and name not in wrote}
    names = wrote.keys() | read.keys()
    return {n: (wrote.get(n), read.get(n)) for n in names if not same(wrote.get(n), read.get(n))}


@pytest.mark.slow
def test_what_is_written_is_read(reader: parsers.Reader) -> None:  # noqa: F811
    rng = Random(SEED)
    wrong: list[str] = []
    jobs: Counter[str] = Counter()
    for _ in range(EXAMPLES):
        made = phrase(rng)
        if differs := differences(made, facts_of(reader.read(made.text))):
            wrong.append(f"{made.text!r}: {differs}")
            jobs[made.job] += 1
    shown = "\n".join(wrong[:SHOWN])
    assert not wrong, f"{len(wrong)} of {EXAMPLES} read otherwise ({dict(jobs)}):\n{shown}"

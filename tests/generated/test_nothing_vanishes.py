"""No number that was typed vanishes in silence: it is used, or carried, or said to be not used or not understood."""

from __future__ import annotations

import re
from collections.abc import Iterator
from random import Random
from typing import Any

import pytest

from askcode.asker import Asker
from askcode.core.replies import Reply
from parsers.edits import Rewritten
from parsers.numbers import said, value
from parsers.tidy import tidy
from tests.generated.grammar import phrase
from tests.generated.test_noise import cases

# A number as a reader sees it: 7-1/2, 1/0, 120/240. Letters glued before it (thwn-2) make it part of a word.
NUMBER = re.compile(r"(?<![\w.])(?<![a-z]-)\d+(?:[./-]\d+)*")
THOUSANDS = re.compile(r"(?<![\d.])\d{1,3}(?:,\d{3})+(?!\d)")
WHERE = ("read", "unread", "notes", "headline", "steps", "missing", "verdict", "edition")  # of a reply


def numbers(text: str) -> set[str]:
    """The numbers of a text in digits, those in words too; of 120/240 the parts as well, and 7-1/2 as 7.5."""
    source = Rewritten(re.sub(r"\bone\b", "-", tidy(text)))  # "one 10 hp" is no count
    source.apply(said(source.text.lower()))
    found: set[str] = set()
    for match in NUMBER.finditer(THOUSANDS.sub(lambda found: found.group().replace(",", ""), source.text.lower())):
        mixed = re.fullmatch(r"\d+-\d/\d+", match.group())
        found |= {f"{value(match.group()):g}"} if mixed else {match.group(), *re.split(r"[/-]", match.group())}
    return {number.rstrip("0").rstrip(".") if "." in number else number for number in found} - {"", "0"}


def shown(node: Any) -> Iterator[str]:
    """All the texts of a part of a reply, each by itself: what is read at once is cut at a length."""
    if isinstance(node, dict):
        node = list(node.values())
    if isinstance(node, list):
        for part in node:
            yield from shown(part)
    else:
        yield str(node)


def vanished(asker: Asker, text: str, reply: Reply, used: bool = False) -> list[str]:
    """The numbers of a question (but for its options) that the reply does not account for. `used`: that they were read
    is not enough; they must fill an input, be worked with, asked about or named as not used."""
    reading = asker.read(text)
    parts = {name: part for name, part in reply.as_dict().items() if name in WHERE}
    if used:
        parts["read"] = [read for read in parts["read"] if read["input"]]
    told: set[str] = set().union(*map(numbers, shown(list(parts.values()))))
    named = numbers(" ".join(entity.text for entity in reading.entities))  # "sched 40", "1-family": a word
    return sorted(numbers(reading.stem) - told - named)


@pytest.mark.slow
def test_every_number_is_accounted_for() -> None:
    asker = Asker()
    lost = []
    for case in cases():
        conversation = asker.conversation(case.get("edition"))
        for turn in case["turns"]:
            reply = conversation.say(turn)
            if missing := vanished(asker, turn, reply):
                lost.append(f"{case['id']} {missing} of {turn!r}: {reply.status}: {reply.headline[:90]}")
    assert not lost, f"{len(lost)} questions:\n" + "\n".join(lost)


# --- calculations -----------------------------------------------------------------------------------------------------
IN_A_BOX = [
    "six 12s", "a 12", "one 10 ground", "two 14 grounds", "and a ground", "4 #12s", "3 #14s", "two devices",
    "a receptacle", "one switch", "two 12-2", "one 14-2 in", "one 14-3 out", "three 14/2", "4 x 12/2", "nine #12",
    "a stud", "clamps inside", "two 3-way switches", "one receptacle on the 12", "two 10s and a 12", "5 pigtails",
    "4 12 awg", "2 grounds", "(2) #10", "twelve two",
]  # fmt: skip
BOX_ASKS = [", box fill", ", min cu in of the box?", " in a 4 square 2-1/8 deep box, ok?"]
BESIDE = [
    "panel 7",
    "job 12",
    "ckt 14",
    "on pole 5",
    "by 2 pm",
    "unit 4",
    "17 feet of slack",
    "or maybe 30",
    "10 to 15 hp",
]
EXAMPLES, SEED = 400, 1414


def calculations() -> Iterator[str]:
    """Made up boxes, and made up jobs with a number beside them that may mean anything."""
    rng = Random(SEED)
    for _ in range(EXAMPLES):
        yield ", ".join(rng.sample(IN_A_BOX, rng.choice((3, 4, 5)))) + rng.choice(BOX_ASKS)
        yield f"{phrase(rng).text.rstrip('?. ')} {rng.choice(BESIDE)}"


@pytest.mark.slow
def test_every_number_of_a_calculation_is_used_or_named() -> None:
    asker = Asker()
    lost, tried = [], 0
    for text in calculations():
        reply = asker.conversation().say(text)
        if reply.status != "answered" or not any(read.input for read in reply.read):
            continue  # nothing was worked out of what was told
        tried += 1
        if missing := vanished(asker, text, reply, used=True):
            lost.append(f"{missing} of {text!r}: {reply.headline[:90]} {reply.notes}")
    assert tried > EXAMPLES / 2
    assert not lost, f"{len(lost)} of {tried}:\n" + "\n".join(lost)

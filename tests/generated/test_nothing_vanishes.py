"""No number that was typed vanishes in silence: it is used, or carried, or said to be not used or not understood."""

from __future__ import annotations

import re
from typing import Any

import pytest

from askcode.asker import Asker
from askcode.core.replies import Reply
from parsers.edits import Rewritten
from parsers.numbers import said, value
from parsers.tidy import tidy
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


def shown(node: Any) -> str:
    """All that a part of a reply says."""
    if isinstance(node, dict):
        return " \n".join(shown(value) for value in node.values())
    if isinstance(node, list):
        return " \n".join(shown(value) for value in node)
    return str(node)


def vanished(asker: Asker, text: str, reply: Reply) -> list[str]:
    """The numbers of a question (but for its options) that the reply does not account for."""
    reading = asker.read(text)
    told = numbers(shown([part for name, part in reply.as_dict().items() if name in WHERE]))
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

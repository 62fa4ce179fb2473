"""What is asked instead of an answer that passes over a number which it may rest on."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from askcode.answer import missing
from askcode.core.derive import Derivation
from askcode.core.errors import listed
from askcode.core.replies import Missing, Reply
from askcode.measures import numbers
from askcode.rulebase.book import Book
from askcode.rulebase.schemas import Input

if TYPE_CHECKING:
    from parsers import Fact, Reading

EACH = re.compile(r"\b(?:each|apiece|a piece|ea|per)\b", re.I)
PLURAL = re.compile(r"\s+(?:[a-z-]+\s+){0,2}[a-z]{3,}s\b", re.I)  # what a number before it counts


def doubted(reply: Reply, derivation: Derivation, passed: Sequence[Fact], reading: Reading, book: Book) -> Reply | None:
    """The question to ask where an answer passes over a bare number that fits an input which was assumed, or over a
    wire size beside another; None where it may stand. `passed` are the facts that the answer has no use for."""
    if not passed:
        return None
    sizes = [f.text for f in reading.facts if f.kind == "wire_size" and not f.more.get("along")]
    if len(set(sizes)) > 1 and any(f.kind == "wire_size" for f in passed):
        line = f"I cannot tell what each of {listed(sizes)} is; say which is asked about and what the others are."
        return Reply(reading.text, "incomplete", book.edition, line, missing=[Missing("question", line)])
    inputs = book.inputs()
    counts = [f for f in passed if f.kind == "number" and not f.inputs and PLURAL.match(reading.text, f.end)]
    of_one = [f for f in reading.facts if f.kind in ("power", "apparent_power") and f.inputs]
    if counts and of_one and (EACH.search(reading.text) or counts[0].start < of_one[0].start):
        line = f"Is {of_one[0].text} the load of each or of all {counts[0].text}? Say what they come to together."
        return Reply(reading.text, "incomplete", book.edition, line, missing=[Missing(of_one[0].inputs[0][0], line)])
    for fact in passed:
        for assumed in reply.assumptions if fact.kind == "number" and not fact.inputs else ():
            if assumed.input in inputs and _may_be(fact, inputs[assumed.input], assumed.value, reading.text):
                need = missing(assumed.input, None, book, derivation)
                line = f"I cannot tell what {fact.text} says. {need.ask}"
                return Reply(reading.text, "incomplete", book.edition, line, missing=[need])
    return None


def _may_be(fact: Fact, declared: Input, assumed: str, text: str) -> bool:
    """Whether a bare number may tell an input that was assumed to be something else."""
    number = f"{float(fact.value):g}"
    if declared.unit == "count":
        return number.isdigit() and number != assumed and PLURAL.match(text, fact.end) is not None
    return declared.unit == "°C" and number in declared.choices and number not in numbers(assumed)

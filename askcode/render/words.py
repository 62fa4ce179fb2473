"""How the parts of a reply are worded, on every kind of page."""

from __future__ import annotations

from collections.abc import Sequence

from askcode.core.replies import Assumption, Read
from askcode.render.clean import one_line

SURE = {
    "from-memory": "from memory, not yet checked against a published copy",
    "one-source": "checked against one published source",
    "two-sources": "checked against two published sources",
}
FOOTER = (
    "The code as adopted where you are, its local amendments and the inspector have the last word; "
    "leave the work to a licensed electrician."
)


def spoken_facts(facts: Sequence[Read]) -> list[str]:
    """Each fact as it is spoken, with the thing it belongs to where several are named, and where it came from. Two
    facts of one sort (the metals of two conductors) are told apart by the names of what they fill."""
    sorts = [fact.input.rsplit("_", 1)[-1] for fact in facts]
    several = len({fact.thing for fact in facts if fact.thing}) > 1
    spoken = []
    for fact, sort in zip(facts, sorts, strict=True):
        words = one_line(fact.value if any(sign.isalpha() for sign in fact.value) else fact.text or fact.value)
        if words in ("yes", "no") or len({f.input for f, s in zip(facts, sorts, strict=True) if s == sort}) > 1:
            words = f"{spelled_out(fact.input)} {words}"
        if several and fact.thing:
            words = f"{thing_name(fact.thing)}: {words}"
        if fact.origin == "mended":
            words += f" (you typed “{one_line(fact.text)}”)"
        spoken.append(words)
    return spoken


def by_setting(assumption: Assumption) -> str:
    if assumption.yours:
        return " (your setting)"
    return " (a setting)" if assumption.setting else ""


def makes_difference(assumption: Assumption, found: str) -> bool:
    return any(other.answer != found for other in assumption.otherwise)


def how_sure(sure: str) -> str:
    return SURE.get(sure, sure.replace("-", " "))


def section_name(section: str) -> str:
    return "section still to check in this edition" if section in ("", "to-check") else one_line(section)


def thing_name(name: str) -> str:
    return f"no. {name}" if name.isdecimal() else one_line(name)


def quoted(value: str) -> str:
    """A value in words set apart from the words around it; amounts need no marks."""
    value = one_line(value)
    return value if any(c.isdigit() for c in value) else f"“{value}”"


def spelled_out(name: str) -> str:
    return one_line(name).replace("_", " ")


def sentence(text: str) -> str:
    text = one_line(text)
    return text if text.endswith((".", "!", "?")) else f"{text}."

"""What the files of the knowledge may hold. Unknown keys are refused, so that a misspelt one cannot vanish silently."""

from __future__ import annotations

import re
from typing import Any, Literal, TypeVar

import msgspec

from askcode.rulebase.text_yaml import Document, KnowledgeError, Where

EDITIONS = ("2017", "2020", "2023", "2026")
DEFAULT_EDITION = "2023"
TO_CHECK = "to-check"
NOT_THERE = "none"  # the edition has no such rule

ByEdition = str | dict[str, str]
"""A text for all editions, or a map by edition."""
Sure = Literal["from-memory", "one-source", "two-sources"]
Yes = Literal["yes", "no", "true", "false"]
Struct = TypeVar("Struct", bound=msgspec.Struct)


class Placed(msgspec.Struct, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """What every named thing is told when it is loaded: its name and its place."""

    name: str = ""
    file: str = ""
    line: int = 0
    amended: bool = False


class Input(Placed, kw_only=True):
    """What a person can tell the tool. `kind` is what the parser reads, `states` the quantity it is held against."""

    kind: str
    unit: str
    ask: str
    because: str = ""
    where: str = ""
    thing: str | None = None
    lists: Yes = "no"  # whether each value of it names another thing of that kind
    heads: list[str] = []
    states: str | list[str] | None = None
    choices: list[str] = []
    default: str | None = None
    why: str = ""
    setting: str = ""  # the setting that gave the default, where somebody chose one


class Factor(Placed, kw_only=True):
    """A loose number of the code, as it is written there ("125%")."""

    value: ByEdition
    unit: str
    source: str
    sure: Sure
    entry: str | None = None
    title: str = ""
    doubts: list[str] = []


class ColumnText(msgspec.Struct, forbid_unknown_fields=True, omit_defaults=True):
    """A column of a table: its unit, what its cells are, and how it is called."""

    unit: str = ""
    kind: Literal["number", "size", "text"] = "text"
    title: str = ""


class Doubt(msgspec.Struct, forbid_unknown_fields=True, omit_defaults=True):
    """A cell or row where two memories or sources differ."""

    row: str = ""
    column: str = ""
    value: str = ""
    other: str = ""
    why: str = ""
    edition: str = ""


class TableText(Placed, kw_only=True):
    """The file beside a table's CSV; `rows` are joined to it when it is loaded, by edition ("" is the base)."""

    number: ByEdition
    title: ByEdition
    key: str
    columns: dict[str, ColumnText]
    source: str
    sure: Sure
    verbs: list[Literal["exact", "next_up", "at_most", "between"]] = []
    entry: str | None = None
    footnotes: list[str] = []
    doubts: list[Doubt | str] = []
    rows: dict[str, list[list[str]]] = {}


class Item(msgspec.Struct, forbid_unknown_fields=True, omit_defaults=True):
    """One thing on a list of a rule. `editions` are those whose list holds it (all, unless named)."""

    what: str = msgspec.field(name="is")
    also: list[str] = []
    because: str = ""
    editions: list[str] = []
    section: ByEdition = ""


class Mixup(msgspec.Struct, forbid_unknown_fields=True, omit_defaults=True):
    """A tempting wrong answer, and the slip that leads to it."""

    says: str
    because: str


class Verdict(msgspec.Struct, forbid_unknown_fields=True, omit_defaults=True):
    """What a rule affirms and denies: phrases, or one proposition (`of`) that holds or not."""

    yes: list[str] = []
    no: list[str] = []
    holds: ByEdition | None = None
    of: str | None = None


class Rule(Placed, kw_only=True):
    """A paraphrased entry of the code, as written in knowledge/rules. `book.Entry` is the same for one edition."""

    section: ByEdition
    title: str
    force: Literal["requirement", "prohibition", "permission", "definition", "advice", "physics"]
    says: ByEdition
    sure: Sure
    about: list[str] = []
    answer: ByEdition = ""
    values: dict[str, ByEdition] = {}
    lists: dict[Literal["permits", "prohibits", "requires", "exempts"], list[Item]] = {}
    closed: Yes = "no"
    verdict: Verdict | None = None
    asked_as: list[str] = []
    exceptions: list[str] = []
    mixups: list[Mixup] = []
    see: list[str] = []
    cautions: list[str] = []
    sources: list[str] = []
    doubts: list[str] = []


class Goal(Placed, kw_only=True):
    """A quantity that can be asked for, and how it is told. `state` says by edition how well it is checked."""

    subject: str
    quantity: str
    headline: str
    title: str
    asks: list[str] = []
    topics: list[str] = []
    say: str = ""  # the word that asks for it as a follow-up
    asks_if_preferred: list[str] = []  # asks that want this only where one of the facts below is told
    prefers: list[str] = []  # facts that point to this goal among those that answer the same ask
    must_know: list[str] = []  # inputs that are asked for although they have a default ("a|b": one of them is enough)
    needs_fact: str = ""  # a fact without which it is never meant
    needs_topic: str | list[str] = "no"  # whether it is considered only where one of its topics, or of these, was named
    indifferent: list[str] = []  # inputs that people name with it and that make no difference
    decimal: Yes = "no"  # whether a percentage is told as a multiplier (0.82)
    default_for: list[str] = []  # facts that want this when nothing was asked
    against: str = ""  # the quantity of what is there, worked out of other facts, that this one is held against
    asked_as: list[str] = []
    next: list[str] = []
    state: dict[str, Literal["reviewed", "from-memory", "to-check", "not-yet"]] = {}
    cautions: list[str] = []
    see: list[str] = []


class Convention(Placed, kw_only=True):
    """A setting in which exam keys and trades differ: named, visible, and what else it may be (anything, where there
    are no choices). A choice that `gives` a default puts it in the place of the one of `input`; people may name the
    choice as a value of that input, or of those in `told_as`."""

    value: str
    title: str
    why: str
    choices: list[str] = []
    input: str = ""
    told_as: list[str] = []
    gives: dict[str, str] = {}


class Outside(Placed, kw_only=True):
    """What people ask that the electrical code does not answer; `title` completes "That is about …"."""

    title: str
    asked_as: list[str]


def convert(document: Document, path: Where, data: Any, kind: type[Struct]) -> Struct:
    """Data at a path of a document as a struct. Raises KnowledgeError naming file, line, entry and key."""
    for own in _OURS.intersection(data if isinstance(data, dict) else ()):
        raise _error(document, path, (own,), f"there is no key {own!r} here")
    try:
        return msgspec.convert(data, kind)
    except msgspec.ValidationError as error:
        problem, inner = _place(str(error))
        raise _error(document, path, inner, problem) from None


def _error(document: Document, path: Where, inner: Where, problem: str) -> KnowledgeError:
    where = (*path, *inner)
    if inner and where not in document.lines:  # below the key of a map, which msgspec does not name
        for known in document.lines:
            if known[: len(path)] == path and known[-1] == inner[-1]:
                where = known
                break
    key = ".".join(map(str, where[len(path) :]))
    return KnowledgeError(problem, document.file, document.line(where), str(path[-1]) if path else "", key)


_OURS = frozenset({"name", "file", "line", "rows", "amended", "setting"})  # filled in when loading, not written
_AT = re.compile(r" - at (?:`key` in )?`(?P<path>[^`]*)`$")
_STEP = re.compile(r"\.(\w+)|\[(\d+|\.\.\.)\]")
_UNKNOWN = re.compile(r"unknown field `([^`]*)`")


def _place(message: str) -> tuple[str, Where]:
    """The problem in plain words, and the path inside the data where msgspec met it."""
    found = _AT.search(message)
    steps: list[str | int] = []
    for name, index in _STEP.findall(found["path"]) if found else []:
        if index == "...":  # msgspec does not say which key of a map: the path ends here
            break
        steps.append(int(index) if index else name)
    problem = message[: found.start()] if found else message
    if found and "`key` in" in found[0]:
        problem += " as a key"
    if unknown := _UNKNOWN.search(problem):
        return f"there is no key {unknown[1]!r} here", (*steps, unknown[1])
    problem = problem.replace("Object missing required field", "lacks the key").replace("`", "'")
    problem = problem.replace("Expected `array`", "expected a list").replace("Expected `object`", "expected a map")
    problem = problem.replace("'array'", "a list").replace("'object'", "a map").replace("'str'", "a text")
    return problem[:1].lower() + problem[1:], tuple(steps)


def by_edition(value: ByEdition, edition: str) -> tuple[str, bool]:
    """A value for one edition, and whether it is that edition's own and checked.

    `to-check` and an edition that is not named take the value of the nearest edition, earlier ones first, unchecked.
    """
    if isinstance(value, str):
        return ("", False) if value == TO_CHECK else (value, True)
    own = value.get(edition)
    if own is not None and own != TO_CHECK:
        return own, True
    at = EDITIONS.index(edition)
    for other in (*reversed(EDITIONS[:at]), *EDITIONS[at + 1 :]):
        known = value.get(other, TO_CHECK)
        if known not in (TO_CHECK, NOT_THERE):
            return known, False
    return "", False


def has_edition(value: ByEdition, edition: str) -> bool:
    """Whether the edition has the rule at all (`none` says that it has not)."""
    return (value if isinstance(value, str) else value.get(edition, "")) != NOT_THERE

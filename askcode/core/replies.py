"""The reply: what every frontend shows and what the batch format writes. Keys are added, never changed."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any, Literal

Status = Literal["answered", "incomplete", "ambiguous", "outside"]


@dataclass(slots=True)
class Read:
    """One fact that was understood, with the words it came from (`origin`: typed, carried or mended)."""

    text: str
    input: str
    value: str
    thing: str | None = None
    origin: str = "typed"


@dataclass(slots=True)
class Answer:
    """The quantity that was found; `number` is None where the value is no plain number (1/0)."""

    quantity: str
    value: str
    number: float | None = None
    unit: str | None = None


@dataclass(slots=True)
class Verdict:
    """What was stated, held against what is required."""

    holds: bool
    stated: str
    required: str


@dataclass(slots=True)
class Option:
    """The option of a pasted list that the answer agrees with."""

    letter: str
    text: str


@dataclass(slots=True)
class Mistake:
    """What leads to a wrong answer: the wrong value and the slip that gives it."""

    value: str
    because: str
    letter: str | None = None


@dataclass(slots=True)
class Excerpt:
    """The rows of a table around what was read. `chosen` is [row, column] within `rows` and `columns`."""

    table: str
    title: str
    columns: list[str]
    rows: list[list[str]]
    chosen: list[int] | None = None


@dataclass(slots=True)
class Step:
    """One rule that fired: its sentence, its arithmetic, its citations and what it read of a table."""

    text: str
    work: str = ""
    cites: list[str] = field(default_factory=list)
    changed: bool = False
    excerpt: Excerpt | None = None


@dataclass(slots=True)
class Reference:
    """A section that the answer rests on, paraphrased; `sure` tells how well the entry is checked."""

    section: str
    title: str
    paraphrase: str
    sure: str
    amended: bool = False


@dataclass(slots=True)
class Otherwise:
    """What the answer would be under another assumption."""

    value: str
    answer: str


@dataclass(slots=True)
class Assumption:
    """A trade default that was used, why it is safe, and what would change. `setting` names the convention that may
    give it another, `yours` tells that it did."""

    input: str
    value: str
    why: str
    otherwise: list[Otherwise] = field(default_factory=list)
    setting: str = ""
    yours: bool = False


@dataclass(slots=True)
class Missing:
    """An input that is needed: the question, why it is wanted, where it is read, and the choices."""

    input: str
    ask: str
    because: str = ""
    where: str = ""
    choices: list[str] = field(default_factory=list)
    thing: str | None = None


@dataclass(slots=True)
class Reading:
    """One of several ways to understand the question."""

    question: str
    headline: str


@dataclass(slots=True)
class Cases:
    """A table that is itself the reply: the answer per case, where one input is open, or what there is to choose."""

    columns: list[str] = field(default_factory=list)
    rows: list[list[str]] = field(default_factory=list)
    title: str = "By case"


@dataclass(slots=True)
class Next:
    """A follow-up that is one word away."""

    say: str
    quantity: str


@dataclass(slots=True)
class Reply:
    """A whole answer. `status` decides how it is shown and which exit code a script sees."""

    question: str
    status: Status
    edition: str
    headline: str
    read: list[Read] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    answer: Answer | None = None
    verdict: Verdict | None = None
    option: Option | None = None
    mistake: Mistake | None = None
    steps: list[Step] = field(default_factory=list)
    references: list[Reference] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)
    missing: list[Missing] = field(default_factory=list)
    readings: list[Reading] = field(default_factory=list)
    cases: Cases = field(default_factory=Cases)
    next: list[Next] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def as_dict(self) -> dict[str, Any]:
        """Plain data in the batch format's keys (`origin` of a fact is called `from` there)."""
        data = asdict(self)
        for fact in data["read"]:
            fact["from"] = fact.pop("origin")
        return data

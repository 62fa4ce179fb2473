"""Choosing what a question asks for: everything that can be worked out and every entry, on one scale of evidence."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from askcode.calculators import subjects
from askcode.core.derive import Roads, roads
from askcode.core.rules import UNITS, Subject
from askcode.core.things import Either, Facts, Value
from askcode.measures import held
from askcode.rulebase.book import Book
from askcode.rulebase.schemas import Goal, Input

if TYPE_CHECKING:
    from parsers import Fact, Reading

# What each piece of evidence weighs. Calibrated on the bank; a fact used is the unit.
ASKED, ASKED_WEAKLY, ASKED_OTHERWISE = 3.0, 1.5, -3.0
TOPIC, OTHER_TOPIC, MOST_TOPICS = 1.0, -1.0, 2
USED, LEFT_OVER, LEFT_WORD, PREFERRED, MOST_PREFERRED, JUDGES = 1.0, -1.2, -0.4, 1.0, 2, 2.0
WANTED_UNASKED, SAME_SUBJECT, SAME_JOB, SEVERAL, ONE_ONLY, UNNAMED = 2.0, 1.0, 4.0, 3.0, -2.0, -1.0
FAR_BELOW, NEARLY = 0.4, 0.6  # of the best claim of a fact: a claim below that share is none, and is nothing stated
UNCLAIMED = 0.75  # share of its claim that a value to be judged has where nothing is put up for judging
BESIDE, FAR = 1, 99  # words that may stand between a metal and the size that it belongs to
SORTS = ("phases", "insulation", "edition", "working_space_condition")  # kinds whose digits name a sort and no amount
LEAST_CLAIM = 0.2  # a fact with less evidence for an input does not fill it
DENIED = {"yes": "no", "no": "yes"}
CHECKED = {
    "why": 1.0,
    "yes/no": 0.8,
    "check": 0.5,
}  # "I got 38 A of lighting" tells a load; "why not #12" can only be a check
MOST, SAME_UNIT = 1.0, 1.0
BARE_FORMS = ("statement", "what")  # forms in which bare facts tell what is wanted
UNIT_OF = {"wire_size": "size"}  # kinds whose facts carry no unit
ENOUGH = 3.0  # below this nothing was asked that can be worked out
CLOSE = 1.0  # two goals nearer than this are both offered
ENTRY_SCALE = 8.0  # a look-up's score (0..1) on the scale above


@dataclass(slots=True)
class Bound:
    """The facts of a question as one goal can use them."""

    facts: Facts
    used: list[Fact] = field(default_factory=list)
    inputs: dict[int, str] = field(default_factory=dict)  # id of a fact → the input that it fills
    stated: tuple[str, Any] | None = None
    left: list[Fact] = field(default_factory=list)


@dataclass(slots=True)
class Candidate:
    """A goal with its evidence; the higher the score, the more likely it is what was asked."""

    name: str
    goal: Goal
    subject: Subject
    score: float
    bound: Bound
    evidence: list[tuple[str, float]]
    asked: bool  # whether the question asks for it in so many words
    wanted: bool  # whether the question asks for it, in so many words or by what it tells


def bind(
    facts: Iterable[Fact],
    usable: frozenset[str],
    quantity: str,
    inputs: dict[str, Input],
    checked: dict[int, float],
    claims_made: bool = True,
) -> Bound:
    """Give each fact the best input that this goal can use; what it cannot use is left over.

    A fact whose input is held against the goal's own quantity (`states`) is what the user says is there; one that is
    put up for checking is held against it the rather, by its weight in `checked`, and where nothing is put up for
    judging (`claims_made`) the less. The metal that stands with a size belongs to the same conductor."""
    facts = [f for f in facts if not f.negated or any(_denied(f, inputs.get(name)) for name, _ in f.inputs)]
    told = {(fact.unit, fact.value) for fact in facts if "either" not in fact.more}  # which of two has been answered
    whole = _whole(facts)
    bound = Bound(Facts())
    taken: dict[tuple[str, int | None], Fact] = {}
    claims = []
    size_of = {fact.more["pair"]: fact for fact in facts if "pair" in fact.more and fact.kind == "wire_size"}
    for order, fact in enumerate(facts):
        if any((fact.unit, value) in told for value in fact.more.get("either", ())):
            continue
        sizes = [(n, LEAST_CLAIM) for n in usable if inputs[n].kind == "trade_size"] if fact.unit == "in" else []
        for name, score in whole.get(id(fact), []) + fact.inputs + sizes:
            declared = inputs.get(name)
            states = declared is not None and quantity in _many(declared.states)
            own = name == quantity and not states  # what is to be worked out is no input of it
            if declared is None or own or (fact.negated and not _denied(fact, declared)):
                continue
            share = NEARLY if states and id(fact) not in checked else FAR_BELOW
            if score < share * fact.inputs[0][1] and id(fact) not in checked and (name, score) not in sizes:
                continue  # the words beside it say plainly that it is something else
            score += states * checked.get(id(fact), 0.0)
            score *= UNCLAIMED if states and not claims_made and id(fact) not in checked else 1.0
            if score >= LEAST_CLAIM and (states or name in usable):
                claims.append((score, -order, fact, name, states))
    claims.sort(key=lambda c: (_turn_of(c[2]), -c[0], c[1]))
    for _, _, fact, name, states in claims:
        if id(fact) in bound.inputs:
            continue
        if fact.kind == "metal" and (size := size_of.get(fact.more.get("pair"))) is not None:
            name = _same_conductor(bound.inputs.get(id(size)), fact, usable) or name
        if states and "either" not in fact.more:
            if bound.stated is None:
                bound.stated = (name, held(fact.value, fact.unit, inputs[name].unit))
                bound.inputs[id(fact)] = name
            continue
        place = (name, fact.thing if inputs[name].thing else None)
        if place in taken:
            if "either" in fact.more and fact.more["either"] == taken[place].more.get("either"):
                bound.inputs[id(fact)] = name
            continue
        taken[place] = fact
        bound.inputs[id(fact)] = name
        _put(bound.facts, name, fact, inputs[name])
    for fact in facts:
        (bound.used if id(fact) in bound.inputs else bound.left).append(fact)
    bound.left = [f for f in bound.left if "along" not in f.more and (is_amount(f) or not _within(f, bound.used))]
    return bound


def pair(facts: Sequence[Fact], text: str) -> None:
    """Mark each metal and the size that it stands with in one turn ("3/0 copper", "aluminum service, 4/0"), the nearest
    first: of "AL gec 4/0 al svc" the second metal is that of the 4/0."""
    sizes, metals = ([f for f in facts if f.kind == kind] for kind in ("wire_size", "metal"))
    beside = [(_words_between(text, m, s), s.start > m.start, m, s) for m in metals for s in sizes]
    for words, _, metal, size in sorted(beside, key=lambda pair: pair[:2]):
        if words <= BESIDE and "pair" not in metal.more and "pair" not in size.more:
            size.more["pair"] = metal.more["pair"] = object()


def _words_between(text: str, one: Fact, other: Fact) -> int:
    """The words between two facts; a comma parts them."""
    first, last = sorted((one, other), key=lambda f: f.start)
    between = text[first.end : last.start]
    return FAR if "," in between or ";" in between else len(between.split())


def _turn_of(fact: Fact) -> int:
    """When a fact is given its input: sizes first, then the metals that stand with one, then all the others."""
    return 0 if fact.kind == "wire_size" else 1 if fact.kind == "metal" and "pair" in fact.more else 2


def _same_conductor(size: str | None, metal: Fact, usable: frozenset[str]) -> str | None:
    """The input of the metal of the conductor whose size fills `size`: its name begins with the same word."""
    if size is None:
        return None
    of = size.split("_")[0]
    return next((n for n, _ in metal.inputs if n.split("_")[0] == of and n in usable), None)


def _within(fact: Fact, used: Iterable[Fact]) -> bool:
    """Whether a word is part of what was used: the square of "4 square 2 1/8 deep"."""
    return any(u.start <= fact.start < fact.end <= u.end for u in used)


def _whole(facts: list[Fact]) -> dict[int, list[tuple[str, float]]]:
    """The whole that a fact tells of where it tells of a part, and no other fact of another part or of the whole."""
    parts = [fact for fact in facts if "whole" in fact.more]
    told = {fact.inputs[0][0] for fact in facts if fact.inputs}
    if len({fact.inputs[0][0] for fact in parts}) != 1 or told & {fact.more["whole"] for fact in parts}:
        return {}
    return {id(fact): [(fact.more["whole"], fact.inputs[0][1] + 0.01)] for fact in parts}


def _denied(fact: Fact, declared: Input | None) -> str:
    """What a denied fact says instead: the opposite of a yes or no; of a choice that would be assumed, the others.
    Of anything else it says nothing."""
    if fact.value in DENIED:
        return DENIED[str(fact.value)]
    if declared is None or declared.default != fact.value:
        return ""
    others = [choice for choice in declared.choices if choice != fact.value]
    return Either(others) if len(others) > 1 else "".join(others)


def _put(facts: Facts, name: str, fact: Fact, declared: Input) -> None:
    value: Value
    if fact.negated:
        value = _denied(fact, declared)
    elif "either" in fact.more:
        unit = "" if fact.unit in (None, "count") else f" {fact.unit}"
        value = Either([each if isinstance(each, str) else f"{each:g}{unit}" for each in fact.more["either"]])
    else:
        value = held(fact.value, fact.unit, declared.unit)
    if declared.thing is None or fact.thing is None:
        facts.job[name] = value
        return
    things = facts.things.setdefault(declared.thing, [])
    while len(things) <= fact.thing:
        things.append({})
    things[fact.thing][name] = value


def _indifferent(fact: Fact, goal: Goal) -> bool:
    return bool(fact.inputs) and fact.inputs[0][0] in goal.indifferent


def _many(said: str | list[str] | None) -> Sequence[str]:
    return said if isinstance(said, list) else [said] if said else []


@dataclass(slots=True)
class Said:
    """What a question holds that points to a goal."""

    asks: set[str]
    weak: set[str]
    topics: set[str]
    facts: Sequence[Fact]
    typed: set[int]  # the ids of the facts of this question; the others are carried over
    checked: dict[int, float]
    asked: set[int]  # the ids of the facts that are words of what is asked: the breaker of "what breaker"
    last: Candidate | None
    units: set[str]  # in which the options are given
    most: str | None = None  # least_ or greatest_, where the question says which
    claims: bool = False  # whether a stated value is put up for judging
    strange: bool = False  # whether something else may be wanted than what the bare facts tell


def is_amount(fact: Fact) -> bool:
    """Whether a fact is an amount or a size, which no answer may pass over, rather than a word."""
    return any(c.isdigit() for c in str(fact.value)) and fact.kind not in SORTS


def put_up(reading: Reading, follows: bool) -> dict[int, float]:
    """The ids of the facts that are put up for checking, with how surely: those behind "why not" and "I got", and those
    of a yes-or-no question about the answer before."""
    asides = [(e.start, CHECKED[e.name]) for e in reading.entities if e.kind == "turn" and e.name in CHECKED]
    if (follows and reading.form == "yes/no") or any(e.kind == "contrary" for e in reading.entities):
        asides.append((-1, CHECKED["yes/no"]))
    return {id(f): weight for start, weight in asides for f in reading.facts if f.start > start}


class Chooser:
    """Scores the goals of one edition for a reading."""

    def __init__(self, book: Book, roads: dict[tuple[str, str], Roads]):
        self.book = book
        self.subjects = subjects()
        self._roads = roads
        self.states: dict[str, set[str]] = {}  # a quantity → the inputs that are held against it
        for name, declared in book.inputs().items():
            for quantity in _many(declared.states):
                self.states.setdefault(quantity, set()).add(name)
        self.topics = {topic for goal in book.goals().values() for topic in goal.topics}
        self.answered = {goal.subject for goal in book.goals().values()}

    def roads(self, subject: Subject, quantity: str) -> Roads:
        """What some road to a quantity can use and cite."""
        key = (subject.name, quantity)
        if key not in self._roads:
            self._roads[key] = roads(subject, quantity, self.book)
        return self._roads[key]

    def usable(self, candidate: Candidate) -> frozenset[str]:
        """The inputs that some road to what was asked can use."""
        return self.roads(candidate.subject, candidate.goal.quantity).inputs

    def warm(self) -> None:
        """Find the roads of every goal now, for a process that will answer many questions."""
        for goal in self.book.goals().values():
            if goal.subject in self.subjects:
                self.roads(self.subjects[goal.subject], goal.quantity)

    def candidates(self, reading: Reading, facts: Sequence[Fact], last: Candidate | None = None) -> list[Candidate]:
        """Every goal with its score, best first. `facts` are those of the question and, in a talk, those carried
        over; `last` is what was answered before."""
        said = Said(
            asks={ask.name for ask in reading.asks},
            weak={e.name for e in reading.entities if e.kind == "weak_ask"},
            topics={e.name for e in reading.entities if e.kind == "topic"},
            facts=facts,
            typed={id(fact) for fact in reading.facts},
            checked=put_up(reading, last is not None),
            asked={
                id(f)
                for f in reading.facts
                for ask in reading.asks
                if f.start < ask.start + len(ask.text) and ask.start < f.end and not is_amount(f)
            },
            most={"least": "least_", "greatest": "greatest_"}.get(reading.asks_max or ""),
            strange=bool(reading.unread) or reading.form not in BARE_FORMS,
            claims=reading.form == "yes/no" or last is not None or any(e.name == "why" for e in reading.entities),
            last=last,
            units={f.unit or UNIT_OF.get(f.kind, "") for option in reading.options for f in option.facts},
        )
        told = {name for fact in facts for name, _ in fact.inputs}
        plain = {fact.inputs[0][0] for fact in facts if fact.inputs}  # what the facts most likely are
        found = [
            self._weigh(name, goal, said)
            for name, goal in self.book.goals().items()
            if self._may_be_meant(goal, said, told)
            and goal.subject in self.subjects
            and (goal.needs_topic == "no" or self._on_topic(goal, said) or plain & set(goal.prefers))
        ]
        return sorted(found, key=lambda c: -c.score)

    def _weigh(self, name: str, goal: Goal, said: Said) -> Candidate:
        subject = self._where(goal, said.last)
        usable = self.roads(subject, goal.quantity).inputs
        if goal.against:
            usable |= self.roads(subject, goal.against).inputs
        bound = bind(said.facts, usable, goal.quantity, self.book.inputs(), said.checked, said.claims)
        filled = set(bound.inputs.values())
        may = set(goal.asks) | (set(goal.asks_if_preferred) if filled & set(goal.prefers) else set())
        asks, weak, topics = said.asks, said.weak, said.topics
        evidence: list[tuple[str, float]] = []
        if asks & may:
            evidence.append((f"asks for {', '.join(sorted(asks & may))}", ASKED))
        elif asks:
            evidence.append((f"asks for {', '.join(sorted(asks))}", ASKED_OTHERWISE))
        elif weak & may:
            evidence.append((f"mentions {', '.join(sorted(weak & may))}", ASKED_WEAKLY))
        if not asks and filled & set(goal.default_for) and not said.strange and not bound.stated:
            evidence.append(("is what is wanted when nothing is asked", WANTED_UNASKED))
        if said.most and goal.quantity.startswith(("least_", "greatest_")):
            alike = goal.quantity.startswith(said.most)
            evidence.append((f"is {'a' if alike else 'no'} {said.most.rstrip('_')} value", MOST if alike else -MOST))
        if shared := topics & set(goal.topics):
            evidence.append((f"is about {', '.join(sorted(shared))}", TOPIC * min(len(shared), MOST_TOPICS)))
        if strange := (topics & self.topics) - set(goal.topics):
            evidence.append(
                (f"is not about {', '.join(sorted(strange))}", OTHER_TOPIC * min(len(strange), MOST_TOPICS))
            )
        if used := [f for f in bound.used if id(f) not in said.asked]:
            evidence.append((f"uses {len(used)} facts", USED * len(used)))
        typed = [f for f in bound.left if id(f) in said.typed and id(f) not in said.asked]
        if left := [f for f in typed if not _indifferent(f, goal)]:
            weight = sum(LEFT_OVER if is_amount(f) else LEFT_WORD for f in left)
            evidence.append((f"cannot use {', '.join(f.text for f in left)}", weight))
        if bound.stated and said.claims:
            evidence.append((f"judges the {bound.stated[0].replace('_', ' ')}", JUDGES))
        if filled and not shared and not filled & set(goal.prefers):
            evidence.append(("has nothing of its own named", UNNAMED))
        if preferred := filled & set(goal.prefers):
            evidence.append(
                (f"goes by {', '.join(sorted(preferred))}", PREFERRED * min(len(preferred), MOST_PREFERRED))
            )
        if alone := [s for s in subject.each if s.name in self.answered]:  # one of them alone has an answer of its own
            several = any(bound.facts.count(s.thing) > 1 for s in alone)
            evidence.append(("takes several things together", SEVERAL if several else ONE_ONLY))
        if said.last is not None and said.last.name == name:
            evidence.append(("was asked before", SAME_SUBJECT))
        if said.last is not None and subject is said.last.subject:
            evidence.append(("is about the same job", SAME_JOB))
        if UNITS.get(goal.quantity, ("",))[0] in said.units - {""}:
            evidence.append(("is answered in the unit of the options", SAME_UNIT))
        there = filled & self.roads(subject, goal.against).inputs if goal.against else set()
        unasked = bool(filled & set(goal.default_for)) and not asks and not said.strange and said.most != "greatest_"
        wanted = bool((asks | weak) & may or unasked or (bound.stated and said.claims) or there)
        wanted = wanted and (not goal.needs_fact or goal.needs_fact in filled)
        return Candidate(
            name, goal, subject, sum(weight for _, weight in evidence), bound, evidence, bool(asks & may), wanted
        )

    def _may_be_meant(self, goal: Goal, said: Said, told: set[str]) -> bool:
        """Whether anything at all points to a goal, so that it is worth weighing; behind an answer anything may."""
        return (
            said.last is not None
            or not said.asks.isdisjoint(goal.asks)
            or not said.weak.isdisjoint(goal.asks)
            or not (said.asks | said.weak).isdisjoint(goal.asks_if_preferred)
            or not told.isdisjoint(goal.default_for)
            or bool(goal.against)
            or (said.claims and not told.isdisjoint(self.states.get(goal.quantity, ())))
        )

    def _on_topic(self, goal: Goal, said: Said) -> bool:
        """Whether one of its topics was named, or what was answered before is part of its subject."""
        goes_on = said.last is not None and said.last.subject in self.subjects[goal.subject].scope()
        return goes_on or bool(said.topics & set(goal.topics if goal.needs_topic == "yes" else goal.needs_topic))

    def _where(self, goal: Goal, last: Candidate | None) -> Subject:
        """A follow-up asks another quantity of the same job: in the subject of before, if that builds on the goal's."""
        own = self.subjects[goal.subject]
        if last is not None and own in last.subject.scope() and not last.subject.each:
            return last.subject
        return own

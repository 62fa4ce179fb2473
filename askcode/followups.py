"""What a follow-up did: which of its facts and words bear on the answer, and what to say where none of them does."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from askcode.choose import FAR_BELOW, is_amount
from askcode.core.errors import listed
from askcode.core.replies import Missing, Reply
from askcode.rulebase.schemas import Input
from parsers.reading import Ask, Fact

if TYPE_CHECKING:
    from askcode.desk import Outcome
    from parsers.reading import Entity, Reading

WORD = re.compile(r"[#\w][\w'/.#°-]*|\"")
# Words that say nothing of their own beside a fact that only confirms what was taken ("it is in conduit").
LIGHT = re.compile(
    "a|an|in|on|of|for|at|to|with|by|it|its|it's|is|are|be|was|they|all|both|and|so|ok|okay|yes|yeah|then|use|used|using|"
    "uses|i|we|you|have|has|i'm|im|what|about|if|how|make|that's|thats|that|this|these|those|say|well|now|run|runs|from|no|"
    "not|but|or|my|our|please|just|do|does|need|size|max|min|the|a|can|could|may|will|would|should|did|there|than"
)
LEAD = re.compile(r"^(?:(?:and|ok|okay|so|but|also|then|now|well|what about|how about|what if|for)\b[\s,]*)+", re.I)
YES = re.compile(r"\s*(?:ok\s+)?(?:yes|yep|yup|yeah|sure|correct|it is|it does)\b.{0,2}(?:it is|it does)?\W*", re.I)
NO = re.compile(r"\s*(?:ok\s+)?(?:no|nope|nah|not|it isn't|it's not)\b.{0,2}(?:it isn't|it's not)?\W*", re.I)
JOINS = re.compile(r"\s*(?:[,;?&/+]\s*)?(?:[,;?&/+]|\b(?:and|plus|with)\b)\s*(?:&\s*)?(?:\b(?:the|an|a)\b)?\s*")
LISTS = re.compile(r"[&+?]|\b(?:and|plus)\b|,.*,", re.I)
ONE_MORE = re.compile(r"\b(?:a|an|another|one)\s+$")
# What begins a question of its own that asks yes or no.
WHOLE = re.compile(r"\W*(?:is|are|am|can|could|may|must|do|does|did|should|shall|will|would|has|have)\b", re.I)
NAMED = ("place", "location")  # kinds of words of which a follow-up names another
SWAPPED = frozenset(["protection"])  # kinds of words of which a later turn tells another: gfci, afci
THINGS = ("raceway", "equipment")  # words that name a thing of which something may be asked


def bears(outcome: Outcome, last: Outcome, reading: Reading, heads: frozenset[str]) -> bool:
    """Whether a follow-up changed anything: it asked for another value, held something against the answer, picked an
    edition, or told a fact that the answer now rests on. `heads`: words that go with facts (75 C "lugs")."""
    now, before = outcome.candidate, last.candidate
    if now is None or before is None or reading.edition or outcome.reply.verdict or outcome.reply.option:
        return True
    if last.offered:
        return bool(used(outcome, reading)) or bool(reading.asks)
    if reading.asks and not now.asked:
        return False
    if reading.asks or now.name != before.name:
        return now.name != before.name or bool(used(outcome, reading)) or not words_left(reading, [])
    told = used(outcome, reading)
    if not told and not any(fact.negated for fact in reading.facts):  # what is denied goes
        return False
    changed = outcome.reply.answer != last.reply.answer or _lacking(outcome) != _lacking(last)
    if changed or _told_otherwise(outcome, last):
        return True
    asks_of_it = "?" in reading.text and any(_is_thing(f, reading) for f in told)  # "conduit?" asks for its size, say
    mended = dict(reading.mends)
    return not asks_of_it and all(mended.get(w.lower(), w.lower()) in heads for w in words_left(reading, told))


def used(outcome: Outcome, reading: Reading) -> list[Fact]:
    """The facts of a turn that the answer rests on, or is held against."""
    if outcome.candidate is None:
        return []
    bound = outcome.candidate.bound
    rests = outcome.derivation.root.rests_on if outcome.derivation is not None else set()
    open_ = bool(outcome.reply.missing) or not rests
    stated = bound.stated[0] if bound.stated else None
    inputs = {id(f): bound.inputs.get(id(f)) for f in reading.facts}
    return [f for f in reading.facts if (name := inputs[id(f)]) and (open_ or name in rests or name == stated)]


def words_left(reading: Reading, told: Sequence[Fact], named: Sequence[tuple[int, int]] = ()) -> list[str]:
    """The words of a turn outside some of its facts, other places in it and what it asks for, without those that say
    nothing alone."""
    spans = [*named, *((f.start, f.end) for f in told)]
    spans += [(e.start, e.end) for e in reading.entities if e.kind in ("ask", "weak_ask", "turn")]
    text = LEAD.sub(lambda lead: " " * len(lead.group()), reading.text)
    return [
        found.group()
        for found in WORD.finditer(text)
        if not any(start < found.end() and found.start() < end for start, end in spans)
        and not LIGHT.fullmatch(found.group().lower())
    ]


def not_understood(reading: Reading, edition: str) -> Reply:
    """The line that says which words of a turn were not understood, or which facts fit nothing there."""
    words = words_left(reading, reading.facts)
    if words or not reading.facts:
        words = words or [reading.text.strip().rstrip("?.! ")]
        said = f"“{' '.join(words)}”" if " ".join(words) in reading.text else listed([f"“{word}”" for word in words])
        line = f"I did not understand {said} there. Say it in other words, or ask it as a whole."
    else:
        said = listed(list(dict.fromkeys(f.text for f in reading.facts)))
        line = f"I do not know what {said} should be there. Say what it is, or ask it as a whole."
    return Reply(reading.text, "incomplete", edition, line, missing=[Missing("question", line)])


def what_about(facts: Sequence[Fact], title: str, question: str, edition: str) -> Reply:
    """Asks what about a fact that nothing was asked of behind a look-up."""
    said = listed([f.text for f in facts])
    line = f"What about {said}? The last was “{title}”, which does not tell; ask it as a whole."
    return Reply(question, "incomplete", edition, line, missing=[Missing("question", line)])


def kept(old: Sequence[Fact], new: Sequence[Fact], joined: set[str], usable: frozenset[str]) -> list[Fact]:
    """The facts of before that no new one replaces; those of `joined` inputs stay. `usable`: what that goal can use.

    A metal that was told with a size stays with it, where a metal alone has another input to fill."""
    replaced = {(f.inputs[0][0], f.thing) for f in new if f.inputs}
    listed_anew = {f.inputs[0][0] for f in new if f.inputs and f.thing is not None} - joined
    sizes = any(f.kind == "wire_size" for f in new)

    def gives_way(fact: Fact) -> bool:
        if fact.kind == "metal" and not sizes and "pair" in fact.more and len(_metals(fact, usable)) > 1:
            return False
        name = fact.inputs[0][0]
        if (name, fact.thing) in replaced or name in listed_anew:
            return True
        for one in (n for n in new if n.kind == fact.kind and n.thing is None and n.inputs):
            if one.inputs[0][0] == name or (fact.thing is None and _may_be(one, name)):
                return True
        return False

    return [f for f in old if f.inputs and not gives_way(f)]


def _metals(fact: Fact, usable: frozenset[str]) -> list[str]:
    return [name for name, _ in fact.inputs if name in usable]


def _may_be(fact: Fact, name: str) -> bool:
    """Whether a fact may fill an input, by evidence that is not far below its best."""
    return dict(fact.inputs).get(name, 0.0) >= FAR_BELOW * fact.inputs[0][1] if fact.inputs else False


def answer_what_was_asked(reading: Reading, asked: Sequence[str], inputs: Mapping[str, Input]) -> None:
    """A fact that may fill just one of the inputs that were asked for, or names a choice of it, fills it: the metal of
    "4/0 aluminum" is that of the service."""
    if reading.asks:
        return
    taken: set[str] = set()
    for fact in reading.facts:
        may = {*dict(fact.inputs), *(n for n in asked if n in inputs and fact.text.lower() in inputs[n].choices)}
        names = [name for name in dict.fromkeys(asked) if name in may and name not in taken]
        if len(names) == 1 and names[0] not in dict(fact.inputs):
            fact.value, fact.kind = fact.text.lower(), inputs[names[0]].kind or fact.kind
        if len(names) == 1:
            fact.inputs = [(names[0], 1.0), *((n, s) for n, s in fact.inputs if n != names[0])]
            taken.add(names[0])


def _lacking(outcome: Outcome) -> list[tuple[str, str | None]]:
    return [(m.input, m.thing) for m in outcome.reply.missing]


def _told_otherwise(outcome: Outcome, last: Outcome) -> bool:
    """Whether something that had been told is told otherwise now."""
    assert outcome.candidate is not None and last.candidate is not None
    now, before = outcome.candidate.bound.facts, last.candidate.bound.facts
    return any(now.get(name) != value for name, value in before.job.items()) or now.things != before.things


def _is_thing(fact: Fact, reading: Reading) -> bool:
    return any(e.kind in THINGS and e.start == fact.start for e in reading.entities)


def say_yes_or_no(reading: Reading, asked: Sequence[str], inputs: Mapping[str, Input]) -> None:
    """A bare yes or no answers the one question of that kind that was asked."""
    names = [name for name in dict.fromkeys(asked) if inputs[name].unit == "yes/no"]
    said = "yes" if YES.fullmatch(reading.text) else "no" if NO.fullmatch(reading.text) else None
    if said is not None and len(names) == 1 and not reading.facts:
        kind = inputs[names[0]].kind or names[0]
        reading.facts.append(Fact([(names[0], 1.0)], said, None, kind, reading.text.strip(), 0, len(reading.text)))


def asked_together(reading: Reading) -> list[Ask]:
    """What is asked in one breath ("breaker, wire, ground and overload"), in order; empty where it is not several."""
    named = sorted((e for e in reading.entities if e.kind in ("ask", "weak_ask")), key=lambda e: (e.start, -e.end))
    run: list[Entity] = []
    for one in named:
        if run and one.start < run[-1].end:
            continue
        beside = bool(run) and run[-1].kind == one.kind == "ask" and not reading.text[run[-1].end : one.start].strip()
        if run and not beside and not JOINS.fullmatch(reading.text[run[-1].end : one.start]):
            if len({e.name for e in run}) > 1:
                break
            run = []
        run.append(one)
    several = len({e.name for e in run}) > 1 and LISTS.search(reading.text, run[0].end, run[-1].start)
    if not several or reading.form == "yes/no" or not {a.name for a in reading.asks} <= {e.name for e in run}:
        return []
    return list({e.name: Ask(e.name, e.text, e.start) for e in reversed(run)}.values())[::-1]


def one_more(fact: Fact, reading: Reading) -> bool:
    """Whether a fact is told as another thing: "and a 40 hp"."""
    return reading.follow == "and" and ONE_MORE.search(reading.text.lower(), 0, fact.start) is not None


def counted(old: Sequence[Fact], name: str) -> list[Fact]:
    """The facts of before that name the things of a list, one for each thing."""
    return [f for f in old if f.inputs and f.inputs[0][0] == name]


def recounted(old: Sequence[Fact], things: Sequence[Fact], count: int, alike: set[str]) -> list[Fact]:
    """The facts of before with so many like things in place of those that were named; `alike`: inputs of a thing."""
    rest = [f for f in old if not (f.inputs and f.inputs[0][0] in alike and f.thing is not None) and f not in things]
    return [*rest, *(replace(things[0], thing=n if count > 1 else None) for n in range(count))]


def left_out(old: Sequence[Fact], thing: Fact, things: int) -> list[Fact]:
    """The facts of before without those of one thing of a list of so many, the rest numbered anew."""
    assert thing.thing is not None
    kept = [f for f in old if f.thing != thing.thing]
    lower = {n: None if things <= 2 else n - (n > thing.thing) for n in range(things)}
    return [f if f.thing is None else replace(f, thing=lower.get(f.thing, f.thing)) for f in kept]


def amounts(reading: Reading) -> list[Fact]:
    """The facts of a turn that are amounts."""
    return [f for f in reading.facts if is_amount(f)]


def without(question: str, was: Reading, now: Reading, all_amounts: bool, judged: str) -> str:
    """A question without the amounts of which a later turn tells others (or without any), and, where a turn names a
    place, without the one that was judged before."""
    kinds = {f.kind for f in now.facts}
    spans = [(f.start, f.end) for f in was.facts if is_amount(f) and (all_amounts or f.kind in kinds)]
    swapped = {e.kind for e in now.entities} & SWAPPED
    spans += [(e.start, e.end) for e in was.entities if e.kind in swapped]
    if any(e.kind in NAMED for e in now.entities):
        spans += [(e.start, e.end) for e in was.entities if e.kind in NAMED and {e.name, e.text.lower()} & {judged}]
    for start, end in sorted(spans, reverse=True):
        question = question[:start] + question[end:]
    return " ".join(question.split())

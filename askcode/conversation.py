"""A conversation: what is carried from turn to turn, and what a follow-up means."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from askcode import settings
from askcode.askback import ACTS, Before, key_says, which_edition
from askcode.asker import EDITIONS, LONGEST
from askcode.choose import ENTRY_SCALE, is_amount
from askcode.core.errors import listed
from askcode.core.replies import Missing, Read, Reply
from askcode.desk import Desk, Outcome, entity
from askcode.measures import numbers
from askcode.rulebase.book import Book
from askcode.settings import Settings

if TYPE_CHECKING:
    from askcode.asker import Asker
    from parsers import Fact, Reading

LONGEST_ASIDE = 10  # words; a longer turn is a question, whatever it holds


@dataclass(slots=True)
class Memory:
    """What is kept from turn to turn."""

    last: Outcome | None = None  # the last that was worked out (or asked to be)
    shown: Outcome | None = None  # the last of any kind
    before: Reading | None = None  # the reading of the turn before
    carried: list[Read] = field(default_factory=list)
    asked_edition: bool = False  # a place was named and its edition asked


class Conversation:
    """Carries facts and the last goal. A question of its own inherits nothing; a follow-up inherits what it can use."""

    def __init__(self, asker: Asker, edition: str):
        self.asker = asker
        self.edition = edition
        self.settings: Settings = dict(asker.settings)
        self.start_over()

    def start_over(self) -> None:
        """Forget everything but the edition and the settings."""
        self.memory = Memory()
        self.past: list[Memory] = []

    @property
    def book(self) -> Book:
        return self.asker.book(self.edition, self.settings)

    @property
    def desk(self) -> Desk:
        """Where a reading is answered, in the edition that is asked for now and by the settings."""
        return Desk(self.asker, self.edition, self.settings)

    @property
    def jurisdiction(self) -> str:
        """The place whose code it is, where it was told."""
        return self.settings.get("jurisdiction", "")

    @property
    def carried(self) -> list[Read]:
        """The facts that the next follow-up may use."""
        return self.memory.carried

    @property
    def last(self) -> Outcome | None:
        return self.memory.last

    def say(self, text: str) -> Reply:
        """The reply to one turn; text of any kind gets one."""
        if refusal := self._unreadable(text):
            return refusal
        reading = self.asker.read(text)
        if self.last is not None and self.last.candidate and (reading.follow or not reading.asks):
            reading = self.asker.read(text, self.last.candidate.goal.topics)  # what words mean here
        if (steered := self._steer(reading)) is not None:
            steered.question = reading.text
            return steered
        if reading.edition in EDITIONS:
            self.edition = reading.edition
        if self.memory.before is not None and _only_edition(reading):
            kept = [f for f in self.memory.before.facts if f.kind != "edition"]
            reading = replace(self.memory.before, facts=[*reading.facts, *kept], edition=reading.edition)
        outcome = self._settle(reading)
        outcome.reply.question = reading.text
        self._show_reading(outcome, reading)
        self._remember(outcome, reading)
        return outcome.reply

    def explain(self, text: str) -> list[str]:
        """How a question is read, and what each candidate weighs by which evidence, as lines to show."""
        if self._unreadable(text):
            return ["nothing to read"]
        reading = self.asker.read(text)
        lines = [f"form: {reading.form}" + (f", follows up ({reading.follow})" if reading.follow else "")]
        lines.append("asks for: " + (", ".join(a.name for a in reading.asks) or "nothing in so many words"))
        for fact in reading.facts:
            claims = ", ".join(f"{name} {score:.2f}" for name, score in fact.inputs[:3]) or "no input"
            lines.append(f"fact: {fact.text} = {_value(fact)} ({claims})")
        lines += [f"mended: {was} as {now}" for was, now in reading.mends]
        lines += [f"not understood: {word}" for word in reading.unread]
        for c in self.asker.chooser(self.edition).candidates(reading, reading.facts)[:5]:
            why = "; ".join(f"{text} {weight:+.1f}" for text, weight in c.evidence)
            lines.append(f"{c.score:5.1f}  {c.goal.title}: {why}")
        lines += [
            f"{rank * ENTRY_SCALE:5.1f}  entry {hit.entry_id}: like “{hit.row}”"
            for hit, rank in self.desk.hits(reading)
        ]
        return lines

    def _remember(self, outcome: Outcome, reading: Reading) -> None:
        self.past.append(self.memory)
        last, carried = self.memory.last, self.memory.carried
        if outcome.candidate is not None:
            last, carried = outcome, [fact for fact in outcome.reply.read if fact.input]
        self.memory = Memory(last, outcome, reading, carried)

    # --- settings ---
    def _settings(self, reading: Reading, act: str | None) -> Reply | None:
        """The reply to a turn that shows or changes the settings, or None."""
        named = settings.chosen_by_number(reading.text, self.book)
        if isinstance(named, str):
            return settings.unclear(reading, self.edition, [named])
        if named is not None:
            return self._set(dict([named]), reading)
        if reading.asks or reading.options or len(reading.words) > LONGEST_ASIDE:
            return None
        if act == "settings" and not reading.facts:
            return settings.shown(self.book, self.settings, self.edition, reading.text)
        if act == "usual" and not reading.facts:
            self.settings = {}
            return self._set({}, reading)
        if act == "set" and reading.form == "statement":
            news, strange = settings.chosen_by_facts(reading.facts, self.book)
            if strange or (not news and not reading.facts):
                return settings.unclear(reading, self.edition, strange)
            return self._set(news, reading) if news else None
        return None

    def _set(self, news: Settings, reading: Reading) -> Reply:
        """Take settings over; what was answered last is answered again where it rests on one."""
        usual = {c.name: c.value for c in self.book.conventions().values() if c.input}
        chosen = {**self.settings, **news}
        self.settings = {name: choice for name, choice in chosen.items() if usual.get(name) != choice}
        self.edition = news.get("edition", self.edition)
        told = settings.said(news, self.book) if news else "The usual settings hold again."
        before, last = self.memory.before, self.last
        changed = {self.book.conventions()[name].input for name in news}
        rests = last is not None and any(a.input in changed for a in last.reply.assumptions)
        if before is None or self.memory.shown is None or not (rests or "edition" in news):
            self.memory = replace(self.memory, asked_edition=False)
            return Reply(reading.text, "answered", self.edition, told)
        outcome = self._settle(before)
        outcome.reply.notes.insert(0, told)
        self._show_reading(outcome, before)
        self._remember(outcome, before)
        return outcome.reply

    # --- a turn that steers the talk or asks back ---
    def _steer(self, reading: Reading) -> Reply | None:
        """The reply to a turn that is about the conversation itself, or None."""
        act, shown = entity(reading, "turn"), self.memory.shown
        if (place := entity(reading, "jurisdiction")) and not reading.asks:
            self.settings["jurisdiction"] = place
            if not reading.edition:
                self.memory = replace(self.memory, asked_edition=True)
                return which_edition(place, EDITIONS, reading.text, self.edition)
        if reading.edition and (place or self.memory.asked_edition) and _only_edition(reading):
            return self._set({"edition": reading.edition}, reading)
        if (reply := self._settings(reading, act)) is not None:
            return reply
        before = self.memory.before
        if act == "check" and shown is not None and before is not None and (letter := _letter(reading, before)):
            return key_says(Before(shown.reply, shown.derivation), letter, before.options, self.book)
        if act is None or reading.facts or reading.asks or reading.options or len(reading.words) > LONGEST_ASIDE:
            return None
        if act == "start-over":
            self.start_over()
            return Reply(reading.text, "incomplete", self.edition, "Started over. What is the question?")
        if act == "undo":
            self.memory = self.past.pop() if self.past else Memory()
            back = self.memory.shown
            return (
                back.reply if back else Reply(reading.text, "incomplete", self.edition, "Nothing is left to take back.")
            )
        if shown is None:
            return None
        if act == "skip":
            self.memory = Memory()
            return Reply(reading.text, "incomplete", self.edition, "Skipped. What is the next question?")
        derivation = shown.derivation
        return ACTS[act](Before(shown.reply, derivation), self.book) if act in ACTS else None

    def _unreadable(self, text: str) -> Reply | None:
        if len(text) > LONGEST:
            line = f"That is {len(text):,} characters; a question may have {LONGEST:,}. Shorten it and ask again."
            return Reply(text[:80] + "…", "incomplete", self.edition, line, missing=[Missing("question", line)])
        if not any(c.isalnum() for c in text):
            line = "Type a question, such as: 2 hp 120 V single phase copper 75 C"
            return Reply("", "incomplete", self.edition, line, missing=[Missing("question", line)])
        return None

    # --- a question of its own, or a follow-up ---
    def _settle(self, reading: Reading) -> Outcome:
        if entity(reading, "turn") == "why":  # "why not #12" holds #12 against the answer; it does not deny it
            for fact in reading.facts:
                fact.negated = False
        if trade := entity(reading, "hazard"):
            return Outcome(self.desk.hazard(reading, trade))
        if (trade := entity(reading, "outside_trade")) and not self.desk.known_well(reading):
            return Outcome(
                self.desk.outside(reading, f"That is about {trade}, which is outside what this tool answers.")
            )
        if (picked := _picked(reading, self.memory.shown.offered if self.memory.shown else ())) is not None:
            return picked
        if self.last is not None and self._follows(reading):
            return self._follow(reading)
        if reading.follow and self.memory.shown is not None and self.memory.shown.reply.status == "outside":
            return Outcome(
                self.desk.outside(reading, "That follows on something I could not answer; ask it as a whole.")
            )
        fresh = self.desk.answer(reading, reading.facts, None)
        if fresh.candidate is None and fresh.settled and self.memory.shown is not None and _points_back(reading):
            return Outcome(
                self.desk.outside(reading, "That points back at something, and I cannot tell at what; name it and ask.")
            )
        looked_up = fresh.candidate is None  # a short turn behind a calculation more likely goes on with it
        told = any(is_amount(f) for f in reading.facts)
        if self.last is None or (fresh.settled and not (looked_up and (told or len(reading.words) <= LONGEST_ASIDE))):
            return fresh
        followed = self._follow(reading)
        if fresh.settled:
            bound = followed.candidate.bound.inputs if followed.candidate else {}
            news = any(id(f) in bound for f in reading.facts)
            return followed if followed.settled and (news or reading.asks) else fresh
        if followed.settled or (fresh.candidate is None and followed.reply.status == "incomplete"):
            return followed
        return fresh

    def _follows(self, reading: Reading) -> bool:
        """Whether a turn can only be a follow-up: a marker says so, or it holds bare facts that were asked for."""
        if reading.follow:
            return True
        asked = {m.input for m in self.last.reply.missing} if self.last else set()
        return (
            bool(asked)
            and not reading.asks
            and bool(reading.facts)
            and all(any(name in asked for name, _ in fact.inputs) for fact in reading.facts)
        )

    def _follow(self, reading: Reading) -> Outcome:
        assert self.last is not None
        self._name_bare_numbers(reading)
        said = self.last.candidate.bound if self.last.candidate else None
        stated = (
            said.stated[0] if said and said.stated else None
        )  # was held against the answer; it is no fact of the job
        old = [f for f in self.last.facts if said is None or stated is None or said.inputs.get(id(f)) != stated]
        old, joined = self._joined(old, reading)
        outcome = self.desk.answer(reading, [*_kept(old, reading.facts, joined), *reading.facts], self.last)
        typed = [f for f in reading.facts if is_amount(f)]
        used = outcome.candidate.bound.inputs if outcome.candidate else {}
        if typed and not reading.asks and not any(id(f) in used for f in reading.facts):
            line = f"I do not know what {listed([f.text for f in typed])} should be there; say it with its unit."
            return Outcome(Reply(reading.text, "incomplete", self.edition, line, missing=[Missing("question", line)]))
        return outcome

    def _joined(self, old: list[Fact], reading: Reading) -> tuple[list[Fact], set[str]]:
        """In "and a receptacle" the new thing stands beside those of before: number them all. The facts of before, and
        the inputs that were joined."""
        inputs, joined = self.desk.book.inputs(), set()
        for name in {f.inputs[0][0] for f in reading.facts if f.inputs and inputs[f.inputs[0][0]].lists == "yes"}:
            before = [f for f in old if f.inputs and f.inputs[0][0] == name]
            news = [f for f in reading.facts if f.inputs and f.inputs[0][0] == name]
            word = reading.follow == "and" and not any(is_amount(f) for f in news)
            if before and (word or reading.follow == "add"):
                kind = inputs[name].thing
                joined |= {n for n, declared in inputs.items() if declared.thing == kind}
                for thing, one in enumerate([*before, *news]):
                    facts = old if thing < len(before) else reading.facts
                    for index, fact in enumerate(facts):
                        told = fact.start == one.start and fact.inputs and fact.inputs[0][0] != name  # its count, say
                        if fact is one or (told and inputs[fact.inputs[0][0]].thing == kind):
                            facts[index] = replace(fact, thing=thing)
        return old, joined

    def _name_bare_numbers(self, reading: Reading) -> None:
        """A bare number answers the one question that was asked, takes the place of a like one that was told, or is
        held against the answer that was given."""
        assert self.last is not None
        bare = [f for f in reading.facts if not f.inputs and f.kind == "number"]
        if len(bare) != 1:
            return
        alone = not any(is_amount(f) for f in reading.facts if f is not bare[0])
        inputs, reply = self.book.inputs(), self.last.reply
        said = set(numbers(reading.text))
        picked = [(m.input, c) for m in reply.missing for c in m.choices if said and said <= set(numbers(c))]
        if len(picked) == 1 and (i := inputs.get(picked[0][0])) and i.unit == "choice":
            bare[0].inputs, bare[0].value, bare[0].kind = [(picked[0][0], 1.0)], picked[0][1], i.kind
            return
        if reply.missing:
            names = [
                m.input for m in reply.missing if (i := inputs.get(m.input)) and i.unit not in ("choice", "yes/no")
            ]
        elif reading.form == "yes/no" or entity(reading, "turn") in ("why", "check"):
            quantity = self.last.candidate.goal.quantity if self.last.candidate else ""
            names = [
                n
                for n, i in inputs.items()
                if quantity in ([i.states] if isinstance(i.states, str) else i.states or [])
            ]
        elif alone and (alike := self._told_alike(bare[0])) is not None:
            bare[0].inputs, bare[0].unit, bare[0].kind = alike.inputs, alike.unit, alike.kind
            bare[0].value = str(bare[0].value) if isinstance(alike.value, str) else bare[0].value
            return
        else:
            return
        for fact in bare if len(names) == 1 else ():
            fact.inputs, fact.unit = [(names[0], 0.5)], inputs[names[0]].unit
            fact.value = str(fact.value) if fact.unit == "size" else fact.value

    def _told_alike(self, fact: Fact) -> Fact | None:
        """The one amount that was told before which a bare number can take the place of (what about 12, make it 40)."""
        assert self.last is not None
        sizes = set(self.book.table("wire_areas").printed_keys())
        alike = [
            f
            for f in self.last.facts
            if f.kind in ("current", "horsepower", "count") or (f.kind == "wire_size" and str(fact.value) in sizes)
        ]
        return alike[0] if len(alike) == 1 else None

    def _show_reading(self, outcome: Outcome, reading: Reading) -> None:
        reply, bound = outcome.reply, outcome.candidate.bound if outcome.candidate else None
        typed = {id(f) for f in reading.facts}
        for fact in outcome.facts or reading.facts:
            name = bound.inputs.get(id(fact), "") if bound else (fact.inputs[0][0] if fact.inputs else "")
            origin = fact.how if id(fact) in typed else "carried"
            thing = str(fact.thing + 1) if fact.thing is not None else None
            value = _value(fact) if bound else fact.text  # a look-up fills no inputs: what was typed stands for itself
            reply.read.append(Read(fact.text, name if bound else "", value, thing, origin))
        reply.unread = list(reading.unread)
        if passed := [p for p in reading.passed if not any(p in note for note in reply.notes)]:
            reply.notes.append(f"Not used: {listed(passed)}.")
        if reading.mends:
            mended = [f"“{was}” as “{read}”" for was, read in reading.mends]
            reply.notes.append(f"Read {listed(mended)}.")


def _value(fact: Fact) -> str:
    """The value as a reader takes it: what is neither amount nor word is told as it was typed (#10, single-phase)."""
    if fact.unit is None and not str(fact.value).replace("-", "").isalpha():
        return fact.text
    text = f"{fact.value:g}" if isinstance(fact.value, float) else str(fact.value)
    return f"{text} {fact.unit}" if fact.unit not in (None, "size", "choice", "yes/no", "count", "number") else text


POINTS_BACK = frozenset(["it", "its", "each", "they", "them", "their", "those", "these", "one", "ones"])


def _points_back(reading: Reading) -> bool:
    """Whether a question names nothing itself and speaks of what was named before (the rating of each)."""
    return (
        not reading.entities
        and not reading.facts
        and not POINTS_BACK.isdisjoint(reading.text.lower().rstrip("?.!").split())
    )


def _letter(reading: Reading, before: Reading) -> str | None:
    """The letter of one of the options before that a short turn names last."""
    letters = {o.letter for o in before.options}
    said = [w for w in reading.text.lower().replace(")", " ").replace("(", " ").rstrip("?.!").split() if w in letters]
    return said[-1] if said and len(reading.words) <= LONGEST_ASIDE else None


def _picked(reading: Reading, offered: Sequence[Outcome]) -> Outcome | None:
    """The reading that a bare number picks."""
    said = reading.text.strip().rstrip(".)")
    return offered[int(said) - 1] if said.isdigit() and 0 < int(said) <= len(offered) else None


def _only_edition(reading: Reading) -> bool:
    """Whether a turn names an edition and nothing else: the question before is asked again there."""
    return (
        bool(reading.edition)
        and all(f.kind == "edition" for f in reading.facts)
        and not reading.asks
        and len(reading.words) < 9
        and not any(e.kind in ("topic", "place", "equipment") for e in reading.entities)
    )


def _kept(old: Sequence[Fact], new: Sequence[Fact], joined: set[str]) -> list[Fact]:
    """The facts of before that no new one replaces; those of `joined` inputs stay."""
    replaced = {(f.inputs[0][0], f.thing) for f in new if f.inputs}
    listed_anew = {f.inputs[0][0] for f in new if f.inputs and f.thing is not None} - joined
    kinds = {f.kind for f in new if f.thing is None}
    return [
        f
        for f in old
        if f.inputs
        and (f.inputs[0][0], f.thing) not in replaced
        and f.inputs[0][0] not in listed_anew
        and not (f.kind in kinds and any(f.inputs[0][0] in dict(n.inputs) for n in new if n.kind == f.kind))
    ]

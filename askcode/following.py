"""What a turn goes on with: the last job, one before it, or a look-up; or nothing, for a question of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from askcode import followups
from askcode.choose import Bound, is_amount
from askcode.core.errors import listed
from askcode.core.replies import Missing, Read, Reply
from askcode.desk import Desk, Outcome, entity, not_covered
from askcode.lookup import ASKING_WORD
from askcode.measures import numbers
from askcode.rulebase.book import Entry
from askcode.rulebase.search import CERTAIN

if TYPE_CHECKING:
    from askcode.asker import Asker
    from parsers import Fact, Reading

LONGEST_ASIDE = 10  # words; a longer turn is a question, whatever it holds
LONGEST_NOUN = 2  # words; such a turn only names something
LONGEST_WORD = 4  # words; what such a turn asks hangs on each of them
LEAST_TOLD = 2  # amounts that make a turn of bare facts a whole question
COUNTING = ("fewer", "more", "so-many", "one-of-them")  # turns that say how many of the like things there are
PROPERTIES = ("metal", "phases", "insulation", "device_type")  # kinds of words that tell a property of something
GOES_ON = ("what-about", "same-at", "no")  # marks of a turn that can only go on with the one before
LEAST_LISTED = 2  # things of a list of which one may be left out
MOST_THINGS = 20  # of one kind, in a follow-up that counts them
POINTS_BACK = frozenset(["it", "its", "each", "they", "them", "their", "those", "these", "one", "ones"])


@dataclass(slots=True)
class Memory:
    """What is kept from turn to turn."""

    last: Outcome | None = None  # the last that was worked out (or asked to be)
    shown: Outcome | None = None  # the last of any kind
    before: Reading | None = None  # the reading of the turn before
    carried: list[Read] = field(default_factory=list)
    earlier: tuple[Outcome, ...] = ()  # what was worked out before the last, of other subjects; the latest first
    about: str = ""  # the question that the talk is about, in words
    asked_edition: bool = False  # a place was named and its edition asked


class Following:
    """Answers a turn in the light of what was said before; changes nothing of it."""

    def __init__(self, asker: Asker, desk: Desk, memory: Memory):
        self.asker = asker
        self.desk = desk
        self.memory = memory
        self.last = memory.last
        self.book = desk.book
        self.edition = desk.edition

    def answer(self, reading: Reading) -> Outcome:
        """The outcome of one turn."""
        if entity(reading, "turn") == "why":  # "why not #12" holds #12 against the answer; it does not deny it
            for fact in reading.facts:
                fact.negated = False
        if trade := entity(reading, "hazard"):
            return Outcome(self.desk.hazard(reading, trade), hazard=trade)
        if (trade := entity(reading, "outside_trade")) and not self.desk.known_well(reading):
            return Outcome(
                self.desk.outside(reading, f"That is about {trade}, which is outside what this tool answers.")
            )
        if (picked := _picked(reading, self.memory.shown.offered if self.memory.shown else ())) is not None:
            picked.follows = True
            return picked
        back = self._gone_back(reading)
        if back is not None:
            return back
        if self.last is not None and (again := self._recounted(reading) or self._left_out(reading)) is not None:
            return again
        if self.last is not None and self._follows(reading):
            return self._go_on(reading)
        shown = self.memory.shown
        if reading.follow and shown is not None and shown.reply.status == "outside":
            return Outcome(
                self.desk.outside(reading, "That follows on something I could not answer; ask it as a whole.")
            )
        fresh = self.desk.answer(reading, reading.facts, None)
        if fresh.candidate is None and fresh.settled and shown is not None and _points_back(reading):
            line = "That points back at something, and I cannot tell at what; name it and ask."
            missing = [Missing("question", line)]
            return Outcome(Reply(reading.text, "incomplete", self.edition, line, missing=missing), lost=True)
        if shown is not None and shown.hazard and not fresh.settled and len(reading.words) <= LONGEST_ASIDE:
            return Outcome(self.desk.hazard(reading, shown.hazard), hazard=shown.hazard)  # it goes on about that
        if shown is not None and shown.looked_up and (sized := self._size_of_that(reading)) is not None:
            return sized
        if shown is not None and (behind := self._behind_look_up(reading, fresh)) is not None:
            return behind
        if shown is not None and fresh.reply.status == "outside" and not not_covered(reading):
            fresh.lost = len(reading.words) <= LONGEST_NOUN  # the next turn may go on with what was answered
        looked_up = fresh.candidate is None  # a short turn behind a calculation more likely goes on with it
        told = any(is_amount(f) for f in reading.facts)
        if self.last is None or (fresh.settled and not (looked_up and (told or len(reading.words) <= LONGEST_ASIDE))):
            return fresh
        followed = self._follow(reading)
        understood = self._bears(followed, self.last, reading)
        if fresh.settled:
            bound = followed.candidate.bound.inputs if followed.candidate else {}
            news = any(id(f) in bound for f in reading.facts)
            known = self.asker.reader.filler | self.asker.head_words
            left = [w.lower() for w in followups.words_left(reading, reading.facts)]
            telling = [w for w in left if dict(reading.mends).get(w, w) not in known]
            other = looked_up and fresh.sure >= CERTAIN and telling  # a rule that knows more of its words
            if understood and followed.settled and (news or reading.asks) and not other:
                return followed
            alone = fresh.candidate is not None and not reading.asks and len(followups.amounts(reading)) < LEAST_TOLD
            return self._lost(reading) if alone and reading.form == "statement" else fresh
        told_of = followed.candidate.goal.topics if followed.candidate else ()
        related = self.last.candidate is not None and {*told_of} & {*self.last.candidate.goal.topics}
        if not followed.settled and reading.asks and not followups.amounts(reading) and not related:
            for job in self.memory.earlier:  # it may be asked of a job before a digression
                if (again := self._taken_up(job, reading)) is not None:
                    return again
        strange = bool(reading.unread) and not reading.facts and len(reading.words) <= LONGEST_WORD
        nearer = fresh.candidate is None or len(followed.reply.missing) < len(fresh.reply.missing)
        if understood and (followed.settled or (nearer and not strange and followed.reply.status == "incomplete")):
            return followed
        short = len(reading.words) <= LONGEST_WORD or reading.follow
        if strange or (fresh.candidate is None and short and not understood):
            return self._looked_up_with(reading)[0] or self._lost(reading, followed)
        return fresh

    def hear_an_answer(self, reading: Reading) -> None:
        """Take a turn for an answer to what was asked: a bare yes or no, or facts with no more than "how big"."""
        if self.last is None or not self.last.reply.missing:
            return
        inputs, sizes = self.book.inputs(), self.asker.reader.binder.sizes
        asked = [m.input for m in self.last.reply.missing if m.input in inputs]
        followups.say_yes_or_no(reading, asked, inputs)
        answers = any(name in asked for f in reading.facts for name, _ in f.inputs)
        if answers and all(ask.text.lower() in sizes for ask in reading.asks):
            reading.asks = []
            reading.entities = [e for e in reading.entities if e.kind != "weak_ask" or e.text.lower() not in sizes]

    def _go_on(self, reading: Reading) -> Outcome:
        """A turn that can only be a follow-up: of what was looked up last, of the last job, or of one before it."""
        assert self.last is not None
        shown = self.memory.shown
        behind = self._behind_look_up(reading, None) if shown is not None and shown.looked_up else None
        if behind is not None and not behind.lost:
            return behind
        followed = self._follow(reading)
        if self._bears(followed, self.last, reading) and not followed.lost:
            return followed
        for job in self.memory.earlier:
            if (again := self._taken_up(job, reading)) is not None:
                return again
        return self._looked_up_with(reading)[0] or behind or self._lost(reading, followed)

    def _bears(self, outcome: Outcome, last: Outcome, reading: Reading) -> bool:
        return followups.bears(outcome, last, reading, self.asker.head_words)

    def _taken_up(self, job: Outcome, reading: Reading) -> Outcome | None:
        """An earlier job gone on with, where a turn asks another value of it or tells a fact that bears on it."""
        assert job.candidate is not None
        outcome = self._follow(reading, job)
        if outcome.lost or outcome.candidate is None or not self._bears(outcome, job, reading):
            return None
        of_it = outcome.settled if reading.asks else outcome.candidate.name == job.candidate.name
        if not of_it or job_of(outcome) != job_of(job):
            return None
        outcome.reply.notes.insert(0, f"Back to {job.candidate.goal.title}.")
        return outcome

    def _recounted(self, reading: Reading) -> Outcome | None:
        """More or fewer of the like things of before ("drop one", "two of them"), asked of again; else None."""
        assert self.last is not None
        numbers_told = [f for f in reading.facts if f.kind in ("number", "how_many") and not f.inputs]
        act = "so-many" if any(f.kind == "how_many" for f in numbers_told) else entity(reading, "turn")
        if act not in COUNTING or (act == "so-many" and not _counts(numbers_told)) or self.last.candidate is None:
            return None
        inputs = self.book.inputs()
        names = {n for n in self.last.candidate.bound.inputs.values() if inputs[n].lists == "yes"}
        told_counts = {inputs[n].thing for n in self.last.candidate.bound.inputs.values() if inputs[n].unit == "count"}
        names = {n for n in names if inputs[n].thing not in told_counts}  # "two of them" would tell that count
        things = followups.counted(self.last.facts, names.pop()) if len(names) == 1 else []
        if not things:
            return None
        told = [f for f in reading.facts if f not in numbers_told]
        if len(things) == 1 and numbers_told and numbers_told[0].kind == "number":
            unit = str(things[0].unit)
            many, one = f"{numbers_told[0].value:g} of {things[0].text}", f"one of {numbers_told[0].value:g} {unit}"
            line = f"Is that {many}, or {one}? Say “{numbers_told[0].value:g} of them”, or “{one[7:]}”."
            missing = [Missing("question", line)]
            return Outcome(Reply(reading.text, "incomplete", self.edition, line, missing=missing), lost=True)
        count = {"fewer": len(things) - 1, "more": len(things) + 1, "one-of-them": 1}.get(act)
        count = int(numbers_told[0].value) if count is None else count
        kind = inputs[things[0].inputs[0][0]].thing
        if len({(f.value, f.unit) for f in things}) > 1 or not 0 < count <= MOST_THINGS:
            said = listed([f.text for f in things], "or")
            line = f"Which of them: {said}? Say each {kind} that is left." if count else "Then nothing is left."
            missing = [Missing("question", line)]
            return Outcome(Reply(reading.text, "incomplete", self.edition, line, missing=missing), lost=True)
        alike = {name for name, declared in inputs.items() if declared.thing == kind}
        facts = [*followups.recounted(self.last.facts, things, count, alike), *told]
        outcome = self.desk.answer(replace(reading, facts=told), facts, self.last)
        outcome.follows = True
        outcome.reply.notes.insert(0, f"Taken for {count} × {things[0].text}.")
        return outcome

    def _left_out(self, reading: Reading) -> Outcome | None:
        """In "drop the 10" the thing of that rating is taken out of the list, and the rest asked of again."""
        assert self.last is not None
        told = [f for f in reading.facts if is_amount(f)]
        if entity(reading, "turn") != "leave-out" or len(told) != 1 or self.last.candidate is None:
            return None
        listed_inputs = {name for name, declared in self.book.inputs().items() if declared.lists == "yes"}
        things = [f for f in self.last.facts if f.thing is not None and f.inputs and f.inputs[0][0] in listed_inputs]
        named = [f for f in things if f.value == told[0].value and told[0].kind in (f.kind, "number")]
        if not named or len(things) < LEAST_LISTED:
            return None
        facts = followups.left_out(self.last.facts, named[0], len(things))
        outcome = self.desk.answer(replace(reading, facts=[], asks=[]), facts, self.last)
        outcome.follows = True
        outcome.reply.notes.insert(0, f"Without the {named[0].text}.")
        return outcome

    def _gone_back(self, reading: Reading) -> Outcome | None:
        """In "back to the motor" the job that was about it is taken up again, with what is told now."""
        if entity(reading, "turn") != "return":
            return None
        topics = set(reading.names("topic"))
        jobs = ([self.last] if self.last is not None else []) + list(self.memory.earlier)
        for job in jobs:
            if job.candidate is not None and topics & set(job.candidate.goal.topics):
                if reading.facts or reading.asks:
                    outcome = self._follow(reading, job)
                else:
                    outcome = replace(job, reply=replace(job.reply, read=[], notes=list(job.reply.notes)))
                outcome.reply.notes.insert(0, f"Back to {job.candidate.goal.title}.")
                return outcome
        return self._lost(reading)

    def _behind_look_up(self, reading: Reading, fresh: Outcome | None) -> Outcome | None:
        """A short turn behind a look-up, looked up together with the question before; a bare fact is held against that
        look-up and is no calculation of its own. None for a question that stands by itself (`fresh` is its reply)."""
        shown = self.memory.shown
        if shown is None or not shown.looked_up or reading.options or len(reading.words) > LONGEST_ASIDE:
            return None
        told = followups.amounts(reading)
        bare = bool(told) and not reading.asks and len(told) < LEAST_TOLD
        figured = fresh is not None and fresh.candidate is not None
        if figured and not bare:
            found = None if fresh is None or fresh.settled else self._looked_up_with(reading)[0]
            return found or self._with_facts_of(shown, reading, fresh)
        found, near, sure = self._looked_up_with(reading)
        if fresh is None or figured or not fresh.settled:
            if found is not None:
                return found
        elif near is not None and fresh.entry is not None and near.id == fresh.entry.id:
            if found is not None or fresh.reply.headline == shown.reply.headline:
                return found or self._lost(reading)
            fresh.follows = True  # the two together say the same, so the talk goes on about it
        elif found is not None and len(reading.words) <= LONGEST_NOUN and not reading.asks:
            return found  # "light switch?" behind a question about a pool
        elif near is not None and fresh.entry is not None and len(reading.words) <= LONGEST_NOUN and not reading.asks:
            return self._lost(reading)  # a thing that is only named is not asked about by itself
        elif sure > fresh.sure and (found or not followups.WHOLE.match(reading.text)):
            return found or self._lost(reading)  # the rule of before says no more, and another is not meant
        marked = reading.follow in GOES_ON and not figured
        if marked and fresh is not None and fresh.settled and fresh.entry is not shown.entry:
            return self._lost(reading)  # another rule that shares its words is no answer to what goes on with this one
        if bare and reading.form == "statement" and (figured or fresh is None or not fresh.settled):
            title = shown.entry.title if shown.entry else listed([r.question for r in shown.reply.readings], "or")
            asked = followups.what_about(told, title, reading.text, self.edition)
            return Outcome(asked, lost=True)
        return None

    def _size_of_that(self, reading: Reading) -> Outcome | None:
        """What "what size for a 60 A circuit" asks behind a look-up of the equipment ground: the size of that."""
        sizes = self.asker.reader.binder.sizes
        words = [e for e in reading.entities if e.kind in ("ask", "weak_ask")]
        if any(e.kind == "ask" for e in words) or not any(e.text.lower() in sizes for e in words):
            return None
        whole = self.asker.read(f"{self.memory.about.rstrip('?.! ')} {reading.text}")
        named = {e.name for e in whole.entities if e.kind == "ask"}
        if not named:
            return None
        whole.form, whole.asks = reading.form, [ask for ask in whole.asks if ask.name in named]
        outcome = self.desk.answer(whole, whole.facts, None)
        outcome.follows = True
        return outcome if whole.asks and outcome.candidate is not None and outcome.candidate.asked else None

    def _with_facts_of(self, shown: Outcome, reading: Reading, fresh: Outcome | None) -> Outcome | None:
        """What is asked behind a look-up, of the facts that were told with the look-up where it lacks some."""
        if fresh is None or fresh.settled or not shown.facts:
            return None
        facts = [*followups.kept(shown.facts, reading.facts, set(), frozenset()), *reading.facts]
        outcome = self.desk.answer(reading, facts, None)
        fewer = len(outcome.reply.missing) < len(fresh.reply.missing)
        return outcome if outcome.candidate is not None and fewer else None

    def _looked_up_with(self, reading: Reading) -> tuple[Outcome | None, Entry | None, float]:
        """What the question before and this turn together look up, where that is another answer than before, the
        entry that is nearest to the two, and its score."""
        shown = self.memory.shown
        if shown is None or not self.memory.about or not_covered(reading):
            return None, None, 0.0
        news = followups.LEAD.sub("", reading.stem).strip()
        figured = not shown.looked_up
        judged = shown.reply.verdict.stated if shown.reply.verdict else ""
        about = followups.without(self.memory.about, self.asker.read(self.memory.about), reading, figured, judged)
        puts_up = "?" if shown.reply.verdict and not news.endswith("?") else ""
        whole = self.asker.read(f"{about.rstrip('?.! ')} {news}{puts_up}")
        if ASKING_WORD.search(news):
            whole.form = reading.form  # it is no yes or no that is asked now
        told_facts = [f for f in reading.facts if figured or is_amount(f) or f.kind in PROPERTIES]
        near: Entry | None = None
        sure = 0.0
        if followups.words_left(reading, told_facts):
            near, sure = self.desk.nearest_with(whole, about, news, shown.entry)
        elif not figured:
            near = shown.entry  # bare facts are held against it
        if near is None:
            return None, None, sure
        found = self.desk.told_with(near, whole, news)
        if found is None or found.reply.headline == shown.reply.headline:
            return None, near, sure
        if found.reply.verdict and followups.amounts(reading) and near is not shown.entry:
            return None, near, sure
        told = found.settled and found.reply.verdict is None
        if shown.reply.verdict and told and not ASKING_WORD.search(news):
            return None, near, sure  # yes or no was asked, and is asked again of something else
        found.follows, found.sure = True, sure
        return found, near, sure

    def _lost(self, reading: Reading, followed: Outcome | None = None) -> Outcome:
        """Says what was not understood; what was still asked for stays asked."""
        if (trade := not_covered(reading)) and not reading.facts:
            return Outcome(self.desk.outside(reading, f"I do not cover {trade} yet."), lost=True)
        reply = followups.not_understood(reading, self.edition)
        before, now = self.last and self.last.candidate, followed and followed.candidate
        if followed is not None and followed.reply.missing and now and before and now.name == before.name:
            reply.missing = list(followed.reply.missing)
            reply.headline += f" {followed.reply.headline}"
        return Outcome(reply, lost=True)

    def _follows(self, reading: Reading) -> bool:
        """Whether a turn can only be a follow-up: a marker says so, or it holds bare facts that were asked for."""
        if reading.follow:
            return True
        asked = {m.input for m in self.last.reply.missing} if self.last else set()
        return (
            bool(asked)
            and not reading.asks
            and reading.form != "yes/no"
            and bool(reading.facts)
            and all(any(name in asked for name, _ in fact.inputs) for fact in reading.facts)
        )

    def _follow(self, reading: Reading, last: Outcome | None = None) -> Outcome:
        """A turn as it goes on with the last job, or with another."""
        last = last or self.last
        assert last is not None
        self._name_bare_numbers(reading)
        followups.answer_what_was_asked(reading, [m.input for m in last.reply.missing], self.book.inputs())
        said = last.candidate.bound if last.candidate else None
        stated = (
            said.stated[0] if said and said.stated else None
        )  # was held against the answer; it is no fact of the job
        old = [f for f in last.facts if said is None or stated is None or said.inputs.get(id(f)) != stated]
        typed = followups.amounts(reading)
        if stated and len(typed) == 1 and not reading.asks and said is not None:
            held = next(f for f in last.facts if said.inputs.get(id(f)) == stated)
            if typed[0].kind in (held.kind, "number"):  # it is held against the answer as the one before was
                typed[0].inputs, typed[0].kind, typed[0].unit = held.inputs, held.kind, held.unit
                typed[0].value = str(typed[0].value) if isinstance(held.value, str) else typed[0].value
                reading.form = "yes/no"
        old, joined = self._joined([_as_bound(f, said) for f in old], reading)
        usable = self.asker.chooser(self.edition).usable(last.candidate) if last.candidate else frozenset()
        facts = [*followups.kept(old, reading.facts, joined, usable), *reading.facts]
        outcome = self.desk.answer(reading, facts, last)
        fits = bool(reading.asks) or len(typed) != 1 or any(f is typed[0] for f in followups.used(outcome, reading))
        if not fits and self._takes_the_place(typed[0], old):
            facts = [*followups.kept(old, reading.facts, joined, usable), *reading.facts]
            outcome = self.desk.answer(reading, facts, last)
        outcome.follows = True
        used = outcome.candidate.bound.inputs if outcome.candidate else {}
        if typed and not reading.asks and not any(id(f) in used for f in reading.facts):
            return Outcome(followups.not_understood(reading, self.edition), lost=True)
        return outcome

    @staticmethod
    def _takes_the_place(fact: Fact, old: Sequence[Fact]) -> bool:
        """Whether an amount that fits nothing is taken for the one told before, of its kind or without a unit."""
        alike = {fact.kind, fact.unit} - {None}  # 2" may be another trade size, 150 V others to ground
        told = [f for f in old if is_amount(f) and (f.kind in alike or f.unit in alike or fact.text.isdigit())]
        if len(told) != 1 or told[0].inputs == fact.inputs or (fact.kind != told[0].kind == "wire_size"):
            return False
        fact.inputs, fact.unit, fact.kind = told[0].inputs, told[0].unit, told[0].kind
        fact.value = str(fact.value) if isinstance(told[0].value, str) else fact.value
        return True

    def _joined(self, old: list[Fact], reading: Reading) -> tuple[list[Fact], set[str]]:
        """In "and a receptacle" the new thing stands beside those of before: number them all. The facts of before, and
        the inputs that were joined."""
        inputs, joined = self.desk.book.inputs(), set()
        for name in {f.inputs[0][0] for f in reading.facts if f.inputs and inputs[f.inputs[0][0]].lists == "yes"}:
            before = [f for f in old if f.inputs and f.inputs[0][0] == name]
            news = [f for f in reading.facts if f.inputs and f.inputs[0][0] == name]
            word = reading.follow == "and" and not any(is_amount(f) for f in news)
            more = len(before) > 1 and any(followups.one_more(f, reading) for f in news)
            if before and (word or more or reading.follow == "add"):
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
        bare = [f for f in reading.facts if not f.inputs and f.kind in ("number", "how_many")]
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
        elif (factor := self._plain_number(bare[0])) is not None:
            names = [factor]
        elif alone and (alike := self._told_alike(bare[0], reading)) is not None:
            bare[0].inputs, bare[0].unit, bare[0].kind = alike.inputs, alike.unit, alike.kind
            bare[0].value = str(bare[0].value) if isinstance(alike.value, str) else bare[0].value
            return
        else:
            return
        for fact in bare if len(names) == 1 else ():
            fact.inputs, fact.unit = [(names[0], 0.5)], inputs[names[0]].unit
            fact.value = str(fact.value) if fact.unit == "size" else fact.value

    def _plain_number(self, fact: Fact) -> str | None:
        """The one input without a unit that a number such as 1.15 can fill."""
        assert self.last is not None
        if self.last.candidate is None or "." not in fact.text:
            return None
        inputs = self.book.inputs()
        names = [n for n in self.last.candidate.goal.prefers if inputs[n].unit == "number"]
        return names[0] if len(names) == 1 else None

    def _told_alike(self, fact: Fact, reading: Reading) -> Fact | None:
        """The one amount that was told before which a bare number can take the place of (what about 12, make it 40)."""
        assert self.last is not None
        if fact.kind == "number" and not fact.text[0].isdigit() and reading.follow in (None, "bare"):
            return None  # "two" alone may count anything
        sizes = set(self.book.table("wire_areas").printed_keys())
        kinds = ("count",) if fact.kind == "how_many" else self.asker.reader.binder.replaced_bare
        alike = [
            f
            for f in self.last.facts
            if f.kind in kinds or (fact.kind == "number" and f.kind == "wire_size" and str(f.value) in sizes)
        ]
        return alike[0] if len(alike) == 1 else None


def _as_bound(fact: Fact, bound: Bound | None) -> Fact:
    """A fact of before, as surely what it was taken for there."""
    name = bound.inputs.get(id(fact)) if bound else None
    if name is None or (fact.inputs and fact.inputs[0][0] == name) or "whole" in fact.more:
        return fact  # a part that stood for the whole is a part again where another is told
    return replace(fact, inputs=[(name, 1.0), *(told for told in fact.inputs if told[0] != name)])


def _counts(told: Sequence[Fact]) -> bool:
    """Whether the one number of a turn counts things: two of them, make it three; but not "make it 40"."""
    return len(told) == 1 and (told[0].kind == "how_many" or told[0].text.isalpha())


def _points_back(reading: Reading) -> bool:
    """Whether a question names nothing itself and speaks of what was named before (the rating of each)."""
    return (
        not reading.entities
        and not reading.facts
        and not POINTS_BACK.isdisjoint(reading.text.lower().rstrip("?.!").split())
    )


def _picked(reading: Reading, offered: Sequence[Outcome]) -> Outcome | None:
    """The reading that a bare number picks."""
    said = reading.text.strip().rstrip(".)")
    return offered[int(said) - 1] if said.isdigit() and 0 < int(said) <= len(offered) else None


def job_of(outcome: Outcome) -> str:
    """The subject of what was worked out."""
    return outcome.candidate.subject.name if outcome.candidate else ""

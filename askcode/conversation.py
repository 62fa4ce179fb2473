"""A conversation: what is carried from turn to turn, and what a follow-up means."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from askcode import followups, settings
from askcode.askback import ACTS, Before, key_says, which_edition
from askcode.asker import EDITIONS, LONGEST
from askcode.choose import ENTRY_SCALE, is_amount
from askcode.core.errors import listed
from askcode.core.replies import Missing, Next, Read, Reply
from askcode.desk import Desk, Outcome, entity
from askcode.lookup import ASKING_WORD
from askcode.measures import numbers
from askcode.rulebase.book import Book, Entry
from askcode.settings import Settings

if TYPE_CHECKING:
    from askcode.asker import Asker
    from parsers import Ask, Fact, Reading

LONGEST_ASIDE = 10  # words; a longer turn is a question, whatever it holds
LONGEST_NOUN = 2  # words; such a turn only names something
LONGEST_WORD = 4  # words; what such a turn asks hangs on each of them
LEAST_TOLD = 2  # amounts that make a turn of bare facts a whole question
COUNTING = ("fewer", "more", "so-many", "one-of-them")  # turns that say how many of the like things there are
PROPERTIES = ("metal", "phases", "insulation", "device_type")  # kinds of words that tell a property of something
GOES_ON = ("what-about", "same-at", "no")  # marks of a turn that can only go on with the one before
MOST_THINGS = 20  # of one kind, in a follow-up that counts them
MOST_EARLIER = 4  # jobs that are kept to go back to


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
        self._hear_an_answer(reading)
        outcome = self._settle(reading)
        if together := followups.asked_together(reading):
            if not outcome.settled:
                first = self._settle(replace(reading, asks=together[:1]))
                outcome = first if first.settled else outcome
            self._name_the_others(outcome, reading, together)
        outcome.reply.question = text
        self._show_reading(outcome, reading)
        self._remember(outcome, reading)
        return outcome.reply

    def _hear_an_answer(self, reading: Reading) -> None:
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

    def _name_the_others(self, outcome: Outcome, reading: Reading, others: Sequence[Ask]) -> None:
        """Say what else was asked in the same breath, and how to get it."""
        if outcome.candidate is None or not others or outcome.lost:
            return
        left: list[Next] = []
        for ask in others:
            chooser = self.asker.chooser(self.edition)
            asking = replace(reading, asks=[ask], facts=[])
            goals = [c for c in chooser.candidates(asking, outcome.facts, outcome.candidate) if c.asked]
            if ask.name not in outcome.candidate.goal.asks and goals and goals[0].name != outcome.candidate.name:
                left.append(Next(goals[0].goal.say or goals[0].goal.title, goals[0].name))
        if left:
            says = listed([f"“{n.say}”" for n in left])
            outcome.reply.notes.insert(0, f"This is {outcome.candidate.goal.title} only; say {says} for the rest.")
            named = {n.quantity for n in left}
            outcome.reply.next = [*left, *(n for n in outcome.reply.next if n.quantity not in named)]

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
        if outcome.lost:
            return  # nothing was understood; the talk goes on where it was
        was = self.memory
        self.past.append(was)
        last, carried, earlier = was.last, was.carried, was.earlier
        about = was.about if outcome.follows else reading.stem
        if outcome.looked_up and not outcome.follows and was.about and len(reading.words) <= LONGEST_NOUN:
            about = f"{was.about.rstrip('?.! ')} {reading.stem}"  # so short a turn is not all that the talk is about
        if outcome.candidate is not None:
            if was.last is not None and was.last.candidate is not None and not outcome.follows:
                earlier = (was.last, *(o for o in earlier if _job(o) != _job(was.last)))
            earlier = tuple(o for o in earlier if _job(o) != _job(outcome))[:MOST_EARLIER]
            last, carried = outcome, [fact for fact in outcome.reply.read if fact.input]
        self.memory = Memory(last, outcome, reading, carried, earlier, about)

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
        if reading.edition and reading.edition not in EDITIONS:
            line = f"I have the {listed(list(EDITIONS))} editions, and not {reading.edition}. Ask it of one of those."
            missing = [Missing("edition", line, choices=list(EDITIONS))]
            return Reply(reading.text, "incomplete", self.edition, line, missing=missing)
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
        asked = bool(reading.asks) and act != "dont-know"
        if act is None or reading.facts or asked or reading.options or len(reading.words) > LONGEST_ASIDE:
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
        if act == "thanks" and not followups.words_left(reading, []):
            line = "What is next? What was said so far still holds." if shown else "What is the question?"
            return Reply(reading.text, "incomplete", self.edition, line)
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
        if self.last is not None and (again := self._recounted(reading)) is not None:
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
            return Outcome(
                self.desk.outside(reading, "That points back at something, and I cannot tell at what; name it and ask.")
            )
        if shown is not None and shown.hazard and not fresh.settled and len(reading.words) <= LONGEST_ASIDE:
            return Outcome(self.desk.hazard(reading, shown.hazard), hazard=shown.hazard)  # it goes on about that
        if shown is not None and (behind := self._behind_look_up(reading, fresh)) is not None:
            return behind
        if shown is not None and fresh.reply.status == "outside" and not entity(reading, "uncovered"):
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
            return followed if understood and followed.settled and (news or reading.asks) else fresh
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
        if strange or (fresh.candidate is None and len(reading.words) <= LONGEST_ASIDE and not understood):
            return self._looked_up_with(reading)[0] or self._lost(reading, followed)
        return fresh

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
        if not of_it or _job(outcome) != _job(job):
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
        if len({(f.value, f.unit) for f in things}) > 1 or not 0 < count <= MOST_THINGS:
            said = listed([f.text for f in things], "or")
            line = f"Which of them: {said}? Say the motors that are left." if count else "Then nothing is left."
            missing = [Missing("question", line)]
            return Outcome(Reply(reading.text, "incomplete", self.edition, line, missing=missing), lost=True)
        kind = inputs[things[0].inputs[0][0]].thing
        alike = {name for name, declared in inputs.items() if declared.thing == kind}
        facts = [*followups.recounted(self.last.facts, things, count, alike), *told]
        outcome = self.desk.answer(replace(reading, facts=told), facts, self.last)
        outcome.follows = True
        outcome.reply.notes.insert(0, f"Taken for {count} × {things[0].text}.")
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
            return self._with_facts_of(shown, reading, fresh)
        found, near, sure = self._looked_up_with(reading)
        if fresh is None or figured or not fresh.settled:
            if found is not None:
                return found
        elif near is not None and fresh.entry is not None and near.id == fresh.entry.id:
            if found is not None or fresh.reply.headline == shown.reply.headline:
                return found or self._lost(reading)
            fresh.follows = True  # the two together say the same, so the talk goes on about it
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
        if shown is None or not self.memory.about or entity(reading, "uncovered"):
            return None, None, 0.0
        news = followups.LEAD.sub("", reading.text).strip()
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
        if (trade := entity(reading, "uncovered")) and not reading.facts:
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
        old, joined = self._joined(old, reading)
        usable = self.asker.chooser(self.edition).usable(last.candidate) if last.candidate else frozenset()
        facts = [*followups.kept(old, reading.facts, joined, usable), *reading.facts]
        outcome = self.desk.answer(reading, facts, last)
        fits = bool(reading.asks) or len(typed) != 1 or bool(followups.used(outcome, reading))
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
        told = [f for f in old if is_amount(f) and (f.kind == fact.kind or fact.text.isdigit())]
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
        """The one input without a unit that is not yet told and that a number such as 1.15 can fill."""
        assert self.last is not None
        if self.last.candidate is None or "." not in fact.text:
            return None
        inputs, bound = self.book.inputs(), self.last.candidate.bound.inputs.values()
        names = [n for n in self.last.candidate.goal.prefers if inputs[n].unit == "number" and n not in bound]
        return names[0] if len(names) == 1 else None

    def _told_alike(self, fact: Fact, reading: Reading) -> Fact | None:
        """The one amount that was told before which a bare number can take the place of (what about 12, make it 40)."""
        assert self.last is not None
        if fact.kind == "number" and not fact.text[0].isdigit() and reading.follow in (None, "bare"):
            return None  # "two" alone may count anything
        sizes = set(self.book.table("wire_areas").printed_keys())
        kinds = ("count",) if fact.kind == "how_many" else ("current", "horsepower", "count")
        alike = [
            f
            for f in self.last.facts
            if f.kind in kinds or (fact.kind == "number" and f.kind == "wire_size" and str(f.value) in sizes)
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


def _counts(told: Sequence[Fact]) -> bool:
    """Whether the one number of a turn counts things: two of them, make it three; but not "make it 40"."""
    return len(told) == 1 and (told[0].kind == "how_many" or told[0].text.isalpha())


def _job(outcome: Outcome) -> str:
    """The subject of what was worked out."""
    return outcome.candidate.subject.name if outcome.candidate else ""


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

"""A conversation: what is carried from turn to turn, and what a follow-up means."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from askcode import followups, settings
from askcode.askback import ACTS, Before, key_says, which_edition
from askcode.asker import EDITIONS, LONGEST
from askcode.choose import ENTRY_SCALE
from askcode.core.errors import listed
from askcode.core.replies import Missing, Next, Read, Reply
from askcode.desk import Desk, Outcome, entity
from askcode.following import LONGEST_ASIDE, LONGEST_NOUN, Following, Memory, job_of
from askcode.rulebase.book import Book
from askcode.settings import Settings

if TYPE_CHECKING:
    from askcode.asker import Asker
    from parsers import Ask, Fact, Reading

MOST_EARLIER = 4  # jobs that are kept to go back to


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
    def following(self) -> Following:
        """What makes of a turn a follow-up, with what is remembered now."""
        return Following(self.asker, self.desk, self.memory)

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
        self.following.hear_an_answer(reading)
        if together := followups.asked_together(reading):
            outcome = self._each_of(together, reading)
        else:
            outcome = self.following.answer(reading)
        outcome.reply.question = text
        self._show_reading(outcome, reading)
        self._remember(outcome, reading)
        return outcome.reply

    def _each_of(self, asks: Sequence[Ask], reading: Reading) -> Outcome:
        """What was asked together: one answer, with those to the others in its notes, and how to get what is left."""
        whole = self.following.answer(reading)
        found = {ask.name: self.following.answer(replace(reading, asks=[ask])) for ask in asks}
        told = {name: one for name, one in found.items() if one.settled and one.candidate and not one.lost}
        told = {name: one for name, one in told.items() if one.candidate and name in one.candidate.goal.asks}
        first = whole if whole.settled or not told else next(iter(told.values()))
        self._name_the_others(first, reading, [ask for ask in asks if ask.name not in told])
        headlines = {first.reply.headline}
        for at, other in enumerate(told.values()):
            if other.candidate and other.reply.headline not in headlines:
                headlines.add(other.reply.headline)
                goal = other.candidate.goal
                first.reply.notes.insert(at, f"{(goal.say or goal.title).capitalize()}: {other.reply.headline}")
        return first

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
            outcome.reply.notes.insert(0, f"For the rest say {says}.")
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
                earlier = (was.last, *(o for o in earlier if job_of(o) != job_of(was.last)))
            earlier = tuple(o for o in earlier if job_of(o) != job_of(outcome))[:MOST_EARLIER]
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
        outcome = self.following.answer(before)
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


def _letter(reading: Reading, before: Reading) -> str | None:
    """The letter of one of the options before that a short turn names last."""
    letters = {o.letter for o in before.options}
    said = [w for w in reading.text.lower().replace(")", " ").replace("(", " ").rstrip("?.!").split() if w in letters]
    return said[-1] if said and len(reading.words) <= LONGEST_ASIDE else None


def _only_edition(reading: Reading) -> bool:
    """Whether a turn names an edition and nothing else: the question before is asked again there."""
    return (
        bool(reading.edition)
        and all(f.kind == "edition" for f in reading.facts)
        and not reading.asks
        and len(reading.words) < 9
        and not any(e.kind in ("topic", "place", "equipment") for e in reading.entities)
    )

"""A conversation: what is carried from turn to turn, and what a follow-up means."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from askcode.answer import answer
from askcode.askback import ACTS, Before, key_says, which_edition
from askcode.asker import EDITIONS, LONGEST
from askcode.choose import CLOSE, ENOUGH, ENTRY_SCALE, Candidate, is_amount
from askcode.core.derive import Derivation, derive
from askcode.core.errors import listed
from askcode.core.replies import Missing, Read, Reply
from askcode.core.replies import Reading as ReadingOffered
from askcode.lookup import SMALL, counted, look_up, outside
from askcode.measures import Measure, numbers, of_fact, spelled
from askcode.rulebase.book import Book, Entry
from askcode.rulebase.search import CERTAIN, CONFIDENT, Hit, tokens
from askcode.rulebase.search import CLOSE as ENTRIES_CLOSE

if TYPE_CHECKING:
    from askcode.asker import Asker
    from parsers import Fact, Reading

CALCULATED_FORMS = ("definition", "where", "which-not")  # forms that ask for words, not for a value
VALUE_FORMS = ("what", "how-many", "statement")  # forms that ask for a value
LEAST_WORDS = 2  # telling words that a question needs to be looked up
LONGEST_ASIDE = 10  # words; a longer turn is a question, whatever it holds
ENTRIES_NEAR = 0.12  # how far below the best an entry may be that decides where the best does not
COUNTED = 0.08  # what it is worth to an entry that its title names what the question counts
HEAVY = {
    "length",
    "area",
    "power",
    "apparent_power",
    "percent",
    "volume",
    "sets",
    "trade_size",
    "resistance",
    "power_factor",
    "money",
}


@dataclass(slots=True)
class Outcome:
    """A reply with what it leaves for the next turn."""

    reply: Reply
    candidate: Candidate | None = None
    derivation: Derivation | None = None
    facts: Sequence[Fact] = ()
    offered: Sequence[Outcome] = ()  # the readings that were offered, to be picked by number or by a fact

    @property
    def settled(self) -> bool:
        return self.reply.status == "answered"


@dataclass(slots=True)
class Memory:
    """What is kept from turn to turn."""

    last: Outcome | None = None  # the last that was worked out (or asked to be)
    shown: Outcome | None = None  # the last of any kind
    before: Reading | None = None  # the reading of the turn before
    carried: list[Read] = field(default_factory=list)


class Conversation:
    """Carries facts and the last goal. A question of its own inherits nothing; a follow-up inherits what it can use."""

    def __init__(self, asker: Asker, edition: str):
        self.asker = asker
        self.edition = edition
        self.start_over()

    def start_over(self) -> None:
        """Forget everything but the edition."""
        self.memory = Memory()
        self.past: list[Memory] = []

    @property
    def book(self) -> Book:
        return self.asker.book(self.edition)

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
            reading = self.memory.before
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
            f"{rank * ENTRY_SCALE:5.1f}  entry {hit.entry_id}: like “{hit.row}”" for hit, rank in self._hits(reading)
        ]
        return lines

    def _remember(self, outcome: Outcome, reading: Reading) -> None:
        self.past.append(self.memory)
        last, carried = self.memory.last, self.memory.carried
        if outcome.candidate is not None:
            last, carried = outcome, [fact for fact in outcome.reply.read if fact.input]
        self.memory = Memory(last, outcome, reading, carried)

    # --- a turn that steers the talk or asks back ---
    def _steer(self, reading: Reading) -> Reply | None:
        """The reply to a turn that is about the conversation itself, or None."""
        act, shown = _entity(reading, "turn"), self.memory.shown
        if (place := _entity(reading, "jurisdiction")) and not reading.asks and not reading.edition:
            return which_edition(place, EDITIONS, reading.text, self.edition)
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
        if _entity(reading, "turn") == "why":  # "why not #12" holds #12 against the answer; it does not deny it
            for fact in reading.facts:
                fact.negated = False
        if trade := _entity(reading, "hazard"):
            return Outcome(self._hazard(reading, trade))
        if (trade := _entity(reading, "outside_trade")) and not self._known_well(reading):
            return Outcome(self._outside(reading, f"That is about {trade}, which is outside what this tool answers."))
        if (picked := _picked(reading, self.memory.shown.offered if self.memory.shown else ())) is not None:
            return picked
        if self.last is not None and self._follows(reading):
            return self._follow(reading)
        if reading.follow and self.memory.shown is not None and self.memory.shown.reply.status == "outside":
            return Outcome(self._outside(reading, "That follows on something I could not answer; ask it as a whole."))
        fresh = self._answer(reading, reading.facts, None)
        looked_up = fresh.candidate is None  # a short turn behind a calculation more likely goes on with it
        if self.last is None or (fresh.settled and not (looked_up and len(reading.words) <= LONGEST_ASIDE)):
            return fresh
        followed = self._follow(reading)
        if fresh.settled:
            bound = followed.candidate.bound.inputs if followed.candidate else {}
            news = any(id(f) in bound for f in reading.facts)
            return followed if followed.settled and (news or reading.asks) else fresh
        if followed.settled or (fresh.candidate is None and followed.reply.status == "incomplete"):
            return followed
        return fresh

    def _known_well(self, reading: Reading) -> bool:
        """Whether an entry fits a question so well that a word of another trade in it does not matter."""
        hits = self._hits(reading)
        return bool(hits) and hits[0][0].score >= CONFIDENT + ENTRIES_NEAR

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
        outcome = self._answer(reading, [*_kept(old, reading.facts), *reading.facts], self.last)
        typed = [f for f in reading.facts if is_amount(f)]
        used = outcome.candidate.bound.inputs if outcome.candidate else {}
        if typed and not reading.asks and not any(id(f) in used for f in reading.facts):
            line = f"I do not know what {listed([f.text for f in typed])} should be there; say it with its unit."
            return Outcome(Reply(reading.text, "incomplete", self.edition, line, missing=[Missing("question", line)]))
        return outcome

    def _name_bare_numbers(self, reading: Reading) -> None:
        """A bare number answers the one question that was asked, takes the place of a like one that was told, or is
        held against the answer that was given."""
        assert self.last is not None
        bare = [f for f in reading.facts if not f.inputs and f.kind == "number"]
        if len(bare) != 1:
            return
        inputs, reply = self.book.inputs(), self.last.reply
        if reply.missing:
            names = [
                m.input for m in reply.missing if (i := inputs.get(m.input)) and i.unit not in ("choice", "yes/no")
            ]
        elif reading.follow and (alike := self._told_alike(bare[0])):
            bare[0].inputs, bare[0].value, bare[0].unit, bare[0].kind = (
                alike.inputs,
                str(bare[0].value),
                None,
                alike.kind,
            )
            return
        else:
            quantity = self.last.candidate.goal.quantity if self.last.candidate else ""
            names = [
                n
                for n, i in inputs.items()
                if quantity in ([i.states] if isinstance(i.states, str) else i.states or [])
            ]
        for fact in bare if len(names) == 1 else ():
            fact.inputs, fact.unit = [(names[0], 0.5)], inputs[names[0]].unit
            fact.value = str(fact.value) if fact.unit == "size" else fact.value

    def _told_alike(self, fact: Fact) -> Fact | None:
        """The one wire size that was told before, where a bare number could be another."""
        assert self.last is not None
        sizes = [f for f in self.last.facts if f.kind == "wire_size"]
        return sizes[0] if len(sizes) == 1 and str(fact.value) in self.book.table("wire_areas").printed_keys() else None

    # --- choosing ---
    def _answer(self, reading: Reading, facts: Sequence[Fact], last: Outcome | None) -> Outcome:
        uncovered = _entity(reading, "uncovered")
        goals = self._goals(reading, facts, last, uncovered)
        best = goals[0] if goals else None
        left = best is not None and any(is_amount(f) for f in best.bound.left)
        # no entry could score higher, facts alone were told, or a value was asked for in so many words
        sure = best is not None and (
            last is not None
            or best.score > ENTRY_SCALE
            or not _asks_in_words(reading)
            or (best.bound.stated is not None and reading.form == "yes/no" and not left)
            or (best.asked and bool(best.bound.used) and not reading.options and reading.form in VALUE_FORMS)
        )
        entry = None if sure else self._entry(reading, goals, uncovered)
        if entry is not None and (best is None or entry[1] * ENTRY_SCALE > best.score):
            return entry[0]
        if best is None:
            return Outcome(self._nothing(reading, uncovered))
        if heavy := [f.text for f in best.bound.left if f.kind in HEAVY and f in reading.facts]:
            return Outcome(self._nothing(reading, uncovered or f"questions with {listed(heavy)}"))
        made = self._derive(reading, best, facts, last)
        rivals = [c for c in goals[1:4] if best.score - c.score < CLOSE and c.goal.quantity != best.goal.quantity]
        if last is None and rivals and not made.settled:
            outcomes = [made, *(self._derive(reading, c, facts, last) for c in rivals)]
            settled = [o for o in outcomes if o.settled]
            return settled[0] if len(settled) == 1 else self._offer(reading, outcomes)
        return made

    def _goals(
        self, reading: Reading, facts: Sequence[Fact], last: Outcome | None, uncovered: str | None
    ) -> list[Candidate]:
        """The goals that the question may be for, best first."""
        before = last.candidate if last else None
        ranked = self.asker.chooser(self.edition).candidates(reading, facts, before)
        if last is not None and before is not None:
            if offered := {o.candidate.name for o in last.offered if o.candidate}:
                among = [c for c in ranked if c.name in offered]
                return sorted(among, key=lambda c: len(c.bound.left) - len(c.bound.used))
            asked = bool(reading.asks) or _entity(reading, "weak_ask") is not None
            if not asked:
                news = {id(f) for f in reading.facts if f.kind in HEAVY}
                ranked.sort(key=lambda c: (any(id(f) in news for f in c.bound.left), c.name != before.name, -c.score))
            return [c for c in ranked if (c.score >= ENOUGH and c.wanted) or c.name == before.name]
        goals = [c for c in ranked if c.score >= ENOUGH and c.wanted]
        if uncovered:  # a word of a topic not covered yet, beside all that a calculation needs, is no more than a word
            return [c for c in goals if len(c.bound.used) > 2 and not c.bound.left and reading.asks]
        if reading.form in CALCULATED_FORMS:
            return [c for c in goals if len(c.bound.used) > 1]
        return goals

    def _derive(self, reading: Reading, candidate: Candidate, facts: Sequence[Fact], last: Outcome | None) -> Outcome:
        c = candidate
        derivation = derive(c.subject, c.goal.quantity, c.bound.facts, self.book)
        stated = c.bound.stated
        if stated is None and c.goal.against:  # what is there may have to be worked out too
            there = derive(c.subject, c.goal.against, c.bound.facts, self.book)
            stated = (c.goal.against, there.value) if there.root.known else None
            derivation = there if there.root.problem else derivation
        options = [(o.letter, o.text) for o in reading.options]
        before = last.derivation if last is not None and last.settled else None
        reply = answer(reading.text, c.goal, derivation, self.book, stated=stated, options=options, before=before)
        typed = {id(f) for f in reading.facts}
        if unused := [f.text for f in c.bound.left if id(f) in typed and f.kind != "edition"]:
            reply.notes.append(f"Not used: {listed(unused)}.")
        return Outcome(reply, c, derivation, facts)

    def _offer(self, reading: Reading, outcomes: list[Outcome]) -> Outcome:
        titles = [o.candidate.goal.title for o in outcomes if o.candidate]
        reply = Reply(reading.text, "ambiguous", self.edition, f"Which is meant: {listed(titles, 'or')}?")
        reply.readings = [ReadingOffered(o.candidate.goal.title, o.reply.headline) for o in outcomes if o.candidate]
        seen: dict[str, Missing] = {}
        for outcome in outcomes:
            for need in outcome.reply.missing:
                seen.setdefault(need.input, need)
        reply.missing = list(seen.values())
        return Outcome(reply, outcomes[0].candidate, None, outcomes[0].facts, outcomes)

    # --- look-ups ---
    def _entry(
        self, reading: Reading, goals: Sequence[Candidate], uncovered: str | None
    ) -> tuple[Outcome, float] | None:
        """The entry that answers, with its score. What a calculation that is asked for rests on does not answer in its
        place, and an entry that knows nothing of the amounts named is no answer to a question about them."""
        roads = self.asker.chooser(self.edition).roads
        figured = {cite for c in goals for cite in roads(c.subject, c.goal.quantity).cites}
        options = [(o.letter, o.text) for o in reading.options]
        amounts = any(is_amount(f) for f in reading.facts)
        words = reading.form in ("yes/no", *CALCULATED_FORMS)
        enough = CONFIDENT if words or options or not (uncovered or reading.asks) else CERTAIN
        found: list[tuple[Reply, float]] = []
        hits = self._hits(reading)
        near = ENTRIES_CLOSE if not (words or options) else ENTRIES_NEAR
        for hit, rank in hits:
            if hits[0][1] - rank >= near:
                break
            entry = self.book.entry(hit.entry_id)
            strange = _strange(reading, entry)
            told = words or options or not any(c.asked for c in goals)
            if hit.score < enough or not entry.exists or (hit.entry_id in figured and not told):
                continue
            if options and strange and hit.score < CERTAIN:
                continue
            if reading.form == "how-many" and not options and not any(c.isdigit() for c in spelled(entry.answer)):
                continue  # a count is asked for and the entry tells none
            if not (words or options) and (len(strange) > 1 or (uncovered and amounts)):
                continue
            reply = look_up(reading.text, reading.stem, reading.form, entry, self.book, options, _stated(reading.facts))
            if reply is not None:
                found.append((reply, rank))
        if expected := [f for f in found if f[0].mistake]:  # it knows the tempting answer that was named
            found = expected[:1]
        if len(found) > 1 and not found[0][0].option and found[0][0].verdict is None:
            return self._offer_entries(reading, found)
        return (Outcome(found[0][0], facts=reading.facts), found[0][1]) if found else None

    def _hits(self, reading: Reading) -> list[tuple[Hit, float]]:
        """The nearest entries with their rank; one whose title names what is counted (how many …) stands nearer."""
        if len(set(tokens(" ".join(reading.words))) - SMALL) < LEAST_WORDS:
            return []
        things = counted(reading.words)
        hits = []
        for hit in self.book.search(list(reading.words), 4):
            names_it = bool(things) and bool(things & set(tokens(self.book.entry(hit.entry_id).title)))
            hits.append((hit, hit.score + COUNTED * names_it))
        return sorted(hits, key=lambda h: -h[1])[:3]

    def _offer_entries(self, reading: Reading, found: list[tuple[Reply, float]]) -> tuple[Outcome, float]:
        titles = [reply.references[0].title for reply, _ in found]
        reply = Reply(reading.text, "ambiguous", self.edition, f"Which is meant: {listed(titles, 'or')}?")
        reply.readings = [ReadingOffered(r.references[0].title, r.headline) for r, _ in found]
        offered = [Outcome(r, facts=reading.facts) for r, _ in found]
        return Outcome(reply, facts=reading.facts, offered=offered), found[0][1]

    # --- what is not covered ---
    def _nothing(self, reading: Reading, uncovered: str | None) -> Reply:
        if uncovered:
            return self._outside(reading, f"I do not cover {uncovered} yet.")
        return self._outside(reading, "I do not know that one; I found nothing in my rules that fits well enough.")

    def _outside(self, reading: Reading, line: str) -> Reply:
        titles = list({g.subject: g.title for g in reversed(self.book.goals().values())}.values())[::-1]
        notes = [f"I can work out {listed(titles[:6])}, and look up rules on grounding, receptacles, GFCI and more."]
        return outside(reading.text, self.book, line, notes)

    def _hazard(self, reading: Reading, name: str) -> Reply:
        reply = self._outside(reading, f"This is dangerous ({name}) and not something to do from an answer here.")
        try:
            reply.cautions = [self.book.caution(name.replace(" ", "-"))]
        except KeyError:
            reply.cautions = [self.book.caution("live-work")]
        return reply

    # --- what was read ---
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
        if reading.mends:
            mended = [f"“{was}” as “{read}”" for was, read in reading.mends]
            reply.notes.append(f"Read {listed(mended)}.")


def _strange(reading: Reading, entry: Entry) -> set[str]:
    """The amounts of a question that an entry says nothing of."""
    known = set(numbers(" ".join([*entry.asked_as, *entry.values.values(), entry.answer, entry.says])))
    asked = (f.text for f in reading.facts if not f.negated and f.kind not in ("sets", "edition"))
    return {text for text in asked if numbers(text) and not known.issuperset(numbers(text))}


def _value(fact: Fact) -> str:
    """The value as a reader takes it: what is neither amount nor word is told as it was typed (#10, single-phase)."""
    if fact.unit is None and not str(fact.value).replace("-", "").isalpha():
        return fact.text
    text = f"{fact.value:g}" if isinstance(fact.value, float) else str(fact.value)
    return f"{text} {fact.unit}" if fact.unit not in (None, "size", "choice", "yes/no", "count", "number") else text


def _entity(reading: Reading, kind: str) -> str | None:
    return next((e.name for e in reading.entities if e.kind == kind), None)


def _asks_in_words(reading: Reading) -> bool:
    """Whether a question asks for something in words, rather than telling bare facts."""
    return bool(reading.asks) or reading.form != "statement" or _entity(reading, "weak_ask") is not None


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


def _kept(old: Sequence[Fact], new: Sequence[Fact]) -> list[Fact]:
    """The facts of before that no new one replaces."""
    replaced = {(f.inputs[0][0], f.thing) for f in new if f.inputs}
    listed_anew = {f.inputs[0][0] for f in new if f.inputs and f.thing is not None}
    kinds = {f.kind for f in new if f.thing is None}
    return [
        f
        for f in old
        if f.inputs
        and (f.inputs[0][0], f.thing) not in replaced
        and f.inputs[0][0] not in listed_anew
        and not (f.kind in kinds and any(f.inputs[0][0] in dict(n.inputs) for n in new if n.kind == f.kind))
    ]


def _stated(facts: Sequence[Fact]) -> Measure | None:
    """The one amount that a question states, if it states just one."""
    amounts = [of_fact(f.value, f.unit) for f in facts if f.kind in ("length", "current", "count", "wire_size")]
    return amounts[0] if len(amounts) == 1 else None

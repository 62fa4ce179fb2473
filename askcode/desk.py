"""One reading, answered: by what it asks to be worked out, by an entry, by offering both, or not at all."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from askcode import followups
from askcode.answer import answer
from askcode.choose import CLOSE, ENOUGH, ENTRY_SCALE, Candidate, is_amount
from askcode.core.derive import Derivation, derive
from askcode.core.errors import listed
from askcode.core.replies import Missing, Reply
from askcode.core.replies import Reading as ReadingOffered
from askcode.core.rules import UNITS
from askcode.doubts import doubted
from askcode.lookup import (
    ASKING_WORD,
    WHERE,
    asks_length,
    asks_number,
    asks_place,
    counted,
    look_up,
    outside,
    tells_count,
)
from askcode.measures import INCHES, Measure, measure, numbers, of_fact
from askcode.rulebase.book import Book, Entry
from askcode.rulebase.search import CERTAIN, CONFIDENT, Hit, tokens
from askcode.rulebase.search import CLOSE as ENTRIES_CLOSE
from askcode.verdicts import SMALL, another_amount, on_subject

if TYPE_CHECKING:
    from askcode.asker import Asker
    from parsers import Fact, Reading

CALCULATED_FORMS = ("definition", "where", "which-not")  # forms that ask for words, not for a value
VALUE_FORMS = ("what", "how-many", "statement")  # forms that ask for a value
LEAST_WORDS = 2  # telling words that a question needs to be looked up
ENTRIES_NEAR = 0.12  # how far below the best an entry may be that decides where the best does not
TITLE_CLEARLY = 0.2  # how much more of its title must be said before one of two close entries is taken
# how much of a short turn, and of it with the question before, an entry may leave over that answers the two together
NEWS_LEFT, WHOLE_LEFT = 0.5, 0.4
FAR_BEHIND, HALF = 0.12, 0.5  # of the rule of before another stands too far; of a turn's words a verdict must name half
COMPARED = re.compile(r"\b(?:than|past|beyond|exceed\w*)\b", re.I)  # words that may turn a verdict round
# the score that an entry needs to answer a turn behind a calculation, where it is the nearest to the two, and where not
NEAREST_BEHIND_A_JOB, BEHIND_A_JOB = 0.46, 0.55
TIED = 0.1  # two goals nearer than this are equally likely
MOST_SUBJECTS = 4  # that are named of those that rules can be looked up on
ENOUGH_NAMED = 2.0  # a goal of which nothing but the name was said needs no more than that
HARDLY, MOST_LEFT = 0.52, 0.35  # below that score no yes or no where more of the question than this is left over
FAIR, APART = 0.4, 0.09  # a lower score is enough where the next entry is so far below
COUNTED = 0.08  # what it is worth to an entry that its title names what the question counts
PLAINLY = 0.65  # evidence from which an amount plainly is a certain input
AMOUNTS = (*INCHES, "A", "V", "VA", "W", "size", "hp", "Ω")  # units in which an amount is told
CIRCUIT = ("voltage", "current")  # of which an answer that tells a limit may be for another circuit
RATE = re.compile(r"\b(?:each|every|per) \d")  # an answer that tells a rate and no count
# kinds that people tell whether they matter or not
CONTEXT = ("voltage", "voltage_to_ground", "phases", "edition", "trade_size")
# kinds of amounts that no answer may pass over
HEAVY = {
    "length",
    "area",
    "power",
    "apparent_power",
    "percent",
    "volume",
    "sets",
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
    entry: Entry | None = None  # what was looked up
    offered: Sequence[Outcome] = ()  # the readings that were offered, to be picked by number or by a fact
    sure: float = 0.0  # the score of what was looked up
    follows: bool = False  # whether it went on with what was said before
    hazard: str = ""  # what is dangerous in what was asked
    lost: bool = False  # whether a turn was not understood, so that the talk stays where it was

    @property
    def looked_up(self) -> bool:
        """Whether it is an entry, or offers some."""
        return self.entry is not None or (self.candidate is None and bool(self.offered))

    @property
    def settled(self) -> bool:
        return self.reply.status == "answered"


class Desk:
    """Answers readings in one edition; knows nothing of what was said before but what it is handed."""

    def __init__(self, asker: Asker, edition: str, settings: Mapping[str, str]):
        self.asker = asker
        self.edition = edition
        self.book: Book = asker.book(edition, settings)

    def answer(self, reading: Reading, facts: Sequence[Fact], last: Outcome | None) -> Outcome:
        uncovered = not_covered(reading)
        goals = self._goals(reading, facts, last, uncovered)
        if last is None:
            goals = [c for c in goals if _may_answer(c, reading)]
        best = goals[0] if goals else None
        entry = (
            None
            if best and self._settled_without_words(best, reading, last)
            else self._entry(reading, goals, uncovered)
        )
        if best is not None and best.asked and prompts(reading, best.goal.topics):
            entry = None  # no rule is asked for, but the value: all that it needs is asked
        if entry is not None and best is not None and self._asks_value(best, reading):
            # only an entry that tells a value of the kind that was asked for may answer
            told = entry[0].entry
            if entry[1] < CERTAIN or not tells_like(told, best.goal.quantity) or self._left_of_ask(reading, told):
                entry = None
            elif not self._can(best):  # better told than asked on
                return entry[0]
        if entry is not None and (best is None or entry[1] * ENTRY_SCALE > best.score or self._bare(best, entry)):
            return entry[0]
        if best is None:
            return Outcome(self._nothing(reading, uncovered))
        if last is None and not best.asked and self._asks_unknown(reading):
            return Outcome(followups.not_understood(reading, self.edition), lost=True)
        if heavy := _heavy(best, reading):
            other = entry or self._entry(reading, goals, uncovered)
            if other and last is None and other[1] >= CERTAIN and tells_like(other[0].entry, best.goal.quantity):
                return other[0]  # it knows the amounts that the calculation has no use for
            return Outcome(self._nothing(reading, uncovered or f"questions with {listed(heavy)}"))
        made = self._derive(reading, best, facts, last)
        if last is None and reading.options and made.settled and not made.reply.option:
            # what was worked out is none of the options, so it is not what was asked for; another close goal may be
            alike = [c for c in goals[1:4] if best.score - c.score < CLOSE and c.asked and not _heavy(c, reading)]
            others = [o for o in (self._derive(reading, c, facts, last) for c in alike) if o.settled and o.reply.option]
            if len(others) == 1:
                return others[0]
            return entry[0] if entry else Outcome(self._nothing(reading, uncovered))
        judged = last is None and made.reply.verdict is not None
        if judged and (rival := self._as_likely(best, goals, reading, facts)):
            return self._offer(reading, [made, rival])
        if entry is not None and _differ(made.reply, entry[0].reply):
            return self._offer_entries(reading, [(made.reply, 0.0), (entry[0].reply, 0.0)])[0]
        near = [c for c in goals[1:4] if best.score - c.score < CLOSE and not _heavy(c, reading)]
        rivals = [c for c in near if c.goal.quantity != best.goal.quantity]
        if last is None and rivals and not made.settled:
            others = [self._derive(reading, c, facts, last) for c in rivals]
            outcomes = [made, *(o for o in others if not (prompts(reading) and _plainer(made, o)))]
            settled = [o for o in outcomes if o.settled]
            if len(settled) == 1:
                return settled[0]
            lacking = [{m.input for m in o.reply.missing} for o in outcomes]
            unlike = any(lack != lacking[0] for lack in lacking) or not lacking[0]
            if unlike and len(outcomes) > 1:  # else what all of them lack comes first
                return self._offer(reading, outcomes)
        return made

    def _as_likely(
        self, best: Candidate, goals: Sequence[Candidate], reading: Reading, facts: Sequence[Fact]
    ) -> Outcome | None:
        """Another goal as likely as the best, of another subject, that cannot be worked out yet: a breaker may be too
        large for the wire of a load and yet be that of a motor."""
        alike = [c for c in goals[1:3] if best.score - c.score < TIED and c.subject is not best.subject]
        worth = [c for c in alike if c.asked == best.asked and not _heavy(c, reading)]
        return next((o for c in worth if (o := self._derive(reading, c, facts, None)).reply.missing), None)

    def _asks_unknown(self, reading: Reading) -> bool:
        """Whether what is asked for is a word that was not understood: "whats the max brker size"."""
        sizes = self.asker.reader.binder.sizes
        named = any(e.kind in ("ask", "weak_ask") and e.text.lower() not in sizes for e in reading.entities)
        return bool(reading.unread) and not named and ASKING_WORD.search(reading.stem) is not None

    def _settled_without_words(self, best: Candidate, reading: Reading, last: Outcome | None) -> bool:
        """Whether a goal answers whatever the entries say: behind an answer, where no entry could score higher, where
        bare facts were told, or where what was asked for (or is to be judged) can be worked out."""
        if reading.unread and last is None:
            return False  # a word that was not understood may be the point of the question
        if last is not None or best.score > ENTRY_SCALE or not _asks_in_words(reading):
            return True
        judged = best.bound.stated is not None and reading.form == "yes/no"
        if judged and any(is_amount(f) for f in best.bound.left):
            return False
        return (judged or self._asks_value(best, reading)) and self._can(best)

    def _left_of_ask(self, reading: Reading, entry: Entry | None) -> bool:
        """Whether an entry says too little of the words that ask: what it tells is of something else."""
        return entry is not None and any(self.book.left_over(entry.id, ask.text) > MOST_LEFT for ask in reading.asks)

    @staticmethod
    def _asks_value(best: Candidate, reading: Reading) -> bool:
        """Whether the value of a goal is asked for in so many words, with some of what it needs."""
        return best.asked and bool(best.bound.used) and not reading.options and reading.form in VALUE_FORMS

    def _bare(self, best: Candidate, entry: tuple[Outcome, float]) -> bool:
        """Whether a goal knows next to nothing of the question while an entry decides it: it would only ask on."""
        decided = entry[0].reply.verdict is not None or entry[0].reply.option is not None
        certain = entry[1] >= CERTAIN and entry[0].reply.status == "answered"
        certain = certain and (not best.asked or tells_like(entry[0].entry, best.goal.quantity))
        claims = best.bound.stated is not None
        told = (decided and entry[1] >= CERTAIN) or ((decided or certain) and not claims)
        return told and not self._can(best)

    def _can(self, c: Candidate) -> bool:
        return derive(c.subject, c.goal.quantity, c.bound.facts, self.book).root.known

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
            alone = before.subject.thing
            if alone and any(c.name == before.name and c.bound.facts.count(alone) > 1 for c in ranked):  # now several
                of_all = [c for c in ranked if before.subject in c.subject.each]
                if of_all := [c for c in of_all if c.goal.quantity == before.goal.quantity]:
                    return of_all
            kinds = [s.thing for s in before.subject.each if before.bound.facts.count(s.thing) > 1]
            if kinds and not any(c.bound.facts.count(kind) for c in ranked for kind in kinds):  # now one alone
                of_one = [c for c in ranked if c.subject in before.subject.each]
                same = [c for c in of_one if c.asked or c.goal.quantity == before.goal.quantity]
                return [c for c in same if c.asked] or same or ranked
            asked = bool(reading.asks) or entity(reading, "weak_ask") is not None
            if not asked:  # a fact alone asks for no other value than one of the same matter
                about = set(before.goal.topics)
                ranked = [c for c in ranked if c.name == before.name or about & set(c.goal.topics)]
                news = {id(f) for f in reading.facts if f.kind in HEAVY}
                ranked.sort(key=lambda c: (any(id(f) in news for f in c.bound.left), c.name != before.name, -c.score))
            if reading.asks and any(c.asked and c.score >= ENOUGH for c in ranked):
                return [c for c in ranked if c.asked and c.score >= ENOUGH]
            return [c for c in ranked if (c.score >= ENOUGH and c.wanted) or c.name == before.name]
        goals = [c for c in ranked if c.score >= (ENOUGH_NAMED if prompts(reading) else ENOUGH) and c.wanted]
        asks_value = reading.options or reading.asks_max or ASKING_WORD.search(reading.stem)
        if reading.form == "yes/no" and not asks_value:
            goals = [c for c in goals if c.bound.stated is not None or c.goal.against]  # it is said of what is stated
        if uncovered:  # a word of a topic not covered yet, beside all that a calculation needs, is no more than a word
            return [
                c
                for c in goals
                if (len(c.bound.used) > 2 and not c.bound.left and reading.asks)
                or (c.goal.needs_topic != "no" and c.asked and c.bound.used)  # asked for where its own topic was named
            ]
        if reading.form in CALCULATED_FORMS:
            return [c for c in goals if len(c.bound.used) > 1]
        return goals

    def _derive(self, reading: Reading, candidate: Candidate, facts: Sequence[Fact], last: Outcome | None) -> Outcome:
        c = candidate
        derivation = derive(c.subject, c.goal.quantity, c.bound.facts, self.book)
        stated = c.bound.stated
        said_now = any(c.bound.inputs.get(id(f)) == stated[0] for f in reading.facts) if stated else False
        checks = reading.options or entity(reading, "turn") or entity(reading, "contrary")
        before_only = last is not None and not said_now and reading.form in VALUE_FORMS
        if (reading.form == "what" and not checks) or before_only:
            stated = None  # a value is asked for: neither what was told of another thing nor before is put up
        compared: set[str] = set()  # what the value that it is held against rests on
        if stated is None and c.goal.against:  # what is there may have to be worked out too
            there = derive(c.subject, c.goal.against, c.bound.facts, self.book)
            stated = (c.goal.against, there.value) if there.root.known else None
            compared = set(there.root.rests_on)
            derivation = there if there.root.problem else derivation
        options = [(o.letter, o.text) for o in reading.options]
        before = last.derivation if last is not None and last.settled else None
        contrary = entity(reading, "contrary") is not None
        reply = answer(
            reading.text,
            c.goal,
            derivation,
            self.book,
            stated=stated,
            options=options,
            before=before,
            contrary=contrary,
        )
        if "{" in reply.headline:  # a value that was told took the place of what was to be worked out
            return Outcome(self._nothing(reading, None))
        typed = {id(f) for f in reading.facts}
        passed = [f for f in c.bound.left if id(f) in typed] + _passed_over(c, derivation, typed, compared)
        if reply.status == "answered" and (heavy := [f.text for f in passed if weighty(f, c)]):
            return Outcome(self._nothing(reading, f"questions with {listed(heavy)}"))
        doubt = doubted(reply, derivation, passed, reading, self.book) if last is None else None
        if reply.status == "answered" and doubt is not None:
            return Outcome(doubt, c, derivation, facts)
        left = {id(f) for f in passed}
        said = {(f.start, f.end) for f in reading.facts if id(f) not in left}  # of "480Y/277" one value may be enough
        if unused := [f.text for f in passed if is_amount(f) and (f.start, f.end) not in said]:
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
        return Outcome(reply, outcomes[0].candidate, facts=outcomes[0].facts, offered=outcomes)

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
        if uncovered and words and not options:
            enough = CONFIDENT + ENTRIES_NEAR
        if reading.asks and not goals and not uncovered:
            enough = CONFIDENT  # nothing else could answer what is asked for
        found: list[tuple[Reply, float]] = []
        read: dict[int, Entry] = {}
        hits = self.hits(reading)
        near = ENTRIES_CLOSE if not (words or options) else ENTRIES_NEAR
        for hit, rank in hits:
            if hits[0][1] - rank >= (ENTRIES_CLOSE if options else near):
                break
            entry = self.book.entry(hit.entry_id)
            if entry.title.startswith(WHERE) and not asks_place(reading.stem, reading.form):
                continue
            strange = _strange(reading, entry)
            told = words or options or not any(c.asked for c in goals)
            needed = CERTAIN + ENTRIES_NEAR * bool(goals and goals[0].bound.used)
            likely = hit.score >= needed and bool(goals)
            told = told or (likely and tells_like(entry, goals[0].goal.quantity))
            alone = hit.score >= FAIR and hit.margin >= APART and enough == CONFIDENT
            if (hit.score < enough and not alone) or not entry.exists or (hit.entry_id in figured and not told):
                continue
            if options and strange and hit.score < CERTAIN:
                continue
            if reading.form == "how-many" and not options and not tells_count(entry.answer):
                continue  # a count is asked for and the entry tells none
            if reading.form == "how-many" and not options and strange and RATE.search(entry.answer):
                continue  # so many for each 12 ft: the count for an amount would have to be worked out
            if amounts and not options and asks_number(reading.words) and not tells_count(entry.answer):
                continue  # a number is wanted of those that were told, and the entry tells how to come by one
            if not (words or options) and (len(strange) > 1 or (uncovered and amounts)):
                continue
            if strange and not (words or options) and another_amount(reading.stem, [entry.answer], CIRCUIT):
                continue  # what it tells is for other volts or amperes than were named
            reply = look_up(reading.text, reading.stem, reading.form, entry, self.book, options, _stated(reading.facts))
            unsure = reply is not None and reply.verdict is not None and hit.score < CERTAIN
            if unsure and not on_subject(entry, reading.stem, self.book):
                continue  # a place or a thing was named, but not what the entry says of it
            if unsure and hit.score < HARDLY and self.book.left_over(entry.id, reading.stem) > MOST_LEFT:
                continue  # too much of the question is none of the entry's
            if reply is not None:
                found.append((reply, rank))
                read[id(reply)] = entry
        if reading.form == "where" and (places := [f for f in found if f[0].references[0].title.startswith(WHERE)]):
            found = places[:1]
        if reading.form == "definition" and (meanings := [f for f in found if read[id(f[0])].force == "definition"]):
            found = meanings[:1]
        decided = [f for f in found if f[0].verdict or f[0].option]
        if decided and len(decided) < len(found):
            found = decided  # the others could not tell
        if len(found) > 1 and options and (named := self._named_by_title(reading, found)):
            found = [named]
        if found and _odds([reply for reply, rank in found if options or found[0][1] - rank < ENTRIES_CLOSE]):
            return self._offer_entries(reading, found)
        if expected := [f for f in found if f[0].mistake and not options]:  # it knows the tempting answer
            found = expected[:1]
        if len(found) > 1 and not found[0][0].option and found[0][0].verdict is None:
            if (named := self._named_by_title(reading, found)) is None:
                return self._offer_entries(reading, found)
            found = [named]
        if not found:
            return None
        reply, rank = found[0]
        return Outcome(reply, facts=reading.facts, entry=read[id(reply)], sure=rank), rank

    def nearest_with(
        self, whole: Reading, about: str, news: str, before: Entry | None
    ) -> tuple[Entry | None, float]:
        """The entry for a question (`about`) that a short turn (`news`) was added to, with its score: the nearest that
        says what the turn says and something of the question. `before` is what was looked up, if anything was."""
        hits = self.hits(whole)
        near = [(hit, rank) for hit, rank in hits if self.book.left_over(hit.entry_id, news) <= NEWS_LEFT]
        first = hits[0][1] if before is not None and hits and hits[0][0].entry_id == before.id else 0.0
        if first - (near[0][1] if near else 0.0) > FAR_BEHIND:
            return None, first  # it is about the rule of before, which does not tell
        behind_job = NEAREST_BEHIND_A_JOB if near[:1] == hits[:1] else BEHIND_A_JOB
        if not near or near[0][0].score < (FAIR if before else behind_job):
            return None, 0.0
        if len(near) > 1 and near[0][1] - near[1][1] < (ENTRIES_CLOSE if before else APART):
            return None, 0.0
        entry = self.book.entry(near[0][0].entry_id)
        knows = entry.exists and self.book.knows(entry.id, news) and self.book.knows(entry.id, about)
        return (entry, near[0][1]) if knows else (None, 0.0)

    def told_with(self, entry: Entry, whole: Reading, news: str) -> Outcome | None:
        """What an entry says to a question that a short turn (`news`) was added to; a yes or no only of that turn."""
        reply = look_up(whole.text, whole.stem, whole.form, entry, self.book, [], _stated(whole.facts))
        if reply is None or (whole.form == "how-many" and not tells_count(entry.answer)):
            return None
        if (judged := reply.verdict) is not None:
            told = f"{judged.stated} {reply.headline} {entry.title}"
            said = self.book.covers(news, told) >= HALF or any(c.isdigit() for c in news)
            if not said or COMPARED.search(news) or self.book.left_over(entry.id, whole.stem) > WHOLE_LEFT:
                return None
        return Outcome(reply, facts=whole.facts, entry=entry)

    def _named_by_title(self, reading: Reading, found: list[tuple[Reply, float]]) -> tuple[Reply, float] | None:
        """The one of several close entries whose title the question says clearly more of than of the others'."""
        said = sorted(
            ((self.book.covers(r.references[0].title, reading.stem), i) for i, (r, _) in enumerate(found)), reverse=True
        )
        return found[said[0][1]] if said[0][0] - said[1][0] >= TITLE_CLEARLY else None

    def hits(self, reading: Reading) -> list[tuple[Hit, float]]:
        """The nearest entries with their rank; one whose title names what is counted (how many …) stands nearer."""
        telling = {word for word in tokens(" ".join(reading.words)) if len(word) > 1 and word.isalpha()}
        if len(telling - SMALL) < LEAST_WORDS and not any("." in word for word in reading.words):
            return []
        things = counted(reading.words)
        hits = []
        for hit in self.book.search(list(reading.words), 4):
            title = self.book.entry(hit.entry_id).title
            names_it = bool(things) and bool(things & set(tokens(title)))
            names_it = names_it or (
                reading.form == "definition" and self.book.entry(hit.entry_id).force == "definition"
            )
            names_it = names_it or (reading.form == "where" and title.startswith(WHERE))
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
            return self.outside(reading, f"I do not cover {uncovered} yet.")
        return self.outside(reading, "I do not know that one; I found nothing in my rules that fits well enough.")

    def outside(self, reading: Reading, line: str) -> Reply:
        figured, looked_up = self.book.subjects()
        rules = ", ".join(looked_up[:MOST_SUBJECTS])
        notes = [f"I can work out {listed(figured)}, and look up rules on {rules} and more."]
        return outside(reading.text, self.book, line, notes)

    def hazard(self, reading: Reading, name: str) -> Reply:
        reply = self.outside(reading, f"This is dangerous ({name}) and not something to do from an answer here.")
        reply.notes = []  # the caution is what there is to say
        try:
            reply.cautions = [self.book.caution(name.replace(" ", "-"))]
        except KeyError:
            reply.cautions = [self.book.caution("live-work")]
        return reply

    def known_well(self, reading: Reading) -> bool:
        """Whether an entry fits a question so well that a word of another trade in it does not matter."""
        hits = self.hits(reading)
        return bool(hits) and hits[0][0].score >= CONFIDENT + ENTRIES_NEAR


def _odds(replies: Sequence[Reply]) -> bool:
    """Whether replies of near entries contradict the first."""
    return any(_differ(replies[0], other) for other in replies[1:])


def _differ(one: Reply, other: Reply) -> bool:
    """Whether two replies choose different options or judge differently, so that neither may be given as sure."""
    if one.option and other.option:
        return one.option.letter != other.option.letter
    return one.verdict is not None and other.verdict is not None and one.verdict.holds is not other.verdict.holds


def _plainer(one: Outcome, other: Outcome) -> bool:
    """Whether one of two values of a subject needs nothing that the other does not need too."""
    same = one.candidate and other.candidate and one.candidate.subject is other.candidate.subject
    return bool(same) and {m.input for m in one.reply.missing} <= {m.input for m in other.reply.missing}


def tells_like(entry: Entry | None, quantity: str) -> bool:
    """Whether an entry's answer tells a value of the kind of a quantity."""
    return entry is not None and any(like(v, quantity) for v in entry.values.values() if v in entry.answer)


def _may_answer(candidate: Candidate, reading: Reading) -> bool:
    """Whether a goal's value can be what a first question asks for: not where that is a length and the goal finds none,
    nor where the options are words and the goal finds an amount."""
    unit = UNITS.get(candidate.goal.quantity, ("",))[0]
    if reading.form == "how-many" and unit != "count" and "number" in reading.words:
        return False  # the number of breakers, say
    if reading.options and unit in AMOUNTS and not any(c.isdigit() for o in reading.options for c in o.text):
        return False
    return unit in INCHES or not asks_length(reading.words)


def _passed_over(candidate: Candidate, derivation: Derivation, typed: set[int], compared: set[str]) -> list[Fact]:
    """The facts that some road to a goal could use, but not the one that was taken."""
    c, used = candidate, derivation.root.rests_on
    stated = c.bound.stated[0] if c.bound.stated else ""
    return [f for f in c.bound.used if id(f) in typed and c.bound.inputs[id(f)] not in used | compared | {stated}]


def _heavy(candidate: Candidate, reading: Reading) -> list[str]:
    """The amounts of a question that a goal has no use for and may not pass over: a length, a percentage."""
    return [f.text for f in candidate.bound.left if f in reading.facts and weighty(f, candidate)]


def entity(reading: Reading, kind: str) -> str | None:
    return next((e.name for e in reading.entities if e.kind == kind), None)


def not_covered(reading: Reading) -> str | None:
    """What a question is about that is recognised and not covered; a load is not where its power alone is told."""
    told = {f.kind for f in reading.facts}
    of_power = bool(told & {"power", "apparent_power"}) and "current" not in told
    return entity(reading, "uncovered") or (entity(reading, "uncovered_load") if of_power else None)


def prompts(reading: Reading, topics: Sequence[str] = ()) -> bool:
    """Whether a question is nothing but the name of a value, and of what it is of ("overload size?", "motor wire")."""
    named = [(e.start, e.end) for e in reading.entities if e.kind == "topic" and e.name in topics]
    return (
        bool(reading.asks)
        and reading.form in VALUE_FORMS
        and not reading.options
        and all(any(a.start <= f.start < a.start + len(a.text) for a in reading.asks) for f in reading.facts)
        and not followups.words_left(reading, [], named)
    )


def _strange(reading: Reading, entry: Entry) -> set[str]:
    """The amounts of a question that an entry says nothing of."""
    known = set(numbers(" ".join([*entry.asked_as, *entry.values.values(), entry.answer, entry.says])))
    asked = (f.text for f in reading.facts if not f.negated and f.kind not in ("sets", "edition"))
    return {text for text in asked if numbers(text) and not known.issuperset(numbers(text))}


def weighty(fact: Fact, candidate: Candidate) -> bool:
    """Whether an amount that a goal cannot use stands against it: of a kind that no answer may pass over, or one that
    plainly is an input of something else."""
    name, score = fact.inputs[0] if fact.inputs else ("", 0.0)
    if fact.kind in HEAVY:
        return name not in candidate.goal.indifferent
    plain = score >= PLAINLY and is_amount(fact) and fact.kind not in CONTEXT
    return plain and name not in candidate.goal.indifferent


def like(value: str, quantity: str) -> bool:
    """Whether a value told in words is of the kind of a quantity: a size for a size, a length for a length."""
    unit, have = UNITS.get(quantity, ("", ""))[0], measure(value)
    return have is not None and have[1] == ("size" if unit == "size" else "in" if unit in INCHES else unit.lower())


def _asks_in_words(reading: Reading) -> bool:
    """Whether a question asks for something in words, rather than telling bare facts."""
    return bool(reading.asks) or reading.form != "statement" or entity(reading, "weak_ask") is not None


def _stated(facts: Sequence[Fact]) -> Measure | None:
    """The one amount that a question states, if it states just one."""
    amounts = [of_fact(f.value, f.unit) for f in facts if f.kind in ("length", "current", "count", "wire_size")]
    return amounts[0] if len(amounts) == 1 else None

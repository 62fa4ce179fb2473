"""Finding the entry that a question asks for, without a model.

FTS5 fetches the entries that share the question's rarest words, all that is written of an entry in one row. Each is
weighed by all the words (BM25 over the whole entry), and the best of them by the one phrasing that is most like the
question. Both are shares of what the question weighs, by the rarity of its words, so the score says how sure it is.

Measured on the entries' own phrasings, held back a tenth at a time: one row a phrasing and a vote over the best twelve
named the right entry first in 49 of 100; a row an entry, with its best phrasing, in 74, and among three in 91.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import fsum, log
from typing import TYPE_CHECKING

import msgspec

if TYPE_CHECKING:
    from askcode.rulebase.load import Knowledge
    from askcode.rulebase.store import Store

# Measured on 6,400 phrasings held back a tenth at a time and on 90 questions outside the code: at this score 72 of 100
# get the right entry, 20 a near neighbour of it, and 3 of the 90 are not refused. Where a runner-up is CLOSE the first
# is right in 48 of 100 only, otherwise in 86: then both are worth offering.
CONFIDENT = 0.48  # from this score on an entry may answer
CERTAIN = 0.65  # from this score on, where the question also asks for a value or for what is not covered
CLOSE = 0.05  # a runner-up within this of the best is worth offering beside it

CANDIDATES = 32  # entries that are weighed
CLOSELY = 12  # of them, those whose phrasings are looked at
REACH = 120  # the rarest words of the question fetch them, until they stand in so many entries together
WHOLE, BEST_ROW, SUBJECT = 0.75, 0.25, 0.15  # shares of the whole entry, its best phrasing, a subject named in full
SAME_WORD = 0.6  # weight of a synonym beside the word itself
FIELDS = {"asked": 1.0, "about": 3.0, "title": 2.0, "says": 1.0}  # what a word counts for, by where it stands
FILLER = 0.2  # share of its weight with which a word of talk counts against an entry that lacks it
LONG, LONG_WORD, LONGEST = (
    7,
    0.02,
    16,
)  # past so many words each adds this much, up to so many: a long question covers less
RARE = 0.85  # a word of so much of the weight of the rarest is as telling
GOAL, OUTSIDE = "goal:", "outside:"  # before the names of what is no entry
K1, B = 1.2, 0.6  # BM25: how soon a word that comes again stops counting, and how much long entries are held back


@dataclass(slots=True, frozen=True)
class Hit:
    """An entry that fits. `score` 0..1 ranks and decides; `coverage` is the share of the question that its best row
    has, `margin` how far it stands above the next; `row` the phrasing that fits best; `kind` rule, goal or outside."""

    entry_id: str
    score: float
    coverage: float
    margin: float
    row: str
    kind: str = "rule"


# --- words ----------------------------------------------------------------------------------------------------------
_TOKEN = re.compile(r"\d+/\d+|\d+(?:\.\d+)*|[^\W\d_]+")


def tokens(text: str) -> list[str]:
    """The stems of a text, in order."""
    return [stem(word) for word in _TOKEN.findall(text.lower())]


@lru_cache(maxsize=8192)
def stem(word: str) -> str:
    """A word without its plural, -ing and -ed; short words stay, since the trade's short words are names."""
    if len(word) < 4 or not word.isalpha():
        return word
    if word.endswith("ies") and len(word) > 4:
        word = word[:-3] + "y"
    elif word.endswith(("sses", "shes", "ches", "xes")):
        word = word[:-2]
    elif word.endswith("s") and not word.endswith(("ss", "us", "is")):
        word = word[:-1]
    for ending in ("ing", "ed"):
        base = word.removesuffix(ending)
        if base != word and len(base) > 2 and _VOWEL.search(base):
            if base[-1] == base[-2] and base[-1] not in "lsz":
                base = base[:-1]
            word = base
            break
    return word.removesuffix("e") if len(word) > 4 else word


_VOWEL = re.compile("[aeiouy]")


# --- the index ------------------------------------------------------------------------------------------------------
class Phrasing(msgspec.Struct, array_like=True):
    """One way in which an entry is asked: its stems with their synonyms, and what they weigh together."""

    text: str
    stems: set[str]
    weight: float
    subject: bool = False


class Asked(msgspec.Struct, array_like=True):
    """All the ways in which an entry is asked, and what each of its words adds to its score."""

    phrasings: list[Phrasing]
    words: dict[str, float]


class Index:
    """What the store keeps for searching: each entry's text for FTS5 and phrasings, how many entries have a stem."""

    def __init__(self, knowledge: Knowledge):
        same = Synonyms(knowledge.synonyms)
        self.texts: list[tuple[str, str]] = []
        self.counts: dict[str, int] = {}
        written = {
            entry: [(field, text, same.with_synonyms(tokens(text))) for field, said in texts.items() for text in said]
            for entry, texts in _entries(knowledge)
        }
        for entry, texts in written.items():
            found = {word for _, _, stems in texts for word in stems}
            for word in found:
                self.counts[word] = self.counts.get(word, 0) + 1
            named = sorted(word for word in found if word.startswith(SAME))
            self.texts.append((entry, " . ".join([*(text for _, text, _ in texts), *named])))
        self.fillers = sorted(
            {tokens(word)[0] for words in knowledge.fillers.values() for word in words if tokens(word)}
        )
        self.weigh = Weights(self.counts, len(written))
        lengths = {entry: sum(FIELDS[field] * len(set(stems)) for field, _, stems in t) for entry, t in written.items()}
        usual = sum(lengths.values()) / max(len(lengths), 1)
        self.asked = {
            entry: self._asked(texts, K1 * (1 - B + B * lengths[entry] / usual)) for entry, texts in written.items()
        }

    def _asked(self, texts: list[tuple[str, str, list[str]]], held: float) -> Asked:
        often: dict[str, float] = {}
        for field, _, stems in texts:
            for word in set(stems):
                often[word] = often.get(word, 0.0) + FIELDS[field]
        words = {word: round(self.weigh(word) * count / (count + held), 3) for word, count in often.items()}
        phrasings = [
            Phrasing(text, set(stems), round(self.weigh.sum(set(stems)), 3), field != "asked")
            for field, text, stems in texts
            if field != "says" and stems
        ]
        return Asked(phrasings, words)


def _entries(knowledge: Knowledge) -> Iterator[tuple[str, dict[str, list[str]]]]:
    """Everything that can be found, with its texts by field; its kind stands before the name of what is no entry."""
    for name, rule in knowledge.rules.items():
        asked = list(rule.asked_as)
        items = [text for said in rule.lists.values() for item in said for text in (item.what, *item.also)]
        if rule.verdict:
            asked += [*rule.verdict.yes, *rule.verdict.no, *([rule.verdict.of] if rule.verdict.of else [])]
        says = [*_texts(rule.answer), *_texts(rule.says), *rule.exceptions]
        about = [*rule.about, *(section for section in _texts(rule.section) if any(c.isdigit() for c in section))]
        yield name, {"asked": [*asked, *items], "about": about, "title": [rule.title], "says": says}
    for name, goal in knowledge.goals.items():
        yield GOAL + name, {"asked": goal.asked_as, "about": [], "title": [goal.title], "says": []}
    for name, topic in knowledge.outside.items():
        yield OUTSIDE + name, {"asked": topic.asked_as, "about": [], "title": [topic.title], "says": []}


def _texts(value: str | dict[str, str]) -> list[str]:
    return list(dict.fromkeys(value.values())) if isinstance(value, dict) else [value]


SAME = "same"  # begins the name of a group of synonyms, in one word that FTS5 keeps whole


class Synonyms:
    """Words that a search takes for one another."""

    def __init__(self, groups: dict[str, list[str]]):
        self.group: dict[tuple[str, ...], str] = {}
        for name, words in groups.items():
            for word in (name, *words):
                self.group.setdefault(tuple(tokens(word)), SAME + "".join(tokens(name)))
        self.longest = max(map(len, self.group), default=0)

    def with_synonyms(self, stems: list[str]) -> list[str]:
        """The stems, followed by the groups that words among them belong to; the longest words go first."""
        found = list(stems)
        at = 0
        while at < len(stems):
            group, length = self.at(stems, at)
            found += [group] if group else []
            at += length
        return found

    def at(self, stems: list[str], at: int) -> tuple[str, int]:
        """The group of the longest words that begin at a place, with their number; no group and 1 if there is none."""
        for length in range(min(self.longest, len(stems) - at), 0, -1):
            if group := self.group.get(tuple(stems[at : at + length])):
                return group, length
        return "", 1


class Weights:
    """How telling a stem is, by the number of entries that it stands in; one that stands nowhere tells the most."""

    def __init__(self, counts: dict[str, int], entries: int):
        self.counts = counts
        self.entries = entries
        self.known: dict[str, float] = {}

    def __call__(self, word: str) -> float:
        weight = self.known.get(word)
        if weight is None:
            count = self.counts.get(word, 0)
            weight = log(1 + (self.entries - count + 0.5) / (count + 0.5))
            if word.startswith(SAME):
                weight = SAME_WORD * weight if count else 0.0
            self.known[word] = weight
        return weight

    def sum(self, words: Iterable[str]) -> float:
        return fsum(map(self, words))  # the same in whatever order a set gives its words


def matching(words: Iterable[str]) -> str:
    """An FTS5 query for rows with any of the words, each quoted; empty where none has a letter or digit."""
    kept = [word.replace('"', '""').replace("\0", "") for word in words if any(c.isalnum() for c in word)]
    return " OR ".join(f'"{word}"' for word in kept)


# --- searching ------------------------------------------------------------------------------------------------------
_NEAREST = "select entry from phrases where phrases match ? and entry not glob ? order by bm25(phrases) limit ?"


class Searcher:
    """Searches one store. Word counts are read once, phrasings when their entry is first a candidate."""

    def __init__(self, store: Store):
        self.store = store
        raw = store.get("search", "counts")
        counts = msgspec.json.decode(raw, type=dict[str, int]) if raw else {}
        raw = store.get("search", "fillers")
        self.fillers = frozenset(msgspec.json.decode(raw, type=list[str]) if raw else ())
        self.weigh = Weights(counts, counts.pop("", 0))
        raw = store.get("search", "synonyms")
        self.synonyms = Synonyms(msgspec.json.decode(raw, type=dict[str, list[str]]) if raw else {})
        self.asked: dict[str, Asked] = {}

    def search(self, words: Iterable[str], limit: int = 5, goals: bool = False) -> list[Hit]:
        """The nearest entries, best first; with `goals` also what can be worked out, on the same scale.

        Empty where the question fits better to what lies outside the code (plumbing, prices).
        """
        hits = self.ranked(words, goals)
        if hits and hits[0].kind == "outside":
            return []
        return [hit for hit in hits if hit.kind != "outside"][:limit]

    def covers(self, phrase: str, text: str) -> float:
        """The share of a phrase, by the rarity of its words, that a text says too (0..1)."""
        said = set(self.synonyms.with_synonyms(self._joined(tokens(text))))
        stems = self.synonyms.with_synonyms(self._joined(tokens(phrase)))
        wanted = {word for word in stems if word not in self.fillers}
        total = self.weigh.sum(wanted)
        return self.weigh.sum(wanted & said) / total if total else 0.0

    def knows(self, entry: str, text: str) -> bool:
        """Whether an entry says any word of a text that tells something, or there is no such word in it."""
        stems = [word for word in self._joined(tokens(text)) if word not in self.fillers and not word.isdigit()]
        known = self._asked(entry).words
        return not stems or any(word in known for word in self.synonyms.with_synonyms(stems))

    def telling(self, text: str) -> set[str]:
        """The words of a text that tell something, as stems, each by the group of words that stand for it."""
        stems, found, at = self._joined(tokens(text)), set(), 0
        while at < len(stems):
            group, length = self.synonyms.at(stems, at)
            word = group or stems[at]
            if word.isalpha() and stems[at] not in self.fillers:
                found.add(word)
            at += length
        return found

    def left_over(self, entry: str, text: str) -> float:
        """The share of a text, by the rarity of its words, that an entry does not say (0..1)."""
        stems = {word for word in self._joined(tokens(text)) if word not in self.fillers}
        known = self._asked(entry).words
        left = [w for w in stems if w not in known and not any(g in known for g in self.synonyms.with_synonyms([w]))]
        total = self.weigh.sum(stems)
        return self.weigh.sum(left) / total if total else 0.0

    def points(self, phrase: str, text: str) -> bool:
        """Whether a text says every word of a phrase that is about as rare as its rarest: what the phrase is about."""
        said = set(self.synonyms.with_synonyms(self._joined(tokens(text))))
        stems = {word for word in self._joined(tokens(phrase)) if word not in self.fillers}
        rare = RARE * max(map(self.weigh, stems), default=0.0)
        telling = [word for word in stems if self.weigh(word) >= rare]
        return bool(telling) and all(
            word in said or not said.isdisjoint(self.synonyms.with_synonyms([word])) for word in telling
        )

    def ranked(self, words: Iterable[str], goals: bool = False) -> list[Hit]:
        """All that is near, also what lies outside the code."""
        typed = {stem(word): word for word in _TOKEN.findall(" ".join(words).lower())}
        question = set(self.synonyms.with_synonyms(self._joined(list(typed))))
        total = self.weigh.sum(question)
        query = matching(typed.get(word, word) for word in self._telling(question))
        if not query:
            return []
        found = self.store.rows(_NEAREST, (query, "" if goals else GOAL + "*", CANDIDATES))
        weights = {word: self.weigh(word) for word in sorted(question)}
        best = sorted(((self._whole(entry, weights), entry) for (entry,) in found), reverse=True)[:CLOSELY]
        hits = [self._closely(entry, whole / total, weights, total) for whole, entry in best]
        hits.sort(key=lambda hit: hit[0], reverse=True)
        if not hits:
            return []
        talk = total / (total - self._talk(hits[0][1], weights))
        scale = talk * (1 + LONG_WORD * min(max(len(typed) - LONG, 0), LONGEST))
        return [self._hit(hits, place, scale) for place in range(len(hits))]

    def _telling(self, question: set[str]) -> Iterator[str]:
        """The rarest words of a question. A long one needs more of them, for what is rare in it may be chat."""
        counts = self.weigh.counts
        reached = 0
        for word in sorted((word for word in question if word in counts), key=lambda word: (counts[word], word)):
            yield word
            reached += counts[word]
            if reached > REACH:
                return

    def _whole(self, entry: str, question: dict[str, float]) -> float:
        """What all that is written of an entry has of the question's weight."""
        words = self._asked(entry).words
        return sum([words[word] for word in question if word in words])

    def _closely(
        self, entry: str, whole: float, question: dict[str, float], total: float
    ) -> tuple[float, str, float, str]:
        """The score of one entry, its name, the share of the question that its best phrasing covers, and that one."""
        best, subject, row, covered = 0.0, 0.0, "", 0.0
        for phrasing in self._asked(entry).phrasings:
            shared = sum([question[word] for word in question.keys() & phrasing.stems])
            alike = 2 * shared / (total + phrasing.weight)
            if alike > best:
                best, row, covered = alike, phrasing.text, shared / total
            if phrasing.subject and phrasing.stems <= question.keys():
                subject = max(subject, shared / total)
        return min(WHOLE * whole + BEST_ROW * best + SUBJECT * subject, 1.0), entry, covered, row

    def warm(self) -> None:
        """Read every phrasing now, for a process that will answer many questions."""
        decoder = msgspec.json.Decoder(Asked)
        self.asked = {entry: decoder.decode(raw) for entry, raw in self.store.all("asked")}

    def _asked(self, entry: str) -> Asked:
        known = self.asked.get(entry)
        if known is None:
            raw = self.store.get("asked", entry)
            known = self.asked[entry] = msgspec.json.decode(raw, type=Asked) if raw else Asked([], {})
        return known

    def _talk(self, entry: str, question: dict[str, float]) -> float:
        """What the question weighs in words of talk that the entry lacks: they say nothing against it."""
        words = self._asked(entry).words
        return (1 - FILLER) * sum(question[word] for word in question if word in self.fillers and word not in words)

    @staticmethod
    def _hit(ranked: list[tuple[float, str, float, str]], place: int, scale: float) -> Hit:
        _, entry, coverage, row = ranked[place]
        score = min(ranked[place][0] * scale, 1.0)
        following = min(ranked[place + 1][0] * scale, 1.0) if place + 1 < len(ranked) else 0.0
        kind, _, name = entry.rpartition(":")
        return Hit(name, score, coverage, score - following, row, kind or "rule")

    def _joined(self, stems: list[str]) -> list[str]:
        """Adjacent words that are one word in the index (bath room) joined."""
        found: list[str] = []
        for word in stems:
            if found and len(both := found[-1] + word) > 5 and both in self.weigh.counts:
                found[-1] = both
            else:
                found.append(word)
        return found

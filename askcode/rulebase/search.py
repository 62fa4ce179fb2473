"""Finding the entry that a question asks for, without a model: candidates by FTS5, then weighed word by word.

Every way an entry is asked is a row of the index. A question is held against the rows that share its rarer words; the
rows vote for their entries, and how much of the question (by the rarity of its words) the best row covers says how sure
that is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from math import log
from typing import TYPE_CHECKING

from rapidfuzz.fuzz import token_sort_ratio

if TYPE_CHECKING:
    from askcode.rulebase.load import Knowledge
    from askcode.rulebase.store import Store

CONFIDENT = 0.50  # from this score on an entry may answer
CLOSE = 0.06  # a runner-up within this of the best is worth offering beside it
CANDIDATES = 60
VOTERS = 12
ASKING_WORDS = 10  # the rarest words of the question that fetch candidates
WEIGHTS = {"asked": 1.0, "title": 0.9, "about": 0.8, "text": 0.6}


@dataclass(slots=True, frozen=True)
class Hit:
    """An entry that fits. `score` 0..1 ranks and decides; `coverage` is the share of the question that its best row
    has, `margin` how far it stands above the next entry; `row` the phrasing that fits best."""

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
def index_rows(knowledge: Knowledge) -> tuple[list[tuple[str, str, str, str]], list[tuple[str, int]]]:
    """The rows (entry, field, text, stems) to search, and how many rows each stem stands in."""
    rows: list[tuple[str, str, str, str]] = []
    counts: dict[str, int] = {}
    for entry, field, text in _phrases(knowledge):
        stems = tokens(text)
        if stems:
            rows.append((entry, field, text, " ".join(stems)))
            for word in set(stems):
                counts[word] = counts.get(word, 0) + 1
    return rows, sorted(counts.items())


def _phrases(knowledge: Knowledge) -> Iterable[tuple[str, str, str]]:
    for name, rule in knowledge.rules.items():
        yield from ((name, "asked", text) for text in rule.asked_as)
        yield name, "title", rule.title
        yield name, "about", " ".join(rule.about)
        yield from ((name, "text", text) for text in _texts(rule.answer))
        yield from ((name, "text", text) for text in _texts(rule.says))
    for name, goal in knowledge.goals.items():
        yield from ((f"goal:{name}", "asked", text) for text in goal.asked_as)
        yield f"goal:{name}", "title", goal.title


def _texts(value: str | dict[str, str]) -> Iterable[str]:
    return dict.fromkeys(value.values()) if isinstance(value, dict) else [value]


def matching(words: Iterable[str]) -> str:
    """An FTS5 query for rows with any of the words, each quoted; empty where none has a letter or digit."""
    kept = [word.replace('"', '""').replace("\0", "") for word in words if any(c.isalnum() for c in word)]
    return " OR ".join(f'"{word}"' for word in kept)


class Searcher:
    """Searches one store. The word counts are read once."""

    def __init__(self, store: Store):
        self.store = store
        rows = store.rows("select word, rows from words")
        self.counts: dict[str, int] = {str(word): int(count) for word, count in rows}
        total = store.rows("select count(*), '' from phrases")
        self.total = max(int(total[0][0]), 1)
        self.rarest = self._idf(0)

    def _idf(self, count: int) -> float:
        return log(1 + (self.total - count + 0.5) / (count + 0.5))

    def idf(self, word: str) -> float:
        """How telling a stem is; one that stands nowhere is as telling as the rarest."""
        return self._idf(self.counts.get(word, 0))

    def search(self, words: list[str], limit: int = 5, goals: bool = False) -> list[Hit]:
        """The nearest entries, best first; with `goals` also what can be worked out, on the same scale."""
        asked = self._joined(tokens(" ".join(words)))
        known = [word for word in dict.fromkeys(asked) if word in self.counts]
        query = matching(sorted(known, key=self.counts.__getitem__)[:ASKING_WORDS])
        if not query:
            return []
        rows = self.store.rows(
            "select entry, field, text, stems from phrases where phrases match ? order by bm25(phrases) limit ?",
            (query, CANDIDATES),
        )
        weights = {word: self.idf(word) for word in asked}
        total = sum(weights.values())
        typed = " ".join(asked)
        scored: list[tuple[float, float, str, str]] = []
        for entry, field, text, stems in rows:
            if not goals and entry.startswith("goal:"):
                continue
            scored.append((*self._row_score(weights, total, typed, field, stems), entry, text))
        scored.sort(reverse=True)
        return self._ranked(scored, limit)

    def _row_score(
        self, weights: dict[str, float], total: float, typed: str, field: str, stems: str
    ) -> tuple[float, float]:
        """How well one row fits (0..1), and the share of the question that it covers."""
        row = set(stems.split())
        shared = sum(weight for word, weight in weights.items() if word in row)
        coverage = shared / total
        if field == "text":
            return WEIGHTS["text"] * coverage, coverage
        of_row = shared / sum(self.idf(word) for word in row)
        alike = token_sort_ratio(typed, stems) / 100
        return WEIGHTS[field] * (0.45 * coverage + 0.35 * of_row + 0.2 * alike), coverage

    def _ranked(self, scored: list[tuple[float, float, str, str]], limit: int) -> list[Hit]:
        votes: dict[str, float] = {}
        best: dict[str, tuple[float, float, str]] = {}
        for rank, (score, coverage, entry, text) in enumerate(scored):
            if rank < VOTERS:
                votes[entry] = votes.get(entry, 0.0) + score / (1 + 0.15 * rank)
            best.setdefault(entry, (score, coverage, text))
        whole = sum(votes.values()) or 1.0
        order = sorted(best, key=lambda e: 0.75 * best[e][0] + 0.25 * votes.get(e, 0.0) / whole, reverse=True)
        scores = [0.75 * best[e][0] + 0.25 * votes.get(e, 0.0) / whole for e in order]
        hits = []
        for place, entry in enumerate(order[:limit]):
            following = scores[place + 1] if place + 1 < len(scores) else 0.0
            kind, _, name = entry.rpartition(":")
            _, coverage, text = best[entry]
            hits.append(Hit(name, scores[place], coverage, scores[place] - following, text, kind or "rule"))
        return hits

    def _joined(self, asked: list[str]) -> list[str]:
        """Adjacent words that are one word in the index (bath room) joined."""
        found: list[str] = []
        for word in asked:
            if found and (both := found[-1] + word) in self.counts and len(both) > 5:
                found[-1] = both
            else:
                found.append(word)
        return found

"""Mend misspelt words, carefully: never a word that anyone knows, nor one that is short, has digits or is a unit.

Words are compared with the trade's words first and with everyday English after, by optimal string alignment (a swap
of two neighbours is one slip). Only words that begin alike and are about as long are compared, which keeps it to
microseconds.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping

from parsers.edits import Edit

SHORTEST = 5  # shorter trade words (EMT and ENT, rod and rid) lie too near one another
_ER = re.compile(r"er(?=s?$)")
_VOWELS = re.compile(r"[aeiou]")
_WORD = re.compile(r"[a-z][a-z']*[a-z]")
# Endings, each with the shortest stem that it may follow.
_ENDINGS = {"'s": 2, "s'": 3, "s": 3, "es": 3, "ed": 3, "d": 3, "ing": 3, "ly": 3, "less": 3}
_ENDINGS |= {"est": 4, "er": 4, "ers": 4, "able": 4, "ness": 4, "y": 4, "ment": 4}
_DOUBLING = frozenset(["ed", "ing", "er", "ers", "est", "y", "able"])  # clamp, clamping; but no clampps
_OF_DEEDS = frozenset(["er", "ers", "est", "able", "ness", "y", "ment", "ing"])


class Speller:
    """Knows which words exist and which known word a misspelt one was meant to be."""

    def __init__(
        self, trade: Mapping[str, int], english: Iterable[str], more: Iterable[str] = (), units: Iterable[str] = ()
    ) -> None:
        """`trade`: the trade's words, each with how often the vocabulary uses it; `units`: those that units are."""
        from rapidfuzz.distance import OSA

        self._distance = OSA.distance
        self.trade = {word: count for word, count in trade.items() if word.isalpha()}
        self.known = set(self.trade) | set(english) | {word for word in more if word.isalpha()}
        self._blocks: dict[tuple[str, int], list[str]] = defaultdict(list)
        for word in sorted(self.known):
            if len(word) >= SHORTEST - 1:
                self._blocks[word[0], len(word)].append(word)
        self._units = frozenset(units)
        self._memory: dict[str, str | None] = {}

    def edits(self, low: str) -> list[Edit]:
        """The words of a lowered text to mend, each with what to put there."""
        edits: list[Edit] = []
        for found in _WORD.finditer(low):
            word = found.group()
            if word in self.known or len(word) < SHORTEST - 1:
                continue
            start, end = found.span()
            if (start and low[start - 1].isdigit()) or (end < len(low) and low[end].isdigit()):
                continue
            mended = self.mended(word)
            if mended is not None:
                edits.append((start, end, mended))
        return edits

    def mended(self, word: str) -> str | None:
        """What a word that is not known was meant to be; None if it is known, or nothing is near enough."""
        if word in self._memory:
            return self._memory[word]
        swapped = _ER.sub("or", word) if word not in self.known else word  # "conducter" looks like a word
        answer = swapped if swapped in self.trade and swapped != word else None
        if answer is None and not self._exists(word):
            answer = self._nearest(word)
        if len(self._memory) > 4096:
            self._memory.clear()
        self._memory[word] = answer
        return answer

    def _exists(self, word: str) -> bool:
        if word in self.known:
            return True
        for ending in _ENDINGS:
            if word.endswith(ending):
                stem = word[: -len(ending)]
                if (ending == "d" and not stem.endswith("e")) or (ending in ("s", "y") and stem.endswith(ending)):
                    continue  # "fusess", "partlyy"
                if ending in _OF_DEEDS and stem in self._units:
                    continue  # a "watter" is no one who watts
                if len(stem) >= _ENDINGS[ending] and (
                    stem in self.known
                    or stem + "e" in self.known
                    or (ending in _DOUBLING and stem[-1:] == stem[-2:-1] and stem[:-1] in self.known)
                ):
                    return True
                if stem.endswith("i") and stem[:-1] + "y" in self.known:
                    return True
        return len(word) > 6 and any(
            word.startswith(front) and word[len(front) :] in self.known
            for front in ("un", "re", "non", "over", "under", "pre", "sub", "mis")
        )

    def _nearest(self, word: str) -> str | None:
        length = len(word)
        most = 1 if length < 7 else 2
        best: tuple[float, str] | None = None
        letters = sorted(word)
        for size in range(max(SHORTEST - 1, length - most), length + most + 1):
            for candidate in self._blocks.get((word[0], size), ()):
                distance = self._distance(word, candidate, score_cutoff=most)
                if distance > most:
                    continue
                if size < SHORTEST and (size != length or sorted(candidate) != letters):
                    continue  # of short words only swapped letters are mended
                everyday = candidate not in self.trade
                if everyday and (distance > 1 or (length < 6 and sorted(candidate) != letters)):
                    continue
                # nearer first; then the trade's word, the commoner one; then one as long, and one that ends alike
                rank = distance + (0.4 if everyday else -0.05 * min(4, self.trade[candidate].bit_length() // 2))
                rank += 0 if size == length else 0.04
                if _VOWELS.sub("", candidate) == _VOWELS.sub("", word):
                    rank -= 0.2  # overlode sounds like overload
                rank += (0 if candidate[-1] == word[-1] else 0.15) + (0 if set(candidate) == set(word) else 0.1)
                if best is None or (rank, candidate) < best:
                    best = (rank, candidate)
        return best[1] if best else None

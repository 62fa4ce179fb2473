"""Whether a question is within what an entry speaks of: its occupancies, its metals, raceways and phases."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

import msgspec

from askcode.rulebase.book import Book, Entry
from askcode.rulebase.store import Store

# Places of the vocabulary that say what a building is for; rooms and areas are in any of them.
HOMES = frozenset(["dwelling", "two-family dwelling", "multifamily dwelling", "mobile home"])
NOT_HOMES = "commercial building"  # which stands for all that is no dwelling
OTHERS = frozenset(
    {
        NOT_HOMES,
        "office",
        "store",
        "restaurant",
        "warehouse",
        "school",
        "church",
        "health care facility",
        "hotel",
        "child care facility",
        "dormitory",
        "industrial",
        "vehicle repair garage",
        "place of assembly",
    }
)
KINDS = ("metal", "raceway", "cable", "phases")  # of which a rule for one is none for another
_WORD = re.compile(r"\w+")
_OTHER_THAN = re.compile(r"\b(?:other than|not(?: in| at)?(?: an?)?|no|isnt an?)(?: one)?(?: or| and)?\s*$")


def named(text: str, kind: str, book: Book) -> frozenset[str]:
    """The names of a kind of the vocabulary that a text says, the longest words first."""
    return frozenset(name for name, _ in _found(_plain(text), kind, book))


def occupancies(text: str, book: Book) -> frozenset[str]:
    """What the buildings are for that a text names; "other than a dwelling" is no dwelling."""
    plain, found = _plain(text), set()
    for name, start in _found(plain, "place", book):
        found.add(NOT_HOMES if name in HOMES and _OTHER_THAN.search(plain[:start]) else name)
    return frozenset(found & (HOMES | OTHERS))


def judges(stem: str, entry: Entry, book: Book) -> bool:
    """Whether an entry may say yes or no of every occupancy that a question names."""
    for_these = _for(entry, book)
    if not for_these:
        return True
    judged = for_these | occupancies(" . ".join(_judged(entry)), book)
    return all(_covered(name, for_these, judged) for name in occupancies(stem, book))


def _covered(name: str, for_these: frozenset[str], judged: frozenset[str]) -> bool:
    if name in judged:
        return True
    if name in OTHERS:
        return NOT_HOMES in for_these
    limited = "two-family dwelling" in for_these and "multifamily dwelling" not in for_these
    return "dwelling" in for_these and not (limited and name == "multifamily dwelling")


def tells_of(stem: str, entry: Entry, book: Book) -> bool:
    """Whether what an entry tells is of the things that a question names: not of dwellings where it asks of a store
    only, nor of copper where it asks of aluminum only."""
    asked, told = occupancies(stem, book), _for(entry, book)
    if asked and told and ((asked <= HOMES and told <= OTHERS) or (asked <= OTHERS and told <= HOMES)):
        return False
    return not any(_of_another(stem, f"{entry.title} . {entry.answer}", kind, book) for kind in KINDS)


def _of_another(stem: str, told_in: str, kind: str, book: Book) -> bool:
    asked = named(stem, kind, book) - {kind}  # "a pipe" is any raceway
    told = named(told_in, kind, book) - {kind} if asked else asked
    return bool(told) and asked.isdisjoint(told)


def _for(entry: Entry, book: Book) -> frozenset[str]:
    """The occupancies that an entry is for: those of its subject, else of its text where that speaks of homes only."""
    subject = occupancies(" . ".join([entry.title, entry.answer, *entry.about]), book)
    said = occupancies(entry.says, book)
    return subject or (said if said <= HOMES else frozenset())


def _judged(entry: Entry) -> list[str]:
    """What the verdicts of an entry speak of."""
    items = [name for items in entry.lists.values() for item in items for name in (item.what, *item.also)]
    said = [*entry.verdict.yes, *entry.verdict.no, entry.verdict.of] if entry.verdict else []
    return [*items, *said, *entry.exceptions]


def _found(plain: str, kind: str, book: Book) -> Iterator[tuple[str, int]]:
    """The names of a kind whose words a plain text says and where each begins; the longest words win."""
    names, most = _words(book.store, kind)
    words = [word.span() for word in _WORD.finditer(plain)]
    at = 0
    while at < len(words):
        for last in range(min(at + most, len(words)) - 1, at - 1, -1):
            if name := names.get(plain[words[at][0] : words[last][1]]):
                yield name, words[at][0]
                at = last
                break
        at += 1


@lru_cache(maxsize=32)
def _words(store: Store, kind: str) -> tuple[dict[str, str], int]:
    """The name of each plain phrase of a kind, and the words of the longest one."""
    raw = store.get("vocabulary", kind)
    vocabulary = msgspec.json.decode(raw, type=dict[str, list[str]]) if raw else {}
    names = {_plain(word): name for name, words in vocabulary.items() for word in (name, *words) if not word.isdigit()}
    return names, max((len(_WORD.findall(phrase)) for phrase in names), default=0)


def _plain(text: str) -> str:
    """A text in lower case whose words are parted by one space."""
    return " ".join(re.split(r"[\s\-]+", text.lower().replace("'", "").replace("’", "")))

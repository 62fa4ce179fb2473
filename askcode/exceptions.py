"""What an entry excepts from its rule, and whether a question names it: then the rule itself does not judge."""

from __future__ import annotations

import re
from collections.abc import Iterable

from askcode.rulebase.book import Book, Entry
from askcode.rulebase.schemas import Item

_EXCEPTED = re.compile(
    r"\b(?:unless|except(?:ed|ing)?(?: where| for| that| if| when)?|only (?:where|if|when|by|with|in|as)|"
    r"other than|as long as|provided(?: that)?)\b(?P<what>[^.;:]*)",
    re.I,
)
# what a question makes a condition of; not one that it denies ("if the lug is not marked for two")
_CONDITION = re.compile(
    r"\b(?<!even )(?:if|unless|when|where|as long as|so long as|provided(?: that)?|except(?: where| for| if)?|once)\b"
    r"(?P<what>(?:(?!\b(?:not|no|isnt|isn't|aint|arent|aren't|without|never)\b)[^.;?!])*)(?=[.;?!]|$)",
    re.I,
)
# "an ordinary receptacle", "a plain box": one that lacks what another of its kind has
_PLAIN = re.compile(r"\b(?:ordinary|plain|regular|standard|normal|common|unlisted|unmarked|alone)\b", re.I)


def names_exception(stem: str, judged: Iterable[str], entry: Entry, book: Book) -> bool:
    """Whether a question makes a condition with a telling word of what the entry excepts, which what would judge it
    (`judged`: the names of a thing of a list, or a proposition) lacks: "two wires ok if the terminal is listed"."""
    conditions = " . ".join(found["what"] for found in _CONDITION.finditer(stem))
    if not conditions:
        return False
    excepted = [found["what"] for text in (entry.answer, entry.says) for found in _EXCEPTED.finditer(text)]
    rule = " . ".join([_EXCEPTED.sub(" ", entry.answer), entry.title, *entry.about])
    telling = book.telling(" . ".join([*excepted, *entry.exceptions])) - book.telling(rule)
    return not (telling & book.telling(conditions)) <= book.telling(" . ".join(judged))


def conditional(entry: Entry) -> bool:
    """Whether the answer of an entry permits or demands only under a condition."""
    return bool(_EXCEPTED.search(entry.answer) or re.search(r"\bif\b", entry.answer))


def excluded(stem: str, item: Item, others: Iterable[Item], book: Book) -> set[str]:
    """The words of a question that only a thing of the other sense (`others`: "GFCI receptacle") has, where a thing of
    a list is told apart by what it lacks ("ordinary receptacle")."""
    names = (item.what, *item.also)
    if not any(plain(name) for name in names):
        return set()
    theirs = book.telling(" . ".join(name for other in others for name in (other.what, *other.also)))
    return (theirs - book.telling(" . ".join(names))) & book.telling(stem)


def plain(text: str) -> bool:
    """Whether a text speaks of the plain thing of a kind."""
    return bool(_PLAIN.search(text))

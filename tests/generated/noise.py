"""The same question typed in a hurry: seeded noise that changes no meaning.

Numbers, units and negations are never touched, nor words shorter than five letters.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable
from random import Random

from parsers import Reader
from parsers.numbers import NUMBER_WORDS
from parsers.quantities import unit_words

KEYS = ["qwertyuiop", "asdfghjkl", "zxcvbnm"]
NEGATIONS = {"cannot", "never", "without", "except", "neither", "excluding", "other", "instead", "under", "unless"}
UNITS = {"celsius", "centigrade", "fahrenheit", "degree", "gauge", "gage", "kcmil", "circular", "phase", "cubic"}
LEFT_ALONE = NEGATIONS | NUMBER_WORDS | unit_words() | UNITS
WORD = re.compile(r"(?<![\w'/-])[A-Za-z]{5,}(?![\w'/-])")
ARTICLE = re.compile(r"(?<!\d )(?<![\w'-])(?:an?|the)(?= [a-z]{2})", re.IGNORECASE)
APART = re.compile(r"(?<=\d) (?=(?:hp|HP|V|v|volts?|A|amps?|AWG|kcmil|MCM|ft|kVA|°C|°F)(?!\w))")
MARK = re.compile(r"(?<!\d)[,;:!?.](?=\s|$)|(?<=\d)[,;:!?.](?=\s|$)")
SWAPPED = {"horsepower", "voltage", "phases"}  # kinds that say by their unit what they are, wherever they stand
BETWEEN = re.compile(r" |, ")


def typo(text: str, rng: Random, reader: Reader) -> str:
    """One slip of the fingers in one word: a letter missed, doubled, swapped with its neighbour or beside its key."""
    words = [found for found in WORD.finditer(text) if not _left_alone(found.group().lower())]
    if not words:
        return text
    word = rng.choice(words)
    at, letters = rng.randrange(1, len(word.group())), list(word.group())
    slip = rng.randrange(4)
    if slip == 0:
        del letters[at]
    elif slip == 1:
        letters.insert(at, letters[at])
    elif slip == 2:
        at = max(at, 2)
        letters[at - 1], letters[at] = letters[at], letters[at - 1]
    else:
        row = next(row for row in KEYS if letters[at].lower() in row)
        place = row.index(letters[at].lower()) + rng.choice((-1, 1))
        letters[at] = row[max(0, min(place, len(row) - 1))]
    return text[: word.start()] + "".join(letters) + text[word.end() :]


def _left_alone(word: str) -> bool:
    return any(form in LEFT_ALONE for form in (word, word.removesuffix("s"))) or word.startswith(("non", "un"))


def no_article(text: str, rng: Random, reader: Reader) -> str:
    """One article left out."""
    articles = list(ARTICLE.finditer(text))
    if not articles:
        return text
    found = rng.choice(articles)
    return (text[: found.start()] + text[found.end() :].lstrip(" ")).strip()


def swapped(text: str, rng: Random, reader: Reader) -> str:
    """Two facts of different kinds that stand side by side, the other way round."""
    facts = sorted(
        (fact for fact in reader.read(text).facts if fact.kind in SWAPPED and fact.text), key=lambda fact: fact.start
    )
    text = reader.read(text).text
    pairs = [
        (one, other)
        for one, other in itertools.pairwise(facts)
        if one.kind != other.kind
        and not one.text.strip().isdigit()
        and not other.text.strip().isdigit()
        and BETWEEN.fullmatch(text, one.end, other.start)
    ]
    if not pairs:
        return text
    one, other = rng.choice(pairs)
    between = text[one.end : other.start]
    return text[: one.start] + other.text + between + one.text + text[other.end :]


def glued(text: str, rng: Random, reader: Reader) -> str:
    """No space between a number and its unit."""
    return APART.sub("", text)


def capitals(text: str, rng: Random, reader: Reader) -> str:
    """The caps lock is on."""
    return text.upper()


def no_marks(text: str, rng: Random, reader: Reader) -> str:
    """Nothing but words and numbers."""
    return MARK.sub("", text)


NOISES: dict[str, Callable[[str, Random, Reader], str]] = {
    "typo": typo,
    "another typo": typo,
    "no article": no_article,
    "swapped": swapped,
    "glued": glued,
    "capitals": capitals,
    "no marks": no_marks,
}

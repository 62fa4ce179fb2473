"""spaCy at work: our own tokenizer, vocabulary and head words as phrases. Imported only when a Reader is built."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from spacy.attrs import LOWER
from spacy.lang.lex_attrs import LEX_ATTRS
from spacy.matcher import PhraseMatcher
from spacy.tokenizer import Tokenizer
from spacy.tokens import Doc
from spacy.vocab import Vocab

from parsers import numbers
from parsers.edits import Rewritten
from parsers.tidy import tidy

_LETTER_HYPHEN = re.compile(r"(?<=[a-zA-Z])[-_](?=\w)|(?<=\w)[-_](?=[a-zA-Z])")
_SHORT = re.compile(
    r"\b(cont|noncont|temp|max|min|cond|ckt|inst|sch|sched|amp|amps|bkr|svc|insul|term|equip|approx|dept|bldg|elec|conn|recept|recepts)\.(?=\s+\S)",
    re.I,
)
_PREFIX = re.compile(r"[^\w\s]")
_SUFFIX = re.compile(r"[^\w\s]$")
_INFIX = re.compile(
    r"(?<=\d)(?=[^\W\d])|(?<=[^\W\d])(?=\d)|(?<=[^\W\d])[^\w\s'](?=\w)|(?<=\d)[^\w\s]|[^\w\s'](?=\d)|[^\w\s']+|'(?=\d)|'(?=\W)"
)


_RUN = re.compile(r"[^\W\d_]+|\d+|[^\w\s]|_")  # letters, digits or a sign: within such a run no token begins
_BARE = re.compile(r"[a-z]+(?: [a-z]+)*")


def flattened(text: str) -> str:
    """The text with hyphens between words as spaces; of the same length, so that places stay."""
    if "." in text:
        text = _SHORT.sub(r"\1 ", text)
    return _LETTER_HYPHEN.sub(" ", text)


def phrase_form(phrase: str) -> str:
    """A vocabulary phrase as a question's text looks when it is matched: tidied, lowered, number words as digits."""
    if _BARE.fullmatch(phrase) and not numbers.may_say(phrase):
        return phrase  # most are, and this is much cheaper
    text = Rewritten(tidy(phrase).lower())
    text.apply(numbers.said(text.text))
    return flattened(text.text)


def plurals(phrase: str) -> Iterator[str]:
    """The phrase and, where its last word is a word that takes one, its plural."""
    yield phrase
    last = phrase.rsplit(" ", 1)[-1]
    if len(last) < 3 or not last.isalpha() or last.endswith("s"):
        return
    if last.endswith(("ch", "sh", "x", "z")):
        yield phrase + "es"
    elif last.endswith("y") and last[-2] not in "aeiou":
        yield phrase[:-1] + "ies"
    else:
        yield phrase + "s"


class Pipeline:
    """Tokenizes a text and finds phrases in it."""

    def __init__(self, phrases: Mapping[str, Iterable[str]]) -> None:
        """`phrases`: lists of phrases by the name of the matcher that they belong to."""
        # the one attribute that is matched; all of them would cost a third of the cold start
        self.vocab = Vocab(lex_attr_getters={LOWER: LEX_ATTRS[LOWER]})
        self.tokenizer = Tokenizer(
            self.vocab, prefix_search=_PREFIX.match, suffix_search=_SUFFIX.search, infix_finditer=_INFIX.finditer
        )
        self._matchers = {name: PhraseMatcher(self.vocab, attr="LOWER") for name in phrases}
        self._waiting: dict[str, list[tuple[str, str]]] = defaultdict(list)  # by what begins them: matcher and phrase
        for name, listed in phrases.items():
            for phrase in listed:
                self._waiting[_RUN.findall(phrase)[0]].append((name, phrase))

    def expect(self, low: str) -> None:
        """Make the phrases known that may stand in a lowered text; a question needs few of them, and all would cost a
        tenth of the cold start. Not within a memory zone, which would forget them."""
        for run in set(_RUN.findall(low)) & self._waiting.keys():
            for name, phrase in self._waiting.get(run, ()):
                self._matchers[name].add(phrase, [self.tokenizer(phrase)])
            self._waiting.pop(run, None)  # after they were added, for another thread may read meanwhile

    def warm(self) -> None:
        """Make all phrases known now, for a process that will answer many questions."""
        for run in list(self._waiting):
            self.expect(run)

    def tokens(self, flat: str) -> Doc:
        """The tokens of a flattened text."""
        return self.tokenizer(flat)

    def found(self, name: str, doc: Doc) -> list[tuple[str, int, int]]:
        """Phrases of a matcher in the text, none within a longer one: phrase, first token, token after the last."""
        strings = self.vocab.strings
        hits = sorted((start, -stop, key) for key, start, stop in self._matchers[name](doc))
        kept: list[tuple[str, int, int]] = []
        reached = 0
        for start, stop, key in hits:
            if -stop > reached:  # else it lies within one that began before
                reached = -stop
                kept.append((strings[key], start, reached))
        return kept

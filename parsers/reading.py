"""A question as it was understood: facts, what is asked, options, form, what was mended and what was left unread."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from parsers import numbers
from parsers.edits import Edit, Rewritten
from parsers.tidy import tidy

_SEARCH_WORD = re.compile(r"[a-z0-9]+(?:[/.'-][a-z0-9]+)*")
_PHRASE_WORD = re.compile(r"[a-z]+(?:'[a-z]+)?")


@dataclass(slots=True)
class Fact:
    """A value and the inputs that it may fill, best first, each with the evidence for it from 0 to 1."""

    inputs: list[tuple[str, float]]
    value: float | str
    unit: str | None
    kind: str
    text: str
    start: int
    end: int
    thing: int | None = None
    how: str = "typed"  # typed | mended
    about: bool = False
    negated: bool = False
    more: dict[str, Any] = field(default_factory=dict)  # wires of a cable, poles, degrees Fahrenheit as typed


@dataclass(slots=True)
class Entity:
    """A word of the vocabulary."""

    kind: str
    name: str
    text: str
    start: int
    end: int
    how: str = "typed"
    negated: bool = False


@dataclass(slots=True)
class Ask:
    """Something that is wanted. `strength`: 1 beside an asking word, less where only the noun stands there."""

    name: str
    text: str
    start: int
    strength: float = 1.0


@dataclass(slots=True)
class Option:
    """One of the answers that were pasted with the question."""

    letter: str
    text: str
    facts: list[Fact]
    entities: list[Entity]


@dataclass(slots=True)
class Reading:
    """All that was read from one question. Places are those of `text`; `stem` is mended, and without the options."""

    text: str
    stem: str
    facts: list[Fact]
    entities: list[Entity]
    asks: list[Ask]
    options: list[Option]
    form: str
    follow: str | None
    edition: str | None
    mends: list[tuple[str, str]]
    unread: list[str]
    things: int
    asks_max: str | None
    words: list[str]
    passed: list[str] = field(default_factory=list)  # numbers that are in no fact and no word

    def of(self, name: str) -> list[Fact]:
        """The facts whose best candidate is this input."""
        return [fact for fact in self.facts if fact.inputs and fact.inputs[0][0] == name]

    def names(self, kind: str) -> list[str]:
        """The entities of a kind, in order, each once."""
        return list(dict.fromkeys(entity.name for entity in self.entities if entity.kind == kind))


class Reader:
    """Reads questions. Built once (about half a second, for spaCy); `read` then takes well under a millisecond."""

    def __init__(
        self,
        vocabulary: Mapping[str, Mapping[str, Iterable[str]]],
        inputs: Mapping[str, Any],
        known_words: Iterable[str] = (),
    ) -> None:
        """`vocabulary`: words by kind and name; `inputs`: kind and heads of each; `known_words`: never to be mended."""
        from parsers.binding import Binder
        from parsers.forms import Forms
        from parsers.pipeline import Pipeline, phrase_form, plurals
        from parsers.quantities import Quantities, load_words, load_yaml, unit_words
        from parsers.spelling import Speller

        self.quantities = Quantities()
        self.binder = Binder(inputs)
        self.forms = Forms()
        self.meanings: dict[str, list[tuple[str, str]]] = defaultdict(list)  # of each phrase: kind and name
        self.yes_no = {kind for kind, names in vocabulary.items() if set(names) <= {"yes", "no"}}
        forms: list[str] = []
        for kind, names in vocabulary.items():
            for name, phrases in names.items():
                for phrase in phrases:
                    for form in plurals(phrase_form(phrase)):
                        forms.append(form)
                        if form and (kind, name) not in self.meanings[form]:
                            self.meanings[form].append((kind, name))
        spelled = Counter(_PHRASE_WORD.findall("\n".join(forms)))
        self._keep_values_in_asks()
        heads = [head for head in self.binder.phrases() if head]
        self.pipeline = Pipeline({"vocabulary": self.meanings, "heads": heads})
        spelled.update(word for head in heads for word in _PHRASE_WORD.findall(head))
        self.units = unit_words()
        units = self.units | numbers.NUMBER_WORDS
        spelled.update(units)
        self.filler = load_words("filler.txt")
        self.explained = self.filler | units
        english = load_words("english.txt")
        self._known = self.explained | english | set(spelled) | set(known_words)
        self._speller = Speller(spelled, english | self.filler, known_words, units)
        heard = load_yaml("dictation.yaml")
        self._dictation = [(re.compile(entry["hear"]), entry["say"]) for entry in heard]
        self._dictated = re.compile("|".join(f"(?:{entry['hear']})" for entry in heard if "\\1" not in entry["hear"]))
        self.read("5 hp 230 v")

    def warm(self) -> None:
        """Load all that is otherwise loaded as texts need it."""
        self.pipeline.warm()

    def knows(self, word: str) -> bool:
        """Whether a word is in the vocabulary, a unit, or everyday English."""
        return word in self._known

    def _keep_values_in_asks(self) -> None:
        """A phrase that asks ("largest inverse time breaker") swallows the shorter ones in it; the values among those
        are still told."""
        values = {
            phrase: [(kind, name) for kind, name in told if kind in self.binder.kept_in_asks]
            for phrase, told in self.meanings.items()
        }
        values = {phrase: told for phrase, told in values.items() if told}
        self.kept: dict[str, str] = {}
        longest = max((phrase.count(" ") + 1 for phrase in values), default=0)
        first = {phrase.partition(" ")[0] for phrase in values}
        for phrase, told in self.meanings.items():
            if not any(kind in ("ask", "weak_ask") for kind, _ in told) or phrase in values:
                continue
            words = phrase.split()
            starts = [at for at, word in enumerate(words) if word in first]
            for length in range(min(longest, len(words)), 0, -1) if starts else ():
                found = [" ".join(words[at : at + length]) for at in starts if at + length <= len(words)]
                if inside := next((part for part in found if part in values), None):
                    told += values[inside]
                    self.kept[phrase] = inside
                    break

    def read(self, text: str, known: Iterable[str] = ()) -> Reading:
        """What the text says; `known` is what the talk is about ("topic.motor"). Never raises, whatever is typed."""
        from parsers.making import Making

        source = Rewritten(tidy(text))
        mends = self._mend(source)
        mended = source.text
        low = mended.lower()
        words = _SEARCH_WORD.findall(low)
        if len(low) == len(source.text):  # a few foreign letters grow when lowered; then places would not fit
            source.apply(numbers.apart(low))
            source.apply(numbers.said(source.text.lower()))
        self.pipeline.expect(source.text.lower())
        with self.pipeline.vocab.memory_zone():
            return Making(self, source, mends, mended).reading(words, known)

    def _mend(self, source: Rewritten) -> list[tuple[str, str]]:
        """Put right what was misheard or misspelt; what was done, as pairs of typed and read."""
        mends: list[tuple[str, str]] = []
        low = source.text.lower()
        if len(low) != len(source.text):
            return mends
        if self._dictated.search(low):
            edits = self._misheard(low)
            mends += [(low[start:end].strip(), new.strip()) for start, end, new in edits]
            source.apply(edits)
            low = source.text.lower()
        edits = self._speller.edits(low)
        mends += [(low[start:end], new) for start, end, new in edits]
        source.apply(edits)
        return mends

    def _misheard(self, low: str) -> list[Edit]:
        edits: list[Edit] = []
        for pattern, say in self._dictation:
            for found in pattern.finditer(low):
                start, end = found.span()
                new = found.expand(say)
                if new != found.group() and not any(start < stop and begin < end for begin, stop, _ in edits):
                    edits.append((start, end, new))
        return sorted(edits)

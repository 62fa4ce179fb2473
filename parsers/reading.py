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
    """All that was read from one question. Places are those of `text`."""

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

    def of(self, name: str) -> list[Fact]:
        """The facts whose best candidate is this input."""
        return [fact for fact in self.facts if fact.inputs and fact.inputs[0][0] == name]

    def names(self, kind: str) -> list[str]:
        """The entities of a kind, in order, each once."""
        return list(dict.fromkeys(entity.name for entity in self.entities if entity.kind == kind))


# --- the form of a question ------------------------------------------------------------------------------------------------
_NOT = re.compile(
    r"\b(?:EXCEPT|NOT|LEAST likely)\b|\bexcept\s*:?\s*$|\bwhich\b[^.?]*\b(?:not|except)\b|\ball of (?:these|the following)\b[^.?]*\bexcept\b"
)
_NOT_LOW = re.compile(r"\bwhich\b[^.?]*\b(?:not|isn'?t|except)\b|\bexcept\s*:?\s*$", re.I)
_DEFINITION = re.compile(
    r"\bwhat(?:'?s|\s+is|\s+does|\s+do)?\b[^.?]*\b(?:mean|meaning|stand for)\b|\bdefin(?:e|ition)\b|\bmeaning of\b|^what(?:'?s| is) (?:a|an)\s+(?!(?:minimum|maximum|good|max|min|safe)\b)(?:[a-z-]+\s*){1,4}\??$"
)
_WHERE = re.compile(
    r"\b(?:which|what)\s+(?:article|section|table|chapter|part of the (?:code|book|nec)|annex|page)\b|\bwhere\b[^.?]*\b(?:book|code|nec|find|say|says|table|tables|article|section)\b|\btable no\b|\b(?:article|section|table) (?:number|for|no)\b|\bwhat code (?:section|article)\b"
)
_MANY = re.compile(r"\bhow (?:many|much)\b|\bnumber of\b|\bmin(?:imum)? (?:number|no\.?) of\b|\b(?:max|min) recepts\b")
_YES = re.compile(
    r"(?:^|[.?!]\s+|\n|^(?:so|and|but|ok|hey|question|wait|ok so|hey so|alright)[\s,]+)(?:is|are|am|can|could|may|must|do|does|did|should|shall|will|would|has|have|was|were|isn'?t|aren'?t|can'?t|don'?t|doesn'?t)\s+\S+"
    r"|\b(?:is|are|was|does|do|has)\s+(?:it|this|that|there|these|those|they|my|your|i|we|you)\b"
    r"|\b(?:ok|okay|legal|allowed|right|correct|permitted|good|kosher|required|cool|code|true|acceptable|fine|violation|compliant)\s*\?"
    r"|^[^,.?]{3,70},\s+(?:must|may|can|is|are|does|do|should|shall|could|will|has|have)\s"
    r"|\b(?:ok|okay|allowed|legal|permitted)\s+(?:in|for|to|on|under|with|at|as)\b"
    r"|\b(?:right|correct|ok)\?*$|\bdo (?:i|we|you|they) (?:really |even |actually )?(?:have|need|gotta)\b|\b(?:can|may|could|should) (?:i|we|you)\b|\bright (?:cause|because|cuz)\b"
)
_WHAT = re.compile(
    r"\bwhat\b(?! if\b| about\b)|\bwhich\b|\bhow (?:big|deep|far|high|close|wide|long|large|small|tall|often|often|bad|hot|thick|heavy|do|does|is|apart)\b|\bwhats\b|\bcompute\b|\bcalculate\b|\bdetermine\b|\bfind the\b|\bhows\b|\bat what\b|\bwhat's\b"
)
_WHICH = re.compile(
    r"\bwhich (?:of (?:these|the following|them|the)|one|room|is|are|may|must|would|statement)\b|\bwhich [a-z0-9 -]{1,30} (?:is|are|may|can)\b"
)
_LEAST = re.compile(r"\b(?:min(?:imum)?|smallest|least|lowest|shortest|shallowest|at least)\b")
_GREATEST = re.compile(
    r"\b(?:max(?:imum)?|biggest|largest|greatest|highest|most|at most|longest|absolute|farthest|go up to|no more than)\b"
)
_FOLLOW = (
    ("what-about", re.compile(r"^(?:(?:ok|okay|and|so|oh|alright|now|well|hmm)[\s,]+)*(?:what|how)\s*(?:'?s)?\s*(?:about|bout|if)\b|^(?:and|but|ok|okay|now|so)\s+if\b|^if (?:its|it's|it was|it were)\b|^(?:ok|okay|now)?[\s,]*(?:suppose|say its|say it's|lets say|make (?:it|that))\b")),
    ("no", re.compile(r"^(?:no|nope|nah|sorry|oh sorry|oops|wait|oh wait|my bad|actually|correction|i meant|i mean|scratch that|whoops|oh|not)\b(?!\s*\.?\s*\d)(?!\s+(?:what|how|which|grounds?|clamps?))")),
    ("same-at", re.compile(r"^(?:(?:and|ok|okay|now|so)[\s,]+)*(?:the )?same\b(?!\s+size\b)")),
    ("and", re.compile(r"^(?:ok[\s,]+)?(?:and|also|then|plus|so then|now)\b|\b(?:then|for (?:it|that|this one|that one|those|them|this))\s*\?*$|\bfor (?:four|five|six|\d+) of them\b")),
)  # fmt: skip
_CORRECTION = re.compile(
    r"\b(?:no[\s,]+wait|wait[\s,]+no|no[\s,]+(?=(?:its|it's|make|i mean|sorry|\d))|i mean(?:t)?|scratch that|make (?:it|that)|correction|oops|sorry|my bad|strike that|rather|actually(?:\s+its|\s+it's)?|er|or rather|hold on)\b[\s,]*(?:its|it's|it is|a|an|the|thats|that's|make it|make that|should be|i mean)?\s*"
)
_CUE = re.compile(
    r"\b(?:what|which|whats|what's|how big|how large|how small|how deep|how far|how often|how many|how much|how close|how long|how heavy|how bad|size|sizes|sized|smallest|largest|biggest|min|max|minimum|maximum|least|greatest|highest|lowest|need|needs|needed|require|required|compute|determine|calculate|find|figure|pick|choose|whats the|tell me|give me|use|rating|lookin for|looking for|want)\b"
)
_SIZE_CUE = re.compile(r"\b(?:what|which|how big|min|max|minimum|maximum|smallest|largest|biggest)\b")
_OPTION_LINE = re.compile(r"(?:^|\n)\s*[(\[]?([a-hA-H])[).:\]]\s+(?=\S)")
_OPTION_IN_LINE = re.compile(r"(?:(?<=\s)|^)[(\[]?([a-hA-H])[)\]]\s*(?=\S)")
_EDITION_SHORT = re.compile(r"['\u2019](\d\d)\s+(?:code|nec|book|edition|cycle)\b|\b(?:nec|code)\s+'(\d\d)\b")
_ABOUT = re.compile(
    r"(?:\babout|\baround|\broughly|\bapprox(?:imately)?\.?|\bmaybe|\blike|~|\balmost|\bnearly|\bor so)\s*(?:an?\s+)?$"
)
_NEGATOR = re.compile(
    r"(?:\bnot|\bisn'?t|\bisnt|\bno|\bwithout|\bain'?t|\baint|\bnon|\bnever|\baren'?t|\bdon'?t|\bdont|\bdoesn'?t|\bw/o)(?:\s+(?:a|an|the|any|on|for|really|be|in|to|all))?[\s-]*$"
)
_SEARCH_WORD = re.compile(r"[a-z0-9]+(?:[/.'-][a-z0-9]+)*")
_PHRASE_WORD = re.compile(r"[a-z]+(?:'[a-z]+)?")


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
        from parsers.pipeline import Pipeline, phrase_form, plurals
        from parsers.quantities import PATTERNS, Quantities, load_yaml, unit_words
        from parsers.spelling import Speller

        self._quantities = Quantities()
        self._binder = Binder(inputs)
        self._meanings: dict[str, list[tuple[str, str]]] = defaultdict(list)
        spelled: Counter[str] = Counter()
        for kind, names in vocabulary.items():
            for name, phrases in names.items():
                for phrase in phrases:
                    for form in plurals(phrase_form(phrase)):
                        if form and (kind, name) not in self._meanings[form]:
                            self._meanings[form].append((kind, name))
                    spelled.update(_PHRASE_WORD.findall(phrase.lower()))
        heads = [head for head in self._binder.phrases() if head]
        self._pipeline = Pipeline({"vocabulary": self._meanings, "heads": heads})
        self._yes_no = {kind for kind in vocabulary if set(vocabulary[kind]) <= {"yes", "no"}}
        self._starting = {"starting"} & set(vocabulary)
        for head in heads:
            spelled.update(_PHRASE_WORD.findall(head))
        english = {
            word
            for name in ("english.txt", "filler.txt")
            for line in (PATTERNS / name).read_text("utf-8").splitlines()
            if not line.startswith("#")
            for word in line.split()
        }
        self._filler = {
            word
            for line in (PATTERNS / "filler.txt").read_text("utf-8").splitlines()
            if not line.startswith("#")
            for word in line.split()
        }
        units = unit_words()
        self._explained = self._filler | units | numbers.NUMBER_WORDS
        for word in units | numbers.NUMBER_WORDS:
            spelled[word] += 1
        self._speller = Speller(spelled, english, known_words)
        self._dictation = [(re.compile(entry["hear"]), entry["say"]) for entry in load_yaml("dictation.yaml")]
        self._dictated = re.compile(
            "|".join(
                f"(?:{re.sub(chr(92) + chr(92) + '1', '', entry['hear'])})" for entry in load_yaml("dictation.yaml")
            )
        )
        self.read("warm up: 5 hp 230 v")

    def read(self, text: str) -> Reading:
        """What the text says. Never raises, whatever is typed."""
        typed = tidy(text)
        source = Rewritten(typed)
        mends = self._mend(source)
        low = source.text.lower()
        words = _SEARCH_WORD.findall(low)
        if len(low) == len(source.text):
            source.apply(numbers.said(low))
        with self._pipeline.vocab.memory_zone():
            return _Pass(self, source, mends, words).reading()

    def _mend(self, source: Rewritten) -> list[tuple[str, str]]:
        mends: list[tuple[str, str]] = []
        low = source.text.lower()
        if len(low) != len(source.text):
            return mends
        if self._dictated.search(low):
            edits: list[Edit] = []
            for pattern, say in self._dictation:
                for found in pattern.finditer(low):
                    new = found.expand(say)
                    if new != found.group() and not any(
                        found.start() < end and start < found.end() for start, end, _ in edits
                    ):
                        edits.append((found.start(), found.end(), new))
            edits.sort()
            mends += [(low[start:end].strip(), new.strip()) for start, end, new in edits]
            source.apply(edits)
            low = source.text.lower()
        edits = self._speller.edits(low)
        mends += [(low[start:end], new) for start, end, new in edits]
        source.apply(edits)
        return mends


class _Pass:
    """One reading in the making."""

    def __init__(self, reader: Reader, source: Rewritten, mends: list[tuple[str, str]], words: list[str]) -> None:
        from parsers.binding import Mention, Ruler
        from parsers.pipeline import flattened
        from parsers.quantities import lowered

        self.reader, self.source, self.mends, self.words = reader, source, mends, words
        self._mention = Mention
        self.work = source.text
        self.low = lowered(self.work)
        self.doc = reader._pipeline.tokens(flattened(self.low))
        self.lowers = [token.text for token in self.doc]
        self.starts = [token.idx for token in self.doc]
        self.ruler = Ruler(self.lowers, [bool(token.whitespace_) for token in self.doc])
        self.token_at: list[int] = []
        self.covered = bytearray(len(self.doc))

    def tokens_of(self, start: int, end: int) -> tuple[int, int]:
        span = self.doc.char_span(start, end, alignment_mode="expand")
        return (span.start, span.end) if span is not None else (0, 0)

    def reading(self) -> Reading:
        spans = self._option_spans()
        stem_end = spans[0][1] if spans else len(self.work)
        quantities = self.reader._quantities.read(self.work)
        hits = self.reader._pipeline.found("vocabulary", self.doc)
        heads = self.reader._pipeline.found("heads", self.doc)
        entities, entity_places = self._entities(hits)
        quantities = [
            quantity for quantity in quantities if not (quantity.kind == "number" and self._in_a_word(quantity, hits))
        ]
        mentions = self._mentions(quantities, heads)
        taken = {(mention.kind, mention.start) for mention in mentions}
        spans_taken = [(mention.kind, mention.start, mention.end) for mention in mentions]
        for entity, (first, last) in zip(entities, entity_places, strict=True):
            kind = self.reader._binder.kinds_too.get(entity.kind, entity.kind)
            if kind not in self.reader._binder.of_kind or (kind, entity.start) in taken:
                continue
            if any(kind == other and start < entity.end and entity.start < end for other, start, end in spans_taken):
                continue
            mentions.append(
                self._mention(
                    kind, entity.name, None, entity.start, entity.end, first, last, negated=entity.negated, word=True
                )
            )
            taken.add((kind, entity.start))
        mentions.sort(key=lambda mention: mention.start)
        self._correct(mentions)
        asks = self._asks(entities, entity_places, mentions, stem_end)
        about = {f"ask.{ask.name}" for ask in asks} | {
            f"topic.{entity.name}" for entity in entities if entity.kind == "topic"
        }
        about |= {f"fact.{mention.kind}" for mention in mentions if mention.word}
        stem = [mention for mention in mentions if mention.start < stem_end]
        stem_heads = heads if not spans else [head for head in heads if self.starts[head[1]] < stem_end]
        self.reader._binder.bind(stem, stem_heads, self.ruler, about)
        options: list[Option] = []
        for letter, begin, start, end in spans:
            inside = [mention for mention in mentions if start <= mention.start < end]
            self.reader._binder.bind(
                inside, [head for head in heads if start <= self.starts[head[1]] < end], self.ruler, set()
            )
            options.append(
                Option(
                    letter,
                    self._typed(start, end).strip(),
                    [self._fact(mention) for mention in inside],
                    [self._placed(entity) for entity in entities if start <= entity.start < end],
                )
            )
        things = self._things(stem)
        facts = [self._fact(mention) for mention in _once(stem)]
        stem_low = self.low[:stem_end]
        edition = self._edition(mentions)
        return Reading(
            text=self.source.typed,
            stem=self._typed(0, stem_end).strip() if spans else self.source.typed,
            facts=facts,
            entities=[self._placed(entity) for entity in entities if entity.start < stem_end],
            asks=asks,
            options=options,
            form=self._form(stem_low, bool(options)),
            follow=self._follow(stem_low, facts, asks, entities),
            edition=edition,
            mends=self.mends,
            unread=self._unread(heads, stem_end),
            things=things,
            asks_max=self._asks_max(stem_low),
            words=self.words,
        )

    # --- pieces ----------------------------------------------------------------------------------------------------------------
    def _option_spans(self) -> list[tuple[str, int, int, int]]:
        """Letter, start of the mark, start and end of the text of each pasted option."""
        for pattern in (_OPTION_LINE, _OPTION_IN_LINE):
            found: list[re.Match[str]] = []
            for match in pattern.finditer(self.work):
                if ord(match[1].lower()) - 97 == len(found):
                    found.append(match)
                elif match[1].lower() == "a":
                    found = [match]
            if len(found) >= 2 and (pattern is _OPTION_LINE or len(found) >= 3):
                ends = [match.start() for match in found[1:]] + [len(self.work)]
                return [
                    (match[1].lower(), match.start(), match.end(), end) for match, end in zip(found, ends, strict=True)
                ]
        return []

    def _entities(self, hits: list[tuple[str, int, int]]) -> tuple[list[Entity], list[tuple[int, int]]]:
        entities: list[Entity] = []
        places: list[tuple[int, int]] = []
        for phrase, first, last in hits:
            start = self.starts[first]
            end = self.starts[last - 1] + len(self.lowers[last - 1])
            if (
                self.lowers[last - 1].isdigit()
                and self.low[end : end + 1] == "/"
                and self.low[end + 1 : end + 2].isdigit()
            ):
                continue  # "use 2" of "use 2/0"
            negated = bool(first) and _NEGATOR.search(self.low, max(0, start - 16), start) is not None
            self.covered[first:last] = b"\x01" * (last - first)
            for kind, name in self.reader._meanings[phrase]:
                if (
                    kind in ("insulation", "cable")
                    and self.lowers[first] in self.reader._filler
                    and not self.work[start].isupper()
                ):
                    continue  # "USE", not "use"
                if negated and kind in self.reader._yes_no:
                    entities.append(Entity(kind, "no" if name == "yes" else "yes", phrase, start, end))
                else:
                    entities.append(Entity(kind, name, phrase, start, end, negated=negated))
                places.append((first, last))
        return entities, places

    def _in_a_word(self, quantity: Any, hits: list[tuple[str, int, int]]) -> bool:
        """Whether a bare number is part of a longer word, as in "schedule 40"."""
        first, last = self.tokens_of(quantity.start, quantity.end)
        return any(begin <= first and last <= end and end - begin > last - first for _, begin, end in hits)

    def _mentions(self, quantities: list[Any], heads: list[tuple[str, int, int]]) -> list[Any]:
        from parsers.quantities import VOLTAGES, count_before

        mentions: list[Any] = []
        head_ends = {last: (phrase, first) for phrase, first, last in heads}
        head_starts = {first: (phrase, last) for phrase, first, last in heads}
        for quantity in quantities:
            first, last = self.tokens_of(quantity.start, quantity.end)
            kind, unit = quantity.kind, quantity.unit
            self.covered[first:last] = b"\x01" * (last - first)
            if kind in ("section", "other"):
                mentions.append(self._mention(kind, quantity.value, None, quantity.start, quantity.end, first, last))
                continue
            if kind == "number":
                for rule in self.reader._binder.bare_rules:
                    if self._bare(rule, quantity.value, first, last, head_ends, head_starts, VOLTAGES):
                        kind, unit = rule["kind"], rule["unit"]
                        break
            mention = self._mention(
                kind,
                quantity.value,
                unit,
                quantity.start,
                quantity.end,
                first,
                last,
                more=quantity.more,
                bare=quantity.bare,
            )
            mention.about = _ABOUT.search(self.low, max(0, quantity.start - 18), quantity.start) is not None
            mention.negated = _NEGATOR.search(self.low, max(0, quantity.start - 16), quantity.start) is not None
            copies = 1
            if kind == "horsepower" and (before := count_before(self.low, quantity.start)):
                if 2 <= before[0] <= 20 and not any(
                    other.start <= before[1] < other.end and other.kind != "number" for other in mentions
                ):
                    copies = before[0]
                    mentions = [other for other in mentions if other.start != before[1]]
            if quantity.count is not None and "wires" in quantity.more:
                mention.more = {**quantity.more, "cables": quantity.count}
            elif quantity.count is not None and kind == "wire_size":
                mentions.append(
                    self._mention(
                        "count", quantity.count, "count", quantity.start, quantity.end, first, last, more={"of": kind}
                    )
                )
            if "to_ground" in quantity.more:
                mentions.append(
                    self._mention(
                        "voltage_to_ground", quantity.more["to_ground"], "V", quantity.start, quantity.end, first, last
                    )
                )
            mentions.append(mention)
            mentions += [
                self._mention(kind, quantity.value, unit, quantity.start, quantity.end, first, last)
                for _ in range(copies - 1)
            ]
        return mentions

    def _bare(
        self,
        rule: dict[str, Any],
        value: float,
        first: int,
        last: int,
        ends: Mapping[int, tuple[str, int]],
        starts: Mapping[int, tuple[str, int]],
        voltages: frozenset[int],
    ) -> bool:
        if "voltage" in rule:
            if value not in voltages:
                return False
        elif (
            not float(rule["least"]) <= value <= float(rule["greatest"])
            or str(value) in rule.get("except", ())
            or ("step" in rule and value % int(rule["step"]))
        ):
            return False
        after = starts.get(last)
        if after is None and last + 1 < len(self.lowers) and self.lowers[last] in _THIN:
            after = starts.get(last + 1)
        if after is not None and after[0] in rule["before"]:
            return True
        before = ends.get(first)
        if before is None and first and self.lowers[first - 1] in _THIN:
            before = ends.get(first - 1)
        if before is not None and before[0] in rule["after"]:
            return True
        return (
            "voltage" in rule
            and value >= 110
            and (
                self.low[:2] == "no"
                or len(self.doc) <= 6
                or "hp" in self.low
                or "horse" in self.low
                or "phase" in self.low
                or " ph" in self.low
                or "volt" in self.low
            )
        )

    def _correct(self, mentions: list[Any]) -> None:
        """In "5 hp, no wait 7.5" the second value takes the place of the first."""
        for found in _CORRECTION.finditer(self.low):
            old = [mention for mention in mentions if mention.end <= found.start() and not mention.word]
            new = next((mention for mention in mentions if found.end() <= mention.start <= found.end() + 12), None)
            if new is None or not old:
                continue
            same = next((mention for mention in reversed(old) if mention.kind == new.kind), None)
            if same is None and new.kind in ("number", "voltage") and new.bare:
                same = next((mention for mention in reversed(old) if mention.kind not in ("wire_size", "number")), None)
                if same is not None:
                    new.kind, new.unit = same.kind, same.unit
            if same is not None and found.start() - same.end < 60:
                mentions.remove(same)

    def _asks(
        self, entities: list[Entity], places: list[tuple[int, int]], mentions: list[Any], stem_end: int
    ) -> list[Ask]:
        found: list[tuple[float, int, Ask]] = []  # phrases that ask by themselves
        weak: list[tuple[float, int, Ask]] = []  # nouns that ask only beside an asking word
        cues = [match.end() for match in _CUE.finditer(self.low, 0, stem_end)]
        loose = False
        ask_places = [
            (entity.start, entity.end) for entity in entities if entity.kind in ("ask", "weak_ask", "uncovered")
        ]
        for match in _SIZE_CUE.finditer(self.low, 0, stem_end):
            rest = re.split(r"[.?!\n]", self.low[match.end() : stem_end], maxsplit=1)[0]
            if not any(match.end() <= start < match.end() + len(rest) for start, _ in ask_places):
                loose = True  # "what size cu?": the noun stands elsewhere
        ends = {mention.last for mention in mentions if mention.kind == "current"}
        generic = self.reader._binder.generic_asks
        asking = [
            (entity, first, last)
            for entity, (first, last) in zip(entities, places, strict=True)
            if entity.kind == "ask"
        ]
        for entity, (first, last) in zip(entities, places, strict=True):
            if entity.kind not in ("ask", "weak_ask") or entity.start >= stem_end or entity.negated:
                continue
            strong = entity.kind == "ask"
            rank = generic.index(entity.name) if entity.name in generic else 99
            if any(
                first < end
                and begin < last
                and (begin, end) != (first, last)
                and (generic.index(other.name) if other.name in generic else 99) > rank
                for other, begin, end in asking
            ):
                continue
            strength = 0.8 if strong else 0.3
            for cue in cues:
                if cue <= entity.start:
                    gap, soft, hard = self.ruler.between(self.tokens_of(cue - 1, cue)[1], first)
                    if not hard and gap <= 7:
                        strength = max(strength, 1 - 0.05 * gap - 0.25 * soft)
                elif entity.start < cue <= entity.end:
                    strength = max(strength, 0.95)
            after = self.low[entity.end : entity.end + 14]
            if re.match(r"\s*(?:then|again|size)?\s*\?", after) or re.match(r"\s*(?:min|max|size|please|pls)\b", after):
                strength = max(strength, 0.95)
            elif re.search(r"\b(?:need|use|go with|pick)\b\s*\??$", self.low[entity.end : stem_end]):
                strength = max(strength, 0.6)
            if not after.strip() and first:
                strength = max(strength, 0.6)
            if first == 0 or (
                first <= 2
                and self.lowers[0] in ("and", "the", "copper", "cu", "al", "aluminum", "min", "max", "so", "ok")
            ):
                strength = max(strength, 0.75)
            if first in ends or (first and self.lowers[first - 1] == "-" and first - 1 in ends):
                strength = min(strength, 0.25)  # "110A bkr" is given
            (found if strong else weak).append(
                (
                    strength,
                    entity.start,
                    Ask(
                        entity.name,
                        self._typed(entity.start, entity.end),
                        self.source.back(entity.start, entity.end)[0],
                        round(strength, 2),
                    ),
                )
            )
        if not any(strength >= 0.5 for strength, _, _ in found):
            found += [item for item in weak if item[0] >= 0.75]
        found = [item for item in found if item[0] > 0.25]
        best = max((strength for strength, _, _ in found), default=0)
        kept = [item for item in found if item[0] >= 0.5] if best >= 0.5 else found
        if loose and best < 0.75:
            for item in kept:
                item[2].strength = max(item[2].strength, 0.7)
        kept.sort(key=lambda item: (item[0] < 0.75, item[1]))
        asks: dict[str, Ask] = {}
        for _, _, ask in kept:
            asks.setdefault(ask.name, ask)
        return list(asks.values())

    def _things(self, mentions: list[Any]) -> int:
        """Number the motors of a list, and say how many there are."""
        for name, thing in self.reader._binder.thing_of.items():
            if not thing or name != "horsepower":
                continue
            listed = [mention for mention in mentions if mention.inputs and mention.inputs[0][0] == name]
            if len(listed) > 1:
                for index, mention in enumerate(listed):
                    mention.thing = index
                return len(listed)
        return 0

    def _form(self, low: str, options: bool) -> str:
        stem = self.work[: len(low)]
        if (options and _NOT.search(stem)) or (options and _NOT_LOW.search(low)):
            return "which-not"
        if _DEFINITION.search(low):
            return "definition"
        if _WHERE.search(low):
            return "where"
        many, what, yes = _MANY.search(low), _WHAT.search(low), _YES.search(low)
        which = _WHICH.search(low)
        if options and which and what and which.start() <= what.start():
            return "which"
        if many and not (what and what.start() < many.start() and "number" not in many[0]):
            return "how-many"
        if yes and re.search(r"\b(?:right|ok|okay|correct|legal|allowed)\s*\?*$", low):
            return "yes/no"
        if what and not (yes and yes.start() < what.start() and not _asks_size(low)):
            return "which" if _WHICH.search(low) and not _asks_size(low) else "what"
        if yes:
            return "yes/no"
        if _LEAST.search(low) or _GREATEST.search(low) or "?" in low:
            return "what"
        return "statement"

    def _follow(self, low: str, facts: list[Fact], asks: list[Ask], entities: list[Entity]) -> str | None:
        for name, pattern in _FOLLOW:
            if pattern.search(low) and not (
                name in ("no", "and") and len(self.doc) > 14 and not low.startswith(("and ", "ok and "))
            ):
                return name
        if any(entity.kind in ("uncovered", "weak_ask") for entity in entities):
            return None
        if len(self.doc) <= 7 and not asks and (facts or len(self.doc) <= 2) and "?" not in low:
            return "bare"
        if len(self.doc) <= 4 and asks and not any(fact.inputs for fact in facts):
            return "and"
        return None

    @staticmethod
    def _asks_max(low: str) -> str | None:
        least, greatest = _LEAST.search(low), _GREATEST.search(low)
        if least and greatest:
            return "least" if least.start() < greatest.start() else "greatest"
        return "least" if least else "greatest" if greatest else None

    def _edition(self, mentions: list[Any]) -> str | None:
        for mention in mentions:
            if mention.kind == "edition":
                return str(mention.value)
        if "'" in self.low and (short := _EDITION_SHORT.search(self.low)):
            return f"20{short[1] or short[2]}"
        return None

    def _unread(self, heads: list[tuple[str, int, int]], stem_end: int) -> list[str]:
        for _, first, last in heads:
            self.covered[first:last] = b"\x01" * (last - first)
        explained = self.reader._explained
        unread = [
            word
            for index, word in enumerate(self.lowers)
            if not self.covered[index]
            and len(word) > 1
            and word[0].isalpha()
            and word not in explained
            and self.starts[index] < stem_end
        ]
        return list(dict.fromkeys(unread))

    # --- back to the typed text ------------------------------------------------------------------------------------------------
    def _typed(self, start: int, end: int) -> str:
        start, end = self.source.back(start, end)
        return self.source.typed[start:end]

    def _how(self, start: int, end: int) -> str:
        if not self.mends:
            return "typed"
        now = self.low[start:end]
        return (
            "mended" if any(new in now for _, new in self.mends) and self._typed(start, end).lower() != now else "typed"
        )

    def _fact(self, mention: Any) -> Fact:
        start, end = self.source.back(mention.start, mention.end)
        text = self.source.typed[start:end].strip()
        return Fact(
            mention.inputs,
            mention.value,
            mention.unit,
            mention.kind,
            text,
            start,
            end,
            mention.thing,
            self._how(mention.start, mention.end),
            mention.about,
            mention.negated,
            mention.more,
        )

    def _placed(self, entity: Entity) -> Entity:
        start, end = self.source.back(entity.start, entity.end)
        return Entity(
            entity.kind,
            entity.name,
            self.source.typed[start:end],
            start,
            end,
            self._how(entity.start, entity.end),
            entity.negated,
        )


def _once(mentions: list[Any]) -> list[Any]:
    """The mentions without those that only repeat an earlier one."""
    seen: set[tuple[Any, ...]] = set()
    kept = []
    for mention in mentions:
        if mention.inputs and mention.thing is None:
            key = (mention.inputs[0][0], mention.value, mention.negated)
            if key in seen:
                continue
            seen.add(key)
        kept.append(mention)
    return kept


_THIN = frozenset({"a", "the", "-", ",", "amp", "an", "of", "is", "copper", "cu"})


def _asks_size(low: str) -> bool:
    return (
        re.search(
            r"\b(?:what|which|whats|what's|how)\s+(?:\w+\s+){0,3}?(?:size|gauge|big|biggest|smallest|largest|minimum|maximum|max|min|least|copper|aluminum|wire|breaker|fuse|amps|number)\b|\bwhat (?:does|is|do|would|number|amps)\b",
            low,
        )
        is not None
    )

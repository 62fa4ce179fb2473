"""One reading in the making: from the tokens of a text to its facts, entities, asks and options."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from parsers.asking import asks
from parsers.binding import Mention, Ruler
from parsers.edits import Rewritten
from parsers.pipeline import flattened
from parsers.quantities import Quantity, count_before, lowered
from parsers.reading import Ask, Entity, Fact, Option, Reading

if TYPE_CHECKING:
    from parsers.reading import Reader

Place = tuple[int, int]  # first token, token after the last
Hit = tuple[str, int, int]  # phrase and its place
# characters to look back, or ahead
NEAR_NEGATOR, NEAR_ONLY, NEAR_ABOUT, NEAR_CORRECTION, FAR_CORRECTION = 16, 32, 18, 12, 30
FARTHEST_CORRECTION, NEAR_PER_PHASE = 60, 40
MOST_COPIES = 20
DENIALS = ("no", "not", "without", "non", "none")
CORRECTED_WORDS = ("phases", "metal", "device_type")  # kinds told in words that a later one puts right
_DIGITS = re.compile(r"(?<![\w.])\d+(?:[./-]\d+)*(?![\d])")
BARE_TURN = 7  # tokens; a turn of nothing but facts that is no longer than this follows up


class Making:
    """Reads one text. Holds spaCy's tokens, so it must not outlive the memory zone that it is used in."""

    def __init__(self, reader: Reader, source: Rewritten, mends: list[tuple[str, str]], mended: str) -> None:
        self.reader, self.source, self.mends, self.mended = reader, source, mends, mended
        self.work = source.text
        self.low = lowered(self.work)
        self.doc = reader.pipeline.tokens(flattened(self.low))
        self.tokens = [token.text for token in self.doc]
        self.starts = [token.idx for token in self.doc]
        self.ruler = Ruler(self.tokens, [bool(token.whitespace_) for token in self.doc])
        self.covered = bytearray(len(self.doc))  # tokens that something was read from
        self.named: list[tuple[int, int]] = []  # places of the text where a thing is named by its number
        self.known: frozenset[str] = frozenset()  # what the talk is about, as "topic.name"

    def reading(self, words: list[str], known: Iterable[str] = ()) -> Reading:
        """The reading. `words`: the text's words for a search; `known`: what the talk is about, as "topic.name"."""
        forms, binder = self.reader.forms, self.reader.binder
        self.known = frozenset(known)
        spans = forms.options(self.work)
        stem_end = spans[0][1] if spans else len(self.work)
        hits = self.reader.pipeline.found("vocabulary", self.doc)
        heads = self.reader.pipeline.found("heads", self.doc)
        entities, places = self._entities(hits)
        quantities = [q for q in self.reader.quantities.read(self.work) if not self._within_word(q, hits)]
        for quantity in quantities:
            if topic := quantity.more.get("topic"):
                said = self.low[quantity.start : quantity.end]
                entities.append(Entity("topic", topic, said, quantity.start, quantity.end))
                places.append(self.place(quantity.start, quantity.end))
        mentions = self._of_quantities(quantities, heads, stem_end)
        mentions += self._of_words(entities, places, mentions)
        mentions.sort(key=lambda mention: mention.start)
        self._correct(mentions)
        asked = asks(self, entities, places, mentions, stem_end)
        about = {f"ask.{ask.name}" for ask in asked}
        about |= {f"topic.{entity.name}" for entity in entities if entity.kind == "topic"} | self.known
        about |= {f"fact.{mention.kind}" for mention in mentions}
        mentions = binder.settled(mentions, about)
        stem = [mention for mention in mentions if mention.start < stem_end]
        binder.bind(stem, [head for head in heads if self.starts[head[1]] < stem_end], self.ruler, about)
        options = [self._option(letter, start, end, mentions, heads, entities) for letter, _, start, end in spans]
        stem = self._repeated(stem)
        things = binder.number_things(stem, self.ruler)
        stem = self._uncounted(stem, things)
        stem = self._numbered(stem)
        facts = [self._fact(mention) for mention in _once(stem)]
        low = self.low[:stem_end]
        form = forms.form(low, self.work[:stem_end], bool(options))
        return Reading(
            text=self.source.typed,
            stem=self._stem() if spans or self.mends else self.source.typed,
            facts=facts,
            entities=[self._placed(entity) for entity in entities if entity.start < stem_end],
            asks=asked,
            options=options,
            form=form,
            follow=self._follow(low, form, facts, asked, entities),
            edition=next((str(m.value) for m in mentions if m.kind == "edition"), None) or forms.edition(self.low),
            mends=self.mends,
            unread=self._unread(heads, stem_end),
            things=things,
            asks_max=forms.asks_max(low),
            words=words,
            passed=self._passed(facts, entities, stem_end),
        )

    def _stem(self) -> str:
        """The mended text up to the options."""
        spans = self.reader.forms.options(self.mended)
        return self.mended[: spans[0][1]].strip() if spans else self.mended

    def place(self, start: int, end: int) -> Place:
        """The tokens that a piece of the text touches."""
        span = self.doc.char_span(start, end, alignment_mode="expand")
        return (span.start, span.end) if span is not None else (0, 0)

    def says(self, name: str, start: int, end: int) -> bool:
        """Whether an expression of forms.yaml is found between two places."""
        return self.reader.forms.of[name].search(self.low, max(0, start), end) is not None

    def _per_phase(self, end: int) -> bool:
        """Whether "per phase" follows: two 250 kcmil per phase are two sets."""
        return self.reader.forms.of["per_phase"].match(self.low, end, end + NEAR_PER_PHASE) is not None

    def _negated(self, start: int) -> bool:
        """Whether a "not" stands before a place; the "no" that begins a turn answers the one before."""
        found = self.reader.forms.of["negator"].search(self.low, max(0, start - NEAR_NEGATOR), start)
        return found is not None and not (found.start() == 0 and self.low.startswith("no "))

    # --- words of the vocabulary ------------------------------------------------------------------------------------
    def _entities(self, hits: list[Hit]) -> tuple[list[Entity], list[Place]]:
        entities: list[Entity] = []
        places: list[Place] = []
        listed = [match.span() for match in self.reader.forms.of["negated_list"].finditer(self.low)]
        for phrase, first, last in hits:
            start, end = self.starts[first], self.starts[last - 1] + len(self.tokens[last - 1])
            if (
                self.tokens[last - 1].isdigit()
                and self.low[end : end + 1] == "/"
                and self.low[end + 1 : end + 2].isdigit()
            ):
                continue  # "use 2" of "use 2/0"
            negated = first > 0 and (self._negated(start) or any(begin < start < stop for begin, stop in listed))
            negated = negated and self.tokens[first] not in DENIALS  # "without a loop or splice no clamps" denies once
            self.covered[first:last] = b"\x01" * (last - first)
            opening = first == 1 and self.tokens[0] == "no"  # "no clamps" denies them; "no copper" names another metal
            instead = opening and self.says("only_another", end, end + NEAR_ONLY)  # "no rod, just the ufer"
            everyday = self.tokens[first] in self.reader.filler and not self.work[start].isupper()
            everyday = everyday and "-" not in self.work[start:end]  # "use-2" is no verb
            for kind, name in self.reader.meanings[phrase]:
                if everyday and kind in ("insulation", "cable"):
                    continue  # "USE", not "use"
                replaced = kind in CORRECTED_WORDS and self.says("instead_of", start - NEAR_ONLY, start)
                opened = opening and (instead or kind in self.reader.yes_no | self.reader.binder.counted)
                denied = negated or replaced or opened
                if denied and kind in self.reader.yes_no:
                    entities.append(Entity(kind, "no" if name == "yes" else "yes", phrase, start, end))
                else:
                    entities.append(Entity(kind, name, phrase, start, end, negated=denied))
                places.append((first, last))
        return entities, places

    def _of_words(self, entities: list[Entity], places: list[Place], mentions: list[Mention]) -> list[Mention]:
        """The entities that are values of an input, unless a quantity says the same."""
        binder = self.reader.binder
        found: list[Mention] = []
        taken = {(mention.kind, mention.start) for mention in mentions}
        for entity, (first, last) in zip(entities, places, strict=True):
            kind = binder.kinds_too.get(entity.kind, entity.kind)
            if kind not in binder.of_kind or (kind, entity.start) in taken:
                continue
            if any(m.kind == kind and m.start < entity.end and entity.start < m.end for m in (*mentions, *found)):
                continue
            unit = entity.text in self.reader.units
            if unit and any(m.unit and m.start < entity.start and entity.end <= m.end for m in mentions):
                continue  # "8 footer" speaks of feet
            of_other = kind == "metal" and last < len(self.tokens) and self.tokens[last] in binder.metal_of
            if of_other and not any(m.kind == "wire_size" and m.last == first for m in mentions):
                continue  # an aluminum box; but "2/0 aluminum conduit fill"
            mention = Mention(kind, entity.name, None, entity.start, entity.end, first, last, word=True)
            mention.said = self.reader.kept.get(entity.text, entity.text)
            mention.negated = entity.negated
            found.append(mention)
            taken.add((kind, entity.start))
        return found

    # --- quantities -------------------------------------------------------------------------------------------------
    def _within_word(self, quantity: Quantity, hits: list[Hit]) -> bool:
        """Whether a bare number is part of a longer word, as in "schedule 40" and "listed for 100 percent"."""
        if quantity.kind not in ("number", "percent"):
            return False
        first, last = self.place(quantity.start, quantity.end)
        kinds = self.reader.binder.of_kind
        return any(
            begin <= first
            and last <= end
            and end - begin > last - first
            and (quantity.kind == "number" or any(kind in kinds for kind, _ in self.reader.meanings[phrase]))
            for phrase, begin, end in hits
        )

    def _of_quantities(self, quantities: list[Quantity], heads: list[Hit], stem_end: int) -> list[Mention]:
        mentions: list[Mention] = []
        several = len(quantities) > 1 and all(quantity.kind == "number" for quantity in quantities)
        ends = {last: phrase for phrase, _, last in heads}
        starts = {first: phrase for phrase, first, _ in heads}
        for quantity in quantities:
            first, last = self.place(quantity.start, quantity.end)
            self.covered[first:last] = b"\x01" * (last - first)
            mention = self._mention(quantity, quantity.kind, quantity.value, quantity.unit)
            if mention.kind == "number" and quantity.start < stem_end:  # a bare number of an option may be anything
                for rule in self.reader.binder.bare_rules:
                    if "listed" in rule and not (several and rule["listed"] in self.known):
                        continue
                    if self._taken_for(rule, mention, ends, starts):
                        mention.kind, mention.unit = rule["kind"], rule["unit"]
                        if "fahrenheit" in rule:  # so hot that it can only be °F
                            mention.more = {**mention.more, "fahrenheit": mention.value}
                            mention.value = round((float(mention.value) - 32) * 5 / 9, 1)
                        break
            mention.about = self.says("about", quantity.start - NEAR_ABOUT, quantity.start)
            mention.negated = self._negated(quantity.start)
            copies = 1
            if mention.kind in self.reader.binder.counted and (before := count_before(self.low, quantity.start)):
                count, begin = before
                others = [other for other in mentions if other.start <= begin < other.end]
                if mention.kind == "horsepower" and self._one_thing(begin, quantity.end):
                    count = 0
                if 1 <= count <= MOST_COPIES and all(other.kind == "number" for other in others):
                    copies = count  # "three 10 hp motors"
                    mentions = [other for other in mentions if other not in others]
                    self.named.append((begin, quantity.start))
            if "along" in quantity.more:  # told beside another value of the same words, which is what counts
                mention.fixed = True
            for kind, counted in self._counts(quantity).items():
                mentions.append(self._mention(quantity, kind, counted, "count"))
                mentions[-1].part_of = mention
            if "to_ground" in quantity.more:
                mentions.append(self._mention(quantity, "voltage_to_ground", quantity.more["to_ground"], "V"))
            mentions.append(mention)
            mentions += [self._mention(quantity, mention.kind, mention.value, mention.unit) for _ in range(copies - 1)]
        return self._multiplied(mentions)

    def _one_thing(self, begin: int, end: int) -> bool:
        """Whether a 2 or 4 before a rating stands for "to" or "for": the thing that follows is one, "4 10 hp motor"."""
        one = self.reader.forms.of["one_thing"].match(self.low, end)
        return one is not None and self.typed(begin, begin + 1) in ("2", "4")

    def _counts(self, quantity: Quantity) -> dict[str, int]:
        """What is counted beside a size: sets, conductors, or cables and the wires of each."""
        count = quantity.count
        if "grounds" in quantity.more:
            return {"ground_count": count or 1}
        if "wires" in quantity.more:
            return {"cable_wires": quantity.more["wires"], **({"cable_count": count} if count else {})}
        if "article" in quantity.more:  # "a 12" counts one in a box; elsewhere it counts nothing
            return {"article": 1}
        parallel = "parallel" in self.low[quantity.start : quantity.end]  # "4 parallel 350s"
        if count is not None and (parallel or self._per_phase(quantity.end)):
            return {"sets": count}
        return {"count": count} if count is not None and quantity.kind == "wire_size" else {}

    def _repeated(self, mentions: list[Mention]) -> list[Mention]:
        """In "2 switches" the word stands for two; "the switch", "the 40 hp motor" are some that were named before."""
        found: list[Mention] = []
        for mention in mentions:
            copies, said = 1, self.low[mention.start : mention.end].rstrip("s")
            if not mention.word and mention.kind in self.reader.binder.counted:
                named = any((other.kind, other.value) == (mention.kind, mention.value) for other in found)
                if named and self.says("again", mention.start - NEAR_ABOUT, mention.start):
                    continue
            if mention.word and mention.inputs and mention.kind in self.reader.binder.counted:
                named = any(self.low[other.start : other.end].rstrip("s") == said for other in found)
                if named and self.says("again", mention.start - NEAR_ABOUT, mention.start):
                    continue
                if before := count_before(self.low, mention.start):
                    copies = min(before[0], MOST_COPIES)
                    mention.start = before[1]  # "1 switch"
                    found = [other for other in found if other.start != before[1] or other.kind != "number"]
            found += [mention, *(replace(mention) for _ in range(copies - 1))]
        return found

    def _uncounted(self, mentions: list[Mention], things: int) -> list[Mention]:
        """The mentions without a bare number that only says how many a list has: "three motors: 10, 15 and 25 hp"."""
        counts = [m for m in mentions if things and m.kind == "number" and not m.inputs and m.value == things]
        self.named += [(mention.start, mention.end) for mention in counts]
        return [mention for mention in mentions if mention not in counts]

    def _numbered(self, mentions: list[Mention]) -> list[Mention]:
        """In "motor 2 is single phase" the number names the motor that the rest of the sentence is about."""
        for found in self.reader.forms.of["numbered_thing"].finditer(self.low):
            number, told = int(found[2]), self.reader.forms.of["clause_ends"].search(self.low, found.end())
            end = told.start() if told else len(self.low)
            here = [mention for mention in mentions if found.end() <= mention.start < end]
            self.reader.binder.said_of("motor", number - 1, here)
            self.named.append(found.span())
            mentions = [m for m in mentions if m.kind != "number" or not found.start() <= m.start < found.end()]
        return mentions

    def _multiplied(self, mentions: list[Mention]) -> list[Mention]:
        """In "4 motors, 10 hp each" the one rating stands for four."""
        listed = [mention for mention in mentions if mention.kind in self.reader.binder.counted]
        found = self.reader.forms.of["each"].search(self.low) if len(listed) == 1 else None
        if not found:
            return mentions
        count = int(found[1] or found[2])
        if not 2 <= count <= MOST_COPIES:
            return mentions
        return mentions + [replace(listed[0], inputs=[]) for _ in range(count - 1)]

    def _mention(self, quantity: Quantity, kind: str, value: float | str, unit: str | None) -> Mention:
        first, last = self.place(quantity.start, quantity.end)
        mention = Mention(kind, value, unit, quantity.start, quantity.end, first, last)
        mention.more, mention.bare = quantity.more, quantity.bare
        mention.word = kind == "ground_count"  # "a ground" is a word where no box is filled
        return mention

    def _taken_for(
        self, rule: Mapping[str, Any], mention: Mention, ends: dict[int, str], starts: dict[int, str]
    ) -> bool:
        """Whether a bare number is what a rule of binding.yaml takes it for: by its size and by the words beside it."""
        value, thin = float(mention.value), self.reader.binder.thin
        if "among" in rule and f"{value:g}" not in rule["among"]:
            return False
        if not float(rule.get("least", 0)) <= value <= float(rule.get("greatest", "inf")):
            return False
        if f"{value:g}" in rule.get("except", ()) or ("step" in rule and value % float(rule["step"])):
            return False
        if "written" in rule and "/" in self.low[mention.start : mention.end]:
            return False  # no amperes are told as "7-1/2"
        if self.says("part_of", mention.start - NEAR_ABOUT, mention.start):
            return False
        if "behind" in rule:
            said_before = self.low[max(0, mention.start - FARTHEST_CORRECTION) : mention.start]
            return re.search(rule["behind"], said_before) is not None
        if "not_then" in rule and re.match(rule["not_then"], self.low[mention.end :]):
            return False  # "three continuous-duty motors" are no amperes
        after = starts.get(mention.last)
        if after is None and mention.last < len(self.tokens) and self.tokens[mention.last] in thin:
            after = starts.get(mention.last + 1)
        before = ends.get(mention.first)
        if before is None and mention.first and self.tokens[mention.first - 1] in thin:
            before = ends.get(mention.first - 1)
        if after in rule["before"] or before in rule["after"]:
            return True
        if before and any(" " in word and before.endswith(" " + word) for word in rule["after"]):  # "ol | set at"
            return True
        if "listed" in rule:
            return not self.says("a_number", mention.end, mention.end + 2)
        if len(self.tokens) <= int(rule.get("alone", 0)) or (self.low.startswith("no") and "alone" in rule):
            return True
        return any(word in self.low for word in rule.get("anywhere", ()))

    def _correct(self, mentions: list[Mention]) -> None:
        """In "5 hp, no wait 7.5" the second value takes the place of the first."""
        for found in self.reader.forms.of["correction"].finditer(self.low):
            old = [m for m in mentions if m.end <= found.start() and (not m.word or m.kind in CORRECTED_WORDS)]
            if any(mention.start <= found.start() < mention.end for mention in mentions):
                continue  # the "no" of "no 3 AWG"
            near_mark, near = found.end() + NEAR_CORRECTION, found.end() + FAR_CORRECTION
            new = next((mention for mention in mentions if found.end() <= mention.start <= near), None)
            if new is None or not old:
                continue
            same = next((mention for mention in reversed(old) if mention.kind == new.kind), None)
            if new.start > near_mark and (same is not old[-1] or new.bare):
                continue  # farther on only what was said last is put right, with its unit
            if same is None and new.kind in ("number", "voltage") and new.bare:
                same = next((mention for mention in reversed(old) if mention.kind not in ("wire_size", "number")), None)
                if same is not None:
                    new.kind, new.unit = same.kind, same.unit
            if same is not None and found.start() - same.end < FARTHEST_CORRECTION:
                mentions.remove(same)

    # --- the rest ---------------------------------------------------------------------------------------------------
    def _option(
        self, letter: str, start: int, end: int, mentions: list[Mention], heads: list[Hit], entities: list[Entity]
    ) -> Option:
        inside = [mention for mention in mentions if start <= mention.start < end]
        near = [head for head in heads if start <= self.starts[head[1]] < end]
        self.reader.binder.bind(inside, near, self.ruler, set())
        named = [self._placed(entity) for entity in entities if start <= entity.start < end]
        return Option(letter, self.typed(start, end).strip(), [self._fact(mention) for mention in inside], named)

    def _follow(self, low: str, form: str, facts: list[Fact], asked: list[Ask], entities: list[Entity]) -> str | None:
        if marked := self.reader.forms.follow(low, len(self.tokens)):
            return marked
        if any(entity.kind in ("uncovered", "uncovered_load", "weak_ask") for entity in entities):
            return None
        short = len(self.tokens) <= BARE_TURN
        if short and facts and not asked and form == "statement":
            return "bare"
        return "and" if len(self.tokens) <= 4 and asked and not any(fact.inputs for fact in facts) else None

    def _unread(self, heads: list[Hit], stem_end: int) -> list[str]:
        for _, first, last in heads:
            self.covered[first:last] = b"\x01" * (last - first)
        explained = self.reader.explained
        left = (
            word
            for word, start, covered in zip(self.tokens, self.starts, self.covered, strict=True)
            if not covered and start < stem_end and len(word) > 1 and word[0].isalpha() and word not in explained
        )
        return list(dict.fromkeys(left))

    def _passed(self, facts: list[Fact], entities: list[Entity], stem_end: int) -> list[str]:
        """The numbers of the question that are in no fact and in no name ("sched 40" is one of a pipe)."""
        typed = self.source.typed
        spans = [self.source.back(entity.start, entity.end) for entity in entities]
        spans += [(fact.start, fact.end) for fact in facts] + [self.source.back(*span) for span in self.named]
        told = {number for fact in facts for number in _DIGITS.findall(fact.text)}
        left = [
            found.group()
            if typed[found.end() : found.end() + 1] != "-"
            else typed[found.start() :].split()[0].rstrip("-")
            for found in _DIGITS.finditer(typed, 0, self.source.back(0, stem_end)[1])
            if found.group() not in told and not any(a < found.end() and found.start() < b for a, b in spans)
        ]
        return list(dict.fromkeys(left))

    # --- back to the typed text -------------------------------------------------------------------------------------
    def typed(self, start: int, end: int) -> str:
        """A piece of the text as it was typed."""
        start, end = self.source.back(start, end)
        return self.source.typed[start:end].strip()

    def _how(self, start: int, end: int) -> str:
        now = self.low[start:end]
        mended = any(new in now for _, new in self.mends) and self.typed(start, end).lower() != now
        return "mended" if mended else "typed"

    def _fact(self, mention: Mention) -> Fact:
        start, end = self.source.back(mention.start, mention.end)
        return Fact(
            inputs=mention.inputs,
            value=mention.value,
            unit=mention.unit,
            kind=mention.kind,
            text=self.source.typed[start:end].strip(),
            start=start,
            end=end,
            thing=mention.thing,
            how=self._how(mention.start, mention.end),
            about=mention.about,
            negated=mention.negated,
            more=mention.more,
        )

    def _placed(self, entity: Entity) -> Entity:
        start, end = self.source.back(entity.start, entity.end)
        how = self._how(entity.start, entity.end)
        return Entity(entity.kind, entity.name, self.source.typed[start:end], start, end, how, entity.negated)


def _once(mentions: list[Mention]) -> list[Mention]:
    """The mentions without those that only repeat an earlier one, and without words and counts that fill nothing."""
    seen: set[tuple[str, float | str, bool]] = set()
    kept = []
    for mention in mentions:
        if not mention.inputs and (mention.word or mention.part_of):
            continue
        if mention.inputs and mention.thing is None:
            key = (mention.inputs[0][0], mention.value, mention.negated)
            if key in seen:
                continue
            seen.add(key)
        kept.append(mention)
    return kept

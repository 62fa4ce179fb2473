"""What is asked: the words of the vocabulary that ask, weighed by the asking words beside them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from parsers.reading import Ask, Entity

if TYPE_CHECKING:
    from parsers.binding import Mention
    from parsers.making import Making, Place

# Strengths. `ask` words ask by themselves; `weak_ask` words only beside an asking word.
BY_ITSELF, NOUN, GIVEN = 0.8, 0.3, 0.25
SURE, LIKELY, AT_THE_HEAD, LOOSE, AT_THE_END = 0.95, 0.5, 0.75, 0.7, 0.6
CUED = 0.9  # a noun with its asking word right before it outweighs a phrase that no asking word stands by
A_WORD_LESS, A_COMMA_LESS, FARTHEST_CUE = 0.05, 0.25, 7
_SENTENCE_END = re.compile(r"[.?!\n]")


def asks(
    making: Making, entities: list[Entity], places: list[Place], mentions: list[Mention], stem_end: int
) -> list[Ask]:
    """Each thing asked for once, the sure ones first."""
    of = making.reader.forms.of
    cues = [
        (match.end(), making.place(match.end() - 1, match.end())[1])
        for match in of["cue"].finditer(making.low, 0, stem_end)
    ]
    currents = [mention for mention in mentions if mention.kind == "current"]
    given = {mention.last for mention in mentions if mention.kind == "current"}
    counts = [(mention.first, mention.last) for mention in mentions if mention.kind == "count"]
    topics = {f"topic.{entity.name}" for entity in entities if entity.kind == "topic"} | making.known
    found: list[tuple[float, Ask]] = []
    checked: list[tuple[float, Ask]] = []
    weak: list[tuple[float, Ask]] = []
    for entity, (first, last) in zip(entities, places, strict=True):
        if entity.kind not in ("ask", "weak_ask") or entity.start >= stem_end or entity.negated:
            continue
        if _outdone(making, entity, (first, last), entities, places):
            continue
        if not topics.intersection(f"topic.{name}" for name in making.reader.binder.asks_on.get(entity.name, ())) and (
            entity.name in making.reader.binder.asks_on
        ):
            continue
        strong = entity.kind == "ask"
        if not strong and entity.text.lower() in making.reader.binder.sizes and _unknown(making, first - 1):
            continue  # "max brker size" asks for the size of what was not understood
        strength = max(BY_ITSELF if strong else NOUN, _beside(making, entity, first, cues, stem_end))
        counted = not strong and any(first >= begin and last <= end for begin, end in counts)
        behind = first in given or (first and making.tokens[first - 1] == "-" and first - 1 in given)
        behind = behind and not of["asking_word"].match(making.low, entity.start)  # "pulls 18 amps what breaker"
        if counted or (behind and entity.name not in making.reader.binder.in_no_amperes):
            strength = min(strength, GIVEN)  # "110A bkr" and "in conduit with 14 conductors" are told, not asked
        elif strength < SURE and entity.name in making.reader.binder.may_be_told and _told(making, entity, currents):
            strength = GIVEN  # "a full-load current of 40 amperes"
        start = making.source.back(entity.start, entity.end)[0]
        ask = Ask(entity.name, making.typed(entity.start, entity.end), start, round(strength, 2))
        (found if strong else weak).append((strength, ask))
        if strength == GIVEN and entity.name in making.reader.binder.checked_asks:
            checked.append((LIKELY, ask))
    best = max((strength for strength, _ in found), default=0)
    if best <= BY_ITSELF and (sure := [item for item in weak if item[0] >= CUED]):
        sure = [item for item in sure if item[1].name != making.reader.binder.generic_asks[0]]
        found = [item for item in found if item[0] != BY_ITSELF or not sure] + sure
    if not any(strength >= LIKELY for strength, _ in found):
        nouns = [item for item in weak if item[1].text.lower() not in making.reader.binder.sizes]
        if nouns and len(nouns) < len(weak):  # "dual element fuses, max size": the size is the fuses'
            found += [(LIKELY, ask) for strength, ask in nouns if strength < AT_THE_HEAD][:1]
            weak = nouns
        found += [item for item in weak if item[0] >= AT_THE_HEAD]
    found = [item for item in found if item[0] > GIVEN]
    if any(strength >= SURE for strength, _ in found):  # a phrase that no asking word stands by is then only told
        found = [item for item in found if item[0] != BY_ITSELF]
    best = max((strength for strength, _ in found), default=0)
    kept = [item for item in found if item[0] >= LIKELY] if best >= LIKELY else found
    named = [(item[0], ask) for item in kept for _, ask in weak if _outdone_by(making, item[1], ask)]
    kept += [item for item in named if item not in kept]
    kept = [item for item in kept if not any(_outdone_by(making, item[1], other[1]) for other in kept)]
    kept = kept or checked[:1]
    kinds = {mention.kind for mention in mentions}
    for rule in making.reader.binder.asked_of:
        if "in_words" in rule:
            if rule.get("of", "") not in kinds | {""}:
                continue
            if asked := of[rule["in_words"]].search(making.low, 0, stem_end):
                kept = [(SURE, Ask(rule["becomes"], making.typed(*asked.span()), asked.start(), SURE))]
            continue
        if rule["of"] not in kinds or kinds & set(rule.get("not_of", ())):
            continue
        for _, ask in kept:
            if ask.name == rule.get("ask") and ask.text.lower() in rule["words"]:
                ask.name = rule["becomes"]
        if not kept and "at_end" in rule and (ended := of[rule["at_end"]].search(making.low, 0, stem_end)):
            kept = [(AT_THE_HEAD, Ask(rule["becomes"], making.typed(*ended.span()), ended.start(), AT_THE_HEAD))]
    if best < AT_THE_HEAD and _asks_elsewhere(making, entities, stem_end):
        for _, ask in kept:
            ask.strength = max(ask.strength, LOOSE)
    kept.sort(key=lambda item: (item[0] < AT_THE_HEAD, item[1].start))
    once: dict[str, Ask] = {}
    for _, ask in kept:
        once.setdefault(ask.name, ask)
    return list(once.values())


def _unknown(making: Making, at: int) -> bool:
    """Whether a token is a word that nothing was read from and that no list knows."""
    if at < 0 or making.covered[at]:
        return False
    word = making.tokens[at]
    return len(word) > 1 and word.isalpha() and not making.reader.knows(word)


def _outdone_by(making: Making, ask: Ask, other: Ask) -> bool:
    """Whether one ask only says what the other is of, or the size of it: of "ampacity | of its conductors" the first is
    asked for, of "wire size | of the jumper" the second; the later of the general ones stands."""
    generic = making.reader.binder.generic_asks
    if ask is other or ask.name not in generic:
        return False
    first, second = sorted((ask, other), key=lambda one: one.start)
    end = first.start + len(first.text)
    between = making.source.typed[end : second.start].lower()
    if end > second.start or making.reader.forms.of["of_what"].fullmatch(between) is None:
        return False
    return other.name not in generic or generic.index(ask.name) < generic.index(other.name)


def _told(making: Making, entity: Entity, currents: list[Mention]) -> bool:
    """Whether the value of a quantity stands right after its name."""
    for mention in currents:
        if mention.start < entity.end and entity.start < mention.end:
            return True
        if entity.end <= mention.start and making.says("told_after", entity.end, mention.start):
            return mention.start - entity.end < 20
    return False


def _beside(making: Making, entity: Entity, first: int, cues: list[tuple[int, int]], stem_end: int) -> float:
    """How surely the words around it ask for it."""
    of = making.reader.forms.of
    strength = 0.0
    for cue, token in cues:
        if cue <= entity.start:
            gap, soft, hard = making.ruler.between(token, first)
            if not hard and gap <= FARTHEST_CUE:
                strength = max(strength, 1 - A_WORD_LESS * gap - A_COMMA_LESS * soft)
        elif entity.start < cue <= entity.end:
            strength = max(strength, SURE)
    if of["asked_after"].match(making.low, entity.end, stem_end):
        strength = max(strength, SURE)
    elif of["needed_after"].search(making.low, entity.end, stem_end):
        strength = max(strength, AT_THE_END)
    if first and not making.low[entity.end : stem_end].strip(" :?._"):
        strength = max(strength, AT_THE_END)
    if first == 0 or (first <= 2 and making.tokens[0] in making.reader.binder.lead_in):
        strength = max(strength, AT_THE_HEAD)
    return strength


def _outdone(making: Making, entity: Entity, place: Place, entities: list[Entity], places: list[Place]) -> bool:
    """Whether a more particular ask shares words with it: "how big does the wire | to the rods"."""
    generic = making.reader.binder.generic_asks
    if entity.name not in generic:
        return False
    rank = generic.index(entity.name)
    return any(
        other.kind in ("ask", "weak_ask")
        and begin == place[1]  # "what size aluminum | ground"
        and (other.name not in generic or generic.index(other.name) > rank)
        for other, (begin, _) in zip(entities, places, strict=True)
    ) or any(
        other.kind == "ask"
        and place[0] < end
        and begin < place[1]
        and (begin, end) != place
        and (other.name not in generic or generic.index(other.name) > rank)
        for other, (begin, end) in zip(entities, places, strict=True)
    )


def _asks_elsewhere(making: Making, entities: list[Entity], stem_end: int) -> bool:
    """Whether an asking word has no noun after it in its sentence: "what size cu?" after "bond to the water pipe"."""
    starts = [entity.start for entity in entities if entity.kind in ("ask", "weak_ask", "uncovered", "uncovered_load")]
    for match in making.reader.forms.of["size_cue"].finditer(making.low, 0, stem_end):
        ended = _SENTENCE_END.search(making.low, match.end(), stem_end)
        end = ended.start() if ended else stem_end
        if not any(match.end() <= start < end for start in starts):
            return True
    return False

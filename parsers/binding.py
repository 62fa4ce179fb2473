"""Which input each value fills: heads beside it, what the rest of the question makes likely, and what is left over.

All of it is told by data: the inputs (kind and heads) and patterns/binding.yaml. A value keeps every candidate with its
evidence, best first, so that whoever needs the facts can take the second best where the best makes no sense.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any, NamedTuple

from parsers.quantities import load_yaml

LEAST_EVIDENCE = 0.1
ENOUGH = 0.5  # a claim above this counts for what must come together
SAID_WITH_IT = 0.9  # a claim above this, in one phrase or nearer than any size, is what a metal is of
UNLIKELY = 0.4
FARTHEST = 40  # tokens between a head and its value
_LIGHT = frozenset(
    [
        "a",
        "an",
        "the",
        "of",
        "is",
        "are",
        "at",
        "my",
        "our",
        "this",
        "that",
        "its",
        "it",
        "in",
        "on",
        "to",
        "be",
        ",",
        "'",
        '"',
        "-",
        "#",
        "(",
        ")",
        "/",
        "was",
        "were",
        "with",
        "for",
        "by",
    ]
)  # words that hardly part a value from its head


@dataclass(slots=True)
class Mention:
    """A value on its way to becoming a fact."""

    kind: str
    value: float | str
    unit: str | None
    start: int
    end: int
    first: int  # token
    last: int  # token after the last
    more: dict[str, Any] = field(default_factory=dict)
    inputs: list[tuple[str, float]] = field(default_factory=list)
    thing: int | None = None
    negated: bool = False
    about: bool = False
    bare: bool = False
    word: bool = False  # a vocabulary word, not a quantity
    fixed: bool = False  # its inputs are already known
    said: str = ""  # the word of the vocabulary
    part_of: Mention | None = None  # the size that this count was said with


class Claim(NamedTuple):
    """What a head word claims: the input, on which side its value stands, how surely."""

    input: str
    side: str  # "value head", "head value" or "either"
    weight: float


def _get(entry: Any, name: str, default: Any = None) -> Any:
    return entry.get(name, default) if isinstance(entry, Mapping) else getattr(entry, name, default)


class Binder:
    """Gives each mention of a text its candidate inputs."""

    def __init__(self, inputs: Mapping[str, Any]) -> None:
        told = load_yaml("binding.yaml")
        self.kind_of = {name: _get(entry, "kind") for name, entry in inputs.items()}
        self.thing_of = {name: _get(entry, "thing") for name, entry in inputs.items()}
        self.of_kind: dict[str, list[str]] = defaultdict(list)
        for name, kind in self.kind_of.items():
            self.of_kind[kind].append(name)
        for kind, others in told["also"].items():
            for other in others:
                self.of_kind[kind] += self.of_kind.get(other, [])
        self.kept_in_asks = frozenset(told["kept_in_asks"])
        self.kinds_too: dict[str, str] = told["kinds_too"]
        self.bare_rules: list[dict[str, Any]] = told["bare"]
        self._priors = {
            kind: {name: float(score) for name, score in scores.items()}
            for kind, scores in told["priors"].items()
            if kind != "*"
        }
        self._only = float(told["priors"]["*"])
        self._partners: dict[str, dict[str, str]] = told["partners"]
        self._context = told["context"]
        self._unless = told["unless"]
        self._beside_of: dict[str, str] = told["beside"]
        self._alone: dict[str, dict[str, list[str]]] = told["alone"]
        self.asks_on: dict[str, list[str]] = told["asks_on"]
        self.checked_asks = frozenset(told["checked_asks"])
        self._fahrenheit = {name: float(least) for name, least in told["fahrenheit"].items()}
        self._gives_way: list[dict[str, Any]] = told["gives_way"]
        self._idle: list[dict[str, Any]] = told["idle"]
        self._read_as: list[dict[str, Any]] = told["read_as"]
        self.in_no_amperes = frozenset(told["in_no_amperes"])
        self._denies: dict[str, dict[str, str]] = told["denies"]
        self.told_asks = frozenset(told["told_asks"])
        self.may_be_told = self.told_asks | set(self.kind_of)
        self.asked_of: list[dict[str, Any]] = told["asked_of"]
        self._together: dict[str, str] = told["together"]
        self._whole: dict[str, dict[str, str]] = told["whole"]
        self.generic_asks: list[str] = told["generic_asks"]
        self.sizes = frozenset(told["sizes"])
        self.thin = frozenset(told["thin"])
        self.lead_in = frozenset(told["lead_in"])
        self.counted = frozenset(told["counted"])
        self.replaced_bare = frozenset(told["replaced_bare"])
        self.metal_of = frozenset(told["metal_of"])
        self.listed = {name for name, entry in inputs.items() if _get(entry, "lists") == "yes"}
        self._parts: dict[str, dict[str, str]] = told["parts"]
        self.claims: dict[str, list[Claim]] = defaultdict(list)
        self._gather(inputs, told["heads"])

    def _gather(self, inputs: Mapping[str, Any], more: Mapping[str, Any]) -> None:
        from parsers.pipeline import phrase_form

        seen: set[tuple[str, str, str]] = set()

        def add(name: str, phrase: str, side: str, weight: float) -> None:
            phrase = phrase_form(phrase)
            if (name, phrase, side) not in seen and name in self.kind_of:
                seen.add((name, phrase, side))
                self.claims[phrase].append(Claim(name, side, weight))

        for name, entry in more.items():
            weight = float(entry.get("weight", "0.85"))
            for side in ("value head", "head value", "either"):
                for phrase in entry.get(side, []):
                    add(name, phrase, side, weight)
                for phrase in entry.get(f"weak {side}", []):
                    add(name, phrase, side, weight * 0.65)
        for phrase, claims in list(
            self.claims.items()
        ):  # in "40 amp breaker at" the breaker still claims what is before it
            first = phrase.split(" ", 1)[0]
            for claim in claims:
                if claim.side == "head value" and first != phrase and claim.weight > 0:
                    weight = next(
                        (c.weight for c in self.claims.get(first, ()) if c[:2] == (claim.input, "value head")), 0
                    )
                    if weight:
                        add(claim.input, phrase, "value head", weight)
        own = {(claim.input, phrase) for phrase, claims in self.claims.items() for claim in claims}
        own |= {(name, phrase_form(phrase)) for name, entry in more.items() for phrase in entry.get("drop", [])}
        for name, entry in inputs.items():
            weight = float(_get(more.get(name, {}), "weight", "0.85"))
            for phrase in _get(entry, "heads", None) or []:
                if (name, phrase_form(phrase)) not in own:  # binding.yaml knows the side better
                    add(name, phrase, "either", weight)

    def phrases(self) -> Iterable[str]:
        """All head words, for the phrase matcher, with those of bare numbers."""
        from parsers.pipeline import phrase_form

        listed = set(self.claims)
        for rule in self.bare_rules:
            rule["before"] = frozenset(phrase_form(word) for word in rule.get("before", []))
            rule["after"] = frozenset(phrase_form(word) for word in rule.get("after", []))
            listed |= rule["before"] | rule["after"]
        return listed

    def settled(self, mentions: list[Mention], about: set[str]) -> list[Mention]:
        """The mentions without general words beside particular ones ("time-delay (dual-element) fuses"), and those that
        mean something else in this question: what will not let a motor start may be its overload."""
        for rule in self._gives_way:
            if any(mention.kind == rule["kind"] and mention.value in rule["to"] for mention in mentions):
                mentions = [
                    mention
                    for mention in mentions
                    if mention.kind != rule["kind"]
                    or mention.value not in rule["values"]
                    or not self._plain(mention, rule)
                ]
        for rule in self._idle:
            if about & set(rule["any_of"]) and any(mention.kind == rule["beside"] for mention in mentions):
                mentions = [mention for mention in mentions if mention.kind not in rule["kinds"]]
        for rule in self._read_as:
            if about & set(rule["any_of"]) and not about & set(rule.get("none_of", ())):
                for mention in mentions:
                    if mention.kind == rule["kind"] and mention.value in rule["values"]:
                        mention.kind, mention.value = rule["as"], rule["values"][mention.value]
        for mention in mentions:
            if denied := self._denies.get(mention.kind, {}).get(str(mention.value)):
                mention.value, mention.negated = denied, True
        return mentions

    @staticmethod
    def _plain(mention: Mention, rule: Mapping[str, Any]) -> bool:
        return "words" not in rule or mention.said in rule["words"]

    def number_things(self, mentions: list[Mention], ruler: Ruler) -> int:
        """Number the things of each list ("40 hp, 25 hp and 10 hp") with what is told of each, and say how many there
        are; 0 if there is no list."""
        told: dict[str, dict[str, list[Mention]]] = defaultdict(lambda: defaultdict(list))
        for mention in mentions:
            if name := next((name for name, _ in mention.inputs if self.thing_of[name]), None):
                told[self.thing_of[name]][name].append(mention)
        count = 0
        for of_thing in told.values():
            listed = [mention for name in self.listed & set(of_thing) for mention in of_thing[name]]
            several = [
                this for before, this in zip([None, *listed], listed, strict=False) if not _same_one(before, this)
            ]
            if len(several) < 2:
                continue
            count += len(several)
            for index, mention in enumerate(several):
                mention.thing = index
            for before, this in pairwise(listed):
                this.thing = before.thing if this.thing is None else this.thing
            for name in set(of_thing) - self.listed:
                self._give(of_thing[name], several, ruler)
                mentions += self._spread(of_thing[name], several)
        mentions.sort(key=lambda mention: mention.start)
        return count

    @staticmethod
    def _spread(told: list[Mention], several: list[Mention]) -> list[Mention]:
        """In "5 hp single phase, 10 hp and 3 hp three phase" each motor has the phases said next: the copies that this
        takes. Amounts are not spread, nor is what is the same for all."""
        told = [mention for mention in told if mention.thing is None and isinstance(mention.value, str)]
        if any(mention.kind == "wire_size" for mention in told) or len({mention.value for mention in told}) < 2:
            return []
        before = told[0].start < several[0].start
        copies: list[Mention] = []
        for thing in several:
            front = [mention for mention in told if mention.start < thing.start]
            behind = [mention for mention in told if mention.start > thing.start]
            own = front[-1] if front and (before or not behind) else behind[0]
            if own.thing is None:
                own.thing = thing.thing
            else:
                copies.append(replace(own, thing=thing.thing))
        return copies

    def said_of(self, kind: str, thing: int, mentions: list[Mention]) -> None:
        """Give the values of "motor 2 is single phase" to the thing that is named by its number."""
        for mention in mentions:
            if mention.inputs and self.thing_of[mention.inputs[0][0]] == kind:
                mention.thing = thing

    @staticmethod
    def _give(told: list[Mention], several: list[Mention], ruler: Ruler) -> None:
        """Tell of which thing each value is: the one that it was said with; in order, where there is one for each; a
        count of the one nearest to it."""
        for mention in told:
            mention.thing = mention.part_of.thing if mention.part_of else None
        alone = [mention for mention in told if mention.thing is None]
        for index, mention in enumerate(alone):
            if len(alone) == len(several):
                mention.thing = index
            elif mention.unit == "count":
                mention.thing = min(several, key=lambda thing: _gap(thing, mention, ruler)).thing

    def bind(self, mentions: list[Mention], heads: list[tuple[str, int, int]], ruler: Ruler, about: set[str]) -> None:
        """Fill `inputs` of each mention. `about`: the asks and topics present, as "ask.name" and "topic.name"."""
        scores: list[dict[str, float]] = [{} for _ in mentions]
        by_kind: dict[str, list[int]] = defaultdict(list)
        for index, mention in enumerate(mentions):
            by_kind[mention.kind].append(index)
        places = {kind: [mentions[index].first for index in listed] for kind, listed in by_kind.items()}
        for phrase, first, last in heads:
            for claim in self.claims.get(phrase, ()):
                kind = self.kind_of[claim.input]
                near: list[tuple[float, int]] = []
                for kind_too in ("voltage", kind) if kind == "voltage_to_ground" else (kind,):
                    for index in by_kind.get(kind_too, ()):
                        if abs(mentions[index].first - first) > FARTHEST:
                            continue
                        score = self._claimed(claim, mentions[index], first, last, ruler, places[kind_too])
                        if score > LEAST_EVIDENCE:
                            near.append((score, index))
                near.sort(key=lambda pair: (-pair[0], pair[1]))
                for rank, (score, index) in enumerate(near):
                    score *= 1 if rank == 0 else 0.5
                    if score > scores[index].get(claim.input, 0):
                        scores[index][claim.input] = score
        raised, lowered = self._of_context(about)
        claimed_inputs = {name for claims in scores for name, score in claims.items() if score > ENOUGH}
        caps = {
            name: float(cap)
            for rule in self._unless
            if (about & set(rule["any_of"]) if "any_of" in rule else not about & set(rule["none_of"]))
            for name, cap in rule["cap"].items()
        }
        for name, other in self._together.items():
            if other not in claimed_inputs:
                caps[name] = min(caps.get(name, 1.0), ENOUGH)
        for mention, claims in zip(mentions, scores, strict=True):
            if mention.fixed:
                continue
            priors = self._prior(mention)
            if mention.kind == "temperature" and "terminal_temperature" not in priors:
                claims = {name: score * (1 if name in priors else UNLIKELY) for name, score in claims.items()}
            evidence = dict(claims)
            for name, prior in priors.items():
                prior = min(prior, lowered[name]) if name in lowered else max(prior, raised.get(name, 0))
                claimed = claims.get(name, 0)
                evidence[name] = max(prior, claimed + 0.1 * prior if claimed else 0)
            capped = ((name, round(min(each, caps.get(name, 1.0)), 3)) for name, each in evidence.items())
            mention.inputs = sorted(
                (pair for pair in capped if pair[1] >= LEAST_EVIDENCE), key=lambda pair: (-pair[1], pair[0])
            )
        self._same_inputs(mentions)
        for name, other in self._beside_of.items():
            alone = not any(mention.inputs and mention.inputs[0][0] == other for mention in mentions)
            for mention in mentions:
                if alone:
                    mention.inputs = [pair for pair in mention.inputs if pair[0] != name]
                elif mention.inputs and mention.inputs[0][0] == name:
                    mention.inputs = mention.inputs[:1]
        for mention in mentions:
            rule = self._alone.get(mention.inputs[0][0]) if mention.inputs and mention.inputs[0][1] > ENOUGH else None
            if rule and about & set(rule["any_of"]) and not about & set(rule["none_of"]):
                mention.inputs = [pair for pair in mention.inputs if pair[0] not in rule["not_also"]]
        self._pair(mentions, ruler)
        for mention in mentions:
            if mention.part_of is not None:  # a count goes where its size goes
                goes = self._parts.get(mention.kind, {})
                found = next(((goes[name], score) for name, score in mention.part_of.inputs if name in goes), None)
                others = [pair for pair in mention.inputs if found is None or pair[0] != found[0]]
                mention.inputs = [found, *others] if found else others
        self._part(mentions)
        self._contradicting(mentions)
        self._chosen_from(mentions)
        kinds = {mention.kind for mention in mentions}
        for mention in mentions:
            whole = self._whole.get(mention.inputs[0][0]) if mention.inputs else None
            if whole is not None and self.kind_of.get(whole["by"]) in kinds:
                mention.more = mention.more | {"whole": whole["of"]}
        for mention in mentions:
            least = self._fahrenheit.get(mention.inputs[0][0]) if mention.inputs else None
            if least is not None and mention.more.get("scale") == "not said" and float(mention.value) > least:
                mention.more = {**mention.more, "fahrenheit": mention.value, "scale": "°F"}
                mention.value = round((float(mention.value) - 32) * 5 / 9, 1)
        self._as_bound(mentions)

    @staticmethod
    def _as_bound(mentions: list[Mention]) -> None:
        """Keep the two values of which one is meant as they are now, in °C."""
        for one, other in pairwise(mentions):
            if _same_one(one, other):
                either = (one.value, other.value)
                one.more, other.more = one.more | {"either": either}, other.more | {"either": either}

    @staticmethod
    def _chosen_from(mentions: list[Mention]) -> None:
        """Two sizes of which each is of another conductor ("from #10 to #8") are not one or the other."""
        for one, other in pairwise([mention for mention in mentions if mention.kind == "wire_size"]):
            if _same_one(one, other) and one.inputs and other.inputs and one.inputs[0][0] != other.inputs[0][0]:
                one.more = {name: value for name, value in one.more.items() if name != "either"}
                other.more = {name: value for name, value in other.more.items() if name != "either"}

    @staticmethod
    def _contradicting(mentions: list[Mention]) -> None:
        """Two numbers of sets for one run ("2 sets of (3) 500 kcmil per phase") are either the one or the other."""
        sets = [mention for mention in mentions if mention.kind == "sets" and mention.inputs]
        for one, other in pairwise(sets):
            if one.inputs[0][0] == other.inputs[0][0] and one.value != other.value:
                one.more = one.more | {"either": (one.value, other.value)}
                other.more = other.more | {"either": (one.value, other.value)}

    @staticmethod
    def _same_inputs(mentions: list[Mention]) -> None:
        """What is said of either of two values is said of the one thing that they are for."""
        for one, other in pairwise(mentions):
            if _same_one(one, other) and one.kind != "wire_size":
                both: dict[str, float] = {}
                for name, score in one.inputs + other.inputs:
                    both[name] = max(score, both.get(name, 0))
                one.inputs = sorted(both.items(), key=lambda pair: (-pair[1], pair[0]))
                other.inputs = list(one.inputs)

    @staticmethod
    def _claimed(claim: Claim, mention: Mention, first: int, last: int, ruler: Ruler, places: list[int]) -> float:
        if mention.last <= first:  # value head
            if claim.side == "head value":
                return 0
            low, high = mention.last, first
        elif last <= mention.first:
            if claim.side == "value head":
                return 0
            low, high = last, mention.first
        elif mention.first <= first and last <= mention.last:  # "cu gec", "FLA 28"
            return 0.93 * claim.weight if claim.side != "head value" or not mention.word else 0
        elif mention.first < first < mention.last < last:  # the unit is part of the head: "75 | degree wire"
            return claim.weight if claim.side != "head value" else 0
        elif first < mention.first < last < mention.last:
            return claim.weight if claim.side != "value head" else 0
        else:
            return 0
        gap, soft, hard = ruler.between(low, high)
        if hard:
            return 0
        rivals = bisect_left(places, high) - bisect_left(places, low)  # values of the same kind between the two
        return float(claim.weight * 0.93**gap * 0.55**soft * 0.45**rivals)

    def _prior(self, mention: Mention) -> dict[str, float]:
        names = self.of_kind.get(mention.kind, [])
        if not names:
            return {}
        keys = [mention.kind]
        if mention.kind == "temperature" and isinstance(mention.value, int | float):
            if mention.value in (30, 40):
                keys.insert(0, f"temperature:{mention.value}")
            elif mention.value not in (60, 75, 90) or "fahrenheit" in mention.more:
                keys.insert(0, "temperature:hot")
        elif mention.unit:
            keys.insert(0, f"{mention.kind}:{mention.unit}")
        for key in keys:
            if key in self._priors:
                return {name: score for name, score in self._priors[key].items() if name in names}
        return {name: self._only if len(names) == 1 else 0.5 for name in names}

    def _of_context(self, about: set[str]) -> tuple[dict[str, float], dict[str, float]]:
        raised: dict[str, float] = {}
        lowered: dict[str, float] = {}
        for rule in self._context:
            if about.intersection(rule["any_of"]) and not about.intersection(rule.get("none_of", ())):
                for name, score in rule.get("raise", {}).items():
                    raised[name] = max(float(score), raised.get(name, 0))
                for name, score in rule.get("lower", {}).items():
                    lowered[name] = min(float(score), lowered.get(name, 1))
        return raised, lowered

    def _pair(self, mentions: list[Mention], ruler: Ruler) -> None:
        """A metal right beside a size belongs to what the size is for."""
        sizes = [mention for mention in mentions if mention.kind == "wire_size" and mention.inputs]
        if not sizes:
            return
        for (
            mention
        ) in mentions:  # sets of conductors are no single jumper: "6 sets of 600 kcmil copper main bonding jumper"
            size = self._beside(mention, sizes, ruler) if mention.kind == "sets" else None
            if size is not None and size.inputs[0][0] == "grounding_conductor_size":
                size.inputs = [pair for pair in size.inputs if pair[0] != "grounding_conductor_size"]
        for kind, partners in self._partners.items():
            for mention in mentions:
                if (
                    mention.kind != kind
                    or mention.fixed
                    or (mention.inputs and mention.inputs[0][1] > 0.93 and not self._beside(mention, sizes, ruler))
                ):
                    continue
                size = self._beside(mention, sizes, ruler)
                own = mention.inputs and mention.inputs[0][1] > SAID_WITH_IT
                if size is None or (own and (" " in mention.said or _gap(mention, size, ruler)[2] >= 1)):
                    continue  # "cu gec" and "1/0 svc alum gec" say themselves what is of which metal
                name, score = size.inputs[0]
                if (partner := partners.get(name)) and partner in self.kind_of:
                    mention.inputs = [
                        (partner, max(score, 0.6)),
                        *[
                            (other, min(value, round(score - 0.05, 3)))
                            for other, value in mention.inputs
                            if other != partner
                        ],
                    ]

    @staticmethod
    def _beside(mention: Mention, sizes: list[Mention], ruler: Ruler) -> Mention | None:
        best: tuple[float, Mention] | None = None
        for size in sizes:
            low, high = (size.last, mention.first) if size.last <= mention.first else (mention.last, size.first)
            gap, soft, hard = ruler.between(low, high)
            if size.first >= mention.last:
                gap += 0.5
            if not hard and not soft and gap <= 1.2 and (best is None or gap < best[0]):
                best = (gap, size)
        return best[1] if best else None

    def _part(self, mentions: list[Mention]) -> None:
        """Two different values cannot fill one input: the weaker goes to its next candidate."""
        for _ in range(3):
            best: dict[str, Mention] = {}
            moved = False
            for mention in mentions:
                if not mention.inputs or mention.thing is not None or mention.fixed or mention.part_of:
                    continue
                name = mention.inputs[0][0]
                if name in self.listed:
                    continue
                other = best.get(name)
                if other is None or other.value == mention.value or _same_one(other, mention):
                    best.setdefault(name, mention)
                    continue
                weak = mention if mention.inputs[0][1] <= other.inputs[0][1] else other
                strong = other if weak is mention else mention
                best[name] = strong
                if len(weak.inputs) > 1 and strong.inputs[0][1] - weak.inputs[0][1] > 0.08:
                    first, *rest = weak.inputs
                    weak.inputs = sorted([(first[0], round(first[1] * 0.4, 3)), *rest], key=lambda pair: -pair[1])
                    moved = True
            if not moved:
                return


def _same_one(one: Mention | None, other: Mention) -> bool:
    """Whether two mentions are two values for one thing, of which one is meant: "10 to 15 hp"."""
    return one is not None and "either" in one.more and one.more["either"] == other.more.get("either")


def _gap(one: Mention, other: Mention, ruler: Ruler) -> tuple[int, int, float]:
    """How far apart two mentions are: ends of sentences first, then commas, then words."""
    words, soft, hard = ruler.between(min(one.last, other.last), max(one.first, other.first))
    return hard, soft, words


class Ruler:
    """Measures how far apart two places of a text are: words between, commas, ends of sentences."""

    __slots__ = ("_hard", "_soft", "_weight")

    def __init__(self, words: list[str], spaced: list[bool]) -> None:
        """`words`: the tokens, lowered; `spaced`: whether a space follows each."""
        self._weight, self._soft, self._hard = [0.0], [0], [0]
        weight, soft, hard = 0.0, 0, 0
        count = len(words)
        for index, word in enumerate(words):
            weight += 0.25 if word in _LIGHT else 1
            if word in ",()+:":
                soft += 1
            elif (word[0] in ".?!;" and (spaced[index] or index + 1 == count)) or "\n" in word:
                hard += 1
            self._weight.append(weight)
            self._soft.append(soft)
            self._hard.append(hard)

    def between(self, low: int, high: int) -> tuple[float, int, int]:
        """Words (light ones count little), commas and sentence ends between two tokens."""
        if high <= low:
            return 0.0, 0, 0
        return (
            self._weight[high] - self._weight[low],
            self._soft[high] - self._soft[low],
            self._hard[high] - self._hard[low],
        )

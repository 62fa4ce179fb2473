"""What can come next: the choices of what was asked, the units after a number, the words that are understood."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document

from askcode.frontends.orders import ORDERS
from askcode.frontends.talk import Talk, editions
from askcode.render.clean import one_line

if TYPE_CHECKING:
    from askcode.core.replies import Missing

MOST = 60  # words in one list
PHRASE = 4  # words of the longest phrase that is completed as a whole
_AFTER_NUMBER = re.compile(r"(?:^|(?<=[\s(,#]))(?P<number>-?\d[\d./]*)(?P<gap> ?)(?P<unit>[a-z°%]*)$", re.IGNORECASE)
_ORDER_NAME = re.compile(r"(?P<word>open|save|edition) (?P<name>\S*)$", re.IGNORECASE)
_NO_UNITS = frozenset(["choice", "yes/no", "count", "number", "size", "trade size"])
_SIZES = ("AWG", "kcmil")
SMALLEST_KCMIL = 250


class NextWord(Completer):
    """Asked with Tab only, and in a thread of its own: no key waits for it."""

    def __init__(self, talk: Talk):
        self.talk = talk

    def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:
        """Each word once, the likeliest first."""
        text = document.text_before_cursor
        seen: set[str] = set()
        for completion in self._all(text):
            line = text[: len(text) + completion.start_position] + completion.text
            if line.lower() not in seen:
                seen.add(line.lower())
                yield completion

    def _all(self, text: str) -> Iterator[Completion]:
        if named := _ORDER_NAME.fullmatch(text):
            from askcode.frontends.saved import saved_names

            names = editions() if named["word"].lower() == "edition" else saved_names()
            yield from _beginning(names, named["name"])
        yield from self._choices(text)
        if (found := _AFTER_NUMBER.search(text)) and self.talk.is_warm:
            gap = "" if found["gap"] or found["unit"] else " "
            for unit, why in self._units(found["number"], text[: found.start()]).items():
                if unit.lower().startswith(found["unit"].lower()):
                    yield Completion(gap + unit, -len(found["unit"]), display=unit, display_meta=why)
            if not found["unit"]:
                return
        if " " not in text and "\n" not in text:
            yield from _beginning([word for word in ORDERS if text], text)
        yield from self._words(text)

    # --- what was asked ---
    def _choices(self, text: str) -> Iterator[Completion]:
        """The choices of the inputs that the last reply asked for, as one would say them."""
        asked = [missing for missing in self.talk.asked() if missing.choices]
        if not asked or not self.talk.is_warm:
            return
        tails = [tail for tail in _tails(text) if tail or not _AFTER_NUMBER.search(text)]
        for missing in asked:
            for choice, said in self._said(missing):
                for typed in tails:
                    if choice.lower().startswith(typed.lower()) or said.lower().startswith(typed.lower()):
                        yield Completion(said, -len(typed), display_meta=one_line(missing.ask))
                        break

    def _said(self, missing: Missing) -> Iterator[tuple[str, str]]:
        book = self.talk.asker.book()
        wanted = book.inputs().get(missing.input)
        names = book.vocabulary().get(wanted.kind, {}) if wanted else {}
        for choice in missing.choices:
            said = choice
            if wanted and choice[:1].isdigit() and not any(c.isalpha() or c == "%" for c in choice):
                if words := list(names.get(choice, ())):
                    said = words[0]
                elif wanted.unit not in _NO_UNITS:
                    said = f"{choice} {wanted.unit}"
            yield choice, said

    # --- units ---
    def _units(self, number: str, before: str) -> dict[str, str]:
        """The units that can follow a number, with the question each answers: first what was asked for, then what the
        unfinished question lacks, then those of the things that it names, then by how many inputs are measured in them;
        a unit that was told already comes last."""
        inputs = self.talk.asker.book().inputs()
        counted = Counter(i.unit for i in inputs.values() if i.unit not in _NO_UNITS)
        told: set[str] = set()
        named: set[str] = set()
        wanted = {m.input: one_line(m.ask) for m in self.talk.asked()}
        if before.strip():
            with self.talk.busy:
                reading = self.talk.asker.read(before)
                reply = self.talk.asker.conversation(self.talk.conversation.edition).say(before)
            wanted |= {m.input: one_line(m.ask) for m in reply.missing}
            named = {entity.name for entity in reading.entities}
            told = {fact.unit for fact in reading.facts if fact.unit}
        sizes = dict.fromkeys(_sizes(number), "")
        asked = {
            unit: ask
            for name, ask in wanted.items()
            if name in inputs
            for unit in (sizes if inputs[name].unit == "size" else [inputs[name].unit])
            if unit not in _NO_UNITS
        }
        usual = [i.unit for i in inputs.values() if i.thing in named and i.unit in counted]
        usual += [unit for unit, _ in counted.most_common()]
        fresh = [unit for unit in dict.fromkeys(usual) if unit not in told]
        return {unit: asked.get(unit, "") for unit in [*asked, *fresh[:4], *sizes, *fresh[4:], *usual]}

    # --- words ---
    def _words(self, text: str) -> Iterator[Completion]:
        """Phrases that begin with the last words, the longest beginning first; proper names before other words."""
        left = MOST
        for typed in _tails(text):
            for completion in _beginning(self._from(typed.lower(), left), typed):
                left -= 1
                yield completion

    def _from(self, typed: str, most: int) -> Sequence[str]:
        words = self.talk.words()
        place = bisect_left(words, typed)
        found: list[str] = []
        while typed and len(found) < most and place < len(words) and words[place].startswith(typed):
            if words[place] != typed:
                found.append(words[place])
            place += 1
        return sorted(found, key=lambda word: word not in self.talk.names)


def _tails(text: str) -> list[str]:
    """The last few words of a line, then fewer, then the last alone (empty behind a space)."""
    line = text.rsplit("\n", 1)[-1].lstrip()
    starts = [0, *(found.end() for found in re.finditer(r"\s+", line))]
    return [line[start:] for start in starts[-PHRASE:]]


def _beginning(words: Iterable[str], typed: str) -> Iterator[Completion]:
    return (Completion(word, -len(typed)) for word in words if word.lower().startswith(typed.lower()))


def _sizes(number: str) -> list[str]:
    """The unit of a number as a wire size, where it can be one."""
    if number.endswith("/0"):
        return ["AWG"]
    if not number.isdigit():
        return []
    return ["kcmil"] if int(number) >= SMALLEST_KCMIL else ["AWG"] if int(number) <= 18 else []

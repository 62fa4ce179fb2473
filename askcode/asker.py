"""The one road of a question: read, choose, derive or look up, reply. Knows no topic."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from askcode.core.replies import Reply
from askcode.rulebase.schemas import DEFAULT_EDITION, EDITIONS

if TYPE_CHECKING:
    from askcode.choose import Chooser
    from askcode.conversation import Conversation
    from askcode.core.derive import Roads
    from askcode.rulebase.book import Book
    from parsers import Reader, Reading

__all__ = ["EDITIONS", "LONGEST", "Asker", "ask"]
LONGEST = 2_000  # characters; a longer question is refused politely


class Asker:
    """One per process. Building it is cheap: the vocabulary and spaCy are loaded by `warm` or by the first question.
    `settings` (convention → choice) hold where a conversation says nothing else.

    Raises ValueError for an edition that is not here."""

    def __init__(
        self, edition: str | None = None, amendments: Path | None = None, settings: Mapping[str, str] | None = None
    ):
        self.settings = dict(settings or {})
        self.edition = edition or self.settings.get("edition") or DEFAULT_EDITION
        self.amendments = amendments
        self._books: dict[str, Book] = {}
        self._set: dict[tuple[str, ...], Book] = {}
        self._choosers: dict[str, Chooser] = {}
        self._roads: dict[tuple[str, str], Roads] = {}  # the rules are the same in every edition

    def warm(self) -> None:
        """Load all that a question needs."""
        self.reader.warm()
        self.book().warm()
        self.chooser(self.edition).warm()

    def book(self, edition: str | None = None, settings: Mapping[str, str] | None = None) -> Book:
        """The knowledge of an edition, with the defaults of the settings."""
        from askcode.rulebase.book import Book

        edition = edition or self.edition
        if settings:
            key = (edition, *(part for pair in sorted(settings.items()) for part in pair))
            if key not in self._set:
                self._set[key] = self.book(edition).with_settings(settings)
            return self._set[key]
        if edition not in self._books:
            known = next(iter(self._books.values()), None)
            self._books[edition] = known.in_edition(edition) if known else Book.open(edition, overlay=self.amendments)
        return self._books[edition]

    def chooser(self, edition: str | None = None) -> Chooser:
        """What chooses among the goals of an edition."""
        from askcode.choose import Chooser

        edition = edition or self.edition
        if edition not in self._choosers:
            self._choosers[edition] = Chooser(self.book(edition), self._roads)
        return self._choosers[edition]

    @cached_property
    def reader(self) -> Reader:
        """The reader, told the vocabulary and the inputs."""
        from parsers import Reader

        book = self.book()
        inputs = {
            name: {"kind": i.kind, "unit": i.unit, "heads": list(i.heads), "thing": i.thing, "lists": i.lists}
            for name, i in book.inputs().items()
        }
        return Reader(book.vocabulary(), inputs)

    @cached_property
    def head_words(self) -> frozenset[str]:
        """The words that say what a value beside them is."""
        words = {word for phrase in self.reader.binder.phrases() for word in phrase.split()}
        return frozenset(words - self.reader.filler)

    def read(self, text: str, topics: Iterable[str] = ()) -> Reading:
        """A question, read; `topics` are what the talk is about."""
        from askcode.choose import pair

        reading = self.reader.read(text, {f"topic.{topic}" for topic in topics})
        pair(reading.facts, reading.text)
        return reading

    def conversation(self, edition: str | None = None) -> Conversation:
        """A new conversation."""
        from askcode.conversation import Conversation

        return Conversation(self, edition or self.edition)


def ask(question: str, edition: str = DEFAULT_EDITION) -> Reply:
    """Answer one question. Raises ValueError for an edition that is not here."""
    return Asker(edition).conversation().say(question)

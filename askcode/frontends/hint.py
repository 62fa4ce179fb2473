"""What was read of the line so far, for the line below the prompt. It is read in a thread of its own, the newest text
only, after a pause in the typing; no key ever waits for it."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from askcode.asker import LONGEST
from askcode.frontends.orders import ORDERS, order_in
from askcode.frontends.talk import Talk
from askcode.render.clean import fitting, one_line

if TYPE_CHECKING:
    from parsers import Fact, Reading

MOST = 300  # characters that are read; the line below shows no more, and keys share the processor with the reading
PAUSE = 0.15  # seconds without a key before anything is read
_AS_TYPED = frozenset([None, "size", "choice", "yes/no", "count", "number"])
LEAST = 14  # columns for what was read, where something else was not understood


class Hint:
    """The newest hint. `changed` is called from the reading thread when there is another one."""

    def __init__(self, talk: Talk, changed: Callable[[], object], pause: float = PAUSE):
        self.talk = talk
        self.changed = changed
        self.pause = pause
        self.parts: list[str] = []
        self._text = ""
        self._typed = threading.Event()
        self._thread: threading.Thread | None = None

    def typed(self, text: str) -> None:
        """The line is now `text`. Returns at once."""
        self._text = text
        if not text.strip():
            self.parts = []
        elif self._thread is None:
            self._thread = threading.Thread(target=self._run, name="askcode-hint", daemon=True)
            self._thread.start()
        self._typed.set()

    def line(self, width: int) -> str:
        """The hint in so many columns. What was not understood is told even where little room is left for the rest."""
        parts = self.parts
        if len(whole := "; ".join(parts)) > width and len(parts) > 1:
            room = max(LEAST, width - len(parts[-1]) - 2)
            whole = f"{fitting(parts[0], room)}; {parts[-1]}"
        return fitting(whole, width)

    def _run(self) -> None:
        while True:
            self._typed.wait()
            self._typed.clear()
            if self._typed.wait(self.pause):  # another key: its text is the one to read
                continue
            text = self._text
            parts = self._read(text)
            if text == self._text and parts != self.parts:
                self.parts = parts
                self.changed()

    def _read(self, text: str) -> list[str]:
        if not text.strip():
            return []
        if len(text) > LONGEST:
            return [f"too long by {len(text) - LONGEST:,} characters"]
        if order := order_in(text):
            return [f"does: {ORDERS[order.word][1]}"]
        try:
            self.talk.wait()
            with self.talk.busy:
                reading = self.talk.asker.read(_newest(text))
            return told(reading, finished=text[-1:].isspace())
        except Exception:  # a hint is no place for trouble; the question will meet it and say so
            return []


def told(reading: Reading, finished: bool = True) -> list[str]:
    """What was read, what is asked and what was not understood. The last word may still be on its way (`finished`)."""
    facts = list(dict.fromkeys(_spoken(fact) for fact in reading.facts))
    asks = list(dict.fromkeys(one_line(ask.name.replace("_", " ")) for ask in reading.asks))
    strange = [one_line(word) for word in reading.unread]
    if strange and not finished and reading.text.rstrip().lower().endswith(strange[-1].lower()):
        strange.pop()
    return _labelled([("reads", facts, " · "), ("asks", asks, ", "), ("not understood", strange, ", ")])


def _newest(text: str) -> str:
    """The end of a long text, from a whole word on."""
    return text if len(text) <= MOST else text[-MOST:].split(maxsplit=1)[-1]


def _labelled(parts: Sequence[tuple[str, Sequence[str], str]]) -> list[str]:
    return [f"{label}: {between.join(words)}" for label, words, between in parts if words]


def _spoken(fact: Fact) -> str:
    """A fact as it is understood: an amount with its unit, anything else as it was typed, unless that was mended."""
    if fact.unit in _AS_TYPED:
        return one_line(str(fact.value) if fact.how == "mended" else fact.text)
    return f"{fact.value:g} {fact.unit}" if isinstance(fact.value, int | float) else f"{fact.value} {fact.unit}"

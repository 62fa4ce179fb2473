"""Text that is rewritten on the way (a mended word, digits for a number word) and knows where each part was typed."""

from __future__ import annotations

from collections.abc import Sequence

Edit = tuple[int, int, str]  # start, end, what stands there instead


class Rewritten:
    """A text and its rewritten form, with the way back from each place of the latter."""

    __slots__ = ("_ends", "_starts", "text", "typed")

    def __init__(self, typed: str) -> None:
        self.typed = typed
        self.text = typed
        self._starts: list[int] | None = None  # for each character now: where its source begins
        self._ends: list[int] = []

    def apply(self, edits: Sequence[Edit]) -> None:
        """Replace the spans (in order, apart from one another) of the text as it is now."""
        if not edits:
            return
        if self._starts is None:
            self._starts = list(range(len(self.text)))
            self._ends = list(range(1, len(self.text) + 1))
        pieces: list[str] = []
        starts: list[int] = []
        ends: list[int] = []
        at = 0
        for start, end, new in edits:
            pieces += (self.text[at:start], new)
            starts += self._starts[at:start]
            ends += self._ends[at:start]
            starts += [self._starts[min(start, len(self._starts) - 1)]] * len(new)
            ends += [self._ends[max(start, end) - 1]] * len(new)
            at = end
        pieces.append(self.text[at:])
        starts += self._starts[at:]
        ends += self._ends[at:]
        self.text, self._starts, self._ends = "".join(pieces), starts, ends

    def back(self, start: int, end: int) -> tuple[int, int]:
        """The place in the typed text that a place of the rewritten text came from."""
        if self._starts is None or start >= end:
            return start, end
        return self._starts[start], self._ends[end - 1]

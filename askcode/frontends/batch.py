"""Conversations as JSON lines: each is answered as it comes, and a bad one does not stop the rest."""

from __future__ import annotations

import time
from collections.abc import Collection
from typing import IO, TYPE_CHECKING, Any

import msgspec

from askcode.render.clean import one_line, printable
from askcode.render.json import encode

if TYPE_CHECKING:
    from askcode.asker import Asker

LONGEST_LINE = 1_000_000  # bytes
MOST_TURNS = 200
EVERY = 0.1  # seconds between two lines of progress


class Line(msgspec.Struct):
    """One conversation. Other keys are left alone, so that a file with notes of its own can be piped as it is."""

    id: str | int
    turns: list[str]
    edition: str | None = None


class BadLine(Exception):
    """Why a line cannot be answered, in words, and its id where that could be read."""

    def __init__(self, why: str, id: str | int | None = None):
        super().__init__(why)
        self.why = why
        self.id = id


def answer_lines(lines: IO[bytes], out: IO[bytes], asker: Asker, editions: Collection[str], errors: IO[str] | None,
                 *, progress: bool = False) -> int:
    """Answer every line, in order, each written and flushed before the next is read. Returns how many were bad."""
    meter = _Meter(errors if progress else None)
    bad = 0
    number = 0
    while raw := lines.readline(LONGEST_LINE + 1):
        number += 1
        if not raw.strip(b" \t\r\n\xef\xbb\xbf"):
            continue
        try:
            whole = len(raw) <= LONGEST_LINE or _skip_rest(lines, raw)
            written: dict[str, Any] = _answered(raw, whole, asker, editions)
        except BadLine as error:
            bad += 1
            meter.clear()
            if errors is not None:
                errors.write(f"askcode: line {number}: {one_line(error.why)}\n")
                errors.flush()
            if error.id is None:
                continue
            written = {"id": error.id, "error": f"line {number}: {one_line(error.why)}"}
        out.write(encode(written) + b"\n")
        out.flush()
        meter.count(number)
    meter.clear()
    return bad


def _answered(raw: bytes, whole: bool, asker: Asker, editions: Collection[str]) -> dict[str, Any]:
    if not whole:
        raise BadLine(f"longer than {LONGEST_LINE:,} bytes")
    line = _read(raw)
    if line.edition is not None and line.edition not in editions:
        raise BadLine(f"there is no edition {line.edition[:40]!r}; there is {', '.join(editions)}", line.id)
    if not line.turns:
        raise BadLine("turns is empty", line.id)
    if len(line.turns) > MOST_TURNS:
        raise BadLine(f"more than {MOST_TURNS} turns", line.id)
    conversation = asker.conversation(line.edition)
    try:
        return {"id": line.id, "replies": [conversation.say(printable(turn)).as_dict() for turn in line.turns]}
    except Exception as error:  # one conversation that breaks the tool must not take the others with it
        raise BadLine(f"something went wrong inside ({type(error).__name__})", line.id) from error


def _read(raw: bytes) -> Line:
    raw = raw.removeprefix(b"\xef\xbb\xbf")
    try:
        return msgspec.json.decode(raw, type=Line)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise BadLine(_why(error), _id(raw)) from None


def _why(error: Exception) -> str:
    if isinstance(error, msgspec.ValidationError):
        return f"not a conversation: {error}"
    if isinstance(error, RecursionError):
        return "nested too deeply"
    return f"not JSON: {error}"


def _id(raw: bytes) -> str | int | None:
    """The id of a line whose other keys are wrong, so that its asker learns of it."""
    try:
        data = msgspec.json.decode(raw)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError):
        return None
    found = data.get("id") if isinstance(data, dict) else None
    return found if isinstance(found, str | int) and not isinstance(found, bool) else None


def _skip_rest(lines: IO[bytes], raw: bytes) -> bool:
    """Read on to the end of a line that is too long. True where only its newline was left."""
    if raw.endswith(b"\n"):
        return True
    while (rest := lines.readline(LONGEST_LINE)) and not rest.endswith(b"\n"):
        pass
    return False


class _Meter:
    """A count on a terminal's error stream, so that a long batch is seen to move."""

    def __init__(self, stream: IO[str] | None):
        self.stream = stream
        self.shown = 0.0

    def count(self, number: int) -> None:
        now = time.monotonic()
        if self.stream is not None and now - self.shown >= EVERY:
            self.shown = now
            self.stream.write(f"\r{number} answered")
            self.stream.flush()

    def clear(self) -> None:
        if self.stream is not None and self.shown:
            self.stream.write("\r" + " " * 24 + "\r")
            self.stream.flush()

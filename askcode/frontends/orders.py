"""The words that do something in a chat. An order has exactly its shape; everything else is a question."""

from __future__ import annotations

import re
from dataclasses import dataclass

_NAME = r'(?P<name>"[^"\n]+"|[^\s?,;"]+)'
_FILE = r'(?P<name>"[^"\n]+"|\S+|\S[^\n"]*\.(?:md|markdown|html|htm))'
_AGAIN = r"(?P<again> again)?"

# word → (its shape, how it is typed, what it does)
ORDERS = {
    "help": (r"help|\?", "help", "show this"),
    "start over": (r"start over", "start over", "forget what was said"),
    "edition": (r"edition(?: (?P<name>\d{4}))?", "edition YEAR", "answer under another edition: {editions}"),
    "status": (r"status", "status", "which edition answers, and what is remembered"),
    "save": (rf"save(?: {_NAME}{_AGAIN})?", "save NAME", "keep this conversation (a name of several words in quotes)"),
    "open": (rf"open {_NAME}{_AGAIN}", "open NAME", "go on with one that was saved"),
    "saved": (r"saved", "saved", "list the saved ones"),
    "export": (rf"export(?: {_FILE}{_AGAIN})?", "export FILE", "write it down; FILE ends in .md (Markdown) or .html"),
    "quit": (r"quit|exit|bye", "quit", "leave"),
}
_SHAPES = [(word, re.compile(shape, re.IGNORECASE)) for word, (shape, _, _) in ORDERS.items()]


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be done, to what (`name`), and whether what that would lose may be lost (`again`)."""

    word: str
    name: str = ""
    again: bool = False


def order_in(text: str) -> Order | None:
    """The order that a line is, or None."""
    line = text.strip()
    if "\n" in line:
        return None
    line = " ".join(line.split())
    for said in (line, line.rstrip(" .!")):  # a full stop belongs to a file's name first
        for word, shape in _SHAPES:
            if found := shape.fullmatch(said):
                groups = found.groupdict()
                return Order(word, (groups.get("name") or "").strip('"').strip(), bool(groups.get("again")))
    return None

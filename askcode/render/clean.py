"""Text that came from outside, made safe to show: no escape sequences, control characters or hidden marks."""

from __future__ import annotations

import re

# CSI and OSC sequences go as a whole, so that "[31m" does not stay behind; an OSC runs to its bell or terminator.
_SEQUENCE = re.compile(
    r"(?:\x1b\[|\x9b)[0-?]*[ -/]*[@-~]?"
    r"|(?:\x1b\]|\x9d)[^\x07\x1b\x9c]*(?:\x07|\x1b\\|\x9c)?"
    r"|\x1b[@-_]?"
)
# C0 and C1 without tab and newline; zero-width and direction marks; line separators; byte-order mark; lone surrogates.
_HIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb\ud800-\udfff]"
)


def printable(text: str) -> str:
    """The text without what could move the cursor, hide words or fail to encode; newlines stay, tabs become spaces."""
    if text.isascii() and text.isprintable():
        return text
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\t", " ")
    return _HIDDEN.sub("", _SEQUENCE.sub("", text))


def one_line(text: str) -> str:
    """The same on a single line, for places that have only one."""
    return " ".join(printable(text).split())


def fitting(text: str, width: int) -> str:
    """The beginning of a line that fits so many columns, with an ellipsis where something was cut."""
    from rich.cells import cell_len, set_cell_size

    if cell_len(text) <= width:
        return text
    return set_cell_size(text, max(0, width - 1)).rstrip() + "…" if width > 0 else ""

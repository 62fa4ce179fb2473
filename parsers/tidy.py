"""Make typed text plain: one kind of quote, dash, space and digit, and nothing that hides or steers.

The result never holds control or bidirectional characters, zero-width characters or lone surrogates, so that it can be
shown, stored and matched without harm. Length is capped: what follows is dropped, and `Tidied.cut` says so.
"""

from __future__ import annotations

import re
import unicodedata

LONGEST_TEXT = 2000
LONGEST_WORD = 64  # the tokenizer is quadratic in one token

_FRACTIONS = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6",
}  # fmt: skip
_SAME = {
    "‘": "'", "’": "'", "‛": "'", "`": "'", "´": "'", "′": "'", "ʹ": "'", "ʼ": "'",
    "“": '"', "”": '"', "„": '"', "″": '"', "ʺ": '"', "«": '"', "»": '"',
    "‐": "-", "‑": "-", "‒": "-", "–": "-", "—": " - ", "―": " - ", "−": "-", "⁃": "-",
    "⁄": "/", "∕": "/", "÷": "/", "×": "x", "·": ".", "…": "...", "º": "°", "˚": "°",
    "Ø": "ø", "ɸ": "ø", "φ": "ø", "Φ": "ø", "∅": "ø", "⌀": "ø", "Ω": "Ω", "ℓ": "l", "㎟": "mm2",
}  # fmt: skip
_SWAP = str.maketrans(_SAME)
_FRACTION = re.compile("(?:(\\d)[ \u00a0]?)?([" + "".join(_FRACTIONS) + "])(\\d?)")
_SPACES = re.compile(r"[ \t\f\v]{2,}|[\t\f\v]")
_LINES = re.compile(r" *\n[ \n]*")
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")
_LONG = re.compile(rf"(\S{{{LONGEST_WORD}}})\S+")


def tidy(text: str) -> str:
    """The text with one spelling for each sign. Never raises; at most LONGEST_TEXT characters come back."""
    text = text[: LONGEST_TEXT * 2].replace("\r\n", "\n").replace("\r", "\n")
    if not text.isascii():
        text = _plain(text)
    text = _CONTROL.sub("", text)
    if "  " in text or "\t" in text or "\v" in text or "\f" in text:
        text = _SPACES.sub(" ", text)
    if "\n" in text:
        text = _LINES.sub("\n", text)
    text = text.strip()[:LONGEST_TEXT]
    if len(text) > LONGEST_WORD:
        text = _LONG.sub(r"\1", text)
    return text


def _plain(text: str) -> str:
    text = _FRACTION.sub(_written_out, text).translate(_SWAP)
    text = unicodedata.normalize("NFKC", text).translate(_SWAP)
    kept = []
    for char in text:
        if char < "\x7f":
            kept.append(char)
            continue
        kind = unicodedata.category(char)
        if kind == "Nd":
            kept.append(str(unicodedata.decimal(char)))
        elif kind[0] == "Z":
            kept.append("\n" if kind in ("Zl", "Zp") else " ")
        elif kind[0] not in "CM":  # control, format, surrogate, private, unassigned, combining
            kept.append(char)
    return "".join(kept)


def _written_out(found: re.Match[str]) -> str:
    before, sign, after = found[1] or "", found[2], found[3]
    return f"{before}{'-' if before else ''}{_FRACTIONS[sign]}{' ' if after else ''}{after}"

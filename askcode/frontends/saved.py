"""Conversations that were kept: one JSON file each, for the user's eyes only, in their data folder."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

import msgspec

from askcode.frontends.files import data_folder, sweep, why, write_whole
from askcode.render.clean import one_line
from askcode.render.record import Turn
from askcode.render.text import as_text

VERSION = 1
LONGEST_NAME = 60
_RESERVED = re.compile(r"(?:con|prn|aux|nul|com\d|lpt\d)(?:\..*)?")  # no file may be called so on Windows


class SavedTurn(msgspec.Struct, forbid_unknown_fields=True):
    """What was typed and when (ISO 8601), the reply's headline, and the whole reply as text."""

    at: str
    typed: str
    headline: str = ""
    reply: str = ""


class Saved(msgspec.Struct, forbid_unknown_fields=True):
    """A conversation: edition and settings at its start, and its turns."""

    version: int
    edition: str
    turns: list[SavedTurn]
    settings: dict[str, str] = {}


class _Version(msgspec.Struct):
    version: int


class CannotSave(Exception):
    """Why a conversation cannot be written or read, in one line."""


def safe_name(name: str) -> str:
    """The name as it may stand in any file system; empty where nothing of it can."""
    name = re.sub(r"[^\w.-]+", "-", one_line(name).casefold()).strip("-.")[:LONGEST_NAME].rstrip("-.")
    return f"{name}_" if _RESERVED.fullmatch(name) else name


def saved_names() -> list[str]:
    """The names of all, in order."""
    try:
        return sorted(path.stem for path in _folder().glob("*.json"))
    except OSError:
        return []


def save(name: str, edition: str, settings: dict[str, str], turns: Sequence[Turn]) -> None:
    """Write a conversation, over one of that name. Raises CannotSave."""
    kept = [
        SavedTurn(turn.at, turn.typed, turn.reply.headline, as_text(turn.reply))
        if turn.reply
        else SavedTurn(turn.at, turn.typed)
        for turn in turns
    ]
    data = msgspec.json.format(msgspec.json.encode(Saved(VERSION, edition, kept, settings)), indent=1)
    try:
        sweep(_folder())
        write_whole(_folder() / f"{name}.json", data, mode=0o600)
    except OSError as error:
        raise CannotSave(f"It could not be saved: {why(error)}.") from None


def load(name: str) -> Saved:
    """Read a conversation. Raises CannotSave, whatever is wrong with it."""
    try:
        path = _folder() / f"{name}.json"
        data = path.read_bytes()
    except OSError as error:
        raise CannotSave(f"“{name}” could not be opened: {why(error)}.") from None
    try:
        if msgspec.json.decode(data, type=_Version).version > VERSION:
            raise CannotSave(f"“{name}” was saved by a newer askcode; open it there.")
        return msgspec.json.decode(data, type=Saved)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        reason = one_line(str(error)) if not isinstance(error, RecursionError) else "nested too deeply"
        raise CannotSave(f"“{name}” is damaged and cannot be opened ({reason}); the file is {path}.") from None


def _folder() -> Path:
    return data_folder("conversations")

"""The lines typed before, kept whatever happens."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from prompt_toolkit.history import FileHistory, History, InMemoryHistory

from askcode.frontends.files import data_folder
from askcode.render.clean import printable


class KeptHistory(FileHistory):
    """Written line by line, at once. A disk that is full or gone must not end the conversation."""

    def load_history_strings(self) -> Iterable[str]:
        try:
            yield from (printable(line) for line in super().load_history_strings())
        except OSError:
            return

    def store_string(self, string: str) -> None:
        try:
            super().store_string(printable(string))
        except OSError:
            return


def kept_history() -> History:
    """The history in the user's data folder; one in memory where that folder cannot be used."""
    path = _place()
    return KeptHistory(str(path)) if path is not None else InMemoryHistory()


def _place() -> Path | None:
    try:
        path = data_folder() / "history"
        path.touch(mode=0o600)
        with path.open("ab"):
            return path
    except OSError:
        return None

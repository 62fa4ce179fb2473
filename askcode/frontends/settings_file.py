"""The settings file: what somebody chose for good, one `name = "choice"` a line, in the user's configuration folder."""

from __future__ import annotations

import contextlib
import json
import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from askcode.asker import Asker
    from askcode.conversation import Conversation

AMENDMENTS = "amendments"  # the one line that is no convention: the folder of the local amendments
HEAD = '# Settings of askcode. "askcode" and then "settings" shows what they may be.'


@dataclass(slots=True)
class Kept:
    """What the file says. `problems` are lines that were left out, each with its reason."""

    settings: dict[str, str] = field(default_factory=dict)
    amendments: Path | None = None
    problems: list[str] = field(default_factory=list)


def place() -> Path | None:
    """Where the file is, or would be (ASKCODE_SETTINGS names another); None where there is no home folder at all."""
    from platformdirs import user_config_path

    if named := os.environ.get("ASKCODE_SETTINGS"):
        return Path(named)
    try:
        return user_config_path("askcode", appauthor=False) / "settings.toml"
    except (OSError, RuntimeError):
        return None


def load(path: Path | None) -> Kept:
    """Read the file. One that cannot be read, and lines that do not hold, are left out and said; nothing is raised."""
    kept = Kept()
    try:
        if path is None or not path.exists():
            return kept
        written = tomllib.loads(path.read_text("utf-8"))
    except OSError as error:
        kept.problems.append(f"{path} could not be read ({error.strerror}); the usual settings hold")
        return kept
    except ValueError as error:  # not TOML, or not UTF-8
        kept.problems.append(f"{path} is no settings file ({error}); the usual settings hold")
        return kept
    from askcode.rulebase.book import Book
    from askcode.settings import problem

    book = Book.open()
    for name, choice in written.items():
        if name == AMENDMENTS:
            kept.amendments = Path(str(choice)).expanduser()
        elif wrong := problem(book, name, str(choice)):
            kept.problems.append(f"{path}: {wrong}")
        else:
            kept.settings[name] = str(choice)
    return kept


def keep(asker: Asker, conversation: Conversation) -> str:
    """Write the settings where a turn changed them; what went wrong in one line, or nothing."""
    if conversation.settings == asker.settings:
        return ""
    asker.settings = dict(conversation.settings)
    return save(place(), asker.settings, asker.amendments)


def save(path: Path | None, settings: Mapping[str, str], amendments: Path | None = None) -> str:
    """Write the file whole or not at all; what went wrong in one line, or nothing."""
    if path is None:
        return "There is no home folder, so the settings hold for this conversation only."
    lines = [HEAD] + [f"{name} = {json.dumps(choice, ensure_ascii=False)}" for name, choice in settings.items()]
    if amendments is not None:
        lines.append(f"{AMENDMENTS} = {json.dumps(str(amendments), ensure_ascii=False)}")
    new = path.with_name(f"{path.name}.{os.getpid()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        new.write_text("\n".join(lines) + "\n", "utf-8")
        new.replace(path)
    except OSError as error:
        with contextlib.suppress(OSError):
            new.unlink()
        return f"The settings could not be kept ({error.strerror}); they hold for this conversation only."
    return ""

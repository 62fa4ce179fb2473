"""Whole conversations: lines after `> ` are typed (a turn may be several such lines), the rest must come back.

python -m tests.transcripts            say which transcripts have changed
python -m tests.transcripts --write    write what comes back now (then read the difference as a customer would)
"""

from __future__ import annotations

import sys
from pathlib import Path

from askcode.asker import Asker
from askcode.render.text import as_text

FOLDER = Path(__file__).resolve().parent.parent / "demo_transcripts"
WIDTH = 76


def turns(text: str) -> tuple[str, list[str]]:
    """The introduction (lines before the first typed one), and what is typed, a turn each."""
    lines = text.splitlines()
    first = next((i for i, line in enumerate(lines) if line.startswith("> ")), len(lines))
    typed: list[list[str]] = []
    for before, line in zip(["", *lines[first:]], lines[first:], strict=False):
        if line.startswith("> "):
            if before.startswith("> ") and typed:
                typed[-1].append(line[2:])
            else:
                typed.append([line[2:]])
    return "\n".join(lines[:first]).strip(), ["\n".join(turn) for turn in typed]


def play(text: str, asker: Asker) -> str:
    """The transcript as it comes back today."""
    introduction, typed = turns(text)
    edition = next(
        (line.split(":")[1].strip() for line in introduction.splitlines() if line.startswith("edition:")), None
    )
    talk = asker.conversation(edition)
    parts = [introduction]
    for number, turn in enumerate(typed):
        said = "\n".join("> " + line for line in turn.splitlines())
        parts.append(said + "\n\n" + as_text(talk.say(turn), WIDTH, footer=number == len(typed) - 1).rstrip())
    return "\n\n".join(parts) + "\n"


def files() -> list[Path]:
    return sorted(FOLDER.glob("*.txt"))


def main() -> None:
    asker = Asker()
    for file in files():
        now = play(file.read_text(encoding="utf-8"), asker)
        if now != file.read_text(encoding="utf-8"):
            print(f"{file.name} has changed")
            if "--write" in sys.argv:
                file.write_text(now, encoding="utf-8")


if __name__ == "__main__":
    main()

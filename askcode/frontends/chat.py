"""A conversation on a terminal: the prompt first, the knowledge behind it; on a plain terminal, plain lines."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from typing import IO, TYPE_CHECKING

from askcode.frontends.cli import stay
from askcode.frontends.talk import Talk

if TYPE_CHECKING:
    from prompt_toolkit.history import History
    from prompt_toolkit.input import Input
    from prompt_toolkit.output import Output

    from askcode.asker import Asker

PROMPT = "> "
WELCOME = 'Type a question. "help" tells what else can be typed, "quit" leaves.'
PLAIN_KEYS = "Enter sends; a line that ends in \\ goes on in the next. Ctrl-C drops the line, Ctrl-D leaves."


def chat(asker: Asker, width: int | None = None) -> int:
    """Talk until the user leaves. On a plain terminal, or none at all, lines are read without any editing."""
    talk = Talk(asker, width=width)
    if os.environ.get("TERM", "dumb") in ("dumb", "unknown", "") or not _terminal(sys.stdin, sys.stdout):
        return plain_loop(talk)
    return prompt_loop(talk)


def plain_loop(talk: Talk, source: Iterable[str] | None = None) -> int:
    """Lines in, replies out, for terminals that cannot edit (and for screen readers that prefer it so)."""
    talk.keys = PLAIN_KEYS
    talk.say(WELCOME)
    stay()
    read = iter(source).__next__ if source is not None else lambda: _typed(talk)
    while True:
        try:
            line = read()
            while line.endswith("\\"):
                line = f"{line[:-1]}\n{read()}"
            if not talk.hear(line):
                return 0
        except (EOFError, StopIteration):
            return 0
        except KeyboardInterrupt:
            talk.say("")
        except UnicodeDecodeError:
            talk.say("That line came in an encoding that could not be read.")


def _typed(talk: Talk) -> str:
    """One line. `input` would write its prompt among the errors."""
    console = talk.console()
    console.print(PROMPT, end="")
    console.file.flush()
    return input()


def prompt_loop(
    talk: Talk, input: Input | None = None, output: Output | None = None, history: History | None = None
) -> int:
    """The same with editing, history, completion, and what was read shown below the line."""
    from askcode.frontends.editor import make_session

    session = make_session(talk, input, output, history)
    talk.say(WELCOME)
    while True:
        try:
            if not talk.hear(session.prompt()):
                return 0
        except KeyboardInterrupt:
            continue
        except EOFError:
            return 0


def _terminal(*streams: IO[str] | None) -> bool:
    return all(stream is not None and not stream.closed and stream.isatty() for stream in streams)

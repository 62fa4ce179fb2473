"""A conversation on a terminal: the prompt first, the knowledge behind it, the history kept whatever happens."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from askcode.frontends.cli import stay
from askcode.render.clean import one_line, printable
from askcode.render.text import console_for, show

if TYPE_CHECKING:
    from prompt_toolkit import PromptSession
    from prompt_toolkit.history import History
    from prompt_toolkit.input import Input
    from prompt_toolkit.output import Output
    from rich.console import Console

    from askcode.asker import Asker
    from askcode.conversation import Conversation

PROMPT = "> "
WELCOME = "Type a question. Words that do something here: help, start over, edition 2020, quit."
HELP = """Type a question the way you would ask it at the counter; what was said before is remembered.
Then a word or two is enough: "what about aluminum", "and the ground?", "no, 15 hp", "460".
A whole multiple-choice question can be pasted. Enter sends; Alt-Enter makes a new line; Tab completes a word.

help          this
start over    forget what was said
edition YEAR  answer under another edition: {editions}
quit          leave (so does Ctrl-D; Ctrl-C only drops the line)"""


def chat(asker: Asker, width: int | None = None) -> int:
    """Talk until the user leaves. On a plain terminal, or none at all, lines are read without any editing."""
    talk = Talk(asker, console_for(width=width))
    if os.environ.get("TERM", "dumb") in ("dumb", "unknown", "") or not _terminal(sys.stdin, sys.stdout):
        return plain_loop(talk)
    return prompt_loop(talk)


class Talk:
    """What both kinds of loop share: the words that do something, and the replies."""

    def __init__(self, asker: Asker, console: Console):
        self.asker = asker
        self.console = console
        self.conversation: Conversation = asker.conversation()
        self.footer = True
        self._warming: threading.Thread | None = None
        self._words: list[str] = []

    def warm(self) -> None:
        """Start loading, once. The first question waits for it; a failure shows there and not across the prompt."""
        if self._warming is None:
            self._warming = threading.Thread(target=self._load, name="askcode-warm", daemon=True)
            self._warming.start()

    def _load(self) -> None:
        try:
            self.asker.warm()
            stay()
        except Exception:  # the first question meets the same trouble, and can say so
            return

    @property
    def is_warm(self) -> bool:
        return self._warming is not None and not self._warming.is_alive()

    def hear(self, line: str) -> bool:
        """Do or answer one line; False where the user wants to leave."""
        text = printable(line).strip()
        order = " ".join(text.lower().strip(" .!").split())
        if not text:
            return True
        if order in ("quit", "exit", "bye"):
            return False
        if order in ("help", "?"):
            self.say(HELP.format(editions=", ".join(_editions())))
        elif order == "start over":
            self.conversation.start_over()
            self.say("Forgotten. Ask something new.")
        elif order == "edition" or (order.startswith("edition ") and len(order.split()) == 2):
            self._edition(order.removeprefix("edition").strip())
        else:
            self._answer(text)
        return True

    def _edition(self, wanted: str) -> None:
        if wanted in _editions():
            self.conversation.edition = wanted
            self.say(f"From here on the {wanted} edition answers.")
        elif wanted:
            self.say(f"There is no edition {wanted}; there is {', '.join(_editions())}.")
        else:
            self.say(f"The {self.conversation.edition} edition answers; there is {', '.join(_editions())}.")

    def _answer(self, text: str) -> None:
        try:
            if self._warming is not None:
                self._warming.join()
            reply = self.conversation.say(text)
        except KeyboardInterrupt:
            self.say("Stopped.")
            return
        except Exception as error:
            if os.environ.get("ASKCODE_DEBUG"):
                raise
            self.say(f"Something went wrong inside ({type(error).__name__}); please report it with what you typed.")
            return
        self.console.print()
        show(reply, self.console, footer=self.footer, height=self.console.height - 4)
        self.footer = False
        self.console.print()

    def say(self, words: str) -> None:
        self.console.print(words, overflow="fold")

    def status(self) -> str:
        """The line below the prompt: the edition, and the facts that the next question starts from."""
        facts = ", ".join(one_line(fact.value or fact.text) for fact in self.conversation.carried)
        return f" {self.conversation.edition} edition · remembered: {facts or 'nothing yet'} "

    def words(self) -> Sequence[str]:
        """The vocabulary to complete from; nothing while it is still loading."""
        if not self._words and self.is_warm:
            kinds = self.asker.book().vocabulary().values()
            self._words = sorted({word for names in kinds for name, said in names.items() for word in (name, *said)})
        return self._words


def plain_loop(talk: Talk, source: Iterable[str] | None = None) -> int:
    """Lines in, replies out, for terminals that cannot edit (and for screen readers that prefer it so)."""
    talk.say(WELCOME)
    stay()
    lines = iter(source) if source is not None else None
    while True:
        try:
            line = next(lines) if lines is not None else input(PROMPT)
            if not talk.hear(line):
                return 0
        except (EOFError, StopIteration):
            return 0
        except KeyboardInterrupt:
            talk.console.print()
        except UnicodeDecodeError:
            talk.say("That line came in an encoding that could not be read.")


def prompt_loop(talk: Talk, input: Input | None = None, output: Output | None = None,
                history: History | None = None) -> int:
    """The same with editing, history, completion and a status line."""
    session = make_session(talk, input, output, history)
    talk.say(WELCOME)
    while True:
        try:
            line = session.prompt()
        except KeyboardInterrupt:
            continue
        except EOFError:
            return 0
        if not talk.hear(line):
            return 0


def make_session(talk: Talk, input: Input | None = None, output: Output | None = None,
                 history: History | None = None) -> PromptSession[str]:
    """The line editor: Enter sends, pasted line breaks stay, loading starts once the prompt is on the screen."""
    from prompt_toolkit import PromptSession
    from prompt_toolkit.completion import WordCompleter
    from prompt_toolkit.key_binding import KeyBindings

    keys = KeyBindings()

    @keys.add("enter")
    def send(event: Any) -> None:
        buffer = event.current_buffer
        if buffer.complete_state:  # the word that the menu put in is taken; the next Enter sends
            buffer.complete_state = None
        else:
            buffer.validate_and_handle()

    @keys.add("escape", "enter")
    def new_line(event: Any) -> None:
        event.current_buffer.insert_text("\n")

    session: PromptSession[str] = PromptSession(
        PROMPT, multiline=True, key_bindings=keys, history=history if history is not None else kept_history(),
        completer=WordCompleter(lambda: list(talk.words()), ignore_case=True), complete_while_typing=False,
        bottom_toolbar=lambda: [("class:bottom-toolbar", talk.status())], prompt_continuation=lambda *_: "  ",
        enable_open_in_editor=False, input=input, output=output)

    def drawn(_: Any) -> None:
        talk.warm()

    session.app.after_render += drawn
    return session


def kept_history() -> History:
    """The lines typed before, from the user's data folder; kept in memory where that folder cannot be used."""
    from prompt_toolkit.history import FileHistory, InMemoryHistory

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

    path = _history_path()
    return KeptHistory(str(path)) if path is not None else InMemoryHistory()


def _history_path() -> Path | None:
    from platformdirs import user_data_path

    try:
        folder = user_data_path("askcode", appauthor=False)
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        path = folder / "history"
        path.touch(mode=0o600)
        with path.open("ab"):
            return path
    except (OSError, RuntimeError):  # RuntimeError: there is no home folder at all
        return None


def _terminal(*streams: IO[str] | None) -> bool:
    return all(stream is not None and not stream.closed and stream.isatty() for stream in streams)


def _editions() -> Sequence[str]:
    from askcode.rulebase.schemas import EDITIONS

    return EDITIONS



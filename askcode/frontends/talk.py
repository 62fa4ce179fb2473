"""One conversation as a chat carries it: lines in, replies and the doings of orders out. Both kinds of loop use it."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import IO, TYPE_CHECKING

from askcode.frontends.cli import stay
from askcode.frontends.orders import ORDERS, Order, order_in
from askcode.render.clean import one_line, printable
from askcode.render.record import Turn
from askcode.render.text import WIDEST, console_for, show

if TYPE_CHECKING:
    from rich.console import Console

    from askcode.asker import Asker
    from askcode.conversation import Conversation
    from askcode.core.replies import Missing, Reply

HELP = """Type a question the way you would ask it at the counter; what was said before is remembered.
Then a word or two is enough: "what about aluminum", "and the ground?", "no, 15 hp", "460"."""


class Talk:
    """What was said so far, what stands behind it, and where the replies go (`file`; None: standard output)."""

    def __init__(self, asker: Asker, file: IO[str] | None = None, width: int | None = None):
        self.asker = asker
        self.file = file
        self.width = width
        self.keys = ""  # how lines are edited, as the help tells it
        self.columns: Callable[[], int] | None = None  # of the window now; the environment may tell an old width
        self.busy = threading.Lock()  # one question is read at a time, whoever asks: the user, the hint, the completion
        self.footer = True
        self._warming: threading.Thread | None = None
        self.names: set[str] = set()  # how the vocabulary itself calls things
        self._words: list[str] = []
        self.begin(asker.conversation())

    def begin(self, conversation: Conversation, turns: Sequence[Turn] = (), name: str = "") -> None:
        """Go on with a conversation from here; `name` is the one that it is saved under."""
        self.conversation = conversation
        self.turns = list(turns)
        self.name = name
        self.unsaved = False
        if not turns:
            self.start = (conversation.edition, dict(conversation.settings))

    # --- loading ---
    def warm(self) -> None:
        """Start loading, once. The first question waits for it; a failure shows there and not across the prompt."""
        if self._warming is None:
            self._warming = threading.Thread(target=self._load, name="askcode-warm", daemon=True)
            self._warming.start()

    def _load(self) -> None:
        try:
            with self.busy:
                self.asker.warm()
            stay()
        except Exception:  # the first question meets the same trouble, and can say so
            return

    @property
    def is_warm(self) -> bool:
        return self._warming is not None and not self._warming.is_alive()

    def wait(self) -> None:
        """Until all is loaded."""
        self.warm()
        if self._warming is not None:
            self._warming.join()

    # --- one line ---
    def hear(self, line: str) -> bool:
        """Do or answer one line; False where the user wants to leave. Ctrl-C stops it and nothing else."""
        text = printable(line).strip()
        if not text:
            return True
        order = order_in(text)
        try:
            if order is not None and order.word == "quit":
                return False
            if order is None or not self._do(order, text):
                self._answer(text)
        except KeyboardInterrupt:
            self.say("Stopped.")
        return True

    def _do(self, order: Order, text: str) -> bool:
        """Do what was ordered; False where it is a question after all."""
        from askcode.frontends import keeping

        match order.word:
            case "help":
                self._help()
            case "start over":
                self.conversation.start_over()
                self.note(text, None)
                self.say("Forgotten. Ask something new.")
            case "edition":
                self._edition(order.name, text)
            case "status":
                self.say(self.status())
            case "open" if not keeping.may_be_opened(self, order.name, text):
                return False
            case word:
                self.say(keeping.DO[word](self, order))
        return True

    def _help(self) -> None:
        from rich.table import Table
        from rich.text import Text

        orders = Table.grid(padding=(0, 2))
        for _, typed, does in ORDERS.values():
            orders.add_row(Text(typed), Text(does.format(editions=", ".join(editions()))))
        self.say("\n".join([HELP, *([self.keys] if self.keys else []), ""]))
        self.console().print(orders)

    def _edition(self, wanted: str, text: str) -> None:
        if wanted in editions():
            self.conversation.edition = wanted
            self.note(text, None)
            self.say(f"From here on the {wanted} edition answers.")
        elif wanted:
            self.say(f"There is no edition {wanted}; there is {', '.join(editions())}.")
        else:
            self.say(f"The {self.conversation.edition} edition answers; there is {', '.join(editions())}.")

    def _answer(self, text: str) -> None:
        settings = dict(self.conversation.settings)
        try:
            self.wait()
            with self.busy:
                reply = self.conversation.say(text)
        except Exception as error:
            if os.environ.get("ASKCODE_DEBUG"):
                raise
            self.say(f"Something went wrong inside ({type(error).__name__}); please report it with what you typed.")
            return
        self.note(text, reply)
        console = self.console()
        console.print()
        show(reply, console, footer=self.footer, height=console.height - 4)
        self.footer = False
        if self.conversation.settings != settings:
            from askcode.frontends.settings_file import keep

            if wrong := keep(self.asker, self.conversation):
                self.say(wrong)
        console.print()

    def note(self, typed: str, reply: Reply | None) -> None:
        """Keep a turn, to be saved or exported."""
        self.turns.append(Turn(datetime.now().astimezone().isoformat(timespec="seconds"), typed, reply))
        self.unsaved = self.unsaved or reply is not None

    # --- what is shown ---
    def console(self) -> Console:
        """As wide as the window is now."""
        width = self.width or (min(self.columns(), WIDEST) if self.columns else None)
        return console_for(self.file, width)

    def say(self, words: str) -> None:
        self.console().print(words, overflow="fold")

    def status(self) -> str:
        """The edition, the place, and the facts that the next question starts from, on one line."""
        parts = [f"{self.conversation.edition} edition"]
        if place := one_line(self.conversation.jurisdiction):
            parts.append(place)
        facts = dict.fromkeys(one_line(fact.value or fact.text) for fact in self.conversation.carried)
        return " · ".join([*parts, f"remembered: {', '.join(facts) or 'nothing yet'}"])

    # --- what can come next ---
    def asked(self) -> list[Missing]:
        """What the last reply asked for."""
        reply = self.turns[-1].reply if self.turns else None
        return reply.missing if reply else []

    def words(self) -> Sequence[str]:
        """The words that are understood, in order; none while they are still loading."""
        if not self._words and self.is_warm:
            kinds = self.asker.book().vocabulary().values()
            self.names = {name for names in kinds for name in names if "_" not in name}
            self._words = sorted(self.names.union(*(said for names in kinds for said in names.values())))
        return self._words


def editions() -> Sequence[str]:
    from askcode.rulebase.schemas import EDITIONS

    return EDITIONS

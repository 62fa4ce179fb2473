"""The line editor: Enter sends, pasted line breaks stay, Tab completes, Ctrl-R searches, and two lines below tell where
the talk stands and what was read so far."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

from prompt_toolkit import PromptSession
from prompt_toolkit.enums import DEFAULT_BUFFER
from prompt_toolkit.filters import has_focus
from prompt_toolkit.key_binding import KeyBindings
from prompt_toolkit.styles import Style

from askcode.frontends.completion import NextWord
from askcode.frontends.hint import Hint
from askcode.frontends.history import kept_history
from askcode.frontends.talk import Talk
from askcode.render.clean import fitting

if TYPE_CHECKING:
    from prompt_toolkit.formatted_text import StyleAndTextTuples
    from prompt_toolkit.history import History
    from prompt_toolkit.input import Input
    from prompt_toolkit.output import Output

PROMPT = "> "
KEYS = """A whole multiple-choice question can be pasted. Enter sends, Alt-Enter makes a new line, Tab completes a word.
Up goes back, Ctrl-R searches what was typed before; Ctrl-C drops the line, Ctrl-D leaves."""
QUICK = 0.0002  # seconds that a reading in another thread may go on when a key wants to be drawn
MENU = 7  # lines kept free for a list of words
PLAIN = Style.from_dict({"bottom-toolbar": "noreverse", "hint": "italic"})  # nothing here needs colour to be read


def make_session(
    talk: Talk, input: Input | None = None, output: Output | None = None, history: History | None = None
) -> PromptSession[str]:
    """A session of the editor; loading starts once its prompt is on the screen. Without a `history`, the kept one."""

    def below() -> StyleAndTextTuples:
        columns = session.output.get_size().columns - 1  # a full line would wrap when the window gets narrower
        return [("", fitting(talk.status(), columns)), ("", "\n"), ("class:hint", hint.line(columns))]

    session: PromptSession[str] = PromptSession(
        PROMPT,
        multiline=True,
        key_bindings=_keys(),
        history=history if history is not None else kept_history(),
        enable_history_search=True,
        search_ignore_case=True,
        completer=NextWord(talk),
        complete_in_thread=True,
        complete_while_typing=False,
        reserve_space_for_menu=MENU,
        bottom_toolbar=below,
        style=PLAIN,
        prompt_continuation=lambda *_: "  ",
        enable_open_in_editor=False,
        enable_suspend=True,
        input=input,
        output=output,
    )
    sys.setswitchinterval(QUICK)
    hint = Hint(talk, session.app.invalidate)
    session.default_buffer.on_text_changed += lambda buffer: hint.typed(buffer.text)
    session.app.on_reset += lambda _: hint.typed("")
    session.app.after_render += lambda _: talk.warm()
    talk.keys = KEYS
    talk.columns = lambda: session.output.get_size().columns
    return session


def _keys() -> KeyBindings:
    keys = KeyBindings()
    in_line = has_focus(DEFAULT_BUFFER)  # not in the search, where Enter takes what was found

    @keys.add("enter", filter=in_line)
    def send(event: Any) -> None:
        buffer = event.current_buffer
        if buffer.complete_state:  # the word that the menu put in is taken; the next Enter sends
            buffer.complete_state = None
        else:
            buffer.validate_and_handle()

    @keys.add("escape", "enter", filter=in_line)
    def new_line(event: Any) -> None:
        event.current_buffer.insert_text("\n")

    return keys

"""The chat: what is heard and shown, line by line and key by key, and what becomes of it afterwards."""

from __future__ import annotations

import io
import json
import os
import pty
import re
import shutil
import stat
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from prompt_toolkit.completion import CompleteEvent
from prompt_toolkit.data_structures import Size
from prompt_toolkit.document import Document
from prompt_toolkit.history import InMemoryHistory
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput
from prompt_toolkit.output.vt100 import Vt100_Output

from askcode.asker import LONGEST, Asker
from askcode.frontends import chat, files, history, saved
from askcode.frontends.completion import NextWord
from askcode.frontends.hint import Hint, told
from askcode.frontends.orders import Order, order_in
from askcode.frontends.talk import Talk
from askcode.render.clean import fitting
from tests.fakes import FakeAsker

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(autouse=True)
def data(monkeypatch, tmp_path):
    """A data folder of the test's own."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    return tmp_path / "askcode"


def converse(keys: str, asker=None, kept=None):
    """The chat after these keys: its talk, and all that was shown above the prompt."""
    shown = io.StringIO()
    talk = Talk(asker or FakeAsker(), shown, 80)
    with create_pipe_input() as pipe:
        pipe.send_text(keys)
        code = chat.prompt_loop(talk, pipe, DummyOutput(), kept if kept is not None else InMemoryHistory())
    assert code == 0
    return talk, shown.getvalue()


def told_to(talk: Talk, line: str) -> str:
    """What one line brings."""
    talk.file = io.StringIO()
    assert talk.hear(line)
    return talk.file.getvalue()


# --- keys -------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("keys, heard", [
    ("2 hp 120 V\r\x04", ["2 hp 120 V"]),
    ("2 hp 120 V\rquit\r", ["2 hp 120 V"]),
    ("\r  \rquit\r", []),
    ("one\x1b\rtwo\rquit\r", ["one\ntwo"]),
    ("2 hp 120 V\rdrop this\x03quit\r", ["2 hp 120 V"]),
    ("\x1b[200~which wire?\na) 10\nb) 12\x1b[201~\rquit\r", ["which wire?\na) 10\nb) 12"]),
    ("\x1b[200~which wire?\r\na) 10\r\nb) 12\r\n\x1b[201~\rquit\r", ["which wire?\na) 10\nb) 12"]),
    ("\x1b[200~which wire?\ra) 10\x1b[201~\rquit\r", ["which wire?\na) 10"]),
    ("\x12first\r\rquit\r", ["the first line"]),  # Enter takes what was found, the next one sends it
    ("\x12line\x12\r\rquit\r", ["the first line"]),  # Ctrl-R again: one further back
    ("\x12nowhere\x03quit\r", []),
    ("\x1b[A\rquit\r", ["the second line"]),
    ("the f\x1b[A\rquit\r", ["the first line"]),  # Up after some letters: what began so
    ("explode\r2 hp 120 V\r\x04", ["explode", "2 hp 120 V"]),
], ids=repr)  # fmt: skip
def test_what_keys_bring_to_be_heard(keys, heard):
    talk, _ = converse(keys, kept=InMemoryHistory(["the first line", "the second line"]))
    assert talk.conversation.heard == heard


def test_a_question_is_answered_and_the_footer_said_once():
    _, shown = converse("2 hp 120 V\r2 hp 240 V\rquit\r")
    assert shown.count("licensed electrician") == 1 and shown.count("\nUse 10 AWG") == 2


def test_a_fault_inside_does_not_end_the_chat(monkeypatch):
    monkeypatch.delenv("ASKCODE_DEBUG", raising=False)
    _, shown = converse("explode\r2 hp 120 V\r\x04")
    assert "KeyError" in shown and "Traceback" not in shown and "Use 10 AWG" in shown


def test_ctrl_c_stops_an_answer_and_nothing_else():
    talk = Talk(FakeAsker(), io.StringIO(), 80)

    def interrupted(text):
        raise KeyboardInterrupt

    talk.conversation.say = interrupted
    assert "Stopped." in told_to(talk, "2 hp 120 V") and not talk.busy.locked()


def test_loading_starts_after_the_prompt_and_a_failure_waits_for_the_question():
    class Failing(FakeAsker):
        def warm(self):
            super().warm()
            raise OSError("no knowledge")

    asker = Failing()
    Talk(asker, io.StringIO(), 80)
    assert asker.warmed == 0
    _, shown = converse("2 hp 120 V\rquit\r", asker)
    assert asker.warmed == 1 and "Use 10 AWG" in shown


@pytest.mark.slow
def test_the_prompt_is_drawn_before_spacy_is_loaded():
    code = ("import io, sys\n"
            "from prompt_toolkit.history import InMemoryHistory\n"
            "from prompt_toolkit.input import create_pipe_input\n"
            "from prompt_toolkit.output import DummyOutput\n"
            "from askcode.frontends import chat, commands\n"
            "from askcode.frontends.talk import Talk\n"
            "talk = Talk(commands.make_asker(None), io.StringIO(), 80)\n"
            "talk.warm = lambda: print('spacy' in sys.modules, 'msgspec' in sys.modules)\n"
            "with create_pipe_input() as pipe:\n"
            "    pipe.send_text('quit\\r')\n"
            "    chat.prompt_loop(talk, pipe, DummyOutput(), InMemoryHistory())\n")  # fmt: skip
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, cwd=ROOT)
    assert done.stdout.split()[0] == "False", done.stderr


# --- orders -----------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("line, order", [
    ("help", Order("help")), ("?", Order("help")), ("Start  over.", Order("start over")), ("QUIT!", Order("quit")),
    ("edition 2020", Order("edition", "2020")), ("edition", Order("edition")), ("status", Order("status")),
    ("save kitchen", Order("save", "kitchen")), ("save", Order("save")), ("saved", Order("saved")),
    ('save "kitchen job"', Order("save", "kitchen job")), ("save kitchen again", Order("save", "kitchen", True)),
    ("open kitchen", Order("open", "kitchen")), ("open kitchen again", Order("open", "kitchen", True)),
    ("export a.md", Order("export", "a.md")), ("export a.md.", Order("export", "a.md.")),
    ("export my own job.html", Order("export", "my own job.html")),
    ("export a.md again", Order("export", "a.md", True)),
    ("export", Order("export")), ("export notes", Order("export", "notes")),
    ("help me with a 20 A circuit", None), ("edition of 2020?", None), ("edition 2020 or 2023?", None),
    ("save me some time, what size wire for 20 A", None), ("save energy?", None), ("open", None),
    ("open delta, 240 V, which leg is high", None), ("open air cable ampacity", None), ("export the cable?", None),
    ("quit claim", None), ("saved by a 20 A breaker?", None), ("save kitchen\nwhich wire", None),
    ("status of #12", None),
])  # fmt: skip
def test_an_order_has_exactly_its_shape(line, order):
    assert order_in(line) == order


def test_orders_do_something_and_are_not_asked():
    talk, shown = converse("help\rEdition 2020\redition 1999\redition\r2 hp 120 V\rstatus\rstart over\rQuit.\r")
    assert talk.conversation.heard == ["2 hp 120 V"] and talk.conversation.edition == "2020"
    assert "Alt-Enter" in shown and "2020 edition answers" in shown and "no edition 1999" in shown
    assert "2020 edition · remembered: 2 hp\n" in shown and talk.conversation.carried == []


@pytest.mark.parametrize("width", [40, 60, 80])
def test_the_help_fits(width):
    talk = Talk(FakeAsker(), width=width)
    lines = told_to(talk, "help").split("\n")
    assert max(map(len, lines)) <= width and any(line.startswith("export FILE") for line in lines)


@pytest.mark.parametrize("place, status", [
    ("", "2023 edition · remembered: 2 hp"), ("Ohio", "2023 edition · Ohio · remembered: 2 hp"),
])  # fmt: skip
def test_the_status_tells_edition_place_and_facts(place, status):
    talk = Talk(FakeAsker(), io.StringIO(), 80)
    assert talk.status() == "2023 edition · remembered: nothing yet"
    told_to(talk, "2 hp")
    talk.conversation.jurisdiction = place
    assert talk.status() == status


# --- saved conversations ----------------------------------------------------------------------------------------------
def talked(*lines: str) -> Talk:
    talk = Talk(FakeAsker(), width=100)
    for line in lines:
        told_to(talk, line)
    return talk


def test_a_saved_conversation_is_taken_up_again():
    first = talked("edition 2017", "2 hp", "120 V", "start over", "wire for 10 hp", "save kitchen")
    second = talked()
    shown = told_to(second, "open kitchen")
    assert "Opened “kitchen”: 5 turns." in shown and "changed" not in shown and "Last: wire for 10 hp" in shown
    assert second.conversation.heard == ["2 hp", "120 V", "wire for 10 hp"] and second.conversation.edition == "2017"
    assert [turn.typed for turn in second.turns] == [turn.typed for turn in first.turns]
    assert [turn.at for turn in second.turns] == [turn.at for turn in first.turns]
    assert "Saved as “kitchen”" in told_to(second, "save")


def test_what_is_in_the_file(data):
    talk = talked("2 hp 120 V", "edition 2020")
    talk.start = ("2017", {"k": "12"})
    told_to(talk, "save kitchen")
    path = data / "conversations" / "kitchen.json"
    kept = json.loads(path.read_bytes())
    assert {key: kept[key] for key in ("version", "edition", "settings")} == {
        "version": 1, "edition": "2017", "settings": {"k": "12"},
    }  # fmt: skip
    asked, ordered = kept["turns"]
    assert asked["typed"] == "2 hp 120 V" and asked["headline"].startswith("Use 10 AWG") and "Steps" in asked["reply"]
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d", asked["at"])
    assert ordered["typed"] == "edition 2020" and not ordered["reply"]
    if os.name == "posix":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600 and stat.S_IMODE(path.parent.stat().st_mode) == 0o700


def test_an_answer_that_changed_is_told(data):
    talked("2 hp", "2 hp 120 V", "wire", "save kitchen")
    path = data / "conversations" / "kitchen.json"
    kept = json.loads(path.read_bytes())
    kept["turns"][1]["headline"] = "Use 12 AWG."
    path.write_text(json.dumps(kept))
    assert "Since it was saved, 1 answer has changed: no. 2." in told_to(talked(), "open kitchen")


@pytest.mark.parametrize("content, says", [
    (b"", "is damaged"), (b"\x00\xff\xfe", "is damaged"), (b"[]", "is damaged"), (b"[" * 100_000, "is damaged"),
    (b'{"version": 1}', "is damaged"), (b'{"version": 1, "edition": "2023", "turns": [1]}', "is damaged"),
    (b'{"version": 1, "edition": "2023", "turns": [], "more": 1}', "is damaged"),
    (b'{"version": 2, "conversation": []}', "newer askcode"),
    (b'{"version": 1, "edition": "1999", "turns": []}', "1999 edition, which is not here"),
    (b'{"version": 1, "edition": "2023", "turns": [{"at": "", "typed": "explode", "reply": "x"}]}', "no. 1 goes wrong"),
])  # fmt: skip
def test_a_damaged_file_is_told_in_one_line_and_nothing_changes(data, content, says):
    talk = talked("2 hp", "save mine")
    (data / "conversations" / "kitchen.json").write_bytes(content)
    shown = " ".join(told_to(talk, "open kitchen").split())
    assert says in shown and "Traceback" not in shown and talk.name == "mine" and len(talk.turns) == 1


@pytest.mark.parametrize("name, safe", [
    ("Kitchen", "kitchen"), ("../../etc/passwd", "etc-passwd"), ("a\\b:c*", "a-b-c"), (".hidden", "hidden"),
    ("CON", "con_"), ("com1.json", "com1.json_"), ("bob's garage", "bob-s-garage"), ("Küche", "küche"), ("..", ""),
    ("x" * 300, "x" * 60), ("a\x1b[31mb", "ab"),
])  # fmt: skip
def test_a_name_is_made_safe(name, safe):
    assert saved.safe_name(name) == safe


@pytest.mark.parametrize("before, line, says", [
    ([], "save x", "nothing to save"), (["2 hp"], "save", "Say a name"), (["2 hp"], 'save ".."', "Say a name"),
    (["2 hp"], "save kitchen", "There is a “kitchen” already"), (["2 hp"], "save kitchen again", "Saved as “kitchen”"),
    (["2 hp"], "open kitchen", "not saved"), (["2 hp"], "open kitchen again", "Opened"), ([], "open kitchen", "Opened"),
    (["start over"], "open kitchen", "Opened"), ([], "open kitchn", "Did you mean: open kitchen"),
    ([], "open garage-job", "There is no “garage-job”. Saved: kitchen."), ([], "saved", "Saved: kitchen."),
    ([], "open copper", "Use 10 AWG"),  # a word of the trade: a question
    ([], "export x.md", "nothing to export"), (["2 hp"], "export", ".html"), (["2 hp"], "export x.pdf", ".html"),
])  # fmt: skip
def test_nothing_is_lost_and_what_to_type_is_said(before, line, says):
    talked("2 hp 120 V", "save kitchen")
    assert says in " ".join(told_to(talked(*before), line).split())


def test_a_data_folder_that_cannot_be_used_is_said(data):
    data.write_text("in the way")
    talk = talked("2 hp")
    assert "could not be saved" in told_to(talk, "save kitchen")
    assert "No conversation is saved yet" in told_to(talk, "saved") and talk.unsaved


@pytest.mark.parametrize("call", ["os.open", "os.fsync", "pathlib.Path.replace"])
def test_a_file_is_the_old_one_or_the_new_one(monkeypatch, tmp_path, call):
    path = tmp_path / "kept.json"
    files.write_whole(path, b"old")

    def fails(*args, **kwargs):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(call, fails)
        with pytest.raises(OSError):
            files.write_whole(path, b"new")
    assert path.read_bytes() == b"old" and os.listdir(tmp_path) == ["kept.json"]


def test_what_a_killed_process_left_is_swept(tmp_path):
    old, new = tmp_path / ".x.json.1.part", tmp_path / ".x.json.2.part"
    for path in (old, new):
        path.touch()
    os.utime(old, (0, 0))
    files.sweep(tmp_path)
    assert not old.exists() and new.exists()


# --- export -----------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name, begins", [("x.md", "# "), ("x.MARKDOWN", "# "), ("x.html", "<!doctype html>"),
                                          ("my job.htm", "<!doctype html>")])  # fmt: skip
def test_a_conversation_is_written_down(tmp_path, name, begins):
    path = tmp_path / name
    talk = talked("2 hp 120 V", f"export {path}")
    first = path.read_text("utf-8")
    assert first.startswith(begins) and "Use 10 AWG" in first
    told_to(talk, "wire for 10 hp")
    assert "already" in told_to(talk, f"export {path}") and path.read_text("utf-8") == first
    command = f'"{path}"' if " " in name else path
    assert "Written to" in told_to(talk, f"export {command} again") and path.read_text("utf-8") != first


@pytest.mark.parametrize("file, says", [("none/x.md", "no such file"), ("folder.md", "is a folder")])
def test_an_export_that_cannot_be_is_one_line(tmp_path, file, says):
    (tmp_path / "folder.md").mkdir()
    shown = " ".join(told_to(talked("2 hp"), f"export {tmp_path / file}").split())
    assert says in shown and "Traceback" not in shown


# --- history ----------------------------------------------------------------------------------------------------------
def test_history_is_kept_at_once_and_cleaned():
    history.kept_history().append_string("2 hp\x00 \udcff120 V\nb) 12")
    assert list(history.kept_history().load_history_strings()) == ["2 hp 120 V\nb) 12"]


def test_a_history_with_rubbish_in_it_is_read(data):
    data.mkdir()
    (data / "history").write_bytes(b"\n# 2026\n+2 hp\x00\xff\x1b[31m\n")
    assert "2 hp" in next(iter(history.kept_history().load_history_strings()))


@pytest.mark.parametrize("spoil", ["file", "folder"])
def test_a_data_folder_that_cannot_be_used_costs_only_the_history(data, spoil):
    if spoil == "file":
        data.write_text("in the way")
    else:
        (data / "history").mkdir(parents=True)
    assert isinstance(history.kept_history(), InMemoryHistory)


def test_a_history_that_goes_away_does_not_end_the_chat(data):
    kept = history.kept_history()
    shutil.rmtree(data)
    kept.append_string("2 hp")
    assert list(kept.load_history_strings()) == []


# --- what can come next, and what was read ----------------------------------------------------------------------------
@pytest.fixture(scope="module")
def real():
    """The whole program, loaded once."""
    asker = Asker()
    asker.warm()
    return asker


def ready(asker, *lines: str) -> Talk:
    talk = Talk(asker, width=80)
    for line in lines:
        told_to(talk, line)
    talk.wait()
    return talk


def next_words(talk: Talk, text: str) -> list[str]:
    """The line as it would stand with each completion."""
    found = NextWord(talk).get_completions(Document(text), CompleteEvent(completion_requested=True))
    return [text[: len(text) + c.start_position] + c.text for c in found]


OPEN = "what size wire for a 5 hp motor"  # the voltage and the phases are asked back


@pytest.mark.parametrize("said, text, first", [
    # units after a number: what the unfinished question lacks, then those of what it names
    ([], "motor 5 ", ["motor 5 hp"]),
    ([], "motor 5", ["motor 5 hp"]),
    ([], f"{OPEN} 230 ", [f"{OPEN} 230 V"]),
    ([], "#12 copper, 200 f", ["#12 copper, 200 ft"]),
    ([], "what can 10 aw", ["what can 10 AWG"]),
    ([], "what can 500 k", ["what can 500 kcmil"]),
    ([], "what can 3/0 a", ["what can 3/0 A", "what can 3/0 AWG"]),
    # the choices of what was asked come first
    ([OPEN], "", ["single phase", "three phase", "dc", "120 V", "208 V"]),
    ([OPEN], "three", ["three phase"]),
    ([OPEN], "3", ["three phase"]),
    ([OPEN], "dc, 2", ["dc, 208 V", "dc, 230 V", "dc, 240 V"]),
    ([OPEN], "230 ", ["230 V"]),
    # words and phrases that are understood
    ([], "is alumi", ["is aluminum"]),
    ([], "a dual-el", ["a dual-element fuse"]),
    ([], "", []),
    ([], "xyzzyq", []),
    # orders
    ([], "st", ["start over", "status"]),
    ([], "edition 202", ["edition 2020", "edition 2023", "edition 2026"]),
    (["how deep does a ground rod go", "save kitchen"], "open k", ["open kitchen"]),
])  # fmt: skip
def test_what_can_come_next(real, said, text, first):
    found = next_words(ready(real, *said), text)
    assert found[: len(first)] == first and len(found) == len({word.lower() for word in found})
    assert first or not found


def test_a_unit_that_was_told_comes_last(real):
    found = next_words(ready(real), "a 5 hp motor on 230 ")
    assert found.index("a 5 hp motor on 230 hp") > found.index("a 5 hp motor on 230 V")


def test_nothing_is_completed_while_the_words_are_loading():
    assert next_words(Talk(FakeAsker(), io.StringIO(), 80), "cop") == []


@pytest.mark.parametrize("text, hint", [
    ("5 hp 230 V single-phase foo ", "reads: 5 hp · 230 V · single-phase; not understood: foo"),
    ("what size wire for #12 coper at 75 C ", "reads: #12 · copper · 75 °C; asks: conductor size"),
    ("5 hp fo", "reads: 5 hp"),  # the last word is still being typed
    ("xyzzy qwrtz ", "not understood: xyzzy, qwrtz"),
    ("hello there", ""),
])  # fmt: skip
def test_the_hint_tells_what_was_read(real, text, hint):
    assert "; ".join(told(real.read(text), finished=text.endswith(" "))) == hint


@pytest.mark.parametrize("width, line", [
    (100, "reads: 5 hp · 230 V · single-phase; asks: conductor size; not understood: foo"),
    (60, "reads: 5 hp · 230 V · single-phase; not understood: foo"),
    (40, "reads: 5 hp · 230…; not understood: foo"), (30, "reads: 5 hp ·…; not understoo…"), (8, "reads:…"), (0, ""),
])  # fmt: skip
def test_the_hint_fits_and_keeps_what_was_not_understood(width, line):
    hint = Hint(Talk(FakeAsker(), io.StringIO(), 80), lambda: None)
    hint.parts = ["reads: 5 hp · 230 V · single-phase", "asks: conductor size", "not understood: foo"]
    assert hint.line(width) == line and len(line) <= width


@pytest.mark.parametrize("text, width, cut", [
    ("abc", 3, "abc"), ("abcd", 3, "ab…"), ("電圧電圧", 5, "電圧…"), ("a", 0, ""),
])  # fmt: skip
def test_a_line_that_is_too_long_is_cut(text, width, cut):
    assert fitting(text, width) == cut


def test_of_a_long_text_only_the_end_is_read(monkeypatch):
    asker, done = FakeAsker(), threading.Event()
    texts = []
    monkeypatch.setattr(asker, "read", lambda text: (texts.append(text), done.set()), raising=False)
    Hint(Talk(asker, io.StringIO(), 80), lambda: None, pause=0).typed("2 hp " * 200 + "x")
    assert done.wait(20) and texts[0].startswith(("2", "hp")) and texts[0].endswith("2 hp x") and len(texts[0]) <= 300


class SlowReader(FakeAsker):
    """Reads as long as it is told to."""

    def __init__(self):
        super().__init__()
        self.texts: list[str] = []
        self.reading, self.go_on = threading.Event(), threading.Event()

    def read(self, text):
        self.texts.append(text)
        self.reading.set()
        assert self.go_on.wait(30)
        raise ValueError("a hint that goes wrong is no hint")


def test_no_key_waits_for_the_hint():
    """Keys reach the screen while a reading is stuck; of those typed meanwhile only the newest text is read."""
    asker, screen = SlowReader(), io.StringIO()
    talk = Talk(asker, io.StringIO(), 80)
    talk.wait()
    seen = []

    def on_screen(words: str) -> bool:
        end = time.monotonic() + 20
        while words not in screen.getvalue() and time.monotonic() < end:
            time.sleep(0.01)
        return words in screen.getvalue()

    with create_pipe_input() as pipe:

        def type_keys():
            pipe.send_text("5 hp")
            seen.append(asker.reading.wait(20))
            for key in "zyx":
                pipe.send_text(key)
                seen.append(on_screen(key))
            seen.append(not asker.go_on.is_set())
            asker.go_on.set()
            end = time.monotonic() + 20
            while len(asker.texts) < 2 and time.monotonic() < end:
                time.sleep(0.01)
            pipe.send_text("\x03\x04")

        typist = threading.Thread(target=type_keys)
        typist.start()
        output = Vt100_Output(screen, lambda: Size(24, 80), term="xterm", enable_cpr=False)
        assert chat.prompt_loop(talk, pipe, output, InMemoryHistory()) == 0
        typist.join(30)
    assert seen == [True] * 5 and asker.texts == ["5 hp", "5 hpzyx"]


@pytest.mark.parametrize("text, hint", [
    ("save kitchen", "does: save NAME"), ("  ", ""), ("x" * (LONGEST + 1_200), "too long by 1,200 characters"),
])  # fmt: skip
def test_a_hint_without_reading(text, hint):
    talk, done = Talk(FakeAsker(), io.StringIO(), 80), threading.Event()
    hints = Hint(talk, done.set, pause=0)
    hints.typed(text)
    assert (done.wait(20) if hint else True) and hints.line(80) == hint
    hints.typed("")
    assert hints.line(80) == ""


# --- plain terminals --------------------------------------------------------------------------------------------------
def test_a_plain_terminal_gets_plain_lines():
    shown = io.StringIO()
    talk = Talk(FakeAsker(), shown, 60)
    lines = ["2 hp 120 V\r", "which wire?\\", "a) 10\\", "b) 12", "help", "quit", "not heard"]
    assert chat.plain_loop(talk, lines) == 0
    assert talk.conversation.heard == ["2 hp 120 V", "which wire?\na) 10\nb) 12"]
    assert "Use 10 AWG" in shown.getvalue() and "\x1b" not in shown.getvalue() and "Alt-Enter" not in shown.getvalue()


@pytest.mark.parametrize("term", ["dumb", None, "xterm"])
def test_which_loop(monkeypatch, term):
    monkeypatch.delenv("TERM", raising=False)
    if term:
        monkeypatch.setenv("TERM", term)
    monkeypatch.setattr(chat, "plain_loop", lambda talk: 10)
    monkeypatch.setattr(chat, "prompt_loop", lambda talk: 20)
    monkeypatch.setattr(chat, "_terminal", lambda *streams: True)
    assert chat.chat(FakeAsker()) == (20 if term == "xterm" else 10)
    monkeypatch.setattr(chat, "_terminal", lambda *streams: False)
    assert chat.chat(FakeAsker()) == 10


STUB = (
    f"import sys; sys.path[:0] = [{str(ROOT)!r}]; from tests.fakes import FakeAsker; "
    "from askcode.frontends import commands, cli; commands.make_asker = FakeAsker; sys.exit(cli.main({args}))"
)


def in_terminal(typed: bytes, args: str = "[]", **streams) -> tuple[bytes, bytes, int]:
    """A chat whose standard input is a dumb terminal of 40 columns: what came back, errors, exit code."""
    import fcntl
    import struct
    import termios

    keyboard, terminal = pty.openpty()
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 40, 0, 0))
    fcntl.ioctl(keyboard, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 40, 0, 0))
    stub = STUB.format(args=args)
    environment = {**os.environ, "TERM": "dumb"}
    environment.pop("COLUMNS", None)
    with subprocess.Popen([sys.executable, "-c", stub], stdin=terminal, stderr=subprocess.PIPE, env=environment,
                          **{"stdout": terminal, **streams}) as talk:  # fmt: skip
        os.close(terminal)
        os.write(keyboard, typed)
        if streams:
            talk.stdout.close()
        came = b""
        try:
            while block := os.read(keyboard, 65536):
                came += block
        except OSError:  # the other side is closed
            pass
        errors = talk.stderr.read()
        code = talk.wait(30)
    os.close(keyboard)
    return came, errors, code


@pytest.mark.slow
def test_a_dumb_terminal_is_as_wide_as_it_is():
    came, errors, code = in_terminal(b"2 hp 120 V\nquit\n")
    lines = came.decode().replace("\r\n", "\n").split("\n")
    assert code == 0 and not errors and "Use 10 AWG copper: 24 A × 125% = 30 A." in came.decode()
    assert max(map(len, lines)) <= 40 and b"\x1b" not in came


@pytest.mark.slow
def test_a_reader_that_goes_away_ends_the_chat_without_a_word():
    _, errors, code = in_terminal(b"2 hp 120 V\n2 hp 120 V\n", stdout=subprocess.PIPE)
    assert code == 1 and errors == b""


# --- a real terminal --------------------------------------------------------------------------------------------------
class Terminal:
    """A shell in tmux, and what its screen shows."""

    def __init__(self, folder: Path):
        self.socket = folder / "socket"
        shell = f"cd {folder} && PS1='shell> ' TERM=screen exec bash --norc -i"
        self.tmux("-f", "/dev/null", "new-session", "-d", "-s", "askcode", "-x", "80", "-y", "50", shell)
        self.wait_for("shell>")

    def tmux(self, *args: str) -> str:
        command = ["tmux", "-S", str(self.socket), *args]
        return subprocess.run(command, capture_output=True, text=True, timeout=30).stdout

    def keys(self, *keys: str) -> None:
        self.tmux("send-keys", "-t", "askcode", *keys)

    def drop_line(self) -> None:
        self.keys("C-c")
        time.sleep(0.5)  # a key that comes between two prompts is the terminal's, not ours

    def resize(self, columns: int) -> None:
        self.tmux("resize-window", "-t", "askcode", "-x", str(columns), "-y", "50")
        time.sleep(0.5)  # tmux tells the program a little later

    def screen(self, back: int = 0) -> str:
        return self.tmux("capture-pane", "-p", "-S", str(-back), "-t", "askcode")

    def wait_for(self, words: str, seconds: float = 30) -> str:
        end = time.monotonic() + seconds
        while words not in self.screen():
            if time.monotonic() > end:
                pytest.fail(f"{words!r} never came; the screen shows:\n{self.screen()}")
            time.sleep(0.05)
        return self.screen()


@pytest.fixture
def terminal(tmp_path):
    if shutil.which("tmux") is None or shutil.which("bash") is None:
        pytest.skip("needs tmux and bash")
    found = Terminal(tmp_path)
    yield found
    found.tmux("kill-server")


@pytest.mark.slow
def test_the_chat_in_a_terminal(terminal, tmp_path):
    """The whole program as somebody at a screen meets it."""
    terminal.keys(f"PYTHONPATH={ROOT} {sys.executable} -m askcode.frontends.cli", "Enter")
    terminal.wait_for("2023 edition · remembered: nothing yet")

    terminal.keys("what wire for a 5 hp motor xyzzy ")
    terminal.wait_for("reads: 5 hp; asks: conductor size; not understood: xyzzy")
    terminal.keys("Enter")
    terminal.wait_for("remembered: 5 hp")
    assert "not understood" not in terminal.screen()  # the hint goes with its line

    terminal.keys("Tab")
    assert terminal.wait_for("230 V").index("single phase") < terminal.screen().index("120 V")
    terminal.drop_line()

    terminal.keys("230 V, single phase", "C-z")  # suspended in the middle of a line, and back
    terminal.wait_for("Stopped")
    terminal.keys("fg; echo left with $?", "Enter")
    terminal.wait_for("> 230 V, single phase")
    terminal.resize(60)
    terminal.wait_for("> 230 V, single phase")
    terminal.keys("Enter")
    terminal.wait_for("In short: Use")
    terminal.wait_for("\nTake care: Work de-energized and locked out; work on live\n  parts")

    terminal.resize(40)
    terminal.keys("C-r")
    terminal.keys("xyzzy")
    terminal.wait_for("I-search backward: xyzzy")
    terminal.keys("Enter")
    terminal.wait_for("> what wire for a 5 hp motor xyzzy")
    terminal.drop_line()

    pasted = tmp_path / "pasted"
    pasted.write_bytes(b"Which size for 20 A?\r\na) 14\r\nb) 12\r\n")
    terminal.tmux("load-buffer", str(pasted))
    terminal.tmux("paste-buffer", "-p", "-r", "-t", "askcode")
    terminal.wait_for("> Which size for 20 A?\n  a) 14\n  b) 12\n")
    terminal.drop_line()

    terminal.keys("save kitchen", "Enter")
    terminal.wait_for("Saved as “kitchen”. To go on with it\nanother day: open kitchen")
    terminal.keys("C-d")
    terminal.wait_for("left with 0")
    assert "Traceback" not in terminal.screen(back=500)
    kept = json.loads((tmp_path / "askcode" / "conversations" / "kitchen.json").read_bytes())
    assert [turn["typed"] for turn in kept["turns"]] == ["what wire for a 5 hp motor xyzzy", "230 V, single phase"]
    assert "+230 V, single phase" in (tmp_path / "askcode" / "history").read_text()

"""One question, a chat and a batch: what they print, what they return, and what they do when things go wrong."""

from __future__ import annotations

import io
import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path
from types import SimpleNamespace

import pytest
from prompt_toolkit.history import InMemoryHistory
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from askcode.frontends import chat, cli, commands
from askcode.frontends.batch import LONGEST_LINE, answer_lines
from askcode.render.text import console_for
from tests.fakes import FakeAsker

EDITIONS = ("2017", "2020", "2023", "2026")


@pytest.fixture
def asker(monkeypatch):
    """Every frontend talks to this one."""
    fake = FakeAsker()

    def make(edition, amendments=None, by_file=True):
        fake.edition = edition or "2023"
        return fake

    monkeypatch.setattr(commands, "make_asker", make)
    return fake


class Pipe(io.TextIOWrapper):
    def __init__(self, data: bytes, terminal: bool = False):
        super().__init__(io.BytesIO(data), encoding="utf-8", errors="surrogateescape")
        self.terminal = terminal

    def isatty(self) -> bool:
        return self.terminal


# --- one question -----------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("question, code", [("2 hp 120 V", 0), ("2 hp", 3), ("which wire", 4), ("best pizza", 5)])
def test_the_exit_code_tells_the_status(asker, capsys, question, code):
    assert cli.main([question]) == code
    assert capsys.readouterr().out.strip()


def test_words_without_quotes_are_one_question(asker, capsys):
    assert cli.main(["2", "hp", "120", "V", "motor"]) == 0
    assert asker.made[0].heard == ["2 hp 120 V motor"]


@pytest.mark.parametrize("words", [["-20 C ambient, 10 AWG"], ["check", "the", "ground"], ["batch", "of", "pipes"],
                                   ["#10", "on", "40A"], ["--", "--weird"], ["-20", "C"]])
def test_questions_that_look_like_something_else(asker, words):
    assert cli.main(words) == 0
    assert asker.made[0].heard == [" ".join(w for w in words if w != "--")]


def test_options_may_stand_before_and_after(asker, capsys):
    assert cli.main(["--json", "2 hp 120 V", "--edition", "2020"]) == 0
    reply = json.loads(capsys.readouterr().out)
    assert reply["edition"] == "2020" and reply["status"] == "answered"


def test_width(asker, capsys):
    cli.main(["2 hp 120 V", "--width", "40"])
    assert max(map(len, capsys.readouterr().out.split("\n"))) <= 40


@pytest.mark.parametrize("args, words", [
    (["--edition", "2011", "q"], "2023"), (["--edition"], "edition"), (["--jsn", "q"], "--jsn"), (["batch"], "FILE"),
    (["--width", "3", "q"], "width"), (["batch", "no/such/file"], "cannot read no/such/file"),
    (["batch", "."], "cannot read ."), (["batch", "\x1b[31mx\0"], "cannot read x"),
])
def test_wrong_use_is_one_line_and_code_2(asker, capsys, args, words):
    assert cli.main(args) == 2
    out, err = capsys.readouterr()
    assert not out and words in err and err.count("\n") == 1 and "\x1b" not in err


@pytest.mark.parametrize("args", [["--version"], ["--version", "--json"]])
def test_version(args, capsys):
    from askcode import __version__

    assert cli.main(args) == 0
    assert capsys.readouterr().out == f"askcode {__version__}\n"


@pytest.mark.parametrize("args", [["--help"], ["-h"]])
def test_help_tells_the_exit_codes(args, capsys):
    assert cli.main(args) == 0
    out = capsys.readouterr().out
    assert "askcode batch FILE" in out and "4 more than one reading" in out


def test_a_pipe_holds_one_question_with_its_options(asker, monkeypatch, capsys):
    monkeypatch.setattr(sys, "stdin", Pipe(b"which wire?\na) 10\nb) 12\n"))
    assert cli.main([]) == 4
    assert asker.made[0].heard == ["which wire?\na) 10\nb) 12"]


@pytest.mark.parametrize("stdin", [None, Pipe(b""), Pipe(b" \n\n")])
def test_no_question_at_all(asker, monkeypatch, capsys, stdin):
    monkeypatch.setattr(sys, "stdin", stdin)
    assert cli.main([]) == 2
    assert "no question" in capsys.readouterr().err


@pytest.mark.parametrize("typed", ["\udcff 2 hp 120 V", "2 hp\x00 120 V", "\x1b[31m2 hp\x1b[0m 120 V",
                                   "\u202e2 hp 120 V"])
@pytest.mark.parametrize("options", [[], ["--json"]])
def test_nothing_hidden_is_heard_or_printed(asker, capsys, typed, options):
    assert cli.main([*options, typed]) == 0
    assert asker.made[0].heard == ["2 hp 120 V"]
    out = capsys.readouterr().out
    assert not any(sign in out for sign in "\x1b\x00\u202e\udcff")


def test_a_fault_inside_is_one_line(asker, capsys, monkeypatch):
    monkeypatch.delenv("ASKCODE_DEBUG", raising=False)
    assert cli.main(["explode"]) == 1
    out, err = capsys.readouterr()
    assert not out and err.count("\n") == 1 and "KeyError" in err and "Traceback" not in err


def test_ctrl_c_is_one_line(asker, capsys, monkeypatch):
    def interrupted(edition, amendments=None, by_file=True):
        raise KeyboardInterrupt

    monkeypatch.setattr(commands, "make_asker", interrupted)
    assert cli.main(["2 hp"]) == 130
    assert capsys.readouterr().err.strip() == "askcode: stopped"


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437"])
def test_an_old_terminal_gets_plain_signs(asker, monkeypatch, encoding):
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding=encoding))
    assert cli.main(["2 hp 120 V"]) == 0
    text = raw.getvalue().decode(encoding)
    assert "Use 10 AWG copper: 24 A" in text and ("x 125%" in text or "× 125%" in text)


def test_check_prints_what_it_found(monkeypatch, capsys):
    import askcode.rulebase.check

    report = SimpleNamespace(problems=["rules/x.yaml:3: wrong"], warnings=["few phrasings"], summary=["150 entries"])
    monkeypatch.setattr(askcode.rulebase.check, "check", lambda subjects: report)
    assert cli.main(["check"]) == 1
    out, err = capsys.readouterr()
    assert out == "150 entries\nweigh: few phrasings\n" and err == "rules/x.yaml:3: wrong\n"


# --- fresh processes --------------------------------------------------------------------------------------------------
TESTS = Path(__file__).parent
STUB = (f"import sys; sys.path[:0] = ['{TESTS.parent}', '{TESTS}']; from fakes import FakeAsker; "
        "from askcode.frontends import commands, cli; commands.make_asker = FakeAsker; sys.exit(cli.main())")
BASH = shutil.which("bash")


def shell(rest: str) -> subprocess.CompletedProcess[bytes]:
    """The command with a stand-in for the answers, as a shell runs it."""
    return subprocess.run(f'{sys.executable} -c "{STUB}" {rest}', shell=True, executable=BASH, capture_output=True,
                          timeout=60)


def test_version_imports_nothing_heavy():
    code = ("import sys; from askcode.frontends.cli import main; main(['--version']); "
            "heavy = {'click', 'rich', 'spacy', 'msgspec', 'askcode.asker', 'prompt_toolkit'}; "
            "print(sorted(heavy & set(sys.modules)))")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.endswith("[]\n")


def test_a_reader_that_goes_away_hears_nothing():
    done = shell("'2 hp 120 V' | head -n 0; exit ${PIPESTATUS[0]}")
    assert done.stderr == b"" and done.returncode in (0, 1)


@pytest.mark.parametrize("closed", ["<&-", ">&-", "2>&-", "<&- >&- 2>&-"])
def test_closed_streams(closed):
    done = shell(f"'2 hp 120 V' {closed}")
    assert done.returncode == 0 and b"Traceback" not in done.stderr


def test_no_standard_input_and_no_question():
    done = shell("<&-")
    assert done.returncode == 2 and b"Traceback" not in done.stderr


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="needs /dev/full")
def test_a_full_disk_is_said():
    done = shell("'2 hp 120 V' > /dev/full")
    assert b"Traceback" not in done.stderr and done.stderr.count(b"\n") == 1 and done.returncode != 0


def test_bytes_that_are_no_utf8_in_the_arguments():
    done = subprocess.run([sys.executable, "-c", STUB, b"2 hp \xff\xfe 120 V"], capture_output=True, timeout=60)
    assert done.returncode == 0 and b"Traceback" not in done.stderr


# --- batch ------------------------------------------------------------------------------------------------------------
GOOD = b'{"id": 1, "turns": ["2 hp"]}\n'


def through(lines: bytes, **options):
    out, errors = io.BytesIO(), io.StringIO()
    bad = answer_lines(io.BytesIO(lines), out, FakeAsker(), EDITIONS, errors, **options)
    return bad, [json.loads(line) for line in out.getvalue().splitlines()], errors.getvalue()


def test_every_turn_has_a_reply():
    bad, replies, errors = through(b'{"id": "a", "turns": ["2 hp", "120 V"], "edition": "2020"}\n'
                                   b'{"id": 7, "turns": ["wire"]}')
    assert bad == 0 and errors == ""
    assert [r["id"] for r in replies] == ["a", 7]
    assert [r["status"] for r in replies[0]["replies"]] == ["incomplete", "answered"]
    assert {r["edition"] for r in replies[0]["replies"]} == {"2020"} and replies[1]["replies"][0]["edition"] == "2023"


@pytest.mark.parametrize("line, says, id", [
    (b"nonsense", "line 2: not JSON", None), (b"[1]", "not a conversation", None), (b"{}", "missing required", None),
    (b'{"id": "x"}', "turns", "x"), (b'{"id": "x", "turns": "2 hp"}', "turns", "x"),
    (b'{"id": "x", "turns": []}', "empty", "x"),
    (b'{"id": "x", "turns": [1]}', "turns", "x"), (b'{"id": null, "turns": ["a"]}', "id", None),
    (b'{"id": "x", "turns": ["a"], "edition": "1999"}', "1999", "x"),
    (b'{"id": "x", "turns": ["a"], "edition": 2023}', "edition", "x"),
    (b'{"id": "x", "turns": ["\xff"]}', "not JSON", None), (b'[' * 100_000, "", None),
    (b'{"id": "x", "turns": ["' + b"a" * LONGEST_LINE + b'"]}', "longer than", None),
    (b'{"id": "x", "turns": ["explode"]}', "KeyError", "x"),
])
def test_a_bad_line_is_named_and_the_rest_answered(line, says, id):
    bad, replies, errors = through(GOOD + line + b"\n" + GOOD)
    assert bad == 1 and errors.startswith("askcode: line 2: ") and says in errors and errors.count("\n") == 1
    assert [r["id"] for r in replies if "replies" in r] == [1, 1]
    assert [r["id"] for r in replies if "error" in r] == ([id] if id else [])


def test_blank_lines_and_a_byte_order_mark_are_no_lines():
    bad, replies, _ = through(b"\xef\xbb\xbf" + GOOD + b'\n  \n{"id": 2, "turns": ["2 hp"], "topic": "x"}')
    assert bad == 0 and [r["id"] for r in replies] == [1, 2]


def test_progress_only_when_asked_for():
    assert "1 answered" in through(GOOD, progress=True)[2] and through(GOOD)[2] == ""


def test_batch_exit_codes(asker, tmp_path, capsysbinary):
    good, bad = tmp_path / "good.jsonl", tmp_path / "bad.jsonl"
    good.write_bytes(GOOD)
    bad.write_bytes(b"nonsense\n")
    assert cli.main(["batch", str(good)]) == 0 and cli.main(["batch", str(bad)]) == 1


def test_replies_come_while_the_questions_still_do():
    command = [sys.executable, "-c", STUB, "batch", "-"]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as talk:
        for number in range(3):
            talk.stdin.write(b'{"id": %d, "turns": ["2 hp"]}\n' % number)
            talk.stdin.flush()
            assert json.loads(talk.stdout.readline())["id"] == number
        talk.stdin.close()
        assert talk.wait(30) == 0


# --- chat -------------------------------------------------------------------------------------------------------------
def converse(keys: str, asker=None, history=None):
    asker = asker or FakeAsker()
    shown = io.StringIO()
    talk = chat.Talk(asker, console_for(shown, 80))
    with create_pipe_input() as pipe:
        pipe.send_text(keys)
        code = chat.prompt_loop(talk, pipe, DummyOutput(), history if history is not None else InMemoryHistory())
    assert code == 0
    return talk, shown.getvalue()


def test_a_question_is_answered_and_ctrl_d_leaves():
    talk, shown = converse("2 hp 120 V\r\x04")
    assert talk.conversation.heard == ["2 hp 120 V"] and "Use 10 AWG copper" in shown


def test_the_footer_is_said_once():
    _, shown = converse("2 hp 120 V\r2 hp 240 V\rquit\r")
    assert shown.count("licensed electrician") == 1 and shown.count("\nUse 10 AWG") == 2


def test_a_pasted_question_keeps_its_lines():
    talk, _ = converse("\x1b[200~which wire?\na) 10\nb) 12\x1b[201~\rquit\r")
    assert talk.conversation.heard == ["which wire?\na) 10\nb) 12"]


def test_alt_enter_makes_a_new_line():
    talk, _ = converse("one\x1b\rtwo\rquit\r")
    assert talk.conversation.heard == ["one\ntwo"]


def test_ctrl_c_drops_the_line_and_nothing_else():
    history = InMemoryHistory()
    talk, _ = converse("2 hp 120 V\rdrop this\x03quit\r", history=history)
    assert talk.conversation.heard == ["2 hp 120 V"] and "2 hp 120 V" in history.get_strings()


def test_words_that_do_something():
    talk, shown = converse("help\rEdition 2020\redition 1999\redition\r2 hp 120 V\rstart over\r\r  \rQuit.\r")
    assert talk.conversation.heard == ["2 hp 120 V"] and talk.conversation.edition == "2020"
    assert "Alt-Enter" in shown and "2020 edition answers" in shown and "no edition 1999" in shown
    assert talk.conversation.carried == []


def test_a_fault_inside_does_not_end_the_chat():
    _, shown = converse("explode\r2 hp 120 V\r\x04")
    assert "KeyError" in shown and "Use 10 AWG" in shown


def test_the_status_line_tells_edition_and_facts():
    talk, _ = converse("2 hp\rquit\r")
    assert talk.status() == " 2023 edition · remembered: 2 hp "


def test_loading_starts_after_the_prompt_and_a_failure_waits_for_the_question():
    class Failing(FakeAsker):
        def warm(self):
            super().warm()
            raise OSError("no knowledge")

    asker = Failing()
    chat.Talk(asker, console_for(io.StringIO(), 80))
    assert asker.warmed == 0
    _, shown = converse("2 hp 120 V\rquit\r", asker)
    assert asker.warmed == 1 and "Use 10 AWG" in shown


def test_the_prompt_is_drawn_before_spacy_is_loaded():
    code = ("import io, sys\n"
            "from prompt_toolkit.history import InMemoryHistory\n"
            "from prompt_toolkit.input import create_pipe_input\n"
            "from prompt_toolkit.output import DummyOutput\n"
            "from askcode.frontends import chat, commands\n"
            "from askcode.render.text import console_for\n"
            "talk = chat.Talk(commands.make_asker(None), console_for(io.StringIO(), 80))\n"
            "talk.warm = lambda: print('spacy' in sys.modules)\n"
            "with create_pipe_input() as pipe:\n"
            "    pipe.send_text('quit\\r')\n"
            "    chat.prompt_loop(talk, pipe, DummyOutput(), InMemoryHistory())\n")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, cwd=TESTS.parent)
    assert done.stdout.split()[0] == "False", done.stderr


def test_completion_comes_from_the_vocabulary_once_it_is_there():
    talk = chat.Talk(FakeAsker(), console_for(io.StringIO(), 80))
    assert list(talk.words()) == []
    talk.warm()
    talk._warming.join()
    assert talk.words() == ["al", "aluminum", "copper", "cu"]
    session = chat.make_session(talk, history=InMemoryHistory(), output=DummyOutput())
    from prompt_toolkit.completion import CompleteEvent
    from prompt_toolkit.document import Document

    found = list(session.completer.get_completions(Document("2 hp cop"), CompleteEvent(completion_requested=True)))
    assert [c.text for c in found] == ["copper"]


def test_history_is_kept_at_once_and_cleaned(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    history = chat.kept_history()
    history.append_string("2 hp\x00 \udcff120 V\nb) 12")
    assert list(chat.kept_history().load_history_strings()) == ["2 hp 120 V\nb) 12"]


def test_a_history_with_rubbish_in_it_is_read(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    (tmp_path / "askcode").mkdir()
    (tmp_path / "askcode" / "history").write_bytes(b"\n# 2026\n+2 hp\x00\xff\x1b[31m\n")
    assert "2 hp" in next(iter(chat.kept_history().load_history_strings()))


@pytest.mark.parametrize("spoil", ["file", "folder"])
def test_a_data_folder_that_cannot_be_used_costs_only_the_history(monkeypatch, tmp_path, spoil):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    if spoil == "file":
        (tmp_path / "askcode").write_text("in the way")
    else:
        (tmp_path / "askcode" / "history").mkdir(parents=True)
    assert isinstance(chat.kept_history(), InMemoryHistory)


def test_a_history_that_goes_away_does_not_end_the_chat(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    history = chat.kept_history()
    shutil.rmtree(tmp_path / "askcode")
    history.append_string("2 hp")
    assert list(history.load_history_strings()) == []


def test_a_plain_terminal_gets_plain_lines():
    shown = io.StringIO()
    talk = chat.Talk(FakeAsker(), console_for(shown, 60))
    assert chat.plain_loop(talk, ["2 hp 120 V", "quit", "not heard"]) == 0
    assert talk.conversation.heard == ["2 hp 120 V"] and "Use 10 AWG" in shown.getvalue()


@pytest.mark.parametrize("term", ["dumb", None, "xterm"])
def test_which_loop(monkeypatch, term, capsys):
    monkeypatch.delenv("TERM", raising=False)
    if term:
        monkeypatch.setenv("TERM", term)
    monkeypatch.setattr(chat, "plain_loop", lambda talk: 10)
    monkeypatch.setattr(chat, "prompt_loop", lambda talk: 20)
    monkeypatch.setattr(chat, "_terminal", lambda *streams: True)
    assert chat.chat(FakeAsker()) == (20 if term == "xterm" else 10)
    monkeypatch.setattr(chat, "_terminal", lambda *streams: False)
    assert chat.chat(FakeAsker()) == 10


# --- a real terminal --------------------------------------------------------------------------------------------------
@pytest.mark.slow
@pytest.mark.skipif(shutil.which("tmux") is None, reason="needs tmux")
def test_the_chat_in_a_terminal(tmp_path):
    """Typed into a real terminal: the prompt, an answer, Ctrl-C, Ctrl-D; nothing of Python to be seen."""
    def tmux(*args):
        command = ["tmux", "-S", str(tmp_path / "socket"), *args]
        return subprocess.run(command, capture_output=True, text=True, timeout=30).stdout

    def wait_for(words, seconds=30):
        end = time.monotonic() + seconds
        screen = ""
        while time.monotonic() < end:
            screen = tmux("capture-pane", "-p", "-S", "-200", "-t", "askcode")
            if words in screen:
                return screen
            time.sleep(0.1)
        pytest.fail(f"{words!r} never came; the screen shows:\n{screen}")

    script = tmp_path / "chat.sh"
    script.write_text(f'export XDG_DATA_HOME={tmp_path}\n{sys.executable} -c "{STUB}"\necho left with $?\nsleep 60\n')
    tmux("-f", "/dev/null", "new-session", "-d", "-s", "askcode", "-x", "80", "-y", "50", f"bash {script}")
    try:
        wait_for("2023 edition · remembered: nothing yet")
        tmux("send-keys", "-t", "askcode", "2 hp 120 V", "Enter")
        wait_for("Use 10 AWG copper")
        wait_for("remembered: 2 hp")
        tmux("send-keys", "-t", "askcode", "half a line", "C-c")
        time.sleep(1)  # a key that comes between two prompts would be the terminal's, not ours
        tmux("send-keys", "-t", "askcode", "C-d")
        screen = wait_for("left with 0")
        assert "Traceback" not in screen
        assert "+2 hp 120 V" in (tmp_path / "askcode" / "history").read_text()
    finally:
        tmux("kill-server")

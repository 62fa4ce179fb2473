"""One question and a batch: what they print, what they return, and what they do when things go wrong."""

from __future__ import annotations

import io
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from askcode.frontends import cli, commands
from askcode.frontends.batch import LONGEST_LINE, answer_lines
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

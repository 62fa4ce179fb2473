"""Settings: chosen by a word in the talk, kept in a file, told where they decide, and never taken from a question."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from askcode.asker import Asker
from askcode.frontends import settings_file
from askcode.frontends.commands import run

ASKER = Asker()


# What people say, and the settings that hold then.
@pytest.mark.parametrize(
    ("turns", "settings"),
    [
        (["always use 75 C terminals"], {"terminals_where_silent": "75 °C"}),
        (["my exam uses 75 degree lugs"], {"terminals_where_silent": "75 °C"}),
        (["from now on use K 12"], {"voltage_drop_k": "12"}),
        (["always use k 12", "always use k 12.9"], {}),  # the usual choice again
        (["by default aim at 5% voltage drop"], {"voltage_drop_goal": "5%"}),
        (["the key assumes THW"], {"insulation_where_silent": "THW"}),
        (["always use the 2020 code"], {"edition": "2020"}),
        (["setting 3: 75"], {"terminals_where_silent": "75 °C"}),
        (["setting 5 = 12", "usual settings"], {}),
        (["I'm in Ohio", "2017"], {"jurisdiction": "Ohio", "edition": "2017"}),
        (["im in Texas on the 2020 code"], {"jurisdiction": "Texas", "edition": "2020"}),
        # what only looks like one
        (["from now on 480 volts"], {}),
        (["setting 99: 3"], {}),
        (["setting 5: 13"], {}),
        (["use 75 C terminals"], {}),  # of this job, and of no other
        (["2 hp 120 V single phase copper 75 C"], {}),
        (["always", "settings"], {}),
    ],
)
def test_a_word_in_the_talk_sets(turns: list[str], settings: dict[str, str]) -> None:
    talk = ASKER.conversation()
    for turn in turns:
        reply = talk.say(turn)
        assert reply.headline
    assert talk.settings == settings


# A question, the answer by the usual settings, a setting, the answer then. The values are worked by hand beside each.
@pytest.mark.parametrize(
    ("question", "usual", "setting", "then"),
    [
        # K × 2 × 16 A × 100 ft / 6530 cmil: 6.32 V with K = 12.9 and 5.88 V with K = 12 (Chapter 9 Table 8: 6530 cmil)
        ("drop on 12 awg 120 v 16 a 100 ft", "6.32 V", "always use K 12", "5.88 V"),
        # 52 A continuous: 65 A; 60 °C column: 4 AWG (70 A), 75 °C column: 6 AWG (65 A), Table 310.16
        ("what size copper wire for 52 amps continuous", "4 AWG", "always use 75 C terminals", "6 AWG"),
    ],
)
def test_a_setting_decides_and_the_answer_before_is_given_again(
    question: str, usual: str, setting: str, then: str
) -> None:
    talk = ASKER.conversation()
    assert usual in talk.say(question).headline
    again = talk.say(setting)
    assert then in again.headline
    assert again.notes[0].startswith("Kept from here on")
    yours = [a for a in again.assumptions if a.yours]
    assert len(yours) == 1
    assert yours[0].setting in talk.settings
    assert usual in ASKER.conversation().say(question).headline  # another talk has its own


def test_what_is_told_goes_before_a_setting() -> None:
    talk = ASKER.conversation()
    talk.say("always use 75 C terminals")
    assert "4 AWG" in talk.say("what size copper wire for 52 amps continuous, 60 C terminals").headline


def test_all_settings_are_shown_with_what_else_they_may_be() -> None:
    reply = ASKER.conversation().say("settings")
    assert [row[1] for row in reply.cases.rows] == [c.title for c in ASKER.book().conventions().values()]
    assert any("12.9 (or 12)" in row for row in reply.cases.rows)


# --- the file ---------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("written", "settings", "complains"),
    [
        ('voltage_drop_k = "12"\n', {"voltage_drop_k": "12"}, ""),
        ("voltage_drop_k = 12\n", {"voltage_drop_k": "12"}, ""),
        ('voltage_drop_k = "11"\nedition = "2020"\n', {"edition": "2020"}, "it may be 12.9 or 12"),
        ('voltage_drop_q = "12"\n', {}, "There is no setting 'voltage_drop_q'"),
        ("voltage drop k\n", {}, "is no settings file"),
        ("\udcff\n", {}, "is no settings file"),
    ],
)
def test_a_line_that_does_not_hold_is_left_out_and_said(
    tmp_path: Path, written: str, settings: dict[str, str], complains: str
) -> None:
    path = tmp_path / "settings.toml"
    path.write_bytes(written.encode("utf-8", "surrogateescape"))
    kept = settings_file.load(path)
    assert kept.settings == settings
    assert complains in " ".join(kept.problems) if complains else not kept.problems


def test_what_is_kept_is_read_again(tmp_path: Path) -> None:
    path = tmp_path / "new folder" / "settings.toml"
    settings = {"jurisdiction": 'the "old" town\\', "terminals_where_silent": "75 °C"}
    assert settings_file.save(path, settings, tmp_path) == ""
    kept = settings_file.load(path)
    assert (kept.settings, kept.amendments, kept.problems) == (settings, tmp_path, [])
    assert list(path.parent.iterdir()) == [path]


def test_a_folder_that_cannot_be_written_costs_the_keeping_only(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    assert "could not be kept" in settings_file.save(tmp_path / "file" / "settings.toml", {})


def test_the_command_keeps_settings_and_a_batch_knows_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "settings.toml"
    monkeypatch.setenv("ASKCODE_SETTINGS", str(path))
    assert run(["from", "now", "on", "use", "K", "12"]) == 0
    assert tomllib.loads(path.read_text("utf-8")) == {"voltage_drop_k": "12"}
    assert run(["drop on 12 awg 120 v 16 a 100 ft"]) == 0
    assert "5.88 V" in capfd.readouterr().out
    lines = tmp_path / "lines.jsonl"
    lines.write_text('{"id": "1", "turns": ["drop on 12 awg 120 v 16 a 100 ft"]}\n')
    assert run(["batch", str(lines)]) == 0
    assert "6.32 V" in capfd.readouterr().out


def test_amendments_that_are_not_there_are_one_line(capfd: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert run(["--amendments", str(tmp_path / "none"), "2 hp"]) == 2
    assert capfd.readouterr().err.count("\n") == 1

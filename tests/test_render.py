"""How a reply looks: complete at any width, without colour, and safe to print."""

from __future__ import annotations

import io
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from askcode.core.replies import Assumption, Cases, Excerpt, Otherwise, Read, Reference, Reply, Step
from askcode.render.clean import one_line, printable
from askcode.render.json import as_json, encode
from askcode.render.text import FOOTER, as_text, console_for, show
from tests.fakes import ambiguous, answered, incomplete, outside

NASTY = ["\x1b[31mred", "\x1b]0;title\x07x", "\x9b2Jx", "a\x00b", "\u202eabc", "zero\u200bwidth", "\ud800x", "\ufeffx",
         "[/] [bold]x[/bold]", "tab\tx", "\rback", "bell\x07"]


def unwrapped(text: str) -> str:
    return " ".join(text.split())


# --- what is shown --------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("width", [24, 40, 60, 80, 200])
@pytest.mark.parametrize("make", [answered, incomplete, ambiguous, outside])
def test_no_line_is_wider_than_the_screen(make, width):
    assert max(cell_len(line) for line in as_text(make(), width).split("\n")) <= width


@pytest.mark.parametrize("width", [40, 60, 80])
def test_all_that_a_reply_says_is_shown_at_any_width(width):
    text = unwrapped(as_text(answered(), width))
    for part in ["Use 10 AWG copper: 24 A × 125% = 30 A.", "I read: 2 hp · 120 V · single-phase", "you typed “coper”",
                 "From before: 75 °C", "Not understood: please",
                 "Stated: 12 AWG. Required: at least 10 AWG. So it does not hold.",
                 "Option b: 10 AWG", "Tempting but wrong: 12 AWG (option a): left out the 125%.",
                 "1. Take the full-load current", "by Table 430.248 and 430.6(A)(1)", "(changed)",
                 "24 A × 125% = 30 A, by 430.22(A)", "With 60 °C it would be 8 AWG copper.",
                 "no difference here: ambient temperature 30 °C", "430.22(A): Single motor.",
                 "from memory, not yet checked against a published copy", "checked against one published source",
                 "changed by your amendments", "Take care: Work de-energized", "Ask next: breaker · ground",
                 "Note: A nameplate", "2023 edition.", FOOTER]:
        assert part in text


def test_the_headline_comes_first():
    assert as_text(answered()).startswith("Use 10 AWG copper: 24 A × 125% = 30 A.\n")


def test_the_row_and_the_cell_that_were_read_are_marked_with_characters():
    lines = as_text(answered()).split("\n")
    row = next(line for line in lines if "[24]" in line)
    assert row.split() == [">", "2", "[24]", "13.8", "13.2", "12"]
    header = next(line for line in lines if "115 V" in line and "hp" in line and "230 V" in line)
    assert header.index("115 V") == row.index("24")
    assert sum(line.lstrip().startswith(">") for line in lines) == 1


def test_a_cell_that_two_steps_read_is_shown_once():
    reply = answered()
    reply.steps.append(reply.steps[0])
    assert as_text(reply).count("[24]") == 1


def test_a_narrow_screen_keeps_the_key_and_the_column_that_was_read():
    text = as_text(answered(), 24)
    assert "[24]" in text and "115 V" in text and "more columns on" in unwrapped(text)


def test_the_column_that_was_read_stays_when_it_is_the_last():
    table = Excerpt("310.16", "Ampacities", ["size", "a" * 9, "b" * 9, "c" * 9], [["10", "1", "2", "3"]], [0, 3])
    text = as_text(Reply("q", "answered", "2023", "h", steps=[Step("s", excerpt=table)]), 30)
    assert "[3]" in text and "[1]" not in text


def test_missing_facts_are_numbered_questions():
    text = as_text(incomplete())
    assert " 1. motor 2: What is the voltage?" in text and " 2. Single-phase or three-phase?" in text
    assert "Choices: 120, 208 or 230" in text
    assert "Why: Currents are read from its column." in text and "Where to read it: On the nameplate" in text


def test_readings_are_numbered():
    text = as_text(ambiguous())
    assert " 1. the motor's conductors\n    Use 8 AWG copper." in text and " 2. the ground" in text


def test_a_surety_shared_by_all_is_said_once():
    same = Reply("q", "answered", "2023", "h", references=[Reference("1.1", "A", "a.", "from-memory"),
                                                           Reference("1.2", "B", "b.", "from-memory")])
    assert as_text(same).count("from memory") == 1


def test_a_section_that_is_not_known_is_called_so():
    reply = Reply("q", "answered", "2026", "h", references=[Reference("to-check", "A", "a.", "from-memory")])
    assert "section still to check in this edition: A. a." in as_text(reply)


def test_an_assumption_that_changes_nothing_takes_no_room():
    flat = Assumption("raceway", "in a raceway", "A long story", [Otherwise("in free air", "h")])
    reply = Reply("q", "answered", "2023", "h", assumptions=[flat])
    reply.answer = None
    assert "A long story" in as_text(reply)  # without an answer to compare, it is told
    from askcode.core.replies import Answer

    reply.answer = Answer("x", "h")
    assert "A long story" not in as_text(reply) and "Assumed: raceway “in a raceway”." in as_text(reply)


def test_two_facts_of_one_sort_are_told_apart():
    reply = Reply("q", "answered", "2023", "h", read=[Read("copper", "conductor_metal", "copper"),
                                                      Read("aluminum", "service_metal", "aluminum")])
    assert "I read: conductor metal copper · service metal aluminum" in as_text(reply)


def test_a_value_without_a_word_is_shown_as_it_was_typed():
    reply = Reply("q", "answered", "2023", "h", read=[Read("single phase", "phases", "1"), Read("1/0 AWG", "s", "1/0")])
    assert "I read: single phase · 1/0 AWG" in as_text(reply)


def test_facts_of_several_things_name_them():
    reply = Reply("q", "answered", "2023", "h", read=[Read("5 hp", "horsepower", "5 hp", "motor 1"),
                                                      Read("10 hp", "horsepower", "10 hp", "motor 2")])
    assert "motor 1: 5 hp · motor 2: 10 hp" in as_text(reply)


def test_cases_stand_in_columns():
    reply = Reply("q", "answered", "2023", "h", cases=Cases(["metal", "size"], [["copper", "10"], ["aluminum", "8"]]))
    text = as_text(reply)
    assert "metal     size" in text and "copper    10" in text and ">" not in text


def test_a_number_and_its_unit_stay_together():
    for width in range(24, 60):
        assert not any(line.endswith(("10", "24", "125", "75")) for line in as_text(answered(), width).split("\n")
                       if "  " not in line.strip())  # rows of the table end in numbers


def test_the_footer_can_be_left_out():
    assert FOOTER.split(";")[0] not in unwrapped(as_text(answered(), footer=False))


# --- safe to print --------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("nasty", NASTY)
def test_nothing_hidden_is_printed_back(nasty):
    reply = Reply(nasty, "answered", nasty, nasty, read=[Read(nasty, nasty, nasty)], unread=[nasty], notes=[nasty],
                  steps=[Step(nasty, nasty, [nasty], excerpt=Excerpt(nasty, nasty, [nasty], [[nasty]], [0, 0]))])
    for width in (24, 80):
        text = as_text(reply, width)
        text.encode()
        assert all(ch == "\n" or ch.isprintable() for ch in text)


def test_markup_of_a_question_is_only_text():
    assert "[bold]x[/bold] [/]" in as_text(Reply("q", "outside", "2023", "[bold]x[/bold] [/]"))


@pytest.mark.parametrize("typed, clean", [
    ("\x1b[31mred\x1b[0m", "red"), ("\x1b]0;title\x07x", "x"), ("\x1b]8;;http://x\x1b\\link", "link"), ("a\x00b", "ab"),
    ("a\tb\r\nc", "a b\nc"), ("\u202e3/4\u202c", "3/4"), ("208Y/120 ½ Ø 75 °C", "208Y/120 ½ Ø 75 °C"), ("\ud800", ""),
])
def test_cleaning(typed, clean):
    assert printable(typed) == clean


@given(st.text())
@settings(max_examples=200)
def test_cleaned_text_holds_nothing_that_moves_the_cursor(text):
    done = printable(text)
    assert not set(done) & {chr(c) for c in [*range(10), *range(11, 32), *range(127, 160)]}
    assert "\n" not in one_line(text)


@given(st.text(max_size=60), st.integers(1, 120))
@settings(max_examples=150, deadline=None)
def test_any_words_fit_any_width(text, width):
    shown = as_text(Reply(text, "outside", "2023", text, unread=[text], notes=[text]), width)
    assert max(cell_len(line) for line in shown.split("\n")) <= max(width, 24)


def test_no_colour_where_it_is_not_wanted(monkeypatch):
    monkeypatch.setenv("NO_COLOR", "1")
    file = io.StringIO()
    show(answered(), console_for(file))
    assert "\x1b" not in file.getvalue()


# --- json -----------------------------------------------------------------------------------------------------------
def test_json_is_one_line_with_every_key():
    data = as_json(answered())
    assert b"\n" not in data
    read = json.loads(data)
    assert list(read) == ["question", "status", "edition", "headline", "read", "unread", "answer", "verdict", "option",
                          "mistake", "steps", "references", "assumptions", "missing", "readings", "cases", "next",
                          "cautions", "notes"]
    assert read["read"][3] == {"text": "coper", "input": "conductor_metal", "value": "copper", "thing": None,
                               "from": "mended"}
    assert read["steps"][0]["excerpt"]["chosen"] == [1, 1]


def test_json_takes_what_no_encoding_takes():
    assert json.loads(encode({"a": ["\ud800x"]})) == {"a": ["x"]}

"""How a reply looks: complete at any width, without colour, and safe to print; and how a conversation is exported."""

from __future__ import annotations

import io
import json
import re
from html.parser import HTMLParser

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from askcode.core.replies import Assumption, Cases, Excerpt, Otherwise, Read, Reference, Reply, Step
from askcode.render.clean import one_line, printable
from askcode.render.html import as_html
from askcode.render.json import as_json, encode
from askcode.render.markdown import as_markdown
from askcode.render.record import Turn
from askcode.render.text import as_text, console_for, show
from askcode.render.words import FOOTER
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


# --- export ---------------------------------------------------------------------------------------------------------
def conversation(*replies: Reply) -> list[Turn]:
    return [Turn("2026-03-01T08:15:00+00:00", reply.question, reply) for reply in replies]


ALL = conversation(answered(), incomplete(), ambiguous(), outside())
SAID = [  # every part of the replies above, as it reads on a page
    "2 hp 120 V single phase copper 75 C", "2023 edition, 2026-03-01", "Use 10 AWG copper: 24 A × 125% = 30 A.",
    "I read: 2 hp · 120 V · single-phase", "(you typed “coper”)", "From before: 75 °C", "Not understood: please",
    "Stated: 12 AWG. Required: at least 10 AWG. So it does not hold.", "Option b: 10 AWG",
    "Tempting but wrong: 12 AWG (option a): left out the 125%.", "Take the full-load current from the table",
    "by Table 430.248 and 430.6(A)(1)", "Table 430.248, Full-load current, single-phase motors",
    "With 60 °C it would be 8 AWG copper.", "430.22(A): Single motor. A motor's conductors carry at least 125%.",
    "from memory, not yet checked against a published copy", "(changed by your amendments)",
    "Take care: Work de-energized and locked out.", "Note: A nameplate current is not used for this.",
    "motor 2: What is the voltage?", "Choices: 120, 208 or 230", "Why: Currents are read from its column.",
    "Where to read it: On the nameplate beside V.", "the motor's conductors", "Use 8 AWG copper.", "By case",
    "That is not covered.", FOOTER,
]  # fmt: skip


class Page(HTMLParser):
    """The words of a page, its tags, and whether each is closed where it was opened."""

    VOID = ("meta", "br", "hr")

    def __init__(self, page: str):
        super().__init__()
        self.words, self.open, self.tags = "", [], []
        self.feed(page)
        assert self.open == []

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, dict(attributes)))
        self.open += [] if tag in self.VOID else [tag]

    def handle_endtag(self, tag):
        assert self.open.pop() == tag
        self.words += "" if tag in ("strong", "mark") else " "

    def handle_data(self, data):
        self.words += data

    def named(self, tag):
        return [attributes for name, attributes in self.tags if name == tag]


def unmarked(markdown: str) -> str:
    return unwrapped(re.sub(r"\\\n", " ", markdown).replace("**", "").replace("\\", ""))


@pytest.mark.parametrize("part", SAID)
def test_a_page_says_all_that_the_screen_says(part):
    assert part in unwrapped(Page(as_html(ALL)).words) and part in unmarked(as_markdown(ALL))


def test_the_html_is_one_page_of_its_own_with_names_for_its_parts():
    page = Page(as_html(ALL, "kitchen"))
    assert {tag for tag, _ in page.tags} & {"script", "link", "img", "iframe", "object"} == set()
    assert not any("src" in a or "href" in a or any(k.startswith("on") for k in a) for _, a in page.tags)
    assert page.named("html") == [{"lang": "en"}] and {"charset": "utf-8"} in page.named("meta")
    assert any(a.get("name") == "viewport" for a in page.named("meta"))
    assert [tag for tag, _ in page.tags if tag in ("h1", "h2")] == ["h1", "h2", "h2", "h2", "h2"]
    assert len(page.named("ol")) == 3 and page.named("caption")  # steps, what is missing, the readings
    assert {a["scope"] for a in page.named("th")} == {"col", "row"}
    assert "<mark>24</mark>" in as_html(ALL) and "light dark" in as_html(ALL) and "@media print" in as_html(ALL)


def test_a_table_in_markdown_stands_in_its_step_with_the_cell_that_was_read():
    lines = as_markdown(ALL).split("\n")
    head = lines.index("   | hp | 115 V | 200 V | 208 V | 230 V |")
    assert lines[head + 1] == "   | --- | --- | --- | --- | --- |" and lines[head - 1] == ""
    assert "   | 2 | **24** | 13.8 | 13.2 | 12 |" in lines
    assert lines[0] == "# Questions and answers" and as_markdown(ALL, "kitchen").startswith("# Conversation: kitchen\n")


def test_the_edition_is_told_with_each_reply_where_there_are_several():
    both = conversation(outside(), outside(edition="2017"))
    for page in (Page(as_html(both)).words, as_markdown(both)):
        assert "2023 and 2017 editions" in page and "2017 edition." in page
    assert "2023 edition." not in as_markdown(conversation(outside()))


def test_a_question_of_many_lines_keeps_them():
    turn = Turn("2026-03-01", "which wire?\na) 10\nb) 12", None)
    assert "## 1. which wire? a) 10 b) 12\n\n> which wire?\\\n> a) 10\\\n> b) 12\n" in as_markdown([turn])
    assert "<h2>1. which wire?\na) 10\nb) 12</h2>" in as_html([turn])


@pytest.mark.parametrize("typed, markdown", [
    ("<script>alert(1)</script>", "&lt;script>alert(1)&lt;/script>"), ("&lt;b&gt; & c", "&amp;lt;b&amp;gt; & c"),
    ("*a* _b_ `c` [d](e) |f| ~g~", r"\*a\* \_b\_ \`c\` \[d\](e) \|f\| \~g\~"), ("#12", r"\#12"), ("a #12", "a #12"),
    ("- a", r"\- a"), ("12. a", r"12\. a"), ("> a", r"\> a"), ("\x1b[31mred\x00", "red"), ("\ud800x", "x"),
])  # fmt: skip
def test_what_was_typed_stays_words_on_every_page(typed, markdown):
    reply = Reply(typed, "answered", "2023", typed, notes=[typed], steps=[Step(typed, typed, [typed])])
    assert f"\n**{markdown}**\n" in as_markdown(conversation(reply))
    page = as_html(conversation(reply), typed)
    assert printable(typed) in Page(page).words and not {"script", "b"} & {tag for tag, _ in Page(page).tags}
    page.encode()


@given(st.text())
@settings(max_examples=100, deadline=None)
def test_any_words_make_a_page(text):
    turns = conversation(Reply(text, "outside", "2023", text, unread=[text], cases=Cases([text], [[text]], text)))
    assert one_line(text) in " ".join(Page(as_html(turns, text)).words.split()) or not one_line(text)
    as_markdown(turns, text).encode()

"""What a turn means in a conversation: followed up, corrected, asked back, checked, or a question of its own.

Values are those of the tables (Table 430.248, 430.250, 310.16, 250.122, 250.66), worked in the comments.
"""

from __future__ import annotations

import pytest

from askcode.asker import Asker


@pytest.fixture(scope="module")
def asker():
    return Asker()


TALKS = {
    # 27 A × 1.25 = 33.75 A: copper 10 AWG at 75 °C, aluminum 8 AWG
    "another metal": [("20 hp 460v 3ph cu 75C wire", "10 AWG copper"), ("what about aluminum", "8 AWG aluminum")],
    "another metal, in two words": [("20 hp 460v 3ph cu 75C wire", "10 AWG copper"), ("vs aluminum", "8 AWG aluminum")],
    # 28 A × 2.5 = 70 A; the ground of 70 A would be 8 AWG, but need not exceed the 10 AWG circuit conductors
    "another quantity of the same job": [
        ("5 hp 230 V single phase copper 75 C", "10 AWG copper"),
        ("what breaker?", "70 A"),
        ("and the ground?", "10 AWG copper"),
    ],
    # 54 A at 230 V; 27 A at 460 V
    "another voltage": [("dual element fuse max, 20hp 230V 3ph", "100 A"), ("same at 460", "50 A")],
    "a correction": [("flc 5 hp 230 v single phase", "28 A"), ("no, 3 hp", "17 A")],
    "what was asked, in bare values": [
        ("what size wire for a 10 hp motor? copper, 75 degree", None),
        ("230", None),
        ("three phase", "10 AWG copper"),
    ],
    "a reading picked by number": [
        ("what size ground wire do i need", None),
        ("2", None),
        ("60 amps", "10 AWG copper"),
    ],
    "a reading picked by a fact": [
        ("what size ground wire do i need", None),
        ("the breaker is 60 amps", "10 AWG copper"),
    ],
    # 6 AWG is enough to rods
    "another electrode": [
        ("copper gec for a 3/0 copper service, to the water pipe", "4 AWG copper"),
        ("ok and what if it only went to a ground rod", "6 AWG copper"),
    ],
    "undo": [("flc 5 hp 230 v single phase", "28 A"), ("no, 3 hp", "17 A"), ("undo", "28 A")],
    "a value outside the table, mended": [("flc 9 hp 460 v three phase", None), ("10 hp", "14 A")],
}


@pytest.mark.parametrize("name", TALKS)
def test_follow_ups(name, asker):
    talk = asker.conversation()
    for said, due in TALKS[name]:
        reply = talk.say(said)
        if due is None:
            assert reply.status in ("incomplete", "ambiguous"), said
        else:
            assert reply.status == "answered" and reply.answer and reply.answer.value.startswith(due), (
                said,
                reply.headline,
            )


def test_a_question_of_its_own_inherits_nothing(asker):
    talk = asker.conversation()
    talk.say("20 hp 460v 3ph aluminum 75C wire")
    reply = talk.say("egc for a 60 a circuit")
    assert reply.answer.value == "10 AWG copper" and not [r for r in reply.read if r.origin == "carried"]


def test_an_edition_asked_for_in_a_follow_up(asker):
    talk = asker.conversation()
    first = talk.say("under the 2017 code must a kitchen island have a receptacle")
    second = talk.say("and under the 2023 code?")
    assert first.edition == "2017" and second.edition == "2023" and first.headline != second.headline


CHECKS = [
    # the first turn, the claim, whether it holds, the slip that leads to it
    ("2 hp 120 V single phase copper 75 C", "i got #12", False, "left out the 125%"),
    ("20 hp 460v 3ph cu 75C wire", "i got #8", True, None),
    ("egc for a 60 a circuit", "why not #12", False, None),
    ("biggest breaker for a 20 hp 460 v three phase motor", "is 300 ok?", False, None),
]


@pytest.mark.parametrize(("first", "claim", "holds", "slip"), CHECKS)
def test_claims_are_held_against_the_answer(first, claim, holds, slip, asker):
    talk = asker.conversation()
    talk.say(first)
    reply = talk.say(claim)
    assert reply.verdict is not None and reply.verdict.holds is holds
    if slip:
        assert reply.mistake is not None and slip in reply.mistake.because


KEY = (
    "A 25-hp, 460-volt, three-phase motor is protected by an inverse time breaker. "
    "What is its largest standard rating?\n"
)


@pytest.mark.parametrize(("letter", "holds"), [("b", False), ("c", True)])
def test_a_key_is_confirmed_or_corrected(letter, holds, asker):
    talk = asker.conversation()
    assert talk.say(KEY + "a) 70 A\nb) 80 A\nc) 90 A\nd) 110 A").option.letter == "c"
    reply = talk.say(f"my answer key says {letter}")
    assert reply.verdict.holds is holds


ASIDES = [
    ("why", "125%"),
    ("where does it say that", "430.22"),
    ("show the table", "310.16"),
    ("what did you assume", "duty continuous"),
    ("shorter", "10 AWG copper"),
]


@pytest.mark.parametrize(("aside", "due"), ASIDES)
def test_asking_back(aside, due, asker):
    talk = asker.conversation()
    talk.say("20 hp 460v 3ph cu 75C wire")
    reply = talk.say(aside)
    shown = reply.headline + " ".join(s.text + s.work for s in reply.steps)
    assert due in shown


def test_nobody_knows_the_phase(asker):
    """5 hp at 230 V: 28 A single-phase, 15.2 A three-phase."""
    talk = asker.conversation()
    talk.say("flc 5 hp 230 v")
    reply = talk.say("i dont know")
    assert reply.status == "incomplete"
    assert ["1", "28 A"] in reply.cases.rows and ["3", "15.2 A"] in reply.cases.rows


def test_where_a_missing_fact_is_read(asker):
    talk = asker.conversation()
    talk.say("what size overload for my motor")
    assert "nameplate" in talk.say("where do i find that").headline.lower()


def test_a_state_is_asked_for_its_edition(asker):
    reply = asker.conversation().say("im in ohio")
    assert reply.status == "incomplete" and reply.missing[0].input == "edition"


@pytest.mark.parametrize("text", ["", "   ", "?!", "\x00", "x" * 2001, "\u202e\u200b", "\ud800"])
def test_what_cannot_be_read_gets_one_line(text, asker):
    reply = asker.conversation().say(text)
    assert reply.status in ("incomplete", "outside") and len(reply.headline) < 200


def test_what_points_back_is_not_answered_by_another_entry(asker):
    talk = asker.conversation()
    assert talk.say("How many small-appliance branch circuits must a dwelling unit have?").status == "answered"
    assert talk.say("What shall be the ampere rating of each?").status == "outside"  # not the motor's rating

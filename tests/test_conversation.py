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


# --- what a follow-up did ---------------------------------------------------------------------------------------------
# Turns, each with what its headline must hold, or None where it must be incomplete: it was not understood, or asks.
# The values are those of the tables named, worked beside.
TURNS = {
    # a turn that is not understood never repeats the answer before
    "a word of another rule": [("40 hp 480 3ph wire", "6 AWG"), ("headroom?", None), ("aluminum", "4 AWG aluminum")],
    "an amount in other words": [("40 hp 480 3ph wire", "6 AWG"), ("double it", None), ("half that", None)],
    "a thing, not its place": [("25 hp 480 3 phase", "8 AWG"), ("ground?", "8 AWG"), ("conduit?", None)],
    "a raceway after parallel sets": [("parallel 4/0 aluminum two sets", "360 A"), ("in the same conduit", None)],
    # 430.62(A): 90 + 21 + 14 = 125; 90 + 21 = 111, so 110; a 15 hp motor alone 21 A × 250% = 52.5, so 60 (430.52)
    "one motor of the list": [
        ("3 motors 10, 15 and 25 hp 460 3 phase, feeder breaker", "125 A"),
        ("drop the 10", "110 A"),
        ("lose the 25 hp", "60 A"),
    ],
    # Table 250.66 and 250.66(A): 4/0 aluminum 4 AWG copper, rods never more than 6 AWG copper
    "a service that stays a service": [
        ("gec for 4/0 al", "4 AWG copper"),
        ("what about to just the rods", "6 AWG copper"),
        ("and copper 350 kcmil", "6 AWG copper"),
    ],
    "arc fault in place of ground fault": [("do bathrooms need gfci", "Yes"), ("what about afci", "No")],
    # Table 250.122: 60 A 10 AWG copper, 200 A 6 AWG; Table 250.102(C)(1): 3/0 copper 4 AWG
    "the size of what was looked up": [
        ("what is an equipment ground", "conductive path"),
        ("what size for a 60 amp circuit", "10 AWG copper"),
    ],
    "the size of a jumper that was looked up": [
        ("whats a main bonding jumper", "service"),
        ("what size for 3/0 copper", "4 AWG"),
    ],
    # 680.22(A): 6 ft; 680.22(C): 5 ft
    "another thing at the pool": [("receptacle near an inground pool, closest", "6 ft"), ("light switch?", "5 ft")],
    # Table 314.16(A): 30.3 cu in / 2.25 = 13.4; a receptacle takes two, clamps one
    "a deep box filled": [
        ("how many 12 wires in a 4 square deep box", "13 conductors"),
        ("with a receptacle", "11 conductors"),
        ("and clamps", "10 conductors"),
    ],
    "another standard rating": [("next standard breaker over 130", "150 A"), ("over 265?", "300 A")],
    "a metal that a depth knows nothing of": [("how deep is pvc", "18 in"), ("aluminum", None)],
    "thanks": [("40 hp 480 3ph wire", "6 AWG"), ("thanks", None), ("ok", None), ("what about 50 hp", "4 AWG")],
    "a number that may count anything": [("20 hp 460 3ph wire", "10 AWG"), ("two", None), ("25", "8 AWG")],
    # 110.26(A)(3): 6 1/2 ft; 358.30(A): 3 ft; 314.17(B): 8 in.; 430.102(B): in sight, 50 ft of Article 100
    "height behind depth": [("working clearance 480 panel, concrete across", "3 1/2 ft"), ("headroom?", "6 1/2 ft")],
    "the first strap behind the others": [("strap distance EMT", "10 ft"), ("from box?", "36 in")],
    "a box without clamps": [("how often do you strap romex", "4 1/2 ft"), ("from a plastic box w/o clamp", "8 in")],
    "where, behind how big": [("5 hp 230V single phase motor disconnect rating", "32.2 A"), ("in sight?", "50 ft")],
    "another place": [("do bedrooms need afci", "Yes"), ("what about garages", "No"), ("and kitchens?", "Yes")],
    "another appliance": [("kitchen gfci", "Yes"), ("dishwasher?", "dishwasher"), ("garage", "garage")],
    # a bare fact behind a look-up is held against it (210.52(H), 250.119(A)), or it is asked what about it
    "a length held against a rule": [("does a hallway need an outlet", "hallway"), ("8 ft long", "hallway")],
    "a size held against a rule": [("can I use black taped green #6", "No"), ("#4", "Yes")],
    "a length that the rule does not know": [("how many ground rods do i need", ""), ("300 ft", None)],
    # the calculator asks, all at once: Table 310.16, 6 AWG copper 55 A and 65 A; 430.32(A)(1): 10 A × 125%
    "a bare ampacity": [("ampacity", None), ("6", "55 A"), ("copper, 75", "65 A")],
    "a bare overload": [("overload size", None), ("10 amps", "11.5 A"), ("1.15", "12.5 A")],
    "a bare wire": [("motor wire size?", None), ("10 hp", None), ("480", "14 AWG")],
    "a bare load": [("what size wire", None), ("40 amps", None), ("no", "8 AWG")],
    "a bare depth": [("burial depth", None), ("pvc", "18 in"), ("street", "24 in")],
    "a bare clear space": [("working space", None), ("480", None), ("concrete", "3 1/2 ft")],
    "a bare electrode conductor": [("gec size", None), ("4/0 aluminum", "4 AWG"), ("aluminum", "2 AWG aluminum")],
    "what it is for": [("gec for 3/0 copper", "4 AWG copper")],
    "a breaker of nothing": [("breaker?", "Which is meant")],
    # Table 250.66: 500 kcmil aluminum: 2 AWG copper; to a concrete-encased electrode at most 4 AWG copper
    "the metal of the service stays": [
        ("400A service, 500 kcmil al, gec?", "2 AWG copper"),
        ("concrete encased", "4 AWG copper"),
        ("copper", "4 AWG copper"),
    ],
    "another service": [
        ("GEC for 2/0 copper service", "4 AWG copper"),
        ("what if aluminum service 4/0", "4 AWG copper"),
        ("electrode conductor aluminum", "2 AWG aluminum"),
    ],
    # 52 A, Table 430.250: 250% 130 A, next 150 A; 175% 91 A, next 100 A
    "from overload to breaker to fuse": [
        ("40 hp 460v overload", None),
        ("breaker", "150 A"),
        ("fuse", None),
        ("time delay fuse", "100 A"),
    ],
    "a size is asked of what was asked": [("what breaker for my motor", None), ("how big 10 hp 230 3ph", "70 A")],
    # 18 A that lasts counts as 22.5 A; the duty of a motor that is not continuous is asked, 430.22(E)
    "a load that lasts after all": [("18 amp load not continuous what breaker", "20 A"), ("it is continuous", "25 A")],
    "a motor that does not run on": [("motor 20hp 460v not continuous wire size", None)],
    # 14 A each, 430.24: 14 × 1.25 + 28 = 45.5 A, + 14 = 31.5 A; with 40 hp: 52 × 1.25 + 42 = 107 A
    "fewer": [("three 10 hp motors 480v feeder size", "45.5 A"), ("drop one", "31.5 A"), ("one more", "45.5 A")],
    "fewer of unlike ones": [("feeder for 10, 15 and 25 hp 460", "77.5 A"), ("drop one", None)],
    "one more of another size": [("three 10 hp motors 480v feeder size", "45.5 A"), ("and a 40 hp", "107 A")],
    # 52 × 1.25 + 52 = 117 A; 150 A for one
    "two of one": [("40 hp 480 3ph wire", "65 A"), ("two of them", "117 A"), ("breaker for one", "150 A")],
    "three of one": [("20 hp 460 3ph wire", "33.75 A"), ("make it three of them", "87.75 A")],
    "three of one, or one of three": [("20 hp 460 3ph wire", "33.75 A"), ("make it three", None), ("3 hp", "14 AWG")],
    # a digression keeps the job before it
    "back by a fact": [
        ("10 hp 480 3 phase wire", "14 AWG"),
        ("how deep is pvc", "18 in"),
        ("what about 20 hp", "10 AWG"),
    ],
    "back by name": [
        ("10 hp 480 3 phase wire", "14 AWG"),
        ("working space 480 concrete", "3 1/2 ft"),
        ("how deep is pvc", "18 in"),
        ("go back to the motor", "14 AWG"),
        ("what about 20 hp", "10 AWG"),
    ],
    "back by what is asked": [
        ("20 hp 460 3 phase wire", "10 AWG"),
        ("how deep is pvc", "18 in"),
        ("breaker", "70 A"),
        ("and the overload", None),
    ],
    # the bare number takes the place of the one that was told: 240.6(A), Table 250.122
    "another rating": [("next size up from 105", "110 A"), ("115?", "125 A"), ("805 A?", "1000 A")],
    "another device": [
        ("ground for 100 amp sub panel", "8 AWG"),
        ("125", "6 AWG"),
        ("and the device is 60 A", "10 AWG"),
    ],
    # a second value is held against the answer as the first was: Table 250.66, 240.4(D)(3)
    "another size to judge": [
        ("gec size for a 2/0 copper service", "4 AWG"),
        ("is #6 ok", "No"),
        ("and 4 AWG?", "Yes"),
    ],
    "another breaker to judge": [("is #14 ok on a 20 amp breaker", "No"), ("on a 15?", "Yes")],
    # trade sizes in inches, Table 352.30: 3 ft, 5 ft; 348.30: 4 1/2 ft
    "a trade size": [
        ("strap distance EMT", "10 ft"),
        ("for PVC 1 inch", "3 ft"),
        ('and 2"?', "5 ft"),
        ("flex", "4 1/2 ft"),
    ],
    # another rule that shares a word is no answer: 680.26(B) wants solid copper, 404.8 speaks of switch handles
    "a rule of the same place": [("pool bonding", "solid"), ("8 awg stranded ok?", "No")],
    "no rule of another thing": [("height of receptacle above floor", "5 1/2 ft"), ("max height", None)],
    "a danger goes on": [("how do I bypass a gfci", "dangerous"), ("ok but just for tonight", "dangerous")],
    "another question of the same thing": [
        ("do i need two ground rods", "Yes"),
        ("how far apart", "Keep them at least 6 ft"),
    ],
    "no answer twice": [("recessed light insulation clearance", "1/2 in"), ("ic rated", None)],
    "a rule that names what is asked": [
        ("15 horse 208 three phase, aluminum wire, 75 degree, what size", "4 AWG aluminum"),
        ("whats highest breaker handle can be off floor", "6 ft 7 in"),
    ],
    "a service factor, told again": [("motor nameplate 30A sf 1.0 overload", "34.5 A"), ("1.15", "37.5 A")],
    # editions
    "an edition that is not here": [("20 hp 460 3 phase wire", "10 AWG"), ("in 2008", None), ("in 2020", "10 AWG")],
}


@pytest.mark.parametrize("name", TURNS)
def test_a_follow_up_answers_only_what_it_changed(name, asker):
    talk = asker.conversation()
    for said, due in TURNS[name]:
        reply = talk.say(said)
        if due is None:
            assert reply.status in ("incomplete", "ambiguous"), (said, reply.headline)
        else:
            assert due in reply.headline, (said, reply.headline)


@pytest.mark.parametrize(
    ("turn", "headline", "others", "left"),
    [
        # Table 430.250: 20 hp at 460 V 27 A; × 250% = 67.5, so 70; × 125% = 33.75, 10 AWG; the ground as the conductor
        ("20hp motor 480V 3 phase; bkr, wire, egc & OL?", "70 A", ["Wire: Use 10 AWG", "Ground: 10 AWG"], "overload"),
        ("20 hp 460 three phase motor wire and breaker", "10 AWG", ["Breaker: 70 A"], ""),
    ],
)
def test_all_that_is_asked_in_one_breath_is_told(turn, headline, others, left, asker):
    reply = asker.conversation().say(turn)
    assert headline in reply.headline
    for other in others:
        assert any(other in note for note in reply.notes), (other, reply.notes)
    assert not left or any(f"“{left}”" in note for note in reply.notes)


def test_what_was_not_understood_is_named_and_what_was_asked_stays_asked(asker):
    talk = asker.conversation()
    talk.say("flc 5 hp 230 v")
    reply = talk.say("with a widget")
    assert "“widget”" in reply.headline and [m.input for m in reply.missing] == ["phases"]
    assert talk.say("single phase").answer.value == "28 A"  # Table 430.248


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
    assert talk.say("What shall be the ampere rating of each?").status == "incomplete"  # not the motor's rating

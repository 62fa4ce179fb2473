"""Box fill from question to reply: verdicts, things that are added or denied, a box that was named in part."""

from __future__ import annotations

import pytest

from askcode.asker import Asker


@pytest.fixture(scope="module")
def asker() -> Asker:
    return Asker()


def headlines(asker: Asker, *turns: str) -> list[str]:
    talk = asker.conversation()
    return [talk.say(turn).headline for turn in turns]


@pytest.mark.parametrize(
    ("question", "begins"),
    [
        ("8 #12 thhn in a 4sq 1-1/2 ok?", "Yes: the box needs at least 18 cu in"),
        ("10 #12 thhn in a 4 sq 1-1/2 ok?", "No: the box needs at least 22.5 cu in"),
        ("can i get 4 14/2 in a single gang 18 cubic inch box with one switch", "No: the box needs at least 22 cu in"),
        # asked the other way round: yes, it is too many
        ("blue box says 20 cubic inches and i got three 12-2 romex and one outlet, is that too many wires",
         "Yes: the box needs at least 20.25 cu in"),
        ("9 12s in a 4 sq 1 1/2 w/ clamps legal?", "No: the box needs at least 22.5 cu in"),
        ("how many 14s in a 3x2x2-3/4 device box", "7 conductors of 14 AWG at most"),
        ("what size box for 9 #12s", "At least 20.25 cu in: the smallest standard square box"),
        ("volume per #8 in box", "3 cu in for each conductor of 8 AWG"),
        ("2017 code box fill 6 12-2 w/g", "The box needs at least 29.25 cu in"),
        ("box fill 6 12-2 w/g", "The box needs at least 30.38 cu in"),
    ],
)  # fmt: skip
def test_one_question(asker: Asker, question: str, begins: str) -> None:
    assert headlines(asker, question)[0].startswith(begins)


def test_what_is_named_after_is_added_and_what_is_denied_goes(asker: Asker) -> None:
    said = headlines(
        asker, "two 12-2 and 2 switches in a box, cu in", "and a receptacle", "add a 14-3", "with clamps",
        "what about 10-2", "no clamps", "no devices",
    )  # fmt: skip
    volumes = [headline.removeprefix("The box needs at least ").removesuffix(" cu in.") for headline in said]
    # 9 + 9 + 2.25; a yoke more; three 14 AWG more; a clamp; now two 10-2 alone; no clamp; no yokes
    assert volumes == ["20.25", "24.75", "30.75", "33", "30", "27.5", "12.5"]


def test_a_box_of_no_depth_is_asked_for_and_the_depth_picks_it(asker: Asker) -> None:
    asked, answered = headlines(asker, "a 4 square box with three 12-2 and a receptacle ok?", "2-1/8 deep")
    assert "4 square x 1 1/4, 4 square x 1 1/2 and 4 square x 2 1/8. Which one is it?" in asked
    assert answered == "Yes: the box needs at least 20.25 cu in."


def test_a_missing_size_is_asked_for(asker: Asker) -> None:
    talk = asker.conversation()
    reply = talk.say("min box cu in for 6 wires + 1 switch")
    assert [m.input for m in reply.missing] == ["box_conductor_size"]
    assert talk.say("12").headline == "The box needs at least 18 cu in."


def test_what_nobody_named_is_assumed_and_said(asker: Asker) -> None:
    reply = asker.conversation().say("box fill two 12-2")
    assumed = {a.input: a.value for a in reply.assumptions}
    assert {"box_device": "none", "internal_clamps": "no", "fixture_stud": "no"}.items() <= assumed.items()
    otherwise = {a.input: [o.answer for o in a.otherwise] for a in reply.assumptions}
    assert otherwise["box_device"] == ["15.75 cu in"]


def test_a_motor_too_can_be_added(asker: Asker) -> None:
    assert headlines(asker, "5 hp 230 v single phase wire", "add a 3 hp motor")[1].startswith(
        "Use 6 AWG copper for 52 A"
    )


def test_the_slip_that_leads_to_another_option_is_named(asker: Asker) -> None:
    reply = asker.conversation().say(
        "A device box holds one receptacle and two 12-2 AWG with ground cables, with internal clamps. Smallest box "
        "volume?\na) 13.5 cu in.\nb) 15.75 cu in.\nc) 18 cu in.\nd) 20.25 cu in."
    )
    assert reply.option is not None
    assert reply.option.letter == "c"
    assert reply.mistake is not None

"""Two values of which one is meant, and what was denied, are asked about; nothing is picked in silence."""

from __future__ import annotations

import pytest

from askcode.asker import Asker


@pytest.fixture(scope="module")
def asker() -> Asker:
    return Asker()


@pytest.mark.parametrize(
    ("question", "asked", "choices"),
    [
        ("10 to 15 hp motor 460v 3 phase what size wire", "horsepower", ["10 hp", "15 hp"]),
        ("20-25 hp 480v 3ph fuse", "horsepower", ["20 hp", "25 hp"]),
        ("5 or 7-1/2 hp 230 single phase motor breaker", "horsepower", ["5 hp", "7.5 hp"]),
        ("#10 copper 20 amps 240v single phase 75 to 100 ft voltage drop", "distance", ["75 ft", "100 ft"]),
        ("between 75 and 100 feet #10 copper 20 amps 240v single phase voltage drop", "distance", ["75 ft", "100 ft"]),
        ("around 80 ft maybe 90, 30a 240 single phase #10 copper voltage drop", "distance", ["80 ft", "90 ft"]),
        ("load of 30 to 40 amps continuous what size wire 75c", "load", ["30 A", "40 A"]),
        ("ampacity of #10 or #8 copper 75c", "conductor_size", ["10", "8"]),
        ("1/0 to 2/0 copper service gec", "service_conductor_size", ["1/0", "2/0"]),
        ("2 sets of (3) 500 kcmil per phase copper ampacity", "parallel_sets", ["2", "3"]),
        ("motor 20hp 460v 3ph not continuous wire size", "duty", ["short-time", "intermittent", "periodic", "varying"]),
    ],
)
def test_which_is_asked(asker: Asker, question: str, asked: str, choices: list[str]) -> None:
    reply = asker.conversation().say(question)
    assert reply.status == "incomplete"
    assert [(need.input, need.choices) for need in reply.missing] == [(asked, choices)]


@pytest.mark.parametrize(
    ("turns", "headline"),
    [
        # 15 hp at 460 V draws 21 A by Table 430.250: 21 × 1.25 = 26.25 A, 10 AWG
        (["10 to 15 hp motor 460v 3 phase what size wire", "15 hp"], "Use 10 AWG copper: 21 A × 125% = 26.25 A."),
        # 40 × 1.25 = 50 A, 8 AWG at 75 °C
        (["load of 30 to 40 amps continuous what size wire 75c", "40"], "Use 8 AWG copper: it has to carry 50 A."),
        # 18 × 1.25 = 22.5 A, a breaker of 25 A
        (["18 amp load not continuous what breaker", "it is continuous"], "Use 25 A: the load counts as 22.5 A."),
        # at 208 V 30.8 A for 5 hp single-phase and 30.8 A for 10 hp three-phase: 30.8 × 1.25 + 30.8 = 69.3 A
        (
            ["5hp 208 single phase and 10hp 208 three phase on one feeder, what size wire"],
            "Use 4 AWG copper for 69.3 A (30.8 A × 125% + 30.8 A for the motors).",
        ),
        # 4 stands for "for": one motor of 14 A, 17.5 A
        (["need wire sz 4 10hp mtr 3ph 480v"], "Use 14 AWG copper: 14 A × 125% = 17.5 A."),
        (["20 amp circuit ground size in conduit with 14 conductors"], "12 AWG copper equipment grounding conductor."),
        # 4 × 2.25 + 3 × 2 + 2 × 4.5 + 2.25 + 2.25
        (
            ["4 #12s, 3 #14s, two devices and a ground, clamps inside, min box cu in"],
            "The box needs at least 28.5 cu in.",
        ),
        # 6 × 2.25 + 2.5 + 2 × 2.25
        (["six 12s, one 10 ground, receptacle, min box cu in"], "The box needs at least 20.5 cu in."),
    ],
)
def test_what_is_told_counts(asker: Asker, turns: list[str], headline: str) -> None:
    conversation = asker.conversation()
    assert [conversation.say(turn).headline for turn in turns][-1] == headline


def test_two_of_them_are_no_horsepower(asker: Asker) -> None:
    conversation = asker.conversation()
    conversation.say("40 hp 480 3ph wire")
    assert "3.4 A" not in conversation.say("two of them").headline


# A number or a size that the answer would pass over, though it may be what was only assumed, is asked about.
@pytest.mark.parametrize(
    ("question", "asked"),
    [
        ("8 thhn copper, six buddies in there, ampacity?", "current_carrying_conductors"),
        ("1/0 copper thhn, somebody wrote a 60 by it, what is it good for", "terminal_temperature"),
        ("20 amp circuit with #12, then #8 copper all the way, equipment ground size", "question"),
        ("20 heaters 1500 watts each at 240 single phase continuous, what breaker", "load_power"),
    ],
)
def test_what_would_be_passed_over_is_asked(asker: Asker, question: str, asked: str) -> None:
    reply = asker.conversation().say(question)
    assert reply.status == "incomplete"
    assert [need.input for need in reply.missing] == [asked]


@pytest.mark.parametrize(
    ("question", "headline"),
    [
        # Table 110.26(A)(1): 0 to 150 V to ground, 3 ft in every condition
        ("how much clear in front of a house panel 120/240", "3 ft clear"),
        # 12 × 1.25 = 15 A: 14 AWG copper, continuous or not
        ("what size wire for 12 amps", "Use 14 AWG copper"),
    ],
)
def test_what_changes_nothing_is_not_asked(asker: Asker, question: str, headline: str) -> None:
    reply = asker.conversation().say(question)
    assert reply.status == "answered" and reply.headline.startswith(headline)
    assert any(note.startswith("The same holds") for note in reply.notes)

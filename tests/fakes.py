"""A stand-in for the one road of a question, and a reply with everything in it, for tests of how things are shown."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from askcode.core.replies import (
    Answer,
    Assumption,
    Cases,
    Excerpt,
    Missing,
    Mistake,
    Next,
    Option,
    Otherwise,
    Read,
    Reading,
    Reference,
    Reply,
    Step,
    Verdict,
)


def answered(question: str = "2 hp 120 V single phase copper 75 C", edition: str = "2023") -> Reply:
    """A reply with every part filled."""
    return Reply(
        question, "answered", edition, "Use 10 AWG copper: 24 A × 125% = 30 A.",
        read=[Read("2 hp", "horsepower", "2 hp"), Read("120 V", "voltage", "120 V"),
              Read("single phase", "phases", "single-phase"),
              Read("coper", "conductor_metal", "copper", origin="mended"),
              Read("75 C", "terminal_temperature", "75 °C", origin="carried")],
        unread=["please"],
        answer=Answer("least_conductor_size", "10 AWG copper", 10, "AWG"),
        verdict=Verdict(False, "12 AWG", "at least 10 AWG"),
        option=Option("b", "10 AWG"),
        mistake=Mistake("12 AWG", "left out the 125%", "a"),
        steps=[Step("Take the full-load current from the table: 2 hp, 115 V column.", "24 A",
                    ["Table 430.248", "430.6(A)(1)"],
                    excerpt=Excerpt("430.248", "Full-load current, single-phase motors",
                                    ["hp", "115 V", "200 V", "208 V", "230 V"],
                                    [["1 1/2", "20", "11.5", "11", "10"], ["2", "24", "13.8", "13.2", "12"],
                                     ["3", "34", "19.6", "18.7", "17"]], [1, 1]), changed=True),
               Step("Let the conductors carry more than the motor's full-load current.", "24 A × 125% = 30 A",
                    ["430.22(A)"], changed=True)],
        references=[Reference("430.22(A)", "Single motor", "A motor's conductors carry at least 125%.", "from-memory"),
                    Reference("310.16", "Ampacities", "Ampacity by size and metal.", "one-source", True)],
        assumptions=[Assumption("terminal_temperature", "75 °C", "Most terminals are marked so",
                                [Otherwise("60 °C", "8 AWG copper")]),
                     Assumption("ambient_temperature", "30 °C", "It is the table's own", [])],
        cases=Cases(["metal", "size"], [["copper", "10 AWG"], ["aluminum", "8 AWG"]]),
        next=[Next("breaker", "device_rating"), Next("ground", "equipment_ground")],
        cautions=["Work de-energized and locked out."],
        notes=["A nameplate current is not used for this."],
    )


def incomplete(question: str = "2 hp", edition: str = "2023") -> Reply:
    return Reply(question, "incomplete", edition, "I need two more facts for the motor's conductors.",
                 read=[Read("2 hp", "horsepower", "2 hp")],
                 missing=[Missing("voltage", "What is the voltage?", "Currents are read from its column.",
                                  "On the nameplate beside V.", ["120", "208", "230"], "motor 2"),
                          Missing("phases", "Single-phase or three-phase?")])


def ambiguous(question: str = "wire for 10 hp", edition: str = "2023") -> Reply:
    return Reply(question, "ambiguous", edition, "That can be read in two ways.",
                 readings=[Reading("the motor's conductors", "Use 8 AWG copper."), Reading("the ground", "")])


def outside(question: str = "best pizza?", edition: str = "2023") -> Reply:
    return Reply(question, "outside", edition, "That is not covered.", notes=["I cover motors and grounding."])


BY_WORD = {"2 hp": incomplete, "wire": ambiguous, "pizza": outside}


@dataclass
class FakeConversation:
    edition: str = "2023"
    carried: list[Read] = field(default_factory=list)
    heard: list[str] = field(default_factory=list)
    settings: dict[str, str] = field(default_factory=dict)
    jurisdiction: str = ""

    def say(self, text: str) -> Reply:
        self.heard.append(text)
        if text == "explode":
            raise KeyError(text)
        self.carried = [Read("2 hp", "horsepower", "2 hp")]
        if text == "2 hp":
            return incomplete(text, self.edition)
        make = next((make for word, make in BY_WORD.items() if word in text and word != "2 hp"), answered)
        return make(text, self.edition)

    def start_over(self) -> None:
        self.carried = []


class FakeAsker:
    def __init__(self, edition: str | None = None, amendments: Path | None = None, by_file: bool = True):
        self.edition = edition or "2023"
        self.amendments = amendments
        self.settings: dict[str, str] = {}
        self.made: list[FakeConversation] = []
        self.warmed = 0

    def warm(self) -> None:
        self.warmed += 1

    def conversation(self, edition: str | None = None) -> FakeConversation:
        self.made.append(FakeConversation(edition or self.edition))
        return self.made[-1]

    def book(self) -> FakeAsker:
        return self

    def vocabulary(self) -> dict[str, dict[str, list[str]]]:
        return {"metal": {"copper": ["copper", "cu"], "aluminum": ["al"]}}

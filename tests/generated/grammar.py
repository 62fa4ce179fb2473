"""The trade's ways of writing facts down, as a grammar that is run with a seeded generator.

`phrase(rng)` makes up a job, writes it the way people do and returns both. Two writings of a fact never differ in
meaning, so that whatever is read from the phrase must be the facts of the job, no less and no more.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from random import Random

Value = float | str
Facts = dict[str, Value]  # a name that ends in ? is told along with another and may stay unread
Writing = tuple[str, Facts]

ONES = ["", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
        "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"]  # fmt: skip
TENS = ["", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
HORSEPOWERS = ["1/2", "3/4", "1", "1 1/2", "2", "3", "5", "7 1/2", "10", "15", "20", "25", "30", "40", "50", "60", "75",
               "100", "125", "150", "200"]  # fmt: skip
SIZES = ["14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0", "250", "300", "350", "400", "500",
         "600", "750"]  # fmt: skip
RATINGS = ["15", "20", "25", "30", "35", "40", "45", "50", "60", "70", "80", "90", "100", "110", "125", "150", "175",
           "200", "225", "250", "300", "350", "400"]  # fmt: skip
SIGNS = {"1/2": "½", "1/4": "¼", "3/4": "¾"}
PARTS = {"1/2": "half", "1/4": "quarter", "3/4": "three quarter"}
METALS = {
    "copper": ["copper", "cu", "Cu", "CU"],
    "aluminum": ["aluminum", "al", "AL", "alum", "aluminium"],
}
INSULATIONS = ["THHN", "THWN", "THWN-2", "XHHW", "XHHW-2", "THW", "TW", "RHW", "RHW-2"]
DEVICES = {
    "inverse-time breaker": ["inverse time breaker", "inverse-time circuit breaker", "inverse time CB"],
    "dual-element fuse": ["dual element fuse", "dual-element fuses", "time delay fuse", "time-delay fuses"],
    "nontime-delay fuse": ["nontime delay fuse", "non-time-delay fuses", "non time delay fuse"],
    "instantaneous-trip breaker": ["instantaneous trip breaker", "inst trip breaker", "MCP"],
}
MOTOR_TYPES = {
    "squirrel-cage": ["squirrel cage", "squirrel-cage"],
    "wound-rotor": ["wound rotor", "wound-rotor"],
    "synchronous": ["synchronous"],
}
ELECTRODES = {
    "rod": ["ground rod", "rods", "a driven rod", "two ground rods", "the rod"],
    "plate": ["plate electrode", "ground plate", "a ground plate"],
    "concrete-encased": ["concrete encased electrode", "concrete-encased electrode", "ufer"],
    "water pipe": ["water pipe", "metal water pipe", "the water pipe"],
    "structural steel": ["building steel", "structural steel"],
}


def spelled(number: int) -> str:
    """A whole number below a thousand in words."""
    if number >= 100:
        rest = number % 100
        return f"{ONES[number // 100]} hundred" + (f" {spelled(rest)}" if rest else "")
    if number < 20:
        return ONES[number]
    return TENS[number // 10] + (f" {ONES[number % 10]}" if number % 10 else "")


def amount(text: str) -> float:
    """What a mixed number is worth."""
    return sum(int(part.split("/")[0]) / int(([*part.split("/"), "1"])[1]) for part in text.split())


class Writer:
    """Writes facts down, one of several ways each time."""

    def __init__(self, rng: Random) -> None:
        self.rng = rng
        self.one_of = rng.choice

    def chance(self, part: float) -> bool:
        return self.rng.random() < part

    def number(self, text: str) -> tuple[str, bool]:
        """A number in one of its forms, and whether it ended up in words."""
        whole, _, part = text.rpartition(" ") if "/" in text else (text, "", "")
        forms = [text, text]
        if part:
            value = f"{amount(text):g}"
            forms = [value, value.lstrip("0"), f"{whole}{SIGNS[part]}", f"{whole}-{part}".lstrip("-"), text]
            said = f"{spelled(int(whole))} and a {PARTS[part]}" if whole else PARTS[part]
        else:
            said = spelled(int(text))
        if self.chance(0.15):
            return said.replace(" ", "-") if self.chance(0.1) and not part else said, True
        return self.one_of(forms), False

    def measured(self, text: str, units: list[str], joints: str = "  - ") -> str:
        """A number with its unit, glued, hyphened or apart."""
        number, in_words = self.number(text)
        unit = self.one_of(units)
        joint = " " if in_words else self.one_of(["", " ", " ", "-" if len(unit) > 1 and "-" in joints else " "])
        return f"{number}{joint}{unit}"

    # --- the facts ---
    def horsepower(self) -> Writing:
        text = self.one_of(HORSEPOWERS)
        units = ["hp", "HP", "Hp", "horse", "horsepower", "hp motor", "horse motor", "horsepower motor", "H.P."]
        return self.measured(text, units), {"horsepower": amount(text)}

    def supply(self) -> list[Writing]:
        """Volts and phases, together or apart."""
        phases = self.one_of("13")
        volts = self.one_of(
            ["115", "120", "208", "230", "240"] if phases == "1" else ["208", "230", "240", "460", "480"]
        )
        if phases == "3" and self.chance(0.1):
            first, second = self.one_of([("480", "277"), ("208", "120")])
            system = self.one_of([f"{first}Y/{second}", f"{first}Y/{second}V", f"{first}y/{second} volt"])
            volt: Writing = system, {"voltage": int(first), "voltage_to_ground": int(second)}
        else:
            said = {"115": "one fifteen", "120": "one twenty", "208": "two oh eight", "230": "two thirty",
                    "240": "two forty", "460": "four sixty", "480": "four eighty"}[volts]  # fmt: skip
            glued = f"{volts}{self.one_of(['V', 'v', ' V', ' v', ' volts', ' volt', '-volt', 'VAC', ' VAC'])}"
            volt = (f"{said} {self.one_of(['volts', 'volt'])}" if self.chance(0.1) else glued), {"voltage": int(volts)}
        digit, word = (("1", "single"), ("3", "three"))[phases == "3"]
        said = self.one_of(
            [
                f"{digit}ph",
                f"{digit} ph",
                f"{digit}PH",
                f"{digit}-phase",
                f"{digit} phase",
                f"{word} phase",
                f"{word}-phase",
                f"{digit}Ø",
                f"{digit}ø",
                f"{digit} Ø",
            ]
        )
        phase: Writing = said, {"phases": phases} | ({"motor_type?": "single-phase"} if phases == "1" else {})
        if self.chance(0.3):
            return [joined([volt, phase], " ")]
        return [volt, phase]

    def metal(self, name: str = "conductor_metal") -> Writing:
        metal = self.one_of(list(METALS))
        return self.one_of(METALS[metal]), {name: metal}

    def insulation(self) -> Writing:
        kind = self.one_of(INSULATIONS)
        return self.one_of([kind, kind, kind.lower(), kind.replace("-", "")]), {"insulation": kind}

    def terminals(self) -> Writing:
        value = self.one_of(["60", "75", "90"])
        degrees = self.degrees(value)
        said = self.one_of(
            [f"{degrees} {word}" for word in ("lugs", "terminals", "terminations", "terms", "lugs both ends")]
            + [
                f"{word} {degrees}"
                for word in ("lugs", "lugs are", "terminals rated", "terminations at", "terminals are")
            ]
        )
        return said, {"terminal_temperature": int(value)}

    def degrees(self, value: str) -> str:
        return value + self.one_of(
            ["C", " C", "°C", " °C", " degC", " degrees C", " degree", "c", " deg C", "-degree", "°"]
        )

    def ambient(self) -> Writing:
        if self.chance(0.4):
            fahrenheit = self.one_of(["104", "95", "113", "122", "86"])
            value = round((int(fahrenheit) - 32) * 5 / 9, 1)
            degrees = fahrenheit + self.one_of(["F", " F", "°F", " °F", " degrees F", " degF"])
        else:
            number = self.one_of(["35", "38", "40", "43", "45", "50"])
            value, degrees = int(number), self.degrees(number)
        said = self.one_of(
            [
                f"{degrees} ambient",
                f"ambient {degrees}",
                f"ambient of {degrees}",
                f"ambient is {degrees}",
                f"ambient temp {degrees}",
                f"{degrees} attic",
                f"in a {degrees} room",
                f"ambient temperature of {degrees}",
            ]
        )
        return said, {"ambient_temperature": value}

    def size(self, name: str) -> Writing:
        size = self.one_of(SIZES)
        return self.size_text(size), {name: size}

    def size_text(self, size: str) -> str:
        if size.isdigit() and int(size) >= 250:
            if self.chance(0.1):
                return f"{spelled(int(size))} {self.one_of(['kcmil', 'MCM'])}"
            return size + self.one_of([" kcmil", "kcmil", " MCM", "MCM", " mcm", " KCMIL", "-kcmil"])
        if "/" in size:
            noughts = int(size[0])
            names = ["one", "two", "three", "four"]
            said = names[noughts - 1] + " " + self.one_of(["aught", "ought", "naught"])
            forms = [size, size, f"#{size}", f"{size} AWG", f"{size} awg", f"{noughts} / 0", f"No. {size}", said]
            return self.one_of(forms + (["0" * noughts] if noughts > 1 else []))
        said = spelled(int(size))
        return self.one_of(
            [
                f"#{size}",
                f"# {size}",
                f"#{size} AWG",
                f"{size} AWG",
                f"{size}AWG",
                f"{size} awg",
                f"{size}-AWG",
                f"{size} ga",
                f"{size}ga",
                f"{size} gauge",
                f"{size}-gauge",
                f"No. {size}",
                f"no {size} AWG",
                f"number {size}",
                f"number {said}",
                f"{said} gauge",
                f"AWG {size}",
                f"{size} gage",
            ]
        )

    def conductor(
        self, size: str = "conductor_size", metal: str = "conductor_metal", insulated: bool = True
    ) -> Writing:
        """A size with its metal and insulation, as one breath."""
        parts = [self.size(size)]
        if self.chance(0.7):
            parts.append(self.metal(metal))
        if insulated and self.chance(0.6):
            parts.append(self.insulation())
            if len(parts) == 3 and self.chance(0.4):
                parts = [parts[0], parts[2], parts[1]]
        elif len(parts) == 2 and self.chance(0.2):
            parts.reverse()
        return joined(parts, " ")

    def rating(self) -> Writing:
        text = self.one_of(RATINGS)
        amps = self.amps(text)
        word = self.one_of(["breaker", "bkr", "CB", "circuit breaker", "OCPD", "fuse", "circuit", "ckt"])
        before = self.one_of(["breaker is", "on a breaker of", "circuit breaker rated"])
        plain = f"{before} {text}{self.one_of(['A', ' A', ' amps', ' amp'])}"  # "225 a ground wire" has an article
        said, word = (f"{amps} {word}", word) if self.chance(0.8) else (plain, "breaker")
        breaker = {"device_type?": "breaker"} if word in ("breaker", "bkr", "CB", "circuit breaker") else {}
        return said, {"device_rating": int(text)} | breaker | ({"device_type?": "fuse"} if word == "fuse" else {})

    def amps(self, text: str) -> str:
        return self.measured(text, ["A", "A", "a", "amp", "amps", "Amp", "ampere", "amperes"]).replace("-A ", " A ")

    def nameplate(self) -> Writing:
        text = self.one_of(["3.4", "6.8", "9.6", "14", "22", "27", "28", "34", "52", "65", "77", "96"])
        amps = text + self.one_of(["A", " A", " amps", " amp", "a"])
        said = self.one_of(
            [
                f"nameplate {amps}",
                f"nameplate says {amps}",
                f"FLA {text}",
                f"FLA: {text}",
                f"FLA of {amps}",
                f"tag {amps}",
                f"nameplate current {amps}",
                f"{amps} nameplate",
                f"{amps} FLA",
                f"nameplate is {amps}",
            ]
        )
        return said, {"nameplate_current": amount_of(text)}

    def service_factor(self) -> Writing:
        text = self.one_of(["1.0", "1.15", "1.25"])
        said = self.one_of(
            [
                f"SF {text}",
                f"sf {text}",
                f"SF: {text}",
                f"SF={text}",
                f"service factor {text}",
                f"{text} SF",
                f"service factor of {text}",
                f"S.F. {text}",
                f"{text} service factor",
                f"sf{text}",
            ]
        )
        return said, {"service_factor": amount_of(text)}

    def rise(self) -> Writing:
        text = self.one_of(["40", "50"])
        degrees = text + self.one_of(["C", " C", "°C", " °C", " degree C"])
        return self.one_of([f"{degrees} rise", f"rise {degrees}", f"temp rise {degrees}"]), {
            "temperature_rise": int(text)
        }

    def letter(self) -> Writing:
        letter = self.one_of("BCDEFGHJKLM")
        said = self.one_of([f"code {letter}", f"code letter {letter}", f"CODE: {letter}", f"kVA code {letter}"])
        return said, {"code_letter": letter}

    def design(self) -> Writing:
        letter = self.one_of("BCD")
        return self.one_of([f"design {letter}", f"Design {letter}", f"NEMA design {letter}"]), {"design_letter": letter}

    def choice(self, name: str, words: Mapping[str, list[str]]) -> Writing:
        value = self.one_of(list(words))
        return self.one_of(words[value]), {name: value}

    def count(self) -> Writing:
        number = self.rng.choice([4, 5, 6, 7, 8, 9, 10, 12, 15, 20])
        said = str(number) if self.chance(0.75) else spelled(number)
        words = ["current carrying conductors", "current-carrying conductors", "CCC", "CCCs", "current carrying"]
        words += ["conductors in the same conduit", "conductors in a raceway", "wires in one pipe"]
        word = self.one_of(words)
        in_raceway = word.endswith(("conduit", "raceway", "pipe"))
        lies: Facts = {"conductor_place?": "raceway", "wiring_method?": "raceway"} if in_raceway else {}
        return f"{said} {word}", lies | {"current_carrying_conductors": number}

    def distance(self) -> Writing:
        text = self.one_of(["50", "75", "80", "110", "120", "150", "175", "210", "250", "300"])
        feet = self.measured(text, ["ft", "feet", "foot", "'", "Ft"]).replace("-'", "'").replace(" '", "'")
        said = self.one_of([f"{feet} run", f"{feet} away", f"{feet} one way", f"{feet} long", f"run of {feet}"])
        measured: Facts = {"length_measure?": "one way"} if "one way" in said else {}
        return said, measured | {"distance": int(text)}

    def load(self) -> Writing:
        text = self.one_of(["8", "12", "16", "18", "24", "32", "45", "64"])
        amps = self.amps(text)
        return self.one_of([f"{amps} load", f"load of {amps}", f"{amps} of load", f"load is {amps}"]), {
            "load": int(text)
        }


def amount_of(text: str) -> float:
    number = float(text)
    return int(number) if number == int(number) else number


def joined(parts: list[Writing], joint: str) -> Writing:
    facts: Facts = {}
    for _, told in parts:
        facts |= told
    return joint.join(text for text, _ in parts), facts


@dataclass(frozen=True, slots=True)
class Phrase:
    """What was written, and the facts that it was written from."""

    text: str
    facts: Facts
    job: str


def _run_together(before: str, after: str) -> bool:
    """Whether two parts say something else with no mark between: "22 half horse", "four twelve wires", "THW 2 hp"."""
    last, first = before.lower().split()[-1], re.split(r"[\s-]", after.lower())[0]
    words = {*ONES[1:], *TENS[2:], *PARTS.values(), "three", "hundred"}
    numbered = last[-1].isdigit() or last in words
    if re.search(r"\d a$", before, re.IGNORECASE):
        return True  # "16 a run" has an article
    if last[-1].isdigit() and re.match(r"[½¼¾]|\d/\d", after):
        return True  # 27 3/4
    return (
        (numbered and first in words)
        or (last in words and first[0].isdigit())
        or (last.upper() in INSULATIONS and first.startswith("2"))
    )


def motor(write: Writer) -> Phrase:
    """A motor, its supply and what runs to it."""
    parts = [write.horsepower(), *write.supply()]
    more: list[Callable[[], Writing]] = [
        lambda: write.choice("motor_type", MOTOR_TYPES),
        lambda: write.choice("device_type", DEVICES),
        lambda: joined([write.metal(), write.insulation()], " "),
        write.terminals,
        write.ambient,
        write.service_factor,
        write.letter,
        write.design,
    ]
    parts += [make() for make in write.rng.sample(more, write.rng.randint(0, 4))]
    asks = {
        "conductor": ["what size wire?", "wire?"],
        "device": ["what breaker?", "max breaker"],
        "": ["", "motor", ""],
    }
    if any("fuse" in str(facts.get("device_type", "")) for _, facts in parts):
        asks["device"] = ["what size fuse?", "max fuse"]
    job, ask = write.one_of([(job, word) for job, words in asks.items() for word in words])
    if job == "device" and not any("device_type" in facts for _, facts in parts):  # the breaker may be taken for told
        parts[0][1]["device_type?"] = "breaker"
    return spread(write, "motor", parts, ask)


def overload(write: Writer) -> Phrase:
    """A nameplate, for its overload."""
    parts = [write.nameplate()]
    parts += [make() for make in write.rng.sample([write.service_factor, write.rise, write.horsepower], 2)]
    return spread(write, "overload", parts, write.one_of(["overload?", "what size overloads", "max overload"]))


def ampacity(write: Writer) -> Phrase:
    """A conductor and where it lies."""
    parts = [write.conductor()]
    more = [write.terminals, write.ambient, write.count]
    parts += [make() for make in write.rng.sample(more, write.rng.randint(0, 3))]
    return spread(
        write, "ampacity", parts, write.one_of(["ampacity?", "what is the ampacity", "how many amps is it good for"])
    )


def electrode(write: Writer) -> Phrase:
    """A service and what it is grounded to."""
    said, facts = write.conductor("service_conductor_size", "service_conductor_metal", insulated=False)
    parts = [(f"{said} {write.one_of(['service', 'service conductors', 'svc', 'service entrance'])}", facts)]
    if write.chance(0.2):
        sets = write.rng.randint(2, 4)
        words = str(sets) if write.chance(0.5) else spelled(sets)
        parts = [
            (f"{words} {write.one_of(['sets of', 'parallel sets of'])} {parts[0][0]}", facts | {"service_sets": sets})
        ]
    ask = write.one_of(["what size GEC", "gec?", "grounding electrode conductor size", "size of the GEC"])
    if write.chance(0.5):
        metal, told = write.metal("grounding_metal")
        ask, parts[0] = f"{metal} gec", (parts[0][0], parts[0][1] | told)
    if write.chance(0.6):
        name, told = write.choice("electrode", ELECTRODES)
        parts.append((f"{write.one_of(['to', 'to', 'for'])} {name}", told))
        if write.chance(0.5):
            parts.reverse()
    return spread(write, "electrode", parts, ask, shuffled=False)


def ground(write: Writer) -> Phrase:
    """A circuit and its equipment ground."""
    parts = [write.rating()]
    ask = write.one_of(["what size ground?", "EGC size", "equipment ground size", "what size EGC", "ground wire size?"])
    if write.chance(0.5):
        metal, told = write.metal("grounding_metal")
        ask, parts[0] = f"what size {metal} ground", (parts[0][0], parts[0][1] | told)
    return spread(write, "ground", parts, ask)


def drop(write: Writer) -> Phrase:
    """A run and what is lost on it."""
    parts = [write.conductor(insulated=False), write.distance(), write.load(), *write.supply()]
    return spread(
        write, "drop", parts, write.one_of(["voltage drop?", "what is the voltage drop", "vdrop", "volt drop"])
    )


def spread(write: Writer, job: str, parts: list[Writing], ask: str, shuffled: bool = True) -> Phrase:
    """The parts in some order, parted somehow, in some case."""
    if shuffled:
        write.rng.shuffle(parts)
    joint = write.one_of([" ", ", ", ", ", "; ", ",", "\n", " - ", "  ", ". "])
    texts = [text for text, _ in parts]
    if ask:
        texts.insert(write.one_of([0, len(texts)]), ask)
    if joint == ". " and any(text.lower().endswith("cu") for text in texts):
        joint = ", "  # "cu. in" are cubic inches
    if not joint.strip() and any(_run_together(*pair) for pair in pairwise(texts)):
        joint = ", "
    text, (_, facts) = joint.join(texts), joined(parts, " ")
    turn = write.rng.random()
    text = text.upper() if turn < 0.12 else text.lower() if turn < 0.35 else text
    text = write.one_of(["", "", "", " ", "ok so ", "hey, "]) + text + write.one_of(["", "", "?", ".", " ", " thanks"])
    return Phrase(text, facts, job)


JOBS = (motor, motor, motor, overload, ampacity, ampacity, electrode, ground, drop)


def phrase(rng: Random) -> Phrase:
    """One phrase of any job."""
    write = Writer(rng)
    return write.one_of(JOBS)(write)

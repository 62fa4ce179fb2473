"""One process's worth of timing, printed as JSON: whole warm answers, the yardstick on the same texts, hostile texts.

Run by test_speed.py in several processes, so that nothing that one run has kept helps the next. Each text comes once.
"""

from __future__ import annotations

import json
import random
import sys
import time
import warnings
from pathlib import Path

ROOT = Path(__file__).parents[2]
BANK = ROOT.parent / "shared" / "bank" / "public.jsonl"
LIMIT = 2_000  # characters: the longest question that is answered
LETTERS = "abcdefghijklmnopqrstuvwxyz"
TRADE = ["copper", "conduit", "receptacle", "grounding", "ampacity", "disconnect", "overcurrent", "aluminum"]
REPEATED = [  # each is repeated up to the limit
    "a", "7", "9,", "1/", "½", "12-2-", "(", "a)", '"', '" OR NEAR(x AND * ^ NOT ', "*:^-", " ", "\n", "a b ",
    "recepticle", "2 hp ", "5 hp 460 V motor and ", "#12 ", "208Y/120 ", "three #10s ",
    "4 #8 cu thhn 75 C 30 A 120 ft ", "no, ", "a) 10 b) 12 c) 8 d) 6 ", "a) 10 AWG\nb) 8 AWG\n", "what about aluminum ",
    "what size wire and breaker and ground ",
    "430.22(A)(1) ", "1e999 ", "2 hp\x00", "\x1b[31m2 hp", "\u202e2 hp ", "e\u0301", "漢字", "👩\u200d🔧", "a\u200b",
    "\u0663\u0664 hp ", "75 °C ", "V A W hp ft ", " ".join(TRADE) + " ", "kitchen receptacle gfci island ", "not ",
    "3' 6\" ", "123456789012345678901234567890 ", "two hundred and ",
]


def texts() -> list[str]:
    """The public bank's questions where it is at hand, otherwise the ways of asking that the knowledge lists."""
    if BANK.exists():
        found = [turn for line in BANK.read_text("utf8").splitlines() for turn in json.loads(line)["turns"]]
    else:
        import yaml

        found = []
        for path in sorted((ROOT / "knowledge").glob("[rc][uo][lv]e*/*.yaml")):
            for entry in yaml.load(path.read_text("utf8"), yaml.CSafeLoader).values():
                found += [str(text) for text in entry.get("asked_as", ())]
        found = found[::3]
    return list(dict.fromkeys(found))


def hostile() -> dict[str, str]:
    """Texts that try to cost more than a question should, each at the limit."""
    made = {seed[:24]: (seed * (LIMIT // len(seed) + 1))[:LIMIT] for seed in REPEATED}
    dice = random.Random(70)
    made["made-up words"] = " ".join("".join(dice.choices(LETTERS, k=dice.randint(3, 11))) for _ in range(400))[:LIMIT]
    misspelt = []
    for word in TRADE * 40:
        place = dice.randrange(len(word))
        misspelt.append(word[:place] + dice.choice(LETTERS) + word[place + 1:])
    made["misspelt words"] = " ".join(misspelt)[:LIMIT]
    return made


def main() -> None:
    warnings.simplefilter("ignore")
    from quantulum3 import parser as yardstick

    from askcode.asker import Asker
    from askcode.frontends.cli import stay
    from askcode.render.clean import printable

    def ask(text: str) -> float:
        conversation = asker.conversation()
        start = time.perf_counter()
        conversation.say(printable(text))
        return time.perf_counter() - start

    asker = Asker()
    asker.warm()
    stay()  # as the frontends do
    ask("2 hp 120 V single phase copper 75 C")
    yardstick.parse("2 hp")
    ours, theirs = [], []
    for text in texts():
        ours.append(ask(text))
        start = time.perf_counter()
        yardstick.parse(text)
        theirs.append(time.perf_counter() - start)
    dear = {name: ask(text) for name, text in hostile().items()}
    json.dump({"ours": ours, "theirs": theirs, "hostile": dear}, sys.stdout)


if __name__ == "__main__":
    main()

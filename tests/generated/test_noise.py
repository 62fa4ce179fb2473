"""What is answered right is answered right when it is typed in a hurry, and never wrongly."""

from __future__ import annotations

import importlib.machinery
import importlib.util
import json
import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from typing import Any

import pytest

from askcode.asker import Asker
from tests.generated.noise import NOISES

ROOT = Path(__file__).parents[2]
SHARED = ROOT.parent / "shared" / "bank"
SEED, LEAST = 2718, 0.95
Case = dict[str, Any]
Judge = Callable[[Case, dict[str, Any]], str]


def cases() -> Iterator[Case]:
    """Every question of the banks that are at hand."""
    for file in [SHARED / "public.jsonl", *sorted((ROOT / "tests" / "bank").glob("*.jsonl"))]:
        if file.exists():
            yield from map(json.loads, file.read_text("utf-8").splitlines())


def judge_of_the_bank() -> Judge:
    """The scorer's own judge where it is at hand; else a small one."""
    if not (SHARED / "score").exists():
        return small_judge
    loader = importlib.machinery.SourceFileLoader("score", str(SHARED / "score"))
    spec = importlib.util.spec_from_loader("score", loader)
    assert spec is not None
    module = importlib.util.module_from_spec(spec)
    loader.exec_module(module)
    return lambda case, reply: str(module.judge(case, reply)[0])


def small_judge(case: Case, reply: dict[str, Any]) -> str:
    """Right, held back or WRONG, by the status and the headline alone."""
    answered, headline = reply["status"] == "answered", reply["headline"]
    if reply["status"] not in case["status"].split("|"):
        return "WRONG" if answered else "held back"
    accepted = any(re.search(one, headline, re.IGNORECASE) for one in case.get("accept") or [""])
    rejected = any(re.search(one, headline, re.IGNORECASE) for one in case.get("reject") or [])
    return "right" if not answered or (accepted and not rejected) else "WRONG"


def replies(asker: Asker, case: Case, turns: list[str]) -> dict[str, Any]:
    """The reply to the turn that is scored."""
    conversation = asker.conversation(case.get("edition"))
    said = [conversation.say(turn).as_dict() for turn in turns]
    return said[case.get("score_turn", len(turns)) - 1]


@pytest.fixture(scope="module")
def asker() -> Asker:
    return Asker()


@pytest.mark.slow
def test_noise_changes_no_answer(asker: Asker, capsys: pytest.CaptureFixture[str]) -> None:
    judge = judge_of_the_bank()
    kept: Counter[str] = Counter()
    tried: Counter[str] = Counter()
    lost: dict[str, list[str]] = defaultdict(list)
    for case in cases():
        clean = replies(asker, case, case["turns"])
        if judge(case, clean) != "right":
            continue
        for name, noise in NOISES.items():
            rng = Random(f"{SEED} {name} {case['id']}")
            turns = [noise(turn, rng, asker.reader) for turn in case["turns"]]
            if turns == case["turns"]:
                continue
            reply = replies(asker, case, turns)
            verdict = judge(case, reply)
            tried[name] += 1
            kept[name] += verdict == "right"
            if verdict != "right":
                lost[verdict].append(f"{case['id']} {name}: {' / '.join(turns)!r}: {reply['headline']}")
    share = kept.total() / tried.total()
    with capsys.disabled():
        print(f"\nnoise: {share:.1%} of {tried.total()} stay right")
        print("  " + ", ".join(f"{name} {kept[name]}/{tried[name]}" for name in tried))
        for verdict in sorted(lost):
            print(f"  {verdict}:", *lost[verdict], sep="\n    ")
    assert not lost["WRONG"]
    assert share >= LEAST

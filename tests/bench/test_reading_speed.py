"""Reading the corpus against quantulum3 (a general reader of quantities) on the same phrases, in the same run."""

from __future__ import annotations

import time
import warnings
from collections.abc import Callable
from pathlib import Path

import pytest
import yaml

from askcode.asker import Asker

CORPUS = Path(__file__).parent.parent / "corpus"
MOST = 0.5  # of quantulum3's time
RUNS = 3  # the best of them counts, for the machine is shared


@pytest.mark.slow
def test_reading_takes_at_most_half_of_quantulum3s_time(capsys: pytest.CaptureFixture[str]) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from quantulum3 import parser

        phrases = [
            case["says"]
            for file in sorted(CORPUS.rglob("*.yaml"))
            for case in yaml.load(file.read_text("utf-8"), yaml.CSafeLoader)
        ]
        asker = Asker()
        for phrase in phrases[:20]:
            asker.read(phrase)
            parser.parse(phrase)
        ratios = [_seconds(asker.read, phrases) / _seconds(_forgiving(parser.parse), phrases) for _ in range(RUNS)]
    with capsys.disabled():
        print(f"\nreading {len(phrases)} phrases: {min(ratios):.2f} of quantulum3's time")
    assert min(ratios) <= MOST


def _seconds(read: Callable[[str], object], phrases: list[str]) -> float:
    start = time.perf_counter()
    for phrase in phrases:
        read(phrase)
    return time.perf_counter() - start


def _forgiving(parse: Callable[[str], object]) -> Callable[[str], object]:
    """What it cannot parse at all counts as the time that it took to find that out."""

    def tried(phrase: str) -> object:
        try:
            return parse(phrase)
        except Exception:
            return None

    return tried

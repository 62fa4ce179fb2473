"""The reader against the corpus: what phrases say, what must stay unread, and that nothing typed upsets it."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

import parsers
from parsers import numbers
from parsers.edits import Rewritten
from parsers.quantities import _START, Quantities, _filled, lowered
from parsers.tidy import LONGEST_TEXT, tidy
from tests.corpus_score import BLIND, score

HERE = Path(__file__).parent
ROOT = HERE.parent


def knowledge(name: str) -> Any:
    return yaml.load((ROOT / "knowledge" / name).read_text("utf-8"), yaml.CBaseLoader)


def make_reader() -> parsers.Reader:
    """A reader that knows the whole vocabulary."""
    vocabulary: dict[str, dict[str, list[str]]] = {}
    for file in sorted((ROOT / "knowledge" / "vocabulary").glob("*.yaml")):
        for kind, names in knowledge(f"vocabulary/{file.name}").items():
            for name, words in names.items():
                vocabulary.setdefault(kind, {}).setdefault(name, []).extend(words)
    return parsers.Reader(vocabulary, knowledge("inputs.yaml"))


@pytest.fixture(scope="session")
def reader() -> parsers.Reader:
    return make_reader()


def corpus() -> Iterator[Any]:
    for file in sorted((HERE / "corpus").glob("*.yaml")):
        for case in yaml.load(file.read_text("utf-8"), yaml.CSafeLoader):
            yield pytest.param(case, id=f"{file.stem}: {case['says'][:60]}")


def same(value: float | str, expected: float | str) -> bool:
    return value == expected or str(value) == str(expected)


@pytest.mark.parametrize("case", list(corpus()))
def test_corpus(reader: parsers.Reader, case: dict[str, Any]) -> None:
    reading = reader.read(case["says"])
    best = {name: fact.value for fact in reversed(reading.facts) for name, _ in fact.inputs[:1] if fact.thing is None}
    for name, value in case.get("facts", {}).items():
        assert name in best, f"{name} is not read, but {best}"
        assert same(best[name], value), f"{name} is read as {best[name]}"
    for name, values in case.get("each", {}).items():
        assert [str(fact.value) for fact in reading.facts if fact.inputs and fact.inputs[0][0] == name] == [
            *map(str, values)
        ]
    if "things" in case:
        assert [fact.value for fact in reading.facts if fact.thing is not None] == case["things"]
        assert reading.things == len(case["things"])
    if "wants" in case:
        wanted = {ask.name for ask in reading.asks} | set(reading.names("weak_ask"))
        assert case["wants"] in wanted
    if "options" in case:
        assert [option.letter for option in reading.options] == case["options"]
    for part in ("form", "follow", "edition"):
        if part in case:
            assert getattr(reading, part) == case[part]
    if "mends" in case:
        assert [list(mend) for mend in reading.mends] == case["mends"]
    for word in case.get("unread", []):
        assert word in reading.unread
    for name in case.get("never", []):
        assert name not in {fact.kind for fact in reading.facts} | set(best)


# --- phrases that were written blind ----------------------------------------------------------------------------------
# First scored before anything was mended for them (F1, precision, numbers read as a size, a voltage or a horsepower
# that they are not):
#   2026-11           95.5 %  96.7 %  7
#   2026-11-second    97.1 %  97.3 %  3
#   2026-11-third     95.5 %  97.4 %  4   of hard phrases
#   2026-11-training  92.7 %  95.7 %      written to be mended against
#   2026-11-fourth    97.5 %  98.7 %  2   a percentage among options, and "150 volts or less to ground" as plain volts
#   2026-11-fifth     98.0 %  98.5 %  1   "12 wire nuts"
#   2026-11-sixth     98.4 %  99.0 %  2   a street number, and a size said to be a mistake
#   2026-11-seventh   98.0 %  98.5 %  0   "277v to gnd" as plain volts
# Each was written after the one before was mended for. All were mended against since, so these figures only keep what
# was reached: F1, precision, and what is left.
MENDED_AGAINST = {
    "2026-11": (0.97, 0.985, []),
    "2026-11-second": (0.97, 0.985, ["meet me at 480 Maple Street on 12/2"]),  # a date in place of a cable
    "2026-11-third": (0.97, 0.985, []),
    "2026-11-training": (0.97, 0.985, ["number two punch", "never mind make it 500A", "120-240 / 1Ø"]),
    "2026-11-fourth": (0.97, 0.985, []),
    "2026-11-fifth": (0.97, 0.985, []),
    "2026-11-seventh": (0.97, 0.985, []),
    "2026-11-sixth": (0.97, 0.985, ["I wrote #6 by mistake"]),
}


@pytest.mark.parametrize("name", MENDED_AGAINST)
def test_blind_corpus_mended_against(reader: parsers.Reader, name: str) -> None:
    result = score(reader, BLIND / f"{name}.yaml")
    f1, precision, left = MENDED_AGAINST[name]
    assert result.f1 >= f1 and result.precision >= precision, "\n".join([str(result), *result.differ])
    assert not [line for line in result.amiss if not any(said in line for said in left)]


# --- the patterns' own examples ---------------------------------------------------------------------------------------
QUANTITIES = Quantities()


def test_a_phrase_is_known_as_soon_as_a_text_holds_it(reader: parsers.Reader) -> None:
    """Phrases are loaded when a text may hold them, so each is found by a pipeline that saw nothing else."""
    from parsers.pipeline import Pipeline

    phrases = sorted(reader.meanings)
    for at in range(7):  # seven fresh ones, so that few phrases are loaded by the like of them
        pipeline = Pipeline({"vocabulary": phrases})
        for phrase in random.Random(at).sample(phrases, 200):
            text = f"zzz {phrase} zzz"
            pipeline.expect(text)
            found = pipeline.found("vocabulary", pipeline.tokens(text))
            assert [hit[1:] for hit in found] == [(1, 1 + len(pipeline.tokens(phrase)))], phrase


def prepared(text: str) -> str:
    source = Rewritten(tidy(text))
    source.apply(numbers.said(source.text.lower()))
    return source.text


def examples(which: str) -> Iterator[Any]:
    for pattern in [*QUANTITIES.patterns, *QUANTITIES.labels]:
        said = pattern.get(which) or {}
        for text in said:
            yield pytest.param(pattern, text, said[text] if which == "says" else None, id=f"{pattern['name']}: {text}")


@pytest.mark.parametrize(("pattern", "text", "expected"), list(examples("says")))
def test_pattern_says(pattern: dict[str, Any], text: str, expected: str) -> None:
    found = QUANTITIES.read(prepared(text))
    values = {str(quantity.value) for quantity in found}
    values |= {f"{quantity.value:.4f}" for quantity in found if isinstance(quantity.value, int | float)}
    assert expected in values
    if "kind" in pattern:
        assert pattern["kind"] in {quantity.kind for quantity in found}


@pytest.mark.parametrize(("pattern", "text", "expected"), list(examples("never")))
def test_pattern_never(pattern: dict[str, Any], text: str, expected: None) -> None:
    import re

    expression = re.compile(re.sub(r"\(\?P<\w+>", "(?:", _filled(pattern["match"])), re.ASCII)
    low = lowered(prepared(text))
    if "hint" in pattern:
        assert not expression.search(low)
    else:
        assert not [start for start in _START.finditer(low) if expression.match(low, start.start())]


# --- numbers ----------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("words", "digits"),
    [
        ("seven and a half horse", "7-1/2 horse"),
        ("two hundred amp", "200 amp"),
        ("two thirty volts", "230 volts"),
        ("four eighty three phase", "480 3 phase"),
        ("two aught", "2/0"),
        ("7 and 1/2 hp", "7-1/2 hp"),
        ("a half horse", "1/2 horse"),
        ("inch and a quarter", "1-1/4 inch"),
        ("three quarter inch", "3/4 inch"),
        ("twelve two nm", "12-2 nm"),
        ("two twenty amp circuits", "2 20 amp circuits"),
        ("three ten horse motors", "3 10 horse motors"),
        ("three fifty mcm", "350 mcm"),
        ("two oh eight volts", "208 volts"),
        ("one of the wires", "one of the wires"),
        ("one hundred twenty five amps", "125 amps"),
        ("seven point five hp", "7.5 hp"),
        ("one thousand two hundred amps", "1200 amps"),
        ("double aught", "2/0"),
        ("half of it", "half of it"),
        ("one per phase", "one per phase"),
        ("two twenty volt", "220 volt"),
        ("five eighths inch", "5/8 inch"),
    ],
)
def test_number_words(words: str, digits: str) -> None:
    assert prepared(words) == digits


@given(st.integers(0, 999), st.sampled_from(["1/2", "1/4", "3/4", "1/8", ""]))
def test_written_numbers_come_back(whole: int, part: str) -> None:
    text = f"{whole}-{part}" if part else str(whole)
    assert numbers.value(text) == whole + (int(part[0]) / int(part[-1]) if part else 0)


# --- the same said otherwise ------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    "text", ["2 hp 120 V single phase copper 75 C", "50hp 460v 3ph, cu THWN, 75C lugs", "cu gec, 4/0 AL service"]
)
def test_case_and_spaces_do_not_matter(reader: parsers.Reader, text: str) -> None:
    first = [(fact.inputs, fact.value) for fact in reader.read(text).facts]
    for other in (text.upper(), text.lower(), f"  {text}  ", text.replace(" ", "  ")):
        assert [(fact.inputs, fact.value) for fact in reader.read(other).facts] == first


def test_places_are_those_of_the_typed_text(reader: parsers.Reader) -> None:
    reading = reader.read("sevn and a haf horse moter, two thirty volts, coper, 75 degree lugs")
    for fact in reading.facts:
        assert reading.text[fact.start : fact.end] == fact.text
    assert {fact.text for fact in reading.of("horsepower")} == {"sevn and a haf horse"}
    assert next(fact for fact in reading.facts if fact.kind == "metal").how == "mended"


# --- hostile text -----------------------------------------------------------------------------------------------------
PIECES = [
    "½",
    "0/0",
    "#",
    "'",
    '"',
    "kcmil",
    " and ",
    "°C",
    "4/0",
    "1/0",
    "7-1/2",
    "hp",
    " ",
    "460",
    "-",
    "/",
    "(",
    ")",
    "a)",
    "b)",
    "\n",
    "3Ø",
    "cu",
    "AL",
    "12-2",
    "two",
    "aught",
    "oh",
    "no wait",
    "sets",
    "75",
    "C",
    "F",
    ".",
    ",",
    "x",
    "430.22(A)",
    "SF",
    "1.15",
    "code",
    "\u202e",
    "\ud800",
    "²",
    "٣",
    "K",
    "=",
    "%",
    "1e999",
    "nan",
    "amp",
    "a",
    "in",
    "ft",
]


@settings(max_examples=300, deadline=None)
@given(st.lists(st.sampled_from(PIECES), max_size=40))
def test_pieces_in_any_order_are_read(reader: parsers.Reader, pieces: list[str]) -> None:
    for joint in ("", " "):
        reading = reader.read(joint.join(pieces))
        assert len(reading.text) <= LONGEST_TEXT
        reading.text.encode()


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "\n",
        "?",
        "(" * 2000,
        "2 hp " * 400,
        "1 " * 1000,
        "1/" * 1000,
        "9" * 2000,
        "a" * 2000,
        "no wait " * 250,
        "and " * 500,
        "12-" * 600,
        "two " * 500,
        "\u202e" * 50,
        "\ud800 5 hp",
        "☃" * 2000,
        "what " * 400,
        "#" * 2000,
        "4/0-" * 500,
        "ground " * 280,
        "copper wire " * 160,
        "3 #2 " * 400,
        "İ" * 300 + " 5 hp",
        "5 hp\x00\x1b[2J 230 v",
    ],
)
def test_hostile_text_is_read_quickly(reader: parsers.Reader, text: str) -> None:
    begin = time.perf_counter()
    reader.read(text)
    assert time.perf_counter() - begin < 0.5


def test_importing_is_quick_and_without_spacy() -> None:
    code = (
        "import sys, parsers; sys.exit(any(name in sys.modules for name in ('spacy', 'yaml', 'rapidfuzz', 'askcode')))"
    )
    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False).returncode == 0


def test_a_question_costs_well_under_a_millisecond(reader: parsers.Reader) -> None:
    texts = [case.values[0]["says"] for case in corpus()]
    random.Random(1).shuffle(texts)
    for text in texts:
        reader.read(text)
    begin = time.perf_counter()
    for text in texts:
        reader.read(text)
    assert (time.perf_counter() - begin) / len(texts) < 0.002  # measured near 0.0003; loose for busy machines

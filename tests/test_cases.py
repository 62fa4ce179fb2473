"""Cases worked by hand, run through the engine; and every line of arithmetic that is shown, computed again as shown."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from askcode.calculators import subjects
from askcode.core import telling
from askcode.core.derive import Derivation, Node, derive, slips
from askcode.core.tables import number
from askcode.core.things import Facts, Value
from askcode.rulebase.book import Book

CASES = Path(__file__).parent / "cases"
KEYS = {
    "name",
    "subject",
    "edition",
    "given",
    "things",
    "asked",
    "answer",
    "missing",
    "refused",
    "assumed",
    "slips",
    "worked",
}
KEYS |= {"source"}
TEXT_UNITS = ("size", "choice", "yes/no", "min", "trade size")


def load() -> list[Any]:
    """Every case of the folder, named by its file."""
    found = []
    for path in sorted(CASES.glob("*.yaml")):
        for case in yaml.load(path.read_text("utf8"), yaml.BaseLoader) or []:
            found.append(pytest.param(case, id=f"{path.stem}: {case['name']}"))
    return found


ALL = load()


def value_of(book: Book, name: str, text: str) -> Value:
    """A fact as it would be read: text for sizes and choices, else a number (7 1/2 is 7.5)."""
    declared = book.input(name)
    assert declared is not None, f"there is no input {name}"
    return text if declared.unit in TEXT_UNITS else number(text)


def run(case: dict[str, Any]) -> tuple[Derivation, Book]:
    book = Book.open(case.get("edition", "2023"))
    job = {name: value_of(book, name, text) for name, text in (case["given"] or {}).items()}
    things = {
        kind: [{name: value_of(book, name, text) for name, text in (thing or {}).items()} for thing in several]
        for kind, several in case.get("things", {}).items()
    }
    return derive(subjects()[case["subject"]], case["asked"], Facts(job, things), book), book


def same(value: Any, written: str) -> bool:
    """Whether a value is what was written down, to the last digit written."""
    if not isinstance(value, float):
        return str(value) == written
    decimals = len(written.partition(".")[2])
    return abs(value - number(written)) <= 0.5 * 10**-decimals + 1e-9


@pytest.mark.parametrize("case", ALL)
def test_case(case: dict[str, Any]) -> None:
    assert not set(case) - KEYS, f"unknown keys {set(case) - KEYS}"
    derivation, book = run(case)
    root = derivation.root
    if "missing" in case:
        assert [leaf.quantity for leaf in derivation.missing] == case["missing"]
        assert not root.known
        return
    if "refused" in case:
        assert root.kind == "refused"
        assert root.problem is not None
        assert case["refused"] in root.problem.line
        return
    assert root.known, f"{root.kind}: missing {[m.quantity for m in derivation.missing]}, {root.problem}"
    assert same(root.value, case["answer"]), f"{root.value} is not {case['answer']}"
    assumed = {node.quantity for node in derivation.assumed()}
    assert set(case.get("assumed", [])) <= assumed, f"assumed are {sorted(assumed)}"
    wrong = [(slip.because, made.value) for slip, made in slips(derivation, book)]
    for value, because in case.get("slips", {}).items():
        assert any(said == because and same(made, value) for said, made in wrong), f"{because}: {value} not in {wrong}"


@pytest.mark.parametrize("case", [p for p in ALL if "answer" in p.values[0]])
def test_case_tells_how_it_was_worked(case: dict[str, Any]) -> None:
    assert case.get("worked"), "say how it was worked"
    assert case.get("source"), "say where it comes from"


# --- what is shown comes out when a reader tries it -------------------------------------------------------------------
UNIT = r"(?:AWG|kcmil|kVA/hp|kVA|VA|kW|cu in|sq in|cmil|hp|°C|ft|in|A|V|W|Ω)\b"
SIGNS = str.maketrans({"×": "*", "−": "-", "÷": "/"})


def compute(shown: str) -> float:
    """A line of arithmetic as a reader would key it in: 24 A × 125% → 30."""
    text = shown.translate(SIGNS)
    text = re.sub(r"(?<=\d),(?=\d{3})", "", text)
    text = re.sub(rf"\s*(?<=[\d\s%])({UNIT})", " ", text)
    text = re.sub(r"(\d+) (\d+)/(\d+)", r"(\1+\2/\3)", text)
    text = re.sub(r"(\d+(?:\.\d+)?)%", r"(\1/100)", text)
    assert re.fullmatch(r"[\d\s.+*/()-]+", text), f"{shown!r} cannot be keyed in: {text!r}"
    return float(eval(text))


def lines(derivation: Derivation) -> list[tuple[Node, str]]:
    return [(node, telling.work(node)) for node in telling.told(derivation) if telling.work(node)]


@pytest.mark.parametrize("case", [p for p in ALL if "answer" in p.values[0]])
def test_shown_arithmetic_comes_out(case: dict[str, Any]) -> None:
    derivation, _ = run(case)
    for node, line in lines(derivation):
        assert "{" not in line, f"a name was left open in {line!r}"
        left, _, right = line.rpartition(" = ")
        decimals = node.rule.decimals if node.rule else 2
        shown = compute(right)
        assert abs(compute(left) - shown) <= 10**-decimals + 1e-9, line


@pytest.mark.parametrize("case", [p for p in ALL if "answer" in p.values[0]])
def test_told_sentences_are_filled(case: dict[str, Any]) -> None:
    derivation, book = run(case)
    for node in telling.told(derivation):
        assert "{" not in telling.sentence(node), telling.sentence(node)
        for entry in node.rule.cites if node.rule else ():
            assert book.has_entry(entry), f"{node.quantity} cites {entry}, which is no entry"


def test_headlines_are_filled() -> None:
    """Every goal that a case asks for tells its headline without a name left open."""
    open_names = []
    for case in (p.values[0] for p in ALL if "answer" in p.values[0]):
        derivation, book = run(case)
        for goal in book.goals().values():
            if (goal.subject, goal.quantity) == (case["subject"], case["asked"]):
                said = goal.headline.format_map(telling.all_names(derivation))
                if "{" in said:
                    open_names.append(f"{goal.name}: {said} ({case['name']})")
    assert not open_names, "\n".join(open_names)


def test_names_are_quantities_inputs_factors_or_tables() -> None:
    from askcode.core.derive import check_names

    assert check_names(subjects().values(), Book.open("2023")) == []

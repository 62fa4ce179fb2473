"""The house rules that a search can check: who imports whom, no topic in the frame, every name leads somewhere."""

from __future__ import annotations

import ast
import re
from collections import Counter
from pathlib import Path

import pytest

from askcode.calculators import subjects
from askcode.core.derive import check_names
from askcode.rulebase.book import Book

ROOT = Path(__file__).resolve().parent.parent

# folder or module → what of ours it may import
ARROWS = {
    "askcode/core": {"askcode.core"},
    "askcode/calculators": {"askcode.core", "askcode.calculators"},
    "askcode/rulebase": {"askcode.core", "askcode.rulebase"},
    "askcode/render": {"askcode.core", "askcode.render"},
    "parsers": {"parsers"},
    "askcode/frontends": {
        "askcode.asker",
        "askcode.conversation",
        "askcode.core.replies",
        "askcode.frontends",
        "askcode.render",
        "askcode.rulebase",
        "askcode.settings",
        "askcode.core.errors",
        "askcode.__version__",
        "askcode.calculators",  # for `askcode check`
        "parsers",  # a reading's types, for the hint while typing
    },
}

# quantity, subject → why its rule hides another subject's of the same name
SHADOWS = {
    ("current_to_carry", "overcurrent"): "above 800 A the conductors carry the whole rating of their device",
    ("current_after_factors", "overcurrent"): "above 800 A that holds after correction and adjustment too",
    ("least_conductor_size", "overcurrent"): "a circuit's conductor must also be protected by its device",
    (
        "least_equipment_ground",
        "motors",
    ): "a motor's device may be far larger than its conductors, which the ground follows",
    ("required_ampacity", "motors"): "a motor's conductors go by its table current",
    ("terminal_temperature", "motors"): "motors of design B, C and D may use 75 °C terminals",
    ("greatest_device_rating", "motors"): "a motor's device goes by the motor, not by its conductors",
    ("actual_load", "motors"): "the 125% is an ampacity that must remain after correction",
    ("actual_load", "motor_feeders"): "the 125% is an ampacity that must remain after correction",
    ("terminal_temperature", "motor_feeders"): "the circuit current is the motors' total",
    ("required_ampacity", "motor_feeders"): "a feeder of several motors counts the largest more",
    ("greatest_device_rating", "motor_feeders"): "a feeder's device goes by its largest branch device",
    ("load_runs_three_hours", "voltage_drop"): "the drop goes by the current as it is, whatever kind of load it is",
    (
        "load_runs_three_hours",
        "circuit_runs",
    ): "a circuit's size is asked there, so the safe side is taken; elsewhere the drop",
    ("equipment_ground_of_one", "circuit_runs"): "the ground grows with what the drop adds to the conductors",
    ("run_current", "motor_runs"): "what flows is the motor's full-load current",
    ("sizing_run_current", "motor_runs"): "a motor's current does not go by the circuit's device",
}


def imports(path: Path) -> set[str]:
    """Everything that a module imports of ours."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module} if node.module != "askcode" else {f"askcode.{a.name}" for a in node.names}
    return {name for name in found if name.split(".")[0] in ("askcode", "parsers")}


@pytest.mark.parametrize("folder", ARROWS)
def test_imports_point_one_way(folder):
    allowed = ARROWS[folder]
    found = [(path, name) for path in (ROOT / folder).rglob("*.py") for name in imports(path)]
    wrong = [
        f"{path.relative_to(ROOT)} imports {name}"
        for path, name in found
        if not any(name == a or name.startswith(a + ".") for a in allowed)
    ]
    assert not wrong


TOPIC_WORDS = re.compile(
    r"\b(motor|conductor|breaker|ampacity|receptacle|grounding|electrode|gfci|afci|raceway|feeder|fuse)s?\b", re.I
)


@pytest.mark.parametrize("place", ["askcode/asker.py", "askcode/core", "askcode/render", "askcode/frontends"])
def test_the_frame_knows_no_topic(place):
    path = ROOT / place
    found = []
    for file in [path] if path.is_file() else sorted(path.rglob("*.py")):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        for docstring in ast.walk(tree):  # docstrings and comments may give examples; names and strings may not
            body = getattr(docstring, "body", None)
            first = body[0] if isinstance(body, list) and body else None
            if isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant):
                first.value.value = ""
        if words := TOPIC_WORDS.findall(ast.unparse(tree)):
            found.append(f"{file.relative_to(ROOT)}: {sorted(set(words))}")
    assert not found


def test_every_parameter_leads_somewhere():
    assert check_names(subjects().values(), Book.open()) == []


def test_a_rule_has_a_name_of_its_own_in_its_subject():
    """Several modules may share a subject, and a rule is known by its name."""
    for subject in subjects().values():
        rules = [r for found in subject.rules.values() for r in found] + [slip for _, slip in subject.mistakes]
        several = {name: count for name, count in Counter(rule.name for rule in rules).items() if count > 1}
        assert not several


def test_every_shadowing_has_its_reason():
    found = {(quantity, subject) for s in subjects().values() for quantity, subject, _ in s.shadows()}
    assert found == set(SHADOWS), "tell in SHADOWS why a rule hides another, or rename it"


def test_every_factor_is_used():
    used = {
        p.name
        for s in subjects().values()
        for rules in s.rules.values()
        for r in rules
        for p in (*r.params, *(q for c in r.when for q in c.params))
    }
    used |= {p.name for s in subjects().values() for _, slip in s.mistakes for p in slip.params}
    assert set(Book.open().factors()) - used == set()


@pytest.mark.parametrize("edition", ["2017", "2020", "2023", "2026"])
def test_every_citation_leads_to_an_entry(edition):
    book = Book.open(edition)
    wrong = [
        f"{r.name} cites {cite}"
        for s in subjects().values()
        for rules in s.rules.values()
        for r in rules
        for cite in r.cites
        if not book.has_entry(cite)
    ]
    assert not wrong


def test_every_goal_is_a_quantity_of_its_subject():
    goals = Book.open().goals()
    wrong = [name for name, goal in goals.items() if not subjects()[goal.subject].find(goal.quantity)]
    assert not wrong
    assert not [n for goal in goals.values() for n in goal.next if n not in goals]

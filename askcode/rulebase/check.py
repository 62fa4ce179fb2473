"""The lint of the knowledge: every reference leads somewhere, every number has a source, the unchecked is counted."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from askcode.core.derive import check_names
from askcode.core.rules import Subject
from askcode.rulebase.book import NAME, TEXT_UNITS, Book, factor_value
from askcode.rulebase.load import Knowledge, load
from askcode.rulebase.schemas import EDITIONS, TO_CHECK, ByEdition, Goal, Outside, Placed, Rule, by_edition
from askcode.rulebase.search import tokens

ENOUGH_PHRASINGS = 10
HAS_DIGIT = re.compile(r"\d")


@dataclass(slots=True)
class Report:
    """What `askcode check` prints: problems to mend, warnings to weigh, and how much is checked."""

    problems: list[str] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    summary: list[str] = field(default_factory=list)


def check(folder: Path | None = None, overlay: Path | None = None, subjects: Iterable[Subject] = ()) -> Report:
    """Look the whole knowledge over. `subjects` are the calculators' rules, whose citations and names are followed too.

    Raises KnowledgeError for amendments that do not hold.
    """
    known = load(folder, overlay)
    subjects = list(subjects)
    report = Report(problems=list(known.problems))
    for look in (_rules, _factors, _tables, _inputs, _conventions, _goals, _vocabulary):
        report.problems += look(known)
    report.problems += _subjects(known, subjects)
    if subjects:
        report.problems += check_names(subjects, Book.open(folder=folder, overlay=overlay))
    for weigh in (_few_phrasings, _same_phrasing, _loose_numbers):
        report.warnings += weigh(known)
    report.summary = list(_summary(known))
    return report


def _at(thing: Placed, problem: str) -> str:
    return f"{thing.file}:{thing.line}: {thing.name}: {problem}"


# --- what must hold -------------------------------------------------------------------------------------------------
def _rules(known: Knowledge) -> Iterator[str]:
    for rule in known.rules.values():
        yield from _leads(rule, "see", rule.see, known.rules)
        yield from _leads(rule, "cautions", rule.cautions, known.cautions)
        yield from _editions(rule, "section", rule.section, whole=True)
        for key, value in [("answer", rule.answer), ("says", rule.says), *rule.values.items()]:
            yield from _editions(rule, key, value, whole=False)
        for key, text in [("answer", rule.answer), ("says", rule.says)]:
            for name in _names(text):
                if name not in rule.values and name not in known.factors:
                    yield _at(rule, f"{key} names {{{name}}}, which is neither a value of the entry nor a factor")
        for key, value in rule.values.items():
            for text in _texts(value):
                if key.startswith(("least_", "greatest_")) and not HAS_DIGIT.search(text):
                    yield _at(rule, f"{key} is {text!r}, which holds no number to compare with")
        if not any(_texts(rule.answer)):
            yield _at(rule, "has no answer")
        yield from _verdict(rule)
        for items in rule.lists.values():
            for item in items:
                for edition in set(item.editions) - set(EDITIONS):
                    yield _at(rule, f"the list item {item.what!r} is for {edition!r}, which is no edition")


def _verdict(rule: Rule) -> Iterator[str]:
    verdict = rule.verdict
    if verdict is None:
        return
    if (verdict.holds is None) != (verdict.of is None):
        yield _at(rule, "a verdict that holds or not says of what (`holds` and `of` go together)")
    if verdict.holds is not None:
        yield from _editions(rule, "verdict.holds", verdict.holds, whole=False)
        for text in _texts(verdict.holds):
            if text not in ("yes", "no"):
                yield _at(rule, f"verdict.holds is {text!r}, neither yes nor no")


def _factors(known: Knowledge) -> Iterator[str]:
    for factor in known.factors.values():
        yield from _editions(factor, "value", factor.value, whole=False)
        yield from _leads(factor, "entry", [factor.entry] if factor.entry else [], known.rules)
        if not factor.source:
            yield _at(factor, "has no source")
        for text in _texts(factor.value):
            if factor.unit not in TEXT_UNITS and isinstance(factor_value(text, factor.unit), str):
                yield _at(factor, f"{text!r} begins with no number, but its unit is {factor.unit}")
            if (factor.unit == "%") != text.endswith("%"):
                yield _at(factor, f"{text!r} and the unit {factor.unit} do not agree about the percent sign")


def _tables(known: Knowledge) -> Iterator[str]:
    for table in known.tables.values():
        yield from _editions(table, "number", table.number, whole=True)
        yield from _editions(table, "title", table.title, whole=False)
        yield from _leads(table, "entry", [table.entry] if table.entry else [], known.rules)
        if not table.source:
            yield _at(table, "has no source")
        if "between" in table.verbs and not {"from", "to"} <= set(table.columns):
            yield _at(table, "is read with `between` but has no columns from and to")
        key = list(table.columns).index(table.key)
        for edition, rows in table.rows.items():
            where = f" in {edition}" if edition else ""
            if not rows:
                yield _at(table, f"has no rows{where}")
            if "exact" in table.verbs:
                for cell, count in Counter(row[key] for row in rows).items():
                    if count > 1:
                        yield _at(table, f"has {count} rows {cell!r}{where}")


def _inputs(known: Knowledge) -> Iterator[str]:
    for item in known.inputs.values():
        if not item.where:
            yield _at(item, "does not tell where it is read (`where`)")
        if item.default is not None and not item.why:
            yield _at(item, "has a default without a reason (`why`)")
        if item.default is not None and item.unit == "choice" and item.choices and item.default not in item.choices:
            yield _at(item, f"the default {item.default!r} is none of its choices")


def _conventions(known: Knowledge) -> Iterator[str]:
    for convention in known.conventions.values():
        inputs = [convention.input] if convention.input else []
        yield from _leads(convention, "input", [*inputs, *convention.told_as], known.inputs)
        yield from _leads(convention, "gives", list(convention.gives), convention.choices)
        if convention.choices and convention.value not in convention.choices:
            yield _at(convention, f"the value {convention.value!r} is none of its choices")


def _goals(known: Knowledge) -> Iterator[str]:
    for goal in known.goals.values():
        yield from _leads(goal, "next", goal.next, known.goals)
        yield from _leads(goal, "see", goal.see, known.rules)
        yield from _leads(goal, "cautions", goal.cautions, known.cautions)
        for edition in EDITIONS:
            if edition not in goal.state:
                yield _at(goal, f"does not say how well {edition} is checked (`state`)")
        for edition in set(goal.state) - set(EDITIONS):
            yield _at(goal, f"state names {edition!r}, which is no edition")


def _vocabulary(known: Knowledge) -> Iterator[str]:
    for kind, names in known.vocabulary.items():
        for name, words in names.items():
            if not words:
                yield f"vocabulary: {kind}: {name}: no word leads to it"


def _subjects(known: Knowledge, subjects: list[Subject]) -> Iterator[str]:
    """The citations of the calculators, and the goals that they are asked for."""
    if not subjects:
        return
    quantities = {quantity for subject in subjects for quantity in subject.rules}
    for subject in subjects:
        for rule in (r for rules in subject.rules.values() for r in rules):
            for entry in rule.cites:
                if entry not in known.rules:
                    yield f"{rule.name} cites {entry}, which is no entry"
    names = {subject.name: subject for subject in subjects}
    for goal in known.goals.values():
        if goal.subject not in names:
            yield _at(goal, f"there is no subject {goal.subject!r}")
        elif not names[goal.subject].find(goal.quantity):
            yield _at(goal, f"the subject {goal.subject} does not find {goal.quantity}")
        for name in _names(goal.headline):
            if name not in quantities and name not in known.inputs and name not in known.factors and name != "result":
                yield _at(goal, f"the headline names {{{name}}}, which is no quantity, input or factor")
    for item in known.inputs.values():
        for name in [item.states] if isinstance(item.states, str) else item.states or ():
            if name not in quantities:
                yield _at(item, f"states {name}, which nothing finds")


def _leads(thing: Placed, key: str, names: Iterable[str], known: Iterable[str]) -> Iterator[str]:
    for name in names:
        if name not in known:
            yield _at(thing, f"{key} leads to {name}, which is not there")


def _editions(thing: Placed, key: str, value: ByEdition, whole: bool) -> Iterator[str]:
    """Only known editions are named; a `whole` map names each."""
    if isinstance(value, str):
        return
    for edition in set(value) - set(EDITIONS):
        yield _at(thing, f"{key} names {edition!r}, which is no edition")
    for edition in EDITIONS if whole else ():
        if edition not in value:
            yield _at(thing, f"{key} does not say {edition} (write to-check, or none)")


def _asked(known: Knowledge) -> list[Rule | Goal | Outside]:
    return [*known.rules.values(), *known.goals.values(), *known.outside.values()]


def _texts(value: ByEdition) -> list[str]:
    texts = [value] if isinstance(value, str) else list(value.values())
    return [text for text in texts if text and text not in (TO_CHECK, "none")]


def _names(value: ByEdition) -> list[str]:
    return list(dict.fromkeys(name for text in _texts(value) for name in NAME.findall(text)))


# --- what is worth a look -------------------------------------------------------------------------------------------
def _few_phrasings(known: Knowledge) -> Iterator[str]:
    for rule in known.rules.values():
        if len(rule.asked_as) < ENOUGH_PHRASINGS:
            yield _at(rule, f"has {len(rule.asked_as)} ways to ask it; {ENOUGH_PHRASINGS} are wanted")


def _same_phrasing(known: Knowledge) -> Iterator[str]:
    """One phrasing under two entries cannot tell them apart."""
    seen: dict[str, Placed] = {}
    for thing in _asked(known):
        for text in thing.asked_as:
            other = seen.setdefault(" ".join(tokens(text)), thing)
            if other is not thing:
                yield _at(thing, f"is asked as {text!r}, and so is {other.name}")


def _loose_numbers(known: Knowledge) -> Iterator[str]:
    """A number has one home: where a text repeats a value, an amended value would leave the text behind."""
    for rule in known.rules.values():
        for key, value in rule.values.items():
            for text in _texts(value):
                if len(text) > 1 and HAS_DIGIT.search(text):
                    whole = re.compile(rf"(?<![\w.,/]){re.escape(text)}(?![\w/]|[.,]\d)")
                    if any(whole.search(told) for told in (*_texts(rule.answer), *_texts(rule.says))):
                        yield _at(rule, f"says {text!r} in so many words; write {{{key}}}")


# --- how much is checked --------------------------------------------------------------------------------------------
def _summary(known: Knowledge) -> Iterator[str]:
    kinds: list[tuple[str, int]] = [
        ("entries", len(known.rules)),
        ("tables", len(known.tables)),
        ("factors", len(known.factors)),
        ("inputs", len(known.inputs)),
        ("goals", len(known.goals)),
        ("vocabulary words", sum(len(words) for names in known.vocabulary.values() for words in names.values())),
        ("ways to ask", sum(len(thing.asked_as) for thing in _asked(known))),
    ]
    yield ", ".join(f"{count} {name}" for name, count in kinds)
    yield "sections to check: " + _unchecked([rule.section for rule in known.rules.values()])
    yield "table numbers to check: " + _unchecked([table.number for table in known.tables.values()])
    yield "entries: " + _counted(Counter(rule.sure for rule in known.rules.values()))
    yield "tables: " + _counted(Counter(table.sure for table in known.tables.values()))
    yield "factors: " + _counted(Counter(factor.sure for factor in known.factors.values()))


def _unchecked(values: list[ByEdition]) -> str:
    return _counted({e: len([value for value in values if not by_edition(value, e)[1]]) for e in EDITIONS})


def _counted(counts: dict[str, int]) -> str:
    return ", ".join(f"{name} {count}" for name, count in counts.items()) or "none"

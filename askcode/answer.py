"""A derivation made into a reply: headline, steps, references, what was assumed and what it would change."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from askcode.core.derive import Derivation, Node, alternatives, same_in_all_cases, slips
from askcode.core.errors import OutsideTable, Refuse, listed
from askcode.core.replies import (
    Answer,
    Assumption,
    Excerpt,
    Missing,
    Mistake,
    Next,
    Option,
    Otherwise,
    Reference,
    Reply,
    Step,
    Verdict,
)
from askcode.core.rules import UNITS
from askcode.core.tables import Row, number, size_rank
from askcode.core.telling import all_names, excerpts, plain, sentence, shown, told, work
from askcode.measures import numbers
from askcode.rulebase.book import Book
from askcode.rulebase.schemas import Goal

Stated = tuple[str, Any]  # the name of an input and the value that was stated for it
MOST_SLIPS = 3  # that are told where several lead to the same wrong value
Choices = Sequence[tuple[str, str]]  # letter and text of pasted options


def answer(
    question: str,
    goal: Goal,
    derivation: Derivation,
    book: Book,
    *,
    stated: Stated | None = None,
    options: Choices = (),
    before: Derivation | None = None,
    contrary: bool = False,
) -> Reply:
    """The reply to a derivation. `stated` is what the user says is there, held against what is required; `options` a
    pasted list; `before` the derivation of the turn before, whose steps the changed ones are pointed out against;
    `contrary` whether it was asked if what is there fails ("too small?")."""
    root = derivation.root
    if root.problem:
        return _refused(question, root.problem, root.quantity, book)
    if root.kind == "conflict":
        return _conflict(question, derivation, book)
    if derivation.missing:
        same = same_in_all_cases(derivation, book)
        if same is None or stated is not None or options:
            return _asking(question, goal, derivation, book)
        leaf, case = same
        reply = answer(question, goal, case, book, before=before, contrary=contrary)
        declared = book.input(leaf.quantity)
        if declared is not None:
            reply.headline = headline(goal, case, book, {leaf.quantity: listed(declared.choices, "or")})
            reply.notes.append(f"The same holds whatever the answer to “{declared.ask}”")
        return reply
    if needed := assumed_but_needed(goal, derivation):
        return _asking(question, goal, derivation, book, needed)
    if stated is not None and root.unit == "size":
        try:
            book.table("wire_areas").exact(stated[1])
        except OutsideTable as problem:
            return _refused(question, problem, stated[0], book)
    reply = Reply(question, "answered", book.edition, headline(goal, derivation, book))
    reply.answer = the_answer(goal, derivation, book)
    _tell(reply, derivation, book, before)
    reply.assumptions = assumptions(derivation, book)
    _permitted(reply, derivation)
    if stated is not None:
        _hold(reply, stated, derivation, book, contrary)
    if options:
        _pick(reply, options, derivation, book)
    reply.next = [Next(g.say or g.title, name) for name in goal.next if (g := book.goals().get(name))]
    reply.cautions = [book.caution(c) for c in goal.cautions]
    _say_how_sure(reply, goal, derivation, book)
    return reply


# --- headline and value ---
def headline(goal: Goal, derivation: Derivation, book: Book, instead: Mapping[str, str] | None = None) -> str:
    """The goal's sentence, with the values of the derivation, or others `instead` of them."""
    names = all_names(derivation)
    names.update(instead or {})
    for place in re.findall(r"\{(\w+)\}", goal.headline):
        if place not in names:
            said = derivation.facts.get(place)
            declared = book.input(place)
            if said is not None and declared is not None:
                names[place] = shown(said, declared.unit)
    if goal.decimal == "yes":
        names[goal.quantity] = plain(derivation.value, 3)
    return goal.headline.format_map(names)


def the_answer(goal: Goal, derivation: Derivation, book: Book) -> Answer:
    """The value as text, as a number where it is one, and its unit; a size is told with its metal."""
    root = derivation.root
    text = plain(root.value, 3) if goal.decimal == "yes" else shown_value(root)
    if root.unit == "size":
        metal = next(
            (
                n.value
                for n in reversed(derivation.nodes())
                if n.unit == "choice" and n.quantity.endswith("_metal") and n.quantity in goal.headline
            ),
            None,
        )
        return Answer(
            root.quantity,
            f"{text} {metal}" if metal else text,
            float(root.value) if str(root.value).isdigit() else None,
            text.split()[-1],
        )
    amount = round(float(root.value), 4) if isinstance(root.value, (int, float)) else None
    return Answer(root.quantity, text, amount, root.unit)


def shown_value(node: Node) -> str:
    """A node's value with its unit."""
    return shown(node.value, node.unit, node.rule.decimals if node.rule else 4)


# --- steps and references ---
def _tell(reply: Reply, derivation: Derivation, book: Book, before: Derivation | None) -> None:
    known = {(sentence(n), work(n)) for n in told(before)} if before else set()
    seen: set[str] = set()
    for node in told(derivation):
        if node.kind == "assumed":
            continue
        cites = node.rule.cites if node.rule else ()
        own = [str(row["section"]) for row in _rows_with_section(node)]
        parts = list(excerpts(node))
        sections = own or [book.entry(c).section for c in cites if book.has_entry(c)]
        sections += [e.table for e in parts if not own and e.table not in sections]
        text, sums = sentence(node), work(node)
        changed = before is not None and (text, sums) not in known
        reply.steps.append(
            Step(
                _of_thing(node, derivation) + _capital(text),
                sums,
                _once(sections),
                changed,
                parts[0] if parts else None,
            )
        )
        _refer(reply, seen, cites, [] if own else parts, book, own)
    for node in derivation.assumed():
        if node.rule:
            _refer(reply, seen, node.rule.cites, [], book)


def _rows_with_section(node: Node) -> list[Row]:
    """The rows that were read of tables gathered from several sections, where each row names its own."""
    return [Row(t, t.reads[-1][0]) for t in node.tables if t.reads and t.has_column("section")]


def _of_thing(node: Node, derivation: Derivation) -> str:
    """Which of several things a step is about."""
    several = node.thing is not None and derivation.facts.count(node.of) > 1
    return f"{_capital(node.of or '')} {(node.thing or 0) + 1}: " if several else ""


def _refer(
    reply: Reply, seen: set[str], cites: Iterable[str], parts: list[Excerpt], book: Book, own: Sequence[str] = ()
) -> None:
    """Add what a step rests on; `own` are the sections of the very rows that it read of a gathered table."""
    for cite in cites:
        if book.has_entry(cite) and cite not in seen:
            seen.add(cite)
            entry = reference(book, cite)
            reply.references.append(replace(entry, section=listed(list(own))) if own else entry)
    for part in parts:
        bare = part.table.removeprefix("Table ")
        if part.table not in seen and not any(bare == r.section.removeprefix("Table ") for r in reply.references):
            seen.add(part.table)
            reply.references.append(
                Reference(part.table, part.title, "The row and column that were read.", book.sure_of_table(bare))
            )


def reference(book: Book, entry_id: str) -> Reference:
    """An entry as a reference of a reply."""
    entry = book.entry(entry_id)
    return Reference(entry.section, entry.title, entry.says, entry.sure, entry.amended)


def _say_how_sure(reply: Reply, goal: Goal, derivation: Derivation, book: Book) -> None:
    state = goal.state.get(book.edition, "to-check")
    if state in ("to-check", "not-yet"):
        reply.notes.append(
            f"The {book.edition} edition has not been reviewed for this; the numbers are those of an earlier one."
        )
    for node in derivation.nodes():
        for table in node.tables:
            for doubt in table.doubts if table.reads else ():
                rows = {table.printed(i, table.key) for i, _ in table.reads or ()}
                columns = {c for _, c in table.reads or ()}
                if doubt.get("row") in rows and doubt.get("column", "") in (columns | {""}):
                    reply.notes.append(f"{table.called}, row {doubt.get('row')}: {doubt.get('why', 'not sure')}.")


# --- assumptions ---
def assumptions(derivation: Derivation, book: Book) -> list[Assumption]:
    """Each trade default with what another choice would give; those that matter come first."""
    found = {
        node.quantity: Assumption(node.quantity, shown(node.value, node.unit), _reason(node))
        for node in derivation.assumed()
    }
    for assumed in found.values():
        assumed.setting = _setting(assumed.input, book)
        declared = book.input(assumed.input)
        assumed.yours = declared is not None and bool(declared.setting)
    for node, value, other in alternatives(derivation, book):
        if other.root.known and other.value != derivation.value:
            found[node.quantity].otherwise.append(Otherwise(shown(value, node.unit), shown_value(other.root)))
    return sorted(found.values(), key=lambda a: not a.otherwise)


def _setting(input_: str, book: Book) -> str:
    """The name of the setting that may give an input another default, or nothing."""
    return next((c.name for c in book.conventions().values() if c.input == input_), "")


def _reason(node: Node) -> str:
    return sentence(node) if node.rule else node.why


def _permitted(reply: Reply, derivation: Derivation) -> None:
    for node in derivation.nodes():
        if node.otherwise is not None and node.otherwise.known and node.otherwise.value != node.value:
            reply.notes.append(f"Also permitted: {sentence(node.otherwise)} That gives {shown_value(node.otherwise)}.")


# --- what is stated, against what is required ---
def _hold(reply: Reply, stated: Stated, derivation: Derivation, book: Book, contrary: bool) -> None:
    _, value = stated
    unit = derivation.root.unit
    least = derivation.root.quantity.startswith("least_")

    def keeps(required: Any) -> bool:
        more = rank(value, unit) - rank(required, unit)
        return more >= 0 if least else more <= 0

    holds = keeps(derivation.value)
    said, due = shown(value, unit), shown_value(derivation.root)
    reply.verdict = Verdict(holds, said, f"{'at least' if least else 'at most'} {due}")
    yes, no = ("no", "yes") if contrary else ("yes", "no")
    reply.headline = f"{(yes if holds else no).capitalize()}: {small(reply.headline)}"
    for node, other_value, other in alternatives(derivation, book):
        if other.root.known and keeps(other.value) is not holds and (node.rule or _setting(node.quantity, book)):
            name = node.quantity.replace("_", " ")
            reply.headline += (
                f" That is with the {name} {shown(node.value, node.unit)}, which was assumed; "
                f"with {shown(other_value, node.unit)} it is {no if holds else yes}."
            )
            return  # what an assumption decides is no slip
    if not holds:
        found = slips(derivation, book)
        alike = [slip.because for slip, wrong in found if rank(wrong.value, unit) == rank(value, unit)]
        if alike:
            reply.mistake = Mistake(said, listed(list(dict.fromkeys(alike))[:MOST_SLIPS], "or"))
            return
        reply.notes.append(f"No slip that I know of leads to {said}.")


def rank(value: Any, unit: str) -> float:
    """A value as a number that can be compared: sizes by thickness."""
    return float(size_rank(str(value))) if unit == "size" else float(value)


# --- pasted options ---
def agrees(text: str, value: Any, unit: str) -> bool:
    """Whether an option's text gives this value (sizes to the letter, numbers within half a percent)."""
    for found in numbers(text):
        if unit == "size":
            if found == str(value):
                return True
        elif isinstance(value, (int, float)) and not found.endswith("/0"):
            here = number(found)
            scale = 100 if unit == "%" and here > 3 else 1
            if abs(here - value * scale) <= 0.005 * abs(value * scale):
                return True
    return False


def _pick(reply: Reply, options: Choices, derivation: Derivation, book: Book) -> None:
    unit = derivation.root.unit
    right = [(letter, text) for letter, text in options if agrees(text, derivation.value, unit)]
    if len(right) != 1:
        reply.notes.append(
            "None of the options is what I find." if not right else "More than one option gives this value."
        )
        return
    reply.option = Option(*right[0])
    reply.headline = f"{right[0][0]}) {reply.headline}"
    tempting = [
        Mistake(text, slip.because, letter)
        for slip, wrong in slips(derivation, book)
        for letter, text in options
        if letter != right[0][0] and agrees(text, wrong.value, unit)
    ]
    tempting = list({m.letter: m for m in reversed(tempting)}.values())[::-1]  # one slip an option, the first known
    if tempting:
        reply.mistake = tempting[-1]  # the slip nearest to the answer tempts most
        reply.notes += [f"{m.letter}) {m.value} is what one gets who {m.because}." for m in tempting[:-1]]


# --- no value yet ---
def assumed_but_needed(goal: Goal, derivation: Derivation) -> list[str]:
    """What this goal must be told, though a default stands for it elsewhere: of each group (a|b) one is enough."""
    assumed = [node.quantity for node in derivation.assumed()]
    groups = [group.split("|") for group in goal.must_know]
    return [group[0] for group in groups if all(name in assumed for name in group)]


def _asking(question: str, goal: Goal, derivation: Derivation, book: Book, needed: Sequence[str] = ()) -> Reply:
    asks = [missing(name, None, book, derivation) for name in needed]
    asks += [missing(leaf.quantity, leaf.thing, book, derivation) for leaf in derivation.missing]
    words = "One fact is missing" if len(asks) == 1 else f"{len(asks)} facts are missing"
    reply = Reply(question, "incomplete", book.edition, f"{words} for {goal.title}: " + " ".join(m.ask for m in asks))
    reply.missing = asks
    _tell(reply, derivation, book, None)
    reply.steps, reply.references = [], reply.references[:3]
    return reply


def missing(name: str, thing: int | None, book: Book, derivation: Derivation) -> Missing:
    """An input to ask for."""
    declared = book.input(name)
    kinds = [declared.thing if declared else None, *(s.thing for s in (derivation.subject, *derivation.subject.each))]
    kind = next((kind for kind in kinds if kind), None)
    several = thing is not None and derivation.facts.count(kind) > 1
    label = f"{kind} {thing + 1}" if several and thing is not None else None
    if declared is None:
        return Missing(name, f"What is the {name.replace('_', ' ')}?", thing=label)
    ask = f"{_capital(label or '')}: {declared.ask}" if label else declared.ask
    return Missing(name, ask, declared.because, declared.where, list(declared.choices), label)


def _refused(question: str, problem: Refuse, quantity: str, book: Book) -> Reply:
    line = problem.line
    if isinstance(problem, OutsideTable) and problem.nearest:
        have = listed(problem.nearest)
        line = f"{problem.table} ({problem.title}) has no {problem.wanted}; it has {have}. Which one is it?"
    reply = Reply(question, "incomplete", book.edition, line)
    reply.missing = [Missing(problem.input or quantity, line, choices=problem.choices)]
    return reply


def _conflict(question: str, derivation: Derivation, book: Book) -> Reply:
    rules = [r.sentence or r.name for r in derivation.root.rivals]
    return Reply(question, "ambiguous", book.edition, "Two rules apply and differ: " + listed(rules) + ".")


# --- small words ---
def unit_named(quantity: str) -> str:
    """The unit of a quantity that some rule names, or nothing."""
    return UNITS.get(quantity, ("", ""))[0]


def _once(words: list[str]) -> list[str]:
    return list(dict.fromkeys(words))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def small(text: str) -> str:
    """The first letter small, unless the word is an abbreviation."""
    word = text.split(" ", 1)[0]
    return text if len(word) > 1 and word[:2].isupper() else text[:1].lower() + text[1:]

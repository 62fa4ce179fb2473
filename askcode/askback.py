"""Asking back about the answer before: why, where it stands, what was assumed; and what to do when nobody knows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from askcode.answer import agrees, missing, shown_value
from askcode.core.derive import Derivation, cases, slips
from askcode.core.errors import listed
from askcode.core.replies import Cases, Missing, Mistake, Reply, Step, Verdict
from askcode.core.telling import shown
from askcode.rulebase.book import Book

if TYPE_CHECKING:
    from parsers.reading import Option as Pasted

MOST_CASES = 5


@dataclass(slots=True)
class Before:
    """What an asking back is about: the reply before, with its derivation where it was worked out."""

    reply: Reply
    derivation: Derivation | None


def why(before: Before, book: Book) -> Reply:
    """The same answer, with its reasons first."""
    reply = _again(before.reply)
    reasons = [s.text + (f" {s.work}." if s.work else "") for s in reply.steps[-2:]]
    if before.reply.status == "answered" and reasons:
        reply.headline = f"{before.reply.headline} Why: {' '.join(reasons)}"
    elif needed := before.reply.missing:
        reply.headline = " ".join(f"{m.ask} {m.because}" for m in needed)
    return reply


def where_says(before: Before, book: Book) -> Reply:
    """The sections that the answer rests on."""
    reply = _again(before.reply, steps=[])
    sections = list(dict.fromkeys(r.section for r in reply.references))
    reply.headline = f"That rests on {listed(sections)}." if sections else "Nothing was looked up for that."
    return reply


def show_table(before: Before, book: Book) -> Reply:
    """The rows that were read, alone."""
    steps = [Step(s.text, "", s.cites, excerpt=s.excerpt) for s in before.reply.steps if s.excerpt]
    names = list(dict.fromkeys(s.excerpt.table for s in steps if s.excerpt))
    reply = _again(before.reply, steps=steps)
    reply.headline = f"It was read in {listed(names)}." if names else "No table was read for that."
    return reply


def assumed(before: Before, book: Book) -> Reply:
    """The trade defaults that the answer rests on."""
    reply = _again(before.reply, steps=[])
    taken = [f"{a.input.replace('_', ' ')} {a.value}" for a in reply.assumptions]
    reply.headline = f"I assumed {listed(taken)}." if taken else "Nothing was assumed for that."
    return reply


def shorter(before: Before, book: Book) -> Reply:
    """The headline and nothing else."""
    old = before.reply
    return Reply(
        old.question,
        old.status,
        old.edition,
        old.headline,
        answer=old.answer,
        verdict=old.verdict,
        option=old.option,
        missing=[replace(m, because="", where="") for m in old.missing],
    )


def where_find(before: Before, book: Book) -> Reply:
    """Where each missing fact is read (or, where none is missing, each fact that was told)."""
    reply = _again(before.reply, steps=[])
    wanted = list(before.reply.missing)
    if not wanted and before.derivation is not None:
        wanted = [missing(name, None, book, before.derivation) for name in before.derivation.facts.job]
    places = [f"{m.ask} {m.where}" for m in wanted if m.where]
    reply.headline = " ".join(places) if places else "I do not know a better place to look than the label or the plans."
    return reply


def dont_know(before: Before, book: Book) -> Reply:
    """The answer per case for the first missing fact that has few choices; what cannot be told apart is asked again."""
    made = before.derivation
    if made is None or not before.reply.missing:
        return _again(before.reply)
    for leaf in made.missing:
        declared = book.input(leaf.quantity)
        if declared is None or not 1 < len(declared.choices) <= MOST_CASES:
            continue
        rows, open_ = [], {}
        for choice, case in cases(made, leaf, book):
            open_.update({m.quantity: m for m in case.missing})
            told = shown_value(case.root) if case.root.known else "not known yet" if case.missing else "none"
            rows.append([shown(choice, declared.unit), told])
        reply = _again(before.reply, steps=[])
        reply.status = "incomplete"
        reply.cases = Cases([leaf.quantity.replace("_", " "), "answer"], rows)
        reply.missing = [missing(m.quantity, m.thing, book, made) for m in open_.values()] or [
            missing(leaf.quantity, leaf.thing, book, made)
        ]
        reply.headline = f"It depends: {declared.ask} Each case is in the table below."
        return reply
    reply = _again(before.reply)
    reply.headline = "No default is safe for that, so it has to be found out. " + " ".join(
        f"{m.ask} {m.where}" for m in reply.missing
    )
    return reply


ACTS: dict[str, Callable[[Before, Book], Reply]] = {
    "why": why,
    "where-says": where_says,
    "show-table": show_table,
    "assumed": assumed,
    "shorter": shorter,
    "where-find": where_find,
    "dont-know": dont_know,
}


def key_says(before: Before, letter: str, options: Sequence[Pasted], book: Book) -> Reply:
    """A letter that somebody gives for the question before, confirmed or corrected, with the slip that leads to it."""
    reply = _again(before.reply)
    text = next(o.text for o in options if o.letter == letter)
    right = before.reply.option
    if right is None:
        reply.notes = [f"I could not choose an option, so I cannot say whether {letter}) {text} is right."]
        return reply
    same = right.letter == letter
    reply.verdict = Verdict(same, f"{letter}) {text}", f"{right.letter}) {right.text}")
    if same:
        reply.headline, reply.mistake = f"Yes, {before.reply.headline}", None
        return reply
    reply.headline = f"No: {before.reply.headline}"
    found = [m for m in (before.reply.mistake,) if m and m.letter == letter]
    if before.derivation is not None:
        unit = before.derivation.root.unit
        found += [
            Mistake(text, slip.because, letter)
            for slip, wrong in slips(before.derivation, book)
            if agrees(text, wrong.value, unit)
        ]
    reply.mistake = found[0] if found else None
    if not found:
        reply.notes = [f"No slip that I know of leads to {letter}) {text}."]
    return reply


def which_edition(place: str, editions: tuple[str, ...], question: str, edition: str) -> Reply:
    """Which edition a place has adopted changes, so it is asked, never guessed."""
    ask = f"Which edition is adopted in {place}, and are there amendments?"
    because = "States and towns adopt editions at different times and amend them."
    where = "Ask the building department or the inspector's office."
    reply = Reply(question, "incomplete", edition, f"{ask} Until you say, I answer by the {edition} edition.")
    reply.missing = [Missing("edition", ask, because, where, list(editions))]
    return reply


def _again(reply: Reply, steps: list[Step] | None = None) -> Reply:
    """A copy of a reply, to be shown in another light; what was read is shown once."""
    return replace(reply, steps=list(reply.steps) if steps is None else steps, read=[], unread=[], notes=[], next=[])

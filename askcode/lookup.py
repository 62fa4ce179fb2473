"""A look-up: an entry of the rule base made into a reply; verdicts come from its lists and values, never from prose."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from rapidfuzz.fuzz import token_set_ratio

from askcode.answer import Choices, reference, small
from askcode.core.replies import Answer, Mistake, Option, Reading, Reply, Step, Verdict
from askcode.core.tables import number
from askcode.measures import Measure, measure, numbers, same, spelled
from askcode.rulebase.book import Book, Entry
from askcode.rulebase.schemas import Item
from askcode.rulebase.search import tokens

YES, NO = ("permits", "requires"), ("prohibits", "exempts")
REQUIRED = ("requires", "exempts")
LONG_REASON = 25  # words; a longer reason is left to the steps
ASKING_WORD = re.compile(r"\b(what|whats|which|where|wheres|how|who|when|why|list|define|meaning|mean)\b", re.I)
SAID_OVER, CLEARLY = (
    0.66,
    0.12,
)  # how much of a proposition a question says, and how much more than of one of the other sense
SAME = 80  # how alike (0..100) a phrase of the question is to one of the entry's before it counts


@dataclass(slots=True)
class Named:
    """An item of an entry's lists that a text names, and whether its list affirms or denies."""

    item: Item
    affirms: bool
    words: int
    required: bool = False  # whether the list is of what is required or exempt, not of what is permitted or barred


def look_up(
    question: str,
    stem: str,
    form: str,
    entry: Entry,
    book: Book,
    options: Choices = (),
    stated: Measure | None = None,
) -> Reply | None:
    """The reply that an entry gives, or None where its lists and values cannot decide what was asked.

    `stem` is the question without its options; `stated` a length, current or the like (value, unit) that it names."""
    reply = Reply(question, "answered", book.edition, entry.answer or entry.says)
    _tell(reply, entry, book)
    if options:
        if not _pick(reply, entry, form, options, stem):
            return None
    elif form == "which-not":
        return None
    elif form == "yes/no" or _bare_claim(form, stem):
        holds = verdict(stem, entry, book, stated if form == "yes/no" else None)
        if holds is None and form != "yes/no":
            pass  # told as it stands
        elif holds is None:
            reply.status = "ambiguous"
            reply.readings = [Reading(entry.title, reply.headline)]
            reply.headline = f"I cannot tell yes from no there. The rule: {small(reply.headline)}"
        else:
            affirmed, named = holds
            reply.verdict = Verdict(affirmed, named, entry.title)
            reply.headline = _judged(affirmed, entry, named)
    _name_mixups(reply, stem, entry)
    return reply


def _bare_claim(form: str, stem: str) -> bool:
    """Whether a thing is put up for yes or no without a verb: "nail plates on EMT"; not where a value is asked for."""
    return form in ("what", "statement") and not (ASKING_WORD.search(stem) or VALUE_ASKED.search(stem))


def _tell(reply: Reply, entry: Entry, book: Book) -> None:
    for index, (name, value) in enumerate(entry.values.items()):
        if not index:
            amount = numbers(value)
            plain = number(amount[0]) if amount and "/0" not in amount[0] else None
            reply.answer = Answer(name, value, plain, value.split()[-1] if plain is not None else None)
    reply.steps = [Step(entry.says or entry.answer, "", [entry.section])]
    reply.steps += [Step(f"Exception: {exception}", "", [entry.section]) for exception in entry.exceptions]
    reply.references = [reference(book, entry.id)]
    reply.cautions = [book.caution(c) for c in entry.cautions]
    if not entry.section_checked:
        reply.notes.append(f"This has not been reviewed for the {book.edition} edition; look the section up there.")


def with_yes_no(affirmed: bool, sentence: str) -> str:
    """A sentence that begins with the verdict, said once."""
    bare = re.sub(r"^(yes|no)\b[,:.;]?\s*", "", sentence, flags=re.I)
    return f"{'Yes' if affirmed else 'No'}: {small(bare)}"


# --- yes or no ---
def verdict(stem: str, entry: Entry, book: Book, stated: Measure | None = None) -> tuple[bool, str] | None:
    """(whether what was asked holds, what of it the entry names), or None where the entry does not say."""
    stem = _first(stem)
    if stated is not None and not BARRED.search(stem) and (held := _held(stated, entry)) is not None:
        return held, ""
    phrase = _phrase(stem, entry, book) if entry.verdict is not None else None
    if named := find_item(stem, entry):
        if phrase is None:
            return _turned(stem, named)
        item = _turned(stem, named)
        return item if item is None or item[0] is phrase[0] else None
    return phrase


_OR_ELSE = re.compile(
    r"[,\s]+or (?:else )?(?:can|could|may|do|does|is|should|am|are|would|will) (?:i|we|you|u|it|they|that)\b", re.I
)


def _first(stem: str) -> str:
    """The first of two alternatives that are put: "does it need one, or can I skip it" asks whether it needs one."""
    first = _OR_ELSE.split(stem)[0]
    return first if len(first.split()) > 3 else stem


# What turns a question round: it asks whether a thing is barred, or whether what is required may be left out.
BARRED = re.compile(
    r"\b(?:illegal|violations?|against (?:the )?code|prohibited|forbidden|barred|"
    r"not (?:be )?(?:allowed|permitted|legal|ok))\b",
    re.I,
)
LEFT_OUT = re.compile(
    r"\b(?:without|w/o|skip(?:ping|ped)?|omit(?:ted)?|le(?:ave|aving|ft) (?:it |them |that |the \w+ )?(?:out|off)|"
    r"exempt(?:ed)?|excused|avoid|instead of|get(?:ting)? (?:away|out|by)|no need)\b",
    re.I,
)
DENIED = re.compile(
    r"\b(?:not (?:need|have to|requir)|"
    r"(?:do|does|did|is|are|need|would)(?:n'?t| not) (?:\w+ ){0,3}?(?:need|have|require|gotta)|"
    r"(?:ok|okay|allowed|legal|fine|permitted) not|(?:can|may|could) (?:i|we|you) not|unless|except)\b",
    re.I,
)

OBLIGED = re.compile(r"\b(?:have to|has to|needs?|must|required?|gotta|hafta|supposed to)\b", re.I)
PERMITTED = re.compile(
    r"\b(?:can|may|could|ok|okay|allowed|legal|permitted|permissible|fine|good|acceptable|used?|count|considered)\b",
    re.I,
)
ALLOWED = re.compile(r"\b(?:can|may|could|ok|okay|allowed|legal|permitted|permissible|fine|acceptable)\b", re.I)
TURNS = (BARRED, LEFT_OUT, DENIED)


def _turned(stem: str, named: Named) -> tuple[bool, str] | None:
    """The verdict on a thing of a list, where the question may ask for the contrary; None where that is not plain."""
    names = "|".join((named.item.what, *named.item.also)).lower()
    barred, left_out = (_turns(turn, stem, names) for turn in (BARRED, LEFT_OUT))
    if DENIED.search(stem) or (not named.required and OBLIGED.search(stem) and not PERMITTED.search(stem)):
        return None  # what is permitted is not for that required
    if named.required:
        if barred or (not named.affirms and not left_out and not _implied(False, "it is required", stem)):
            return None
        return (named.affirms is not left_out, named.item.what if not left_out else "")
    return None if left_out else (named.affirms is not barred, named.item.what if not barred else "")


def _implied(affirms: bool, proposition: str, stem: str) -> bool:
    """Whether the answer to a proposition answers a question: what need not be may be, what may be need not be."""
    duty, leave = (
        [bool(one.search(text)) and not other.search(text) for text in (proposition, stem)]
        for one, other in ((OBLIGED, ALLOWED), (ALLOWED, OBLIGED))
    )
    if duty[0] and leave[1]:
        return affirms
    return not affirms if leave[0] and duty[1] else True


def _turns(turn: re.Pattern[str], stem: str, named: str) -> bool:
    """Whether a turning word bears on what was named: not where that holds it too, or "instead of" comes behind it."""
    found = turn.search(stem)
    if found is None or turn.search(named):
        return False
    behind = found[0].lower() in ("instead of", "avoid")
    before = set(tokens(stem[: found.start()]))
    words = [set(tokens(name)) - SMALL for name in named.split("|")]
    return not (behind and any(w and before.issuperset(w) for w in words))


ON_SUBJECT = 0.3


def on_subject(entry: Entry, stem: str, book: Book) -> bool:
    """Whether a question names at all what an entry is about."""
    return any(book.covers(name, stem) >= ON_SUBJECT for name in (*entry.about, entry.title))


def _held(stated: Measure, entry: Entry) -> bool | None:
    """A stated amount against the entry's least_… or greatest_… of the same unit."""
    for name, text in entry.values.items():
        due = measure(text)
        if due is not None and due[1] == stated[1]:
            if name.startswith("least"):
                return stated[0] >= due[0]
            if name.startswith("greatest"):
                return stated[0] <= due[0]
    return None


def find_item(text: str, entry: Entry) -> Named | None:
    """The item of the entry's lists that a text names, the longest name first, and one said in one breath before one
    whose words stand apart."""
    said = [w for w in tokens(text) if w not in SMALL]
    have, run = set(tokens(text)), f" {' '.join(said)} "
    found: list[Named] = []
    for role, items in entry.lists.items():
        for item in items:
            for name in (item.what, *item.also):
                words = [w for w in tokens(name) if w not in SMALL]
                if words and have.issuperset(words):
                    together = f" {' '.join(words)} " in run
                    found.append(Named(item, role in YES, len(words) + (TOGETHER if together else 0), role in REQUIRED))
    if not found:
        return None
    longest = [n for n in found if n.words == max(m.words for m in found)]
    denied = [n for n in longest if not n.affirms]
    if denied and len(denied) < len(longest):  # an aluminum rod is a rod, but what is barred stays barred
        return denied[0] if "prohibits" in entry.lists else None
    return longest[0]


TOGETHER = 2  # what it is worth to a name, in words, that its words stand together
SMALL = frozenset(["a", "an", "the", "of", "in", "on", "to", "for", "or", "and", "with", "is", "at", "by"])


BRIEF, WHOLE = 3, 0.99  # words of a proposition that must all be said, and the share that is all of them


def _phrase(stem: str, entry: Entry, book: Book) -> tuple[bool, str] | None:
    """The proposition of the entry that a question says over again, with its sense; None where two senses are near."""
    assert entry.verdict is not None
    said = [*((True, p) for p in entry.verdict.yes), *((False, p) for p in entry.verdict.no)]
    if entry.verdict.holds is not None and entry.verdict.of:
        said.append((entry.verdict.holds, entry.verdict.of))
    said = [(affirms, p) for affirms, p in said if _implied(affirms, p, stem)]
    turned = {turn for turn in TURNS if turn.search(stem)}
    said = [(affirms, p) for affirms, p in said if all(turn in turned or not turn.search(p) for turn in TURNS)]
    scored = sorted(
        ((book.covers(phrase, stem) - _crossed(phrase, stem, book), affirms, phrase) for affirms, phrase in said),
        reverse=True,
    )
    if not scored or scored[0][0] < SAID_OVER:
        return None
    best, affirms, phrase = scored[0]
    if len([w for w in tokens(phrase) if w not in SMALL]) <= BRIEF and book.covers(phrase, stem) < WHOLE:
        return None  # of a few words each tells: "a switch on the white wire" is not a white switch
    if not book.points(phrase, stem) or (not numbers(phrase) and _another_amount(stem, entry)):
        return None
    if any(_turns(turn, stem, phrase) for turn in TURNS):
        return None  # the question may ask for the contrary of the phrase
    against = max((score for score, other, _ in scored if other is not affirms), default=0.0)
    return (affirms, phrase) if best - against >= CLEARLY else None


UNIT_NAMES = {
    "length": r"(?:ft|feet|foot|in|inch|inches|'|\")",
    "area": r"(?:sq\.? ?ft|square f(?:ee|oo)t|sqft)",
    "current": r"(?:a|amps?|amperes?)",
    "ohms": r"ohms?",
    "weight": r"(?:lbs?|pounds?)",
    "power": r"(?:kw|hp|va|watts?)",
}
_HAS_UNIT = {name: re.compile(rf"[\d./ ]*\d\s*-?\s*{unit}(?![a-z])", re.I) for name, unit in UNIT_NAMES.items()}


def _another_amount(stem: str, entry: Entry) -> bool:
    """Whether a question states an amount of a kind on which the entry's answer turns, and none that the entry gives:
    then words do not decide."""
    text, values = spelled(stem), " ; ".join(entry.values.values())
    given = set(numbers(values))
    return any(
        unit.search(values) and any(not given.issuperset(numbers(found[0])) for found in unit.finditer(text))
        for unit in _HAS_UNIT.values()
    )


CROSSED = 0.3  # what it costs a phrase of two numbers that the question gives them to other things
_NUMBERED = re.compile(
    r"(\d+(?:/\d+)?)\s*-?\s*(?:amperes?|amps?|a|volts?|v|awg|ft|feet|inch(?:es)?|in)?\b\.?\s*([a-z]{2,})", re.I
)


def _crossed(phrase: str, stem: str, book: Book) -> float:
    """What tells "15 A outlets on a 20 A circuit" from 20 A outlets on a 15 A circuit, which have the same words."""
    told = set(numbers(spelled(stem)))
    if told and not told.issuperset(numbers(spelled(phrase))):
        return 1.0  # it speaks of another amount
    wanted = _NUMBERED.findall(phrase)
    if len(wanted) < 2:
        return 0.0
    said = _NUMBERED.findall(stem)
    met = sum(any(n == m and book.covers(thing, other) > 0.15 for m, other in said) for n, thing in wanted)
    return CROSSED * (1 - met / len(wanted))


def _judged(affirmed: bool, entry: Entry, named: str) -> str:
    """The headline of a verdict: the thing that was named and why, or else the rule itself."""
    item = next((i for items in entry.lists.values() for i in items if i.what == named), None)
    if item is None or len(item.because.split()) > LONG_REASON:
        return with_yes_no(affirmed, entry.answer)
    why = f"; {item.because.rstrip('.')}" if item.because else ""
    return f"Yes: {named}{why}." if affirmed else f"No: not {named}{why}."


# --- options ---
def _pick(reply: Reply, entry: Entry, form: str, options: Choices, stem: str) -> bool:
    """Choose the one option that the entry's values or lists single out; False where they do not."""
    chosen = (_by_reference(entry, options) or _by_value(entry, options, stem)) if form != "which-not" else None
    # "not permitted in: …" asks of a prohibition just what it names
    in_words = form != "which-not" or (entry.force == "prohibition" and not entry.lists)
    chosen = chosen or _by_list(entry, form, options) or (_by_words(entry, options) if in_words else None)
    if chosen is None:
        return False
    letter, text, because = chosen
    reply.option = Option(letter, text)
    reply.headline = f"{letter}) {text.rstrip('.')}: {small(because or entry.answer)}"
    for other, said in options:
        for mixup in entry.mixups:
            if other != letter and same_value(said, mixup.says):
                reply.mistake = Mistake(said, mixup.because, other)
    return True


def same_value(one: str, other: str) -> bool:
    """Whether two texts give the same amount, or, where neither gives one, the same words."""
    a, b = measure(one), measure(other)
    return same(a, b) if a or b else tokens(one) == tokens(other)


_PLACE = re.compile(
    r"\b\d{2,3}(?:\.\d+)?(?:\([A-Za-z0-9]+\))*(?!\.\d)|\b(?:chapter|annex|article|table) (?:\d+|[A-J])\b", re.I
)
_PLACE_NAMED = re.compile(r"\b(?:tables?|articles?|sections?|chapter|annex|part)\b", re.I)


def _by_reference(entry: Entry, options: Choices) -> tuple[str, str, str] | None:
    """The one option that names the place in the book that the entry's answer names, where all are such places."""
    if not all(_PLACE_NAMED.search(text) and _PLACE.search(text) for _, text in options):
        return None
    told = {place.lower() for place in _PLACE.findall(entry.answer)} or set(_PLACE.findall(entry.section))
    right = [(letter, text) for letter, text in options if {p.lower() for p in _PLACE.findall(text)} & told]
    return (*right[0], "") if len(right) == 1 else None


def _by_value(entry: Entry, options: Choices, stem: str) -> tuple[str, str, str] | None:
    """The one option that gives a value of the entry: those that its answer tells go first, and of several the one
    whose name ("distance_from_box") the question says, or else the first, which the entry is about."""
    told = {name: text for name, text in entry.values.items() if text in entry.answer}
    for texts in (told, entry.values):
        right: dict[str, tuple[str, str]] = {}
        for name, text in texts.items():
            if due := measure(text):
                fits = [(letter, said) for letter, said in options if (m := measure(said)) and same(m, due)]
                if len(fits) == 1:
                    right[name] = fits[0]
        if len(set(right.values())) == 1:
            return (*next(iter(right.values())), "")
        if right:
            said = set(tokens(stem))
            named = {name: len((set(tokens(name.replace("_", " "))) - PLAIN_NAMES) & said) for name in right}
            best = [name for name, count in named.items() if count == max(named.values())]
            if len(best) == 1 or not named[best[0]]:
                return (*right[best[0]], "")
            return None
    return None


PLAIN_NAMES = frozenset(tokens("least greatest distance from on of the in over under with at")) | SMALL


def _by_list(entry: Entry, form: str, options: Choices) -> tuple[str, str, str] | None:
    if not entry.lists:
        return None
    named = {letter: find_item(text, entry) for letter, text in options}
    wanted = form != "which-not"
    hits = [(letter, text) for letter, text in options if (n := named[letter]) and n.affirms is wanted]
    if len(hits) == 1:
        others_known = all(n is None or n.affirms is not wanted for letter, n in named.items() if letter != hits[0][0])
        item = named[hits[0][0]]
        return (*hits[0], item.item.because if item else "") if others_known else None
    if not hits:  # the one option that is on no list, where all others are on the other one
        unknown = [(letter, text) for letter, text in options if named[letter] is None]
        others = [n for n in named.values() if n is not None]
        if len(unknown) == 1 and len(others) == len(options) - 1 and (entry.closed or form == "which-not"):
            return (*unknown[0], "")
    return None


def _by_words(entry: Entry, options: Choices) -> tuple[str, str, str] | None:
    """The one option whose words stand in the entry's answer; numbers are never chosen by words."""
    if any(numbers(spelled(text)) for _, text in options):
        return None
    have = set(tokens(entry.answer))
    words = {letter: set(tokens(text)) - SMALL for letter, text in options}
    whole = [(letter, text) for letter, text in options if words[letter] and words[letter] <= have]
    if whole:
        longest = max(whole, key=lambda option: len(words[option[0]]))
        alone = all(words[letter] < words[longest[0]] for letter, _ in whole if letter != longest[0])
        return (*longest, "") if alone else None
    scored = sorted(
        ((token_set_ratio(text.lower(), entry.answer.lower()), letter, text) for letter, text in options), reverse=True
    )
    if len(scored) > 1 and scored[0][0] >= SAME and scored[0][0] - scored[1][0] >= 15:
        return scored[0][1], scored[0][2], ""
    return None


def _name_mixups(reply: Reply, stem: str, entry: Entry) -> None:
    """Say why a tempting wrong answer tempts, where the question names it."""
    said = set(tokens(spelled(stem)))
    for mixup in entry.mixups:
        amount = tokens(spelled(mixup.says))
        if amount and said.issuperset(amount) and not any(mixup.because in note for note in reply.notes):
            reply.mistake = reply.mistake or Mistake(mixup.says, mixup.because)


def counted(words: Iterable[str]) -> set[str]:
    """What a question counts, as stems: the words after "how many" up to the verb."""
    found = re.search(
        r"\bhow many\s+((?:\S+\s+){0,5}?\S+)(?=\s+(?:must|do|does|are|is|can|should|have|need|gotta)\b)",
        " ".join(words),
    )
    return set(tokens(found[1])) - SMALL if found else set()


_LENGTHS = r"(?:spacing|length|depth|height|width|distance|clearance|thickness|radius|diameter)"
LENGTH_ASKED = re.compile(
    rf"\b(?:what|whats|min|minimum|max|maximum|least|greatest)\s+(?:(?:is|the|a|an)\s+)*(?:[a-z-]+\s+){{0,3}}?{_LENGTHS}\b"
    rf"|\bhow (?:far|deep|high|wide|tall|close|thick)\b|\b{_LENGTHS}(?:\s+(?:max|min|please|pls))?\s*$"
)
VALUE_ASKED = re.compile(
    rf"\b(?:{_LENGTHS}|max|maximum|min|minimum|sizes?|rating|number|qty|quantity|color|colour|smallest|largest|"
    r"biggest|limit)\b",
    re.I,
)


def asks_length(words: Iterable[str]) -> bool:
    """Whether a question asks for a length of any kind in so many words."""
    return bool(LENGTH_ASKED.search(" ".join(words)))


NUMBER_ASKED = re.compile(
    r"\b(?:what|which)\s+(?:size|gauge|ga|awg|amps?|rating)\b|\bhow (?:big|many|much|large|heavy)\b"
)


def asks_number(words: Iterable[str]) -> bool:
    """Whether a question asks for a size or a number in so many words."""
    return bool(NUMBER_ASKED.search(" ".join(words)))


WHERE = "Where to find"  # begins the title of an entry that names a place in the book
PLACE_ASKED = re.compile(
    r"\b(?:tables?|articles?|sections?|chapters?|annex|where|wheres|find|page|charts?|looked up|look up)\b|\d{3}\.\d",
    re.I,
)


def asks_place(stem: str, form: str) -> bool:
    """Whether a question asks where in the book something stands."""
    return form == "where" or bool(PLACE_ASKED.search(stem))


NO_COUNT = re.compile(r"\b(?:no limit|none|any number|no number)\b", re.I)


def tells_count(answer: str) -> bool:
    """Whether an answer tells how many or how much, if only that there is no limit."""
    return any(c.isdigit() for c in spelled(answer)) or bool(NO_COUNT.search(answer))


def outside(question: str, book: Book, headline: str, notes: Iterable[str] = ()) -> Reply:
    """The reply to what the tool does not cover."""
    return Reply(question, "outside", book.edition, headline, notes=list(notes))

"""A look-up: an entry of the rule base made into a reply; verdicts come from its lists and values, never from prose."""

from __future__ import annotations

import re
from collections.abc import Iterable

from rapidfuzz.fuzz import token_set_ratio

from askcode.answer import Choices, reference, small
from askcode.core.replies import Answer, Mistake, Option, Reading, Reply, Step, Verdict
from askcode.core.tables import number
from askcode.limits import HAS_UNIT
from askcode.measures import Measure, measure, numbers, same, spelled
from askcode.rulebase.book import Book, Entry
from askcode.rulebase.schemas import Item, by_edition
from askcode.rulebase.search import tokens
from askcode.scope import judges, tells_of
from askcode.verdicts import (
    ALLOWED,
    BARRED,
    CONFIRMED,
    LEFT_OUT,
    OBLIGED,
    PLAIN_NAMES,
    SMALL,
    TURNS,
    find_item,
    verdict,
)

LONG_REASON = 25  # words; a longer reason is left to the steps
TAG = re.compile(
    r"[,.;]\s*(?:is (?:that|this|it) )?(?:all ?right|ok(?:ay)?|good|legal|allowed|fine|pass|right|correct)\s*\??\s*$",
    re.I,
)
ASKING_WORD = re.compile(r"\b(what|whats|which|where|wheres|how|who|when|why|list|define|meaning|(?<!i )mean)\b", re.I)
SAME = 80  # how alike (0..100) a phrase of the question is to one of the entry's before it counts


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
    if not options and form != "yes/no" and TAG.search(stem):
        form = "yes/no"  # "..., alright?"
    if form != "yes/no" and not (tells_of(stem, entry, book) and (options or _tells_amount(stem, form, entry))):
        return None
    if options:
        if not _pick(reply, entry, form, options, stem):
            return None
    elif form == "which-not":
        return None
    elif form == "yes/no" or _bare_claim(form, stem):
        holds = verdict(stem, entry, book, stated if form == "yes/no" else None) if judges(stem, entry, book) else None
        if holds is not None and contradicts(*holds, stem, entry, book):
            holds = None
        if holds is None and form != "yes/no":
            pass  # told as it stands
        elif holds is None:
            reply.status = "ambiguous"
            reply.readings = [Reading(entry.title, reply.headline)]
            reply.headline = f"I cannot tell yes from no there. The rule: {small(reply.headline)}"
        else:
            affirmed, named = holds
            reply.verdict = Verdict(affirmed, named, entry.title)
            reply.headline = _judged(affirmed, entry, named, stem)
            item = _item(entry, named)
            if item is not None and item.section:  # which stands in another section than the rule
                section = by_edition(item.section, book.edition)[0]
                reply.steps[0].cites, reply.references[0].section = [section], section
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
    bare = re.sub(r"^(?:(?:yes|no)\b[,:.;]|yes\b)\s*", "", sentence, flags=re.I)  # "no ground is needed" keeps its no
    return f"{'Yes' if affirmed else 'No'}: {small(bare)}"


def _judged(affirmed: bool, entry: Entry, named: str, stem: str) -> str:
    """The headline of a verdict: the thing that was named and why, or else the rule itself."""
    if named == CONFIRMED:
        return f"{'Yes, that is so' if affirmed else 'No, that is not so'}. The rule: {small(entry.answer)}"
    item = _item(entry, named)
    if item is None and LEFT_OUT.search(stem) and _BIDS.search(entry.answer) and affirmed:
        return f"Yes, as you put it. The rule: {small(entry.answer)}"  # "may i skip it": not "yes: add one"
    if item is None or len(item.because.split()) > LONG_REASON:
        return with_yes_no(affirmed, entry.answer)
    why = f"; {item.because.rstrip('.')}" if item.because else ""
    return f"Yes: {named}{why}." if affirmed else f"No: not {named}{why}."


# The first clause of a rule, and whether it bars or demands.
_CLAUSE_END = re.compile(r"[:;.](?!\d)|, | unless | except | but ")
_BARS = re.compile(
    r"\b(?:(?:may|must) (?:not|never)|do not|nothing may|(?:is|are) (?:not (?:permitted|allowed)|barred))\b",
    re.I,
)
_BIDS = re.compile(r"^(?:add|put|use|keep|bond|close|make|at least|every|each)\b", re.I)
_DEMANDS = re.compile(r"\b(?:must|(?:is|are) required|requires?|needs?)\b", re.I)
_NO = re.compile(r"\bn(?:o|ot|one|ever)\b", re.I)


def contradicts(affirmed: bool, named: str, stem: str, entry: Entry, book: Book) -> bool:
    """Whether a verdict would stand before a rule that says the opposite of what was asked: yes, it may be so, before
    "may not", or no, it need not, before "must"; not where the rest of the rule speaks of what was named."""
    if named == CONFIRMED or _item(entry, named) is not None:
        return False
    clause = _CLAUSE_END.split(entry.answer, maxsplit=1)[0]
    asks_duty = bool(OBLIGED.search(stem)) and not ALLOWED.search(stem)
    turned = any(turn.search(stem) for turn in TURNS)
    if affirmed:
        opposed = bool(_BARS.search(clause)) and not asks_duty and not BARRED.search(stem)
    else:
        bare_demand = _DEMANDS.search(clause) and not _NO.search(clause) and not numbers(clause)
        opposed = bool(bare_demand) and asks_duty and not turned
    rest = " . ".join([entry.answer[len(clause) :], entry.says, *entry.exceptions])
    return opposed and not (book.telling(named) & (book.telling(rest) - book.telling(clause)))


def _item(entry: Entry, named: str) -> Item | None:
    """The thing of an entry's lists that a verdict names."""
    return next((item for items in entry.lists.values() for item in items if item.what == named), None)


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
    r"|\bhow (?:far|deep|high|wide|tall|close|thick|long)\b|\bhow (?:many|much) (?:feet|foot|ft|inch|inches)\b"
    rf"|\b{_LENGTHS}(?:\s+(?:max|min|please|pls))?\s*$"
)
VALUE_ASKED = re.compile(
    rf"\b(?:{_LENGTHS}|max|maximum|min|minimum|sizes?|rating|number|qty|quantity|color|colour|limit|(?:at )?least|"
    r"(?:small|larg|bigg|low|high|clos|near|short|long|narrow|wid|deep|thick|tall|furth|farth|few|great)est)\b",
    re.I,
)
_BLANK = (
    r"(?:at least|(?:not|no) (?:less|more|further|farther|closer|higher|lower) than|at most|not (?:to )?exceed(?:ing)?)"
)
_LENGTH_LEFT_BLANK = re.compile(
    rf"\b{_LENGTHS}\b.*\b{_BLANK}\W*$|\b{_BLANK}\s+how (?:many )?(?:feet|ft|inches|in|far|high|deep)\b|"
    rf"\b(?:above|below|from|within|apart|high|deep|wide)\b.*\b{_BLANK}\W*$",
    re.I,
)
_LENGTH_NAMED = re.compile(rf"\b[a-z]+ {_LENGTHS}\b", re.I)
_TELLS_LENGTH = re.compile(r"\d\s*(?:ft|feet|foot|in|inch|inches|times)\b|\b(?:no|any|whatever)\b", re.I)


def asks_length(words: Iterable[str]) -> bool:
    """Whether a question asks for a length of any kind in so many words."""
    return bool(LENGTH_ASKED.search(" ".join(words)))


NUMBER_ASKED = re.compile(
    r"\b(?:what|which)\s+(?:size|gauge|ga|awg|amps?|rating)\b|\bhow (?:big|many|much|large|heavy)\b"
)


def asks_number(words: Iterable[str]) -> bool:
    """Whether a question asks for a size or a number in so many words."""
    return bool(NUMBER_ASKED.search(" ".join(words)))


def _tells_amount(stem: str, form: str, entry: Entry) -> bool:
    """Whether an entry tells a length where one is asked for, and a number where one is wanted of others that a
    question tells: how to come by it is no answer."""
    if form == "where" or entry.title.startswith(WHERE):
        return True
    text = spelled(stem.lower())
    named = form in ("what", "statement") and _LENGTH_NAMED.search(text)
    if named or LENGTH_ASKED.search(text) or _LENGTH_LEFT_BLANK.search(text):
        return bool(_TELLS_LENGTH.search(spelled(entry.answer)))
    if (unit := _UNIT_ASKED.search(text)) and not HAS_UNIT[_UNITS[unit[1]]].search(spelled(entry.answer)):
        return False
    return not (SIZE_WANTED.search(text) and numbers(text)) or tells_count(entry.answer)


_UNITS = {"va": "power", "kva": "power", "watts": "power", "volts": "voltage", "amps": "current", "pounds": "weight"}
_UNIT_ASKED = re.compile(rf"\bhow (?:many|much) ({'|'.join(_UNITS)})\b", re.I)


SIZE_WANTED = re.compile(
    rf"{NUMBER_ASKED.pattern}|\bsizes?\W*$|^\W*(?:amps|amperage|current|watts|volts)\s+(?:on|of|for|in|at)\b", re.I
)
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

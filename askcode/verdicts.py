"""Yes or no from an entry: by its lists, values and propositions, where nothing that was asked is left over."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from askcode.exceptions import conditional, excluded, names_exception, plain
from askcode.limits import HAS_UNIT, UNIT_NAMES, amounts, fitted, open_ended
from askcode.measures import Measure, measure, numbers, spelled
from askcode.rulebase.book import Book, Entry
from askcode.rulebase.book import Verdict as Judged
from askcode.rulebase.schemas import Item
from askcode.rulebase.search import tokens
from askcode.scope import named as named_in

YES, NO = ("permits", "requires"), ("prohibits", "exempts")
REQUIRED = ("requires", "exempts")
# how much of a proposition a question says, and how much more than of one of the other sense
SAID_OVER, CLEARLY = 0.66, 0.12


@dataclass(slots=True)
class Named:
    """An item of an entry's lists that a text names, and whether its list affirms or denies."""

    item: Item
    affirms: bool
    words: int
    required: bool = False  # whether the list is of what is required or exempt, not of what is permitted or barred


def _speaks_of(stem: str, entry: Entry, book: Book) -> bool:
    """Whether a question speaks of the protection that an entry is about, where it is about one: it judges no other."""
    of = named_in(entry.title, "protection", book)
    return not of or not of.isdisjoint(named_in(stem, "protection", book))


def verdict(stem: str, entry: Entry, book: Book, stated: Measure | None = None) -> tuple[bool, str] | None:
    """(whether what was asked holds, what of it the entry names), or None where the entry does not say."""
    stem = _NONE_OK.sub(r"without \1", _first(_without_hearsay(stem)))
    if (confirmed := RIGHT.search(stem)) and _denied(statement := stem[: confirmed.start()]):
        told = verdict(_affirmed(statement), entry, book)  # "i do not need one, right?"
        return None if told is None else (not told[0], CONFIRMED)
    if put := _IS_IT_TRUE.search(stem):
        denied = _denied(put["what"])
        told = verdict(_affirmed(put["what"]) if denied else put["what"], entry, book)
        return told if told is None or not denied else (not told[0], CONFIRMED)
    if _CHOICE.search(stem) or not _asks_of(stem, entry, book) or not _speaks_of(stem, entry, book):
        return None
    stated = _with_inches(stated, stem)
    if stated is not None and re.search(TOO, stem, re.I) and not _obliges(stem):
        held = _held(stated, entry, stem)
        return None if held is None else (not held, "")
    asks_amount = not any(turn.search(stem) for turn in (*TURNS, _NONE)) and not _obliges(stem)
    if (
        stated is not None
        and asks_amount
        and _names_subject(stem, entry, book)
        and (held := _held(stated, entry, stem)) is not None
    ):
        return held, ""
    phrase = _phrase(stem, entry, book) if entry.verdict is not None else None
    named = find_item(stem, entry, book)
    if named is None and _named_items(stem, entry, book):
        return None  # things of both senses are named, and which of them is meant is not plain
    if named is not None and _of_another_metal(stem, named, book):
        return None
    if named is not None and (ONLY_THESE.search(stem) or _beyond(stem, named, entry)):
        return None
    if named is not None and (apart := _told_apart(stem, named, entry, book)) is not None:
        return phrase if phrase is not None and apart <= book.telling(phrase[1]) else None
    if named is not None and not (named.affirms and _of_another_circuit(stem, named, entry)):
        if phrase is None:
            return _turned(stem, named)
        item = _turned(stem, named)
        return item if item is None or item[0] is phrase[0] else None
    return phrase


# "gfci is only required at the counter", "do only bathrooms need it": a thing that is on a list need not be alone there
ONLY_THESE = re.compile(
    r"\b(?:is|are|do|does|must|can|may)\s+(?:(?!that\b)\w+\s+){0,4}?only\s+(?:the\s+)?"
    r"(?:required|needed|need|have to|allowed|permitted|legal|ok|for|at|in|on|near|when|where|if)\b|"
    r"^\W*(?:do|does|is|are|must) only\b|\bis it (?:only|just) the\b|"
    r"\bonly (?:\w+ ){1,3}(?:need|needs|require|requires|have to|has to)\b",
    re.I,
)
# "can that be the only one", "is it enough by itself": what else is required answers that in the other sense
ALONE = re.compile(
    r"\b(?:the only|only (?:one|1)|alone|sole|solely|enough|sufficient|suffices?|by itself|"
    r"on its own|just the|use just)\b",
    re.I,
)


_BUT_NOT = re.compile(r"\bbut (?:not|no)\b([^.;]*)", re.I)


def _beside_reason(stem: str, named: Named, book: Book) -> bool:
    """Whether a question names what the reason of a thing leaves out: "allowed, but not in contact with earth"."""
    left_out = " . ".join(_BUT_NOT.findall(named.item.because))
    return not book.telling(left_out).isdisjoint(book.telling(stem))


def _told_apart(stem: str, named: Named, entry: Entry, book: Book) -> set[str] | None:
    """The words of a question that tell what it asks of from a thing of a list, though it names that: it is what the
    rule excepts, or what the thing is told apart from; None where the thing is what is asked of."""
    if (
        named.affirms
        and plain(stem)
        and not plain(" . ".join((named.item.what, *named.item.also)))
        and conditional(entry)
    ):
        return set()
    if _beside_reason(stem, named, book):
        return set()
    others = [item for role, items in entry.lists.items() if (role in YES) is not named.affirms for item in items]
    apart = excluded(stem, named.item, others, book) - set().union(*_none_of(stem, book))
    if apart or names_exception(stem, [named.item.what, *named.item.also], entry, book):
        return apart
    return None


# what others say; not in the last sentence, of which it may be asked ("the inspector says i need one, is that so")
_HEARSAY = re.compile(
    r"\b(?:some(?:one|body)|he|she|they|people|boss|foreman|inspector|super|buddy|guy|helper|salesman|customer|owner)\s+"
    r"(?:told (?:me|us)|tells (?:me|us)|says?|said|claims?|claimed|swears|thinks?)\b[^.?!;]*[.?!;]\s*(?=\S)",
    re.I,
)


def _without_hearsay(stem: str) -> str:
    """A question without what others are said to say: it is not what is asked."""
    bare = _HEARSAY.sub(". ", stem)
    return bare if len(bare.split()) > 3 else stem


RIGHT = re.compile(r"[,.;?]?\s*(?:so )?(?:am i |is (?:that|this|it) )?(?:right|correct|true)\s*\??\s*$", re.I)
# "to the neutral bar or the ground bar": which of two, not whether
_CHOICE = re.compile(
    r"\b(?:on|in|at|to|into|under|over|by|from)\s+(?:an?|the)\s+(?:\w+\s+){0,2}\w+\s+or\s+(?:(?:on|in|at|to)\s+)?"
    r"(?:an?\s+|the\s+)?(?!(?:not|no|nah|nope|naw|what|else|more|less)\b)(?:\w+\s+)?\w+\W*$",
    re.I,
)
_IS_IT_TRUE = re.compile(r"^\W*(?:so )?(?:is|isnt|isn't) it (?:true|right|correct|so)(?: that)? (?P<what>.{8,})", re.I)
CONFIRMED = "as it was put"  # what a verdict names where a sentence was to be confirmed


_NEGATED = re.compile(r"\b(is|are|ca|can|may|do|does|must|should|could|would)(?:n'?t|not| not)\b", re.I)


# what a statement without commas ends in where it is the claim: "it dont get rained on thats allowed"
_CLAIM = re.compile(
    r"\b(?:that|this|it)(?:'?s| is| should be) (?:all ?right|ok(?:ay)?|allowed|permitted|fine|legal|good|enough)\W*$",
    re.I,
)


def _denied(statement: str) -> bool:
    """Whether the last clause of a statement denies something."""
    if _CLAIM.search(statement):
        return False
    last = re.split(r"[.;?!]|, ", statement)[-1]
    return bool(DENIED.search(last) or _NEGATED.search(last))


def _affirmed(statement: str) -> str:
    """The question whether what a statement denies is so: "i do not have to add one" asks "must i add one"."""
    needed = DENIED.sub("need", statement)
    return (
        f"must {needed}"
        if needed != statement
        else _NEGATED.sub(lambda word: "can" if word[1] == "ca" else word[1], statement)
    )


_OR_ELSE = re.compile(
    r"[,\s]+or (?:else )?(?:can|could|may|do|does|is|should|am|are|would|will) (?:i|we|you|u|it|they|that)\b", re.I
)


def _first(stem: str) -> str:
    """The first of two alternatives that are put: "does it need one, or can I skip it" asks whether it needs one."""
    first = _OR_ELSE.split(stem)[0]
    return first if len(first.split()) > 3 else stem


TOO = (
    r"^\W*(?:is|are|would|isnt|isn't)\b[^,.;?]*"
    r"\btoo (?:high|low|close|near|far|narrow|small|short|shallow|long|big|deep)\b"
)
# What turns a question round: it asks whether a thing is barred, or whether what is required may be left out.
BARRED = re.compile(
    r"\b(?:illegal|violations?|(?:against|breaking|violating) (?:the )?code|(?:code|rule|anything|law) against|"
    r"prohibit(?:s|ed)?|forbid(?:s|den)?|barred|not (?:be )?(?:allowed|permitted|legal|ok)|not to code|"
    r"red[- ]?tag(?:ged)?|"
    r"(?:would|will|could)\s+(?:\w+\s+){1,3}?fail|fail (?:me|us) for (?!or\b)|(?:problem|anything wrong|issue) with)\b|"
    rf"{TOO}",
    re.I,
)
LEFT_OUT = re.compile(
    r"\b(?:without|(?:go|goes|be|is|are|have|has|having|with|got) no|den(?:y|ied|ies)|refused?|lack(?:s|ing)?|"
    r"w/o|skip(?:ping|ped)?|omit(?:ted)?|le(?:ave|aving|ft) (?:\w+ ){0,3}?(?:out|off)|"
    r"exempt(?:ed)?|excused|avoid|instead of|get(?:ting)? (?:away|out|by)|no need)\b",
    re.I,
)
DENIED = re.compile(
    r"\b(?:not (?:need(?:ed)?|have to|required?)|needs? no\b|"
    r"(?:do|does|did|is|are|need|would)(?:n'?t| not) (?:\w+ ){0,3}?(?:need(?:ed)?|have|required?|gotta)(?: no\b)?|"
    r"(?:ok|okay|allowed|legal|fine|permitted) not|(?:can|may|could) (?:i|we|you) not|unless|except)\b",
    re.I,
)

# "smaller than 1/0", "more than 20 A": what holds of a thing need not hold of less or more of it.
COMPARED = re.compile(
    r"\b(?:smaller|less|lower|larger|bigger|higher|greater|longer|shorter|closer|nearer|fewer|"
    r"further|farther|wider|deeper)(?: than)?\b|"
    r"\b(?:more than|exceed(?:s|ing)?)\b",
    re.I,
)

_NONE = re.compile(r"\bno\b(?!\.?\s*\d)", re.I)  # "no outlet", but not "no. 12"

_NONE_OK = re.compile(
    r"\bno ((?:\w+ )?\w+)(?=,?\s+(?:there |is |that )*(?:ok|okay|allowed|fine|legal|alright)\b)", re.I
)

_NONE_LAST = re.compile(r",\s*(?:and |with )?no ((?:\w+ )?[a-z]+)\s*\??$", re.I)  # "the only one, no rods?"

OBLIGED = re.compile(
    r"\b(?:have to|has to|need(?:s|ed)?|must|required?|gotta|hafta|supposed to|"
    r"makes? (?:us|me|you|them|him|her|people|(?:the|my) \w+) (?:put|install|add|have|run|do|use))\b",
    re.I,
)
PERMITTED = re.compile(
    r"\b(?:can|may|could|ok|okay|allowed|legal|permitted|permissible|fine|good|acceptable|used?|count|considered)\b",
    re.I,
)
ALLOWED = re.compile(r"\b(?:can|may|could|ok|okay|allowed|legal|permitted|permissible|fine|acceptable)\b", re.I)
TURNS = (BARRED, LEFT_OUT, DENIED)


_PASSES = re.compile(rf"{PERMITTED.pattern}|\b(?:pass(?:es)?|comply|complies|compliant|right|correct|work)\b", re.I)


def asks_barred(question: str) -> bool | None:
    """Whether a question asks if a thing is against the code; None where it also asks if that is permitted."""
    if not BARRED.search(question):
        return False
    return None if _PASSES.search(BARRED.sub(" ", question)) else True


def _obliges(stem: str) -> bool:
    """Whether a question asks what must be: that an amount is enough does not say that it is needed."""
    return bool(OBLIGED.search(stem)) and not PERMITTED.search(stem)


def _turned(stem: str, named: Named) -> tuple[bool, str] | None:
    """The verdict on a thing of a list, where the question may ask for the contrary; None where that is not plain."""
    names = "|".join((named.item.what, *named.item.also)).lower()
    if BARRED.search(stem) and ALLOWED.search(BARRED.sub(" ", stem)):
        return None  # "he says it is illegal, is it ok": which of them is asked is not plain
    barred, left_out = (_turns(turn, stem, names) for turn in (BARRED, LEFT_OUT))
    if _turns(COMPARED, stem, names):
        return None
    if DENIED.search(stem) or (not named.required and OBLIGED.search(stem) and not PERMITTED.search(stem)):
        return None  # what is permitted is not for that required
    if named.required:
        if named.affirms and not left_out and ALLOWED.search(stem) and not OBLIGED.search(stem):
            return None  # that a house must have one does not say that it may be anywhere
        if barred or (not named.affirms and not left_out and not _implied(False, "it is required", stem)):
            return None
        return (named.affirms is not left_out, named.item.what if not left_out else "")
    return None if left_out else (named.affirms is not barred, named.item.what if not barred else CONFIRMED)


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


# What a question asks of its subject: "does it NEED ARC FAULT", and the subject of "is A GFCI allowed".
_ASKED_OF = re.compile(rf"{OBLIGED.pattern}(?P<what>[^,.;?!]*)", re.I)
_SUBJECT = re.compile(
    r"^\W*(?:(?:is|are)\s+(?P<is>(?:\S+\s+){1,4}?)(?:allowed|permitted|ok|okay|legal|required|needed)|"
    r"(?:can|may|could)\s+(?P<may>(?:an?|the)\s+(?:\S+\s+){1,3}?)(?:be|go|sit))\b",
    re.I,
)


def _asks_of(stem: str, entry: Entry, book: Book) -> bool:
    """Whether an entry knows at least one word of what is said to be needed, and of what is said to be allowed."""
    asked = [found["what"] for found in [_ASKED_OF.search(stem)] if found]
    asked += [found["is"] or found["may"] for found in [_SUBJECT.search(stem)] if found]
    return all(book.knows(entry.id, what) for what in asked)


_FEET_AND = re.compile(r"\b(\d+)\s*(?:feet|foot|ft|')\s*(\d{1,2})(?!\s*[\d/a-z\"'.])", re.I)


def _names_subject(stem: str, entry: Entry, book: Book) -> bool:
    """Whether a question names the better part of what an entry is about, so that its amount is the entry's."""
    return any(book.covers(name, stem) >= HALF for name in (*entry.about, entry.title))


HALF = 0.5


def _with_inches(stated: Measure | None, stem: str) -> Measure | None:
    """A stated length with the inches that were said without their unit: "6 ft 10"."""
    found = _FEET_AND.search(stem)
    if stated is None or found is None or stated != (12.0 * int(found[1]), "in") or int(found[2]) >= 12:
        return stated
    return stated[0] + int(found[2]), "in"


_CLOSER = re.compile(r"\b(?:within|closer than|less than|nearer than|under)\b", re.I)


def _held(stated: Measure, entry: Entry, stem: str) -> bool | None:
    """A stated amount against the entry's least_… and greatest_… of the same unit; None where these differ and the
    question names none of them, or where nearer than the least is asked for and the amount does not settle it."""
    held: dict[str, bool] = {}
    for name, text in entry.values.items():
        due = measure(text)
        if due is None or due[1] != stated[1]:
            continue
        if name.startswith("greatest"):
            held[name] = stated[0] <= due[0]
            if held[name] and open_ended(stem) == "over":
                return None  # "over 4 ft" may be past the most of 6 ft
        elif name.startswith("least"):
            if _CLOSER.search(stem) and not OBLIGED.search(stem):
                if stated[0] > due[0]:
                    return None
                held[name] = False
            else:
                held[name] = stated[0] >= due[0]
                if held[name] and open_ended(stem) == "under":
                    return None
    if len(set(held.values())) > 1:
        said = set(tokens(stem))
        named = {name: len((set(tokens(name.replace("_", " "))) - PLAIN_NAMES) & said) for name in held}
        most = max(named.values())
        held = {name: holds for name, holds in held.items() if most and named[name] == most}
    return held.popitem()[1] if len(set(held.values())) == 1 else None


def _names(item: Item, text: str) -> list[str]:
    """The names of a thing of a list, with the amount of a text where they have a limit that it keeps to."""
    return [name for written in (item.what, *item.also) if (name := fitted(written, text)) is not None]


def find_item(text: str, entry: Entry, book: Book | None = None) -> Named | None:
    """The item of the entry's lists that a text names, the longest name first, and one said in one breath before one
    whose words stand apart; None where there is none, or as good a one of the other sense. With a book none counts of
    which the text says that it is not there ("no gfci")."""
    found = _named_items(text, entry, book)
    if not found:
        return None
    longest = [n for n in found if n.words == max(m.words for m in found)]
    denied = [n for n in longest if not n.affirms]
    if denied and len(denied) < len(longest):  # an aluminum rod is a rod, but what is barred stays barred
        return denied[0] if "prohibits" in entry.lists else None
    return longest[0]


def _named_items(text: str, entry: Entry, book: Book | None) -> list[Named]:
    said = [w for w in tokens(text) if w not in SMALL]
    have, run = set(tokens(text)), f" {' '.join(said)} "
    found: list[Named] = []
    for role, items in entry.lists.items():
        for item in items:
            for name in _names(item, text):
                words = [w for w in tokens(name) if w not in SMALL]
                if words and have.issuperset(words):
                    together = f" {' '.join(words)} " in run
                    if book is not None and _says_denied(name, text, book):
                        continue
                    if together and any(f" {no} {' '.join(words)} " in run for no in NOT):
                        continue  # "not marked for two"
                    found.append(Named(item, role in YES, len(words) + (TOGETHER if together else 0), role in REQUIRED))
    return found


NOT = ("not", "isnt", "arent", "aint", "t")  # before a name; of "isn't" the last is left
TOGETHER = 2  # what it is worth to a name, in words, that its words stand together
SMALL = frozenset(["a", "an", "the", "of", "in", "on", "to", "for", "or", "and", "with", "is", "at", "by"])
PLAIN_NAMES = frozenset(tokens("least greatest distance from on of the in over under with at")) | SMALL  # of values


NEARLY_ALL = 0.9  # of a proposition must be said before what it permits is not barred
BRIEF, WHOLE = 3, 0.99  # words of a proposition that must all be said, and the share that is all of them


def _phrase(stem: str, entry: Entry, book: Book) -> tuple[bool, str] | None:
    """The proposition of the entry that a question says over again, with its sense; None where two senses are near."""
    assert entry.verdict is not None
    if ALONE.search(stem):
        stem = _NONE_LAST.sub(r" without \1", stem)
    said = [*((True, p) for p in entry.verdict.yes), *((False, p) for p in entry.verdict.no)]
    if entry.verdict.holds is not None and entry.verdict.of:
        said.append((entry.verdict.holds, entry.verdict.of))
    said = [(affirms, p) for affirms, written in said if (p := fitted(written, stem)) is not None]
    said = [(affirms, p) for affirms, p in said if _implied(affirms, p, stem)]
    turned = {turn for turn in TURNS if turn.search(stem)}
    said = [(affirms, p) for affirms, p in said if all(turn in turned or not turn.search(p) for turn in TURNS)]
    said = [
        (affirms, p)
        for affirms, p in said
        if not (affirms and plain(stem) and not plain(p) and conditional(entry))
        if _alike(p, stem)
        and _same_things(p, stem, book)
        and not _says_denied(p, stem, book)
        and not names_exception(stem, [p], entry, book)
    ]
    scored = sorted(
        ((book.covers(phrase, stem) - _crossed(phrase, stem, book), affirms, phrase) for affirms, phrase in said),
        key=lambda one: (round(one[0], 3), -sum(_turns(turn, stem, one[2]) for turn in TURNS), one[1], one[2]),
        reverse=True,
    )  # of phrases said alike the one that turns as the question does
    if not scored or scored[0][0] < SAID_OVER:
        return None
    best, affirms, phrase = scored[0]
    if len([w for w in tokens(phrase) if w not in SMALL]) <= BRIEF and book.covers(phrase, stem) < WHOLE:
        return None  # of a few words each tells: "a switch on the white wire" is not a white switch
    if _leaves_amount(phrase, stem, entry.verdict):
        return None
    told = [entry.answer, *entry.values.values(), *entry.verdict.yes, *entry.verdict.no]
    if not book.points(phrase, stem) or (not numbers(phrase) and another_amount(stem, told)):
        return None
    if any(_turns(turn, stem, phrase) for turn in (LEFT_OUT, DENIED, COMPARED, ONLY_THESE)):
        return None  # the question may ask for the contrary of the phrase
    if _turns(BARRED, stem, phrase):
        if asks_barred(stem) is None or OBLIGED.search(phrase) or (affirms and best < NEARLY_ALL):
            return None  # a duty says nothing of what is barred
        if affirms and conditional(entry) and not names_exception(f"if {phrase}", [], entry, book):
            return None  # it is barred but on the condition
        affirms, phrase = not affirms, CONFIRMED  # what is barred is asked for as barred
    other_sense = [(score, said) for score, other, said in scored if other is not scored[0][1]]
    # what the question turns round does not speak against it
    against = max(
        (score for score, said in other_sense if not any(_turns(turn, stem, said) for turn in TURNS)), default=0.0
    )
    return (affirms, phrase) if best - against >= CLEARLY else None


# "is there a rule that the pin goes up": what is so is not for that a rule
_LIMITS = re.compile(
    r"\b(?:rules?|code|law|limit|limited|minimum|maximum|requirement|matter|problem|least|most)\b", re.I
)
_EXISTS = re.compile(
    r"\bis there (?:an?|any)\s+(?:\w+\s+)?(?:rule|code|law|limit|minimum|maximum|requirement)|\bdoes it matter\b", re.I
)


_BID = re.compile(r"(?:still )?(?:add|bond|put|use)\b", re.I)


def _alike(phrase: str, stem: str) -> bool:
    """Whether a proposition may be what a question says: not one of a duty where it asks whether a thing is enough
    alone, nor one of the plain thing of a kind where it speaks of any."""
    of_duty = (OBLIGED.search(phrase) or _BID.match(phrase)) and not ALONE.search(phrase)
    alone = ALONE.search(stem) and not OBLIGED.search(stem)
    if _EXISTS.search(stem) and not _LIMITS.search(phrase):
        return False
    return not (alone and of_duty) and not (plain(phrase) and not plain(stem))


def _same_things(phrase: str, stem: str, book: Book) -> bool:
    """Whether a proposition names no raceway or cable that a question does not, nor other places than its."""
    both = f"{stem} . {' '.join(tokens(stem))}"  # "romexes" is romex
    if any(not named_in(phrase, kind, book) - {kind} <= named_in(both, kind, book) for kind in ("raceway", "cable")):
        return False
    places, asked = named_in(phrase, "place", book), named_in(stem, "place", book)
    return not places or not asked or not places.isdisjoint(asked)


_NONE_OF = re.compile(
    r"\b(?:no|without|w/o)\s+((?:[a-z]+\s+)?[a-z]+)|\b(?:not|isn'?t|aren'?t) an? ([a-z]+)|\(not ([a-z]+)|"
    r"\b(?:not|isn'?t|aren'?t) (?!allowed|permitted|required|needed|supposed|used|considered|counted)"
    r"([a-z]+ed(?: [a-z]+)?)\b",
    re.I,
)


def _none_of(text: str, book: Book) -> list[set[str]]:
    """The telling words of each thing that a text says there is none of and does not speak of otherwise: "not marked",
    but not "no ground wire, is the pipe the ground"."""
    else_ = book.telling(_NONE_OF.sub(" . ", text))
    found = [book.telling(none[none.lastindex or 0]) for none in _NONE_OF.finditer(text)]
    return [none for none in found if none and not none <= else_]


def _says_denied(phrase: str, stem: str, book: Book) -> bool:
    """Whether a proposition says of what is there what a question says is not there."""
    said, denied = book.telling(phrase), _none_of(phrase, book)
    return any(none <= said and not any(none & other for other in denied) for none in _none_of(stem, book))


def _leaves_amount(phrase: str, stem: str, judged: Judged) -> bool:
    """Whether a question states an amount of a kind on which other propositions turn, and this one names no amount."""
    stated = {kind for kind, _, _ in amounts(stem)} if not numbers(spelled(phrase)) else set()
    return any(kind in stated for p in (*judged.yes, *judged.no) for kind, _, _ in amounts(p) if "[" in p)


def another_amount(stem: str, values: Iterable[str], kinds: Iterable[str] = tuple(UNIT_NAMES)) -> bool:
    """Whether a question states an amount of a kind on which an answer turns, and none that it gives: then words do
    not decide."""
    text, values = spelled(stem), spelled(" ; ".join(values))
    given = set(numbers(values))
    units = [HAS_UNIT[kind] for kind in kinds]
    return any(
        unit.search(values) and any(not given.issuperset(numbers(found[0])) for found in unit.finditer(text))
        for unit in units
    )


_VOLTS_AT_MOST = re.compile(r"(\d[\d,]*) ?V or less|up to (\d[\d,]*) ?V", re.I)


def _of_another_circuit(stem: str, named: Named, entry: Entry) -> bool:
    """Whether what is affirmed of a thing is for other volts, or for another amount of what its reason turns on."""
    says = [entry.says, entry.answer]
    if another_amount(stem, [named.item.because]):
        return True
    limits = [float((a or b).replace(",", "")) for a, b in _VOLTS_AT_MOST.findall(" ".join(says))]
    told = [value for kind, value, _ in amounts(stem) if kind == "voltage"]
    if limits and told and max(told) <= min(limits):
        return False
    return another_amount(stem, says, ["voltage"])


def _of_another_metal(stem: str, item: Named, book: Book) -> bool:
    """Whether what is affirmed of a thing is asked of one of aluminum, of which the list says nothing there."""
    told = " . ".join([*_names(item.item, stem), item.item.because])
    return item.affirms and not named_in(stem, "metal", book) - {"copper"} <= named_in(told, "metal", book)


_LIMIT = re.compile(
    r"\b(?:(within|closer than|less than|under|below)|more than|over|above|beyond|higher than)\s+(?=\d)", re.I
)


def _beyond(stem: str, named: Named, entry: Entry) -> bool:
    """Whether a question states a length that the thing of a list does not name, and that length takes it outside the
    rule: it meets the limit of an exception or of a thing of the other sense, or the rule has one for all things."""
    lengths = [(value, said) for kind, value, said in amounts(stem) if kind == "length"]
    here = _numbers_of(_names(named.item, stem))
    if all(here.issuperset(numbers(said)) for _, said in lengths):
        return False
    names: dict[bool, list[str]] = {True: [], False: []}
    for role, items in entry.lists.items():
        names[role in YES] += [name for item in items for name in (item.what, *item.also)]
    if any(_meets(value, text) for value, _ in lengths for text in (*names[not named.affirms], *entry.exceptions)):
        return True
    told = spelled(" ; ".join([entry.answer, entry.says, *entry.values.values()]))
    of_one = _numbers_of([*names[True], *names[False], *entry.exceptions])
    limits = [found[0] for found in HAS_UNIT["length"].finditer(told) if not of_one.issuperset(numbers(found[0]))]
    return another_amount(stem, limits, ["length"])


def _meets(length: float, text: str) -> bool:
    """Whether a length in inches is on the side of a limit that a text names: "within 6 ft", "more than 5 1/2 ft"."""
    limit = _LIMIT.search(text)
    due = measure(text[limit.end() :]) if limit else None
    if limit is None or due is None or due[1] != "in":
        return False
    return length <= due[0] if limit[1] else length > due[0]


def _numbers_of(texts: Iterable[str]) -> set[str]:
    return {number for text in texts for number in numbers(spelled(text))}


_SINGLE_POLE = re.compile(r"\bsingle[- ]pole\b", re.I)
CROSSED = 0.3  # what it costs a phrase of two numbers that the question gives them to other things
_NUMBERED = re.compile(
    r"(\d+(?:/\d+)?)\s*-?\s*(?:amperes?|amps?|a|volts?|v|awg|ft|feet|inch(?:es)?|in)?\b\.?\s*([a-z]{2,})", re.I
)


def _crossed(phrase: str, stem: str, book: Book) -> float:
    """What tells "15 A outlets on a 20 A circuit" from 20 A outlets on a 15 A circuit, which have the same words."""
    phrase, stem = (_SINGLE_POLE.sub("1 pole", text) for text in (phrase, stem))
    told = set(numbers(spelled(stem)))
    if not told.issuperset(numbers(spelled(phrase)) if told else numbers(phrase)):
        return 1.0  # it speaks of another amount
    wanted = _NUMBERED.findall(phrase)
    if len(wanted) < 2:
        return 0.0
    said = _NUMBERED.findall(stem)
    met = sum(any(n == m and book.covers(thing, other) > 0.15 for m, other in said) for n, thing in wanted)
    return CROSSED * (1 - met / len(wanted))

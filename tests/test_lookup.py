"""Look-ups: verdicts come from lists, values and propositions, never from prose, and turn with the question."""

# ruff: noqa: E501 - questions stand as they are typed
from __future__ import annotations

from dataclasses import replace

import pytest

from askcode.asker import Asker
from askcode.limits import amounts, fitted
from askcode.lookup import contradicts, look_up
from askcode.rulebase.book import Book
from askcode.verdicts import find_item, verdict

ASKER = Asker()

# (entry, a question that is to be answered yes, one that is to be answered no)
PAIRS = [
    ("afci-rooms", "does a bedroom need arc fault", "do garage receptacles need afci"),
    ("afci-rooms", "arc fault required in the hallway?", "can i skip the afci in the bedroom"),
    ("gfci-dwelling", "does a bathroom receptacle need gfci", "does a bedroom receptacle need gfci"),
    ("gfci-dwelling", "outdoor recept gfci required?", "can i put in a bathroom receptacle without gfci"),
    ("gfci-specific-appliances", "does a dishwasher need gfci", "does a hot water heater need gfci"),
    ("bathroom-circuit", "can two bathrooms share a circuit", "does each bathroom need its own circuit"),
    ("laundry-circuit", "can two outlets be on the laundry circuit", "can the hall light be on the laundry circuit"),
    ("receptacle-ratings", "15A duplexes on a 20A circuit ok?", "20 amp receptacle on a 15 amp circuit ok?"),
    ("single-receptacle-rating", "does a single outlet on a 20 amp circuit have to be 20 amp", "is a duplex a single receptacle"),
    ("multiwire-pigtail", "is pigtailing required", "do i need to pigtail a normal two wire circuit"),
    ("receptacle-outdoor", "do i need an outlet in the back yard", "is one outside plug enough for a house"),
    ("receptacle-basement", "unfinished basement recept required?", "basement receptacle only for the sump pump enough?"),
    ("working-space-storage", "must the working space be kept clear", "can we stack boxes in front of the panel"),
    ("working-space-doors", "must the panel door swing open 90 degrees", "panel door only opens 60 degrees ok?"),
    ("panel-directory", "do breakers have to be labeled", "can i write bobs room on the panel schedule"),
    ("device-over-steps", "panel on the landing ok?", "can i put a panel over the steps"),
    ("device-in-closet", "panel in a hallway ok?", "panel in a clothes closet ok?"),
    ("electrode-clamps", "is cadweld ok to a ground rod", "hose clamp on a ground rod ok?"),
    ("electrodes-permitted", "can a ground ring be a grounding electrode", "can a gas pipe be a grounding electrode"),
    ("electrode-conductor-splice", "splice the gec with an irreversible compression connector ok?", "split bolt on the gec ok?"),
    ("grounding-connections", "exothermic welding of a ground ok?", "sheet metal screws for a ground ok?"),
    ("equipment-ground-kinds", "can emt be the equipment ground", "can pvc conduit be the equipment ground"),
    ("ground-wire-in-pvc", "does pvc need a ground wire", "can i run pvc without a ground"),
    ("ground-wire-in-metal-conduit", "emt without a ground wire ok", "do i need a ground wire in emt"),
    ("water-pipe-supplement", "water pipe ground, still need to add a rod?", "is the water pipe alone enough?"),
    ("water-meter-jumper", "do i need to bond around the water meter", "can the ground path go through the water meter"),
    ("second-rod", "do i need two ground rods", "can i get by with one ground rod"),
    ("rod-trench", "can i lay a ground rod sideways", "rod laid in a trench 12 in. deep ok?"),
    ("rod-angle", "can i drive a ground rod at an angle", "ground rod 60 degrees from vertical ok"),
    ("light-pole-rod", "must a light pole be bonded to the ground wire", "does a metal light standard need a rod"),
    ("portable-generator-ground", "may a portable generator do without a rod", "does a portable generator need a ground rod"),
    ("dissimilar-metals", "aluminum and copper in a connector listed for both ok?", "twist aluminum and copper together under a wire nut?"),
    ("torque", "torque wrench required?", "can i tighten lugs by feel"),
    ("unused-openings", "do i have to plug unused knockouts", "can i tape over a knockout"),
    ("one-wire-per-terminal", "terminal identified for two wires ok?", "can i put two wires under one screw"),
    ("follow-instructions", "do i have to follow manufacturer instructions", "can i ignore the installation sheet"),
    ("breaker-up-is-on", "does up have to be on for a breaker", "breaker mounted with down as on ok?"),
    ("breakers-parallel", "factory parallel breakers ok?", "can i parallel two breakers"),
    ("handle-ties", "handle tie ok?", "nail through the breaker handles ok?"),
    ("plug-fuse-voltage", "screw in fuses on a 120/240 system ok", "can plug fuses be used on 240"),
    ("underground-raceway-wet", "thwn in a buried pipe ok?", "thhn in a buried pipe ok?"),
    ("plenum-wiring", "emt in a plenum ok?", "romex in a plenum ok?"),
    ("splices-in-boxes", "does a splice need a box", "can i leave wire nuts loose in the ceiling"),
    ("splices-underground", "splice uf in the ground with a listed kit?", "regular wire nut buried ok?"),
    ("splices-in-panel", "can i splice in a panel", "is a separate junction box needed to extend wires into a panel"),
    ("box-accessible", "box above a drop ceiling ok?", "bury a junction box behind drywall?"),
    ("box-fan", "does a ceiling fan need a special box", "can a fan hang from a regular box"),
    ("box-set-back-wood", "box flush with wood paneling ok?", "box set back in wood paneling ok?"),
    ("nm-not-permitted", "romex in a one-family dwelling ok?", "romex in a wet location ok?"),
    ("nm-basement-joists", "range cable 6/3 on the basement joists ok", "can i staple 14/2 romex to the bottom of basement joists"),
    ("use-cable", "is use-2 rhw-2 ok inside", "use cable inside the house ok?"),
    ("cords-not-permitted", "cord for a pendant ok?", "extension cord thru a wall ok?"),
    ("equipment-ground-color", "bare ground ok?", "white as an equipment ground ok?"),
    ("parallel-conductors", "parallel 1/0 ok?", "parallel 2 AWG ok?"),
    ("neutral-count", "neutral of a 4-wire wye with mostly nonlinear loads counted?", "neutral of a single-phase 120/240 circuit counted?"),
    ("controller-opens", "can a controller leave one phase hot", "must a starter open all phases"),
    ("motor-disconnect-opens", "does a motor disconnect have to open all the hots", "can a motor disconnect open two of three phases"),
    ("pool-pump-gfci", "pool pump gfci required?", "variable speed pool pump on a regular 2 pole breaker ok"),
    ("tamper-resistant", "tamper resistant receptacles required in a dwelling?", "tamper resistant receptacle above 5 1/2 ft needed?"),
    ("disconnecting-means-meaning", "is a breaker a disconnecting means", "is a controller a disconnect"),
    ("outlet-meaning", "is a light an outlet", "is a switch an outlet"),
]  # fmt: skip


def _judged(book: Book, entry: str, question: str) -> bool | None:
    held = verdict(ASKER.read(question).stem, book.entry(entry), book)
    return held[0] if held else None


@pytest.mark.parametrize(("entry", "yes", "no"), PAIRS)
def test_a_verdict_never_has_the_wrong_sense(entry: str, yes: str, no: str) -> None:
    book = ASKER.book()
    assert _judged(book, entry, yes) in (True, None)
    assert _judged(book, entry, no) in (False, None)


def test_most_verdicts_are_drawn() -> None:
    book = ASKER.book()
    drawn = [_judged(book, entry, said) is not None for entry, *both in PAIRS for said in both]
    assert sum(drawn) >= 0.85 * len(drawn)


def test_verdicts_survive_with_every_paraphrase_blanked() -> None:
    book = ASKER.book()
    for name, *both in PAIRS:
        entry = book.entry(name)
        for said in both:
            stem = ASKER.read(said).stem
            assert verdict(stem, replace(entry, says="", exceptions=[]), book) == verdict(stem, entry, book)


@pytest.mark.parametrize(
    ("question", "holds"),
    [
        ("is it illegal to run romex in a wet location", True),
        ("does a bedroom receptacle not need afci", None),  # which way that is meant is not plain
        ("can i skip the gfci in the bathroom", False),
        ("are bathrooms exempt from gfci", False),
        ("can i put afci in the garage", None),  # what need not be may be
        ("is it ok not to ground a metal switch plate", None),
        ("can i put the fridge on its own 15 amp circuit instead of the small appliance circuit", True),
    ],
)
def test_a_question_may_ask_for_the_contrary(question: str, holds: bool | None) -> None:
    reply = ASKER.conversation().say(question)
    assert (reply.verdict.holds if reply.verdict else None) is holds, reply.headline


@pytest.mark.parametrize(
    ("question", "letter"),
    [
        ("Which of these is NOT permitted as a grounding electrode?\na) ground ring\nb) plate\nc) gas pipe\nd) rod", "c"),
        ("A ground rod must have at least how much length in contact with the soil?\na) 4 ft\nb) 6 ft\nc) 8 ft\nd) 10 ft", "c"),
        ("Which table gives the minimum size of equipment grounding conductors?\n"
         "a) Table 250.66\nb) Table 250.102(C)(1)\nc) Table 250.122\nd) Table 310.16", "c"),
        ("A breaker not marked with its interrupting rating is good for:\na) 5,000 A\nb) 10,000 A\nc) 14,000 A\nd) 22,000 A", "a"),
        ("The term for acceptable to the authority having jurisdiction is:\na) listed\nb) labeled\nc) approved\nd) identified", "c"),
    ],
)  # fmt: skip
def test_options_by_lists_values_and_places(question: str, letter: str) -> None:
    reply = ASKER.conversation().say(question)
    assert reply.option is None or reply.option.letter == letter, reply.headline
    assert reply.option is not None, reply.headline


def test_near_entries_that_differ_choose_no_option() -> None:
    question = "Romex shall be secured within what distance of a metal box?\na) 6 in.\nb) 8 in.\nc) 12 in.\nd) 24 in."
    reply = ASKER.conversation().say(question)
    assert reply.option is None or reply.option.letter == "c"
    assert reply.status != "answered" or reply.option is not None


def test_a_proposition_about_another_amount_does_not_judge() -> None:
    assert _judged(ASKER.book(), "second-rod", "my one rod tests 45 ohms do i need another") is not False


@pytest.mark.parametrize(
    "question",
    [
        "dishwasher cord length max",
        "bonding jumper around water meter size",
        "max size liquidtight flex",
        "smoke detector spacing",
    ],
)
def test_no_yes_or_no_where_a_value_is_asked(question: str) -> None:
    assert ASKER.conversation().say(question).verdict is None


@pytest.mark.parametrize(
    "question",
    [
        "what size pex for a shower riser",
        "refrigerant line size 3 ton split",
        "how many braced wall panels do i need",
        "how deep is the frost line",
    ],
)
def test_other_trades_are_not_answered(question: str) -> None:
    assert ASKER.conversation().say(question).status == "outside"


def test_numbers_belong_to_the_things_beside_them() -> None:
    book = ASKER.book()
    assert _judged(book, "receptacle-ratings", "15 amp receptacles on a 20 amp circuit") is True
    assert _judged(book, "receptacle-ratings", "20 amp receptacles on a 15 amp circuit") is False


def test_an_item_is_found_by_its_longest_name() -> None:
    entry = ASKER.book().entry("gfci-dwelling")
    named = find_item("does a bathroom exhaust fan need gfci", entry)
    assert named is not None
    assert not named.affirms


def test_an_entry_that_cannot_decide_tells_the_rule() -> None:
    book = ASKER.book()
    reply = look_up("q", "is a purple rod lucky", "yes/no", book.entry("rod-length"), book)
    assert reply is not None
    assert (reply.status, reply.verdict) == ("ambiguous", None)


@pytest.mark.parametrize("question", ["are white switches legal", "is a white switch allowed"])
def test_a_brief_proposition_judges_only_when_said_whole(question: str) -> None:
    assert ASKER.conversation().say(question).verdict is None


# --- what keeps a yes or no from being said ---------------------------------------------------------------------------
# A question whose words or amounts turn the rule round, and what must not be said of it (section in the last column).
@pytest.mark.parametrize(
    ("question", "never", "section"),
    [
        ("can a hallway of 15 feet go without a receptacle", "Yes", "210.52(H)"),
        ("can a wall space of 3 feet go without a receptacle", "Yes", "210.52(A)"),
        ("can a stairway have a light with no switch", "Yes", "210.70(A)(2)"),
        ("may a bedroom have no light switch", "Yes", "210.70(A)(1)"),
        ("can tenants be denied access to their breakers", "Yes", "240.24(B)"),
        ("can the neutral be smaller than 1/0 in parallel", "Yes", "310.10(G)"),
        ("does a 277 V circuit need afci", "Yes", "210.12"),
        ("may a fluorescent closet light be 3 inches from the shelf", "Yes", "410.16"),
        ("is a GFCI allowed on a fire alarm circuit", "Yes", "760.41"),
        ("does a 40 A breaker on #10 for an ac pass", "No", "240.4(G): Article 440 may allow it"),
        ("does a 480 volt receptacle in a commercial kitchen need gfci", "Yes", "210.8(B), 150 V to ground"),
        ("house bathroom receptacle circuit, does it need afci", "Yes", "210.12(A)"),
        ("can aluminum grounding conductor end within 18 inches of earth outside", "Yes", "250.120(B)"),
        ("can the first strap of emt be 5 feet from the box", "Yes", "358.30(A)"),
    ],
)
def test_no_verdict_where_the_question_turns_the_rule(question: str, never: str, section: str) -> None:
    assert not ASKER.conversation().say(question).headline.startswith(never), section


# The same rules, asked straight: the guards must not cost these.
@pytest.mark.parametrize(
    ("question", "verdict"),
    [
        ("does a hallway of 15 feet need a receptacle", "Yes"),  # 210.52(H): from 10 ft on
        ("can two ground rods be 4 feet apart", "No"),  # 250.53: 6 ft at least
        ("is 6 feet headroom ok in front of a panel", "No"),  # 110.26(A)(3): 6 1/2 ft
        ("does a bedroom receptacle circuit need afci", "Yes"),  # 210.12(A)
        ("can the breaker panel go in the bathroom of a house", "No"),  # 240.24(E)
    ],
)
def test_a_verdict_where_the_rule_is_asked_straight(question: str, verdict: str) -> None:
    assert ASKER.conversation().say(question).headline.startswith(verdict)


# 110.14(C)(1): #3 copper carries 85 A at 60 °C and 100 A at 75 °C (Table 310.16), so the terminals decide.
def test_a_verdict_that_an_assumption_decides_says_so_and_names_no_slip() -> None:
    reply = ASKER.conversation().say("is a 100 A breaker OK on #3 copper?")
    assert reply.mistake is None
    assert "60 °C, which was assumed" in reply.headline
    assert "with 75 °C it is yes" in reply.headline


# --- what an entry does not speak of ----------------------------------------------------------------------------------
# A question that names another building, metal or length than the rule is for: nothing is said of it as sure.
@pytest.mark.parametrize(
    ("question", "never", "section"),
    [
        ("new hardware store, do we need an outside emergency disconnect", "Yes", "230.85: one- and two-family dwellings"),
        ("apartment building, emergency disconnect outside required?", "Yes", "230.85: one- and two-family dwellings"),
        ("store, not a house. do i need an emergency disconnect outside", "Yes", "230.85"),
        ("pendant 9 ft above the rim, straight over the bathtub. ok?", "No", "410.10(D): up to 8 ft"),
        ("ceiling fan over a tub, 10 ft above the rim. allowed?", "No", "410.10(D): up to 8 ft"),
        ("day care, plug 7 ft off the floor, must it be tamper resistant", "Yes", "406.12: not above 5 1/2 ft"),
        ("can aluminum be a ground ring", "Yes", "250.52(A)(4): bare copper"),
        ("house wall 30 inches wide no outlet ok?", "Yes", "210.52(A)(2): from 2 ft on"),
        ("3 ft wall in an office no receptacle ok?", "No", "210.52: dwellings"),
        ("nail plate needed if the hole is 1 in from the edge", "No", "300.4(A)(1): nearer than 1 1/4 in."),
        ("do ground rods have to be 8 feet apart", "Yes", "250.53(A)(3): 6 ft"),
        ("is gfci not needed in the bathroom of a house", "No", "210.8(A)"),
        ("wont get rained on much under the porch, so romex outside is ok, right?", "Yes", "334.12"),
        ("he says romex above a drop ceiling is illegal, can i run it above one in a plenum", "Yes", "300.22(C)"),
    ],
)  # fmt: skip
def test_no_verdict_on_what_the_rule_is_not_for(question: str, never: str, section: str) -> None:
    assert not ASKER.conversation().say(question).headline.startswith(never), section


@pytest.mark.parametrize(
    ("entry", "question", "told"),
    [
        ("small-conductors", "largest breaker for 10 awg aluminum", False),  # it tells copper's
        ("small-conductors", "largest breaker for 10 awg copper", True),
        ("emt-support", "how far apart are straps on rigid conduit", False),
        ("emt-support", "how far apart are straps on emt", True),
        ("service-size-dwelling", "smallest service for a warehouse", False),
        ("service-size-dwelling", "smallest service for a house", True),
    ],
)
def test_an_entry_tells_nothing_of_other_things(entry: str, question: str, told: bool) -> None:
    book = ASKER.book()
    assert (look_up(question, question, "what", book.entry(entry), book) is not None) is told


@pytest.mark.parametrize(
    ("entry", "question"),
    [
        ("working-space-conditions", "panels face each other, the aisle needs a depth of at least"),
        ("equipment-bonding-jumper-load-side", "200 amp feeder breaker, copper bond jumper size"),
    ],
)
def test_how_to_come_by_an_amount_is_no_answer_where_the_amount_is_asked(entry: str, question: str) -> None:
    book = ASKER.book()
    assert look_up(question, question, "what", book.entry(entry), book) is None


def test_a_length_beyond_the_limit_of_another_thing_leaves_the_verdict() -> None:
    # 210.8(A) of 2017: a finished basement is not listed, and 20 ft is beyond the 6 ft of sinks
    reply = ASKER.conversation("2017").say("finished basement room in a house, 20 ft from any sink, gfci required?")
    assert reply.headline.startswith("No")


# --- phrases with a limit ---------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("phrase", "question", "said"),
    [
        ("[over 50 lb] light on a box", "60 lb chandelier", "60 lb light on a box"),
        ("[over 50 lb] light on a box", "50 lb chandelier", None),
        ("[up to 3 ft] from the box", "strap 30 inches from the box", "30 inches from the box"),
        ("[up to 3 ft] from the box", "strap 40 in from the box", None),
        ("[from 4 AWG] neutral", "a #3 neutral", "#3 neutral"),  # 3 AWG is larger than 4 AWG
        ("[under 6 AWG] to the rod", "8 AWG to the rod", "8 AWG to the rod"),
        ("[under 6 AWG] to the rod", "1/0 to the rod", None),
        ("[over 3 ft] from the box", "every 10 ft and 2 ft from the box", None),  # which of the two is not plain
        ("[over 3 ft] from the box", "far from the box", None),
        ("[from 10 ft] hallway", "a hallway under 10 ft", None),
        ("[up to 3 ft] from the box", "strap over 3 ft from the box", None),
        ("[under 10 ft] hallway", "a hallway under 10 ft", "10 ft hallway"),
        ("a light on a box", "60 lb chandelier", "a light on a box"),
    ],
)
def test_a_limit_in_a_phrase_takes_the_amount_of_the_question(phrase: str, question: str, said: str | None) -> None:
    assert fitted(phrase, question) == said


@pytest.mark.parametrize(
    ("question", "verdict", "section"),
    [
        ("first rod tested 18 ohms. so i dont have to drive a second one, right?", "Yes", "250.53(A)(2)"),
        ("first rod tested 45 ohms. so i dont have to drive a second one, right?", "No", "250.53(A)(2)"),
        ("60 lb chandelier hung off a regular ceiling box with no weight marked, ok?", "No", "314.27(A)"),
        ("#8 bare copper down the side of the building to the rod without pipe, ok?", "No", "250.64(B)"),
        ("#4 bare copper down the side of the building to the rod without pipe, ok?", "Yes", "250.64(B)"),
        ("is a splice box concealed behind finished drywall prohibited", "Yes", "314.29"),
        ("he says romex above drop ceilings is illegal. can i run nm above a drop ceiling at a house", "Yes", "334.12"),
        ("nm cable above a drop ceiling in a church ok", "No", "334.12"),
        ("shore power disconnect 40 in from the receptacle ok?", "No", "555.36(B)"),
        ("day care receptacle 7 ft off the floor, does it have to be tamper resistant", "No", "406.12"),
        ("does a motel hot tub need an emergency shutoff", "Yes", "680.41"),
        ("you cant parallel #2 copper, right?", "Yes", "310.10(G)(1)"),
        ("gfci is not required for a garage receptacle at a house, right", "No", "210.8(A)"),
        ("you dont need gfci in a bathroom, correct?", "No", "210.8(A)"),
        ("can optional standby wiring share with emergency wiring", "No", "700.10(B)"),
    ],
)
def test_verdicts_by_limits_and_what_is_to_be_confirmed(question: str, verdict: str, section: str) -> None:
    assert ASKER.conversation().say(question).headline.startswith(verdict), section


# Numbers from memory, as an electrician would check them in the section named.
@pytest.mark.parametrize(
    ("question", "told", "section"),
    [
        ("how high over a railroad siding must a feeder be", "24 1/2 ft", "225.18(5)"),
        ("overhead triplex across a pasture, height", "18 ft", "225.18(4)"),
        ("mobile home service size", "100 A", "550.32(C)"),
        ("mobile home service disconnect on a pole, how far away", "30 ft", "550.32(A)"),
        ("marina pedestal breaker distance from the shore power receptacle", "30 in", "555.36(B)"),
        ("how many receptacles in an operating room", "36", "517.19(C)(1)"),
        ("what color is the negative on a dc circuit", "black", "210.5(C)(2)"),
        ("safety switch handle height, max above the floor", "6 ft 7 in", "404.8(A)"),
        ("new outdoor luminaire over a pool, above the maximum water level by at least", "12 ft", "680.22(B)(1)"),
        ("emergency lighting, how many seconds till the backup is on", "10 s", "700.12"),
        ("legally required standby power within how many seconds", "60 s", "701.12"),
        ("holiday lights, how many days", "90 days", "590.3(B)"),
        ("show window load per foot", "200 VA", "220.46(A)"),
        ("general lighting load of a house per square foot", "3 VA", "220.41"),
        ("largest breaker for 10 gauge aluminum", "25 A", ""),
        ("lowest point of attachment over the ground for a service drop", "10 ft", "230.26"),
        ("recessed enclosed led luminaire in a clothes closet, distance to storage", "6 in", "410.16(C)(3)"),
        ("surface mounted led in a clothes closet, distance to storage", "12 in", "410.16(C)(1)"),
        ("surface fluorescent in a clothes closet, distance to storage", "6 in", "410.16(C)(2)"),
    ],
)
def test_a_value_is_told_with_its_section(question: str, told: str, section: str) -> None:
    reply = ASKER.conversation("2023").say(question)
    assert told in reply.headline
    assert not section or section in [reference.section for reference in reply.references]


# --- what is asked the other way round, and what a rule excepts --------------------------------------------------------
# A question that is turned by its words: what must not be said of it, and the section that an electrician would check.
@pytest.mark.parametrize(
    ("question", "never", "section"),
    [
        ("can that buried metal water pipe be the only electrode, no rods?", "Yes", "250.53(D)(2)"),
        ("is the copper water line enough by itself for an electrode", "Yes", "250.53(D)(2)"),
        ("would it be a violation to use one ground rod if it tests under 25 ohms", "Yes", "250.53(A)(2)"),
        ("is double tapping a breaker a violation when the breaker is made for two wires", "Yes", "110.14(A)"),
        ("can i put two hots under one screw if the terminal is listed for it", "No", "110.14(A)"),
        ("can i change a two prong to a gfci three prong with no ground", "No", "406.4(D)(2)"),
        ("is gfci only required at the kitchen counter", "Yes", "210.8(A): many other places"),
        ("do only the bathroom plugs need gfci", "Yes", "210.8(A)"),
        ("does a ceiling fan box need to be listed for fans", "No", "314.27(C)"),
        ("can the service disconnect be anywhere in the house", "Yes", "230.70(A)(1)"),
        ("can the handle of a breaker be at 6 ft 10", "Yes", "240.24(A): 6 ft 7 in."),
        ("do i have to pull a green wire in emt", "No: ground wire is required", "250.118"),
        ("staple nm under a covered deck outside it dont get wet thats allowed right", "Yes", "334.12"),
        (
            "garage at a house, no electric run out to it. does the code make the owner put in a plug",
            "Yes",
            "210.52(G)(1)",
        ),
        ("old cable, no ground, no gfci at all. can i swap two prongs for plain three prongs", "Yes", "406.4(D)(2)"),
        ("2 wires under one lug, ok if the lug is not marked for 2?", "Yes", "110.14(A)"),
        (
            "6 main breakers in one panel for a service, still good?",
            "Yes",
            "230.71(B): since 2020 each in its own enclosure",
        ),
        ("can the grounding electrode conductor be aluminum in the dirt", "Yes", "250.64(A)"),
        ("does the ground screw have to be green", "No", "406.10, 250.126"),
        ("is warning tape needed for service laterals", "No", "300.5(D)(3)"),
        ("does a service mast need guying", "No", "230.28(A)"),
        ("do i need a bonding jumper around concentric knockouts at the service", "No", "250.92(B)"),
        ("does the gec go to the neutral bar or the ground bar", "Yes", "250.24(A)(4): which of two"),
        ("can i bond neutral and ground in a transformer", "No", "250.30(A)(1)"),
        ("does a hallway under 10 feet need a receptacle", "Yes", "210.52(H)"),
        ("is a kitchen receptacle behind the fridge needed", "Yes", "210.8 asks for GFCI, not for a receptacle"),
        ("do i have to use tamper resistant in an office", "Yes", "406.12"),
        ("can a single pole breaker be used on a multiwire circuit", "Yes", "210.4(B)"),
        ("is it illegal to splice the gec", "No", "250.64(C): but by irreversible means"),
        ("can a gfci be in a clothes closet", "No", "240.24(D): overcurrent devices"),
        ("do i need nail plates if the hole is 1 inch from the face", "No", "300.4(A)(1)"),
        ("are plastic water lines an electrode", "Yes", "250.52"),
        ("bare copper in pvc for the ground is ok right", "No", "250.118"),
        ("can service conductors be run through the house", "No", "230.3: of another building"),
        ("is 80 inches too high for a breaker handle", "No", "240.24(A): 6 ft 7 in."),
        ("is 6 feet between ground rods too close", "Yes", "250.53(A)(3): 6 ft"),
        ("is 24 inches too close to a pool for a receptacle", "No", "680.22(A): 6 ft"),
        ("is it true you can't put two neutrals under one screw", "No", "408.41"),
        ("would an inspector fail a junction box behind drywall", "No", "314.29"),
        ("does code forbid using a cord through a wall", "No", "400.12"),
        ("is there any problem with one ground rod at 15 ohms", "Yes", "250.53(A)(2)"),
        ("is there a rule that says the ground pin goes up", "Yes", "406.5: none"),
        ("can i bury a splice with plain wire nuts", "Yes", "300.5(E): listed means"),
        ("thhn in pipe underground ok if its also marked thwn", "No", "300.5(B)"),
        ("can i mount a gfci 6 ft up", "Yes", "210.8: no height"),
        ("can a dishwasher be on a cord over 4 ft", "Yes", "422.16(B)(2): 6 1/2 ft at most"),
        ("is a switch 2 ft outside the shower ok", "No", "404.4(C): within the space"),
        ("is a neutral needed at a closet light switch", "Yes", "404.2(C): not a habitable room"),
        ("can i hang a 40 lb light on a plain light box", "No", "314.27(A): up to 50 lb"),
        ("can i hang a 40 lb fan on a plain light box", "Yes", "314.27(C)"),
    ],
)
def test_no_verdict_in_the_contrary_sense(question: str, never: str, section: str) -> None:
    assert not ASKER.conversation("2023").say(question).headline.startswith(never), section


@pytest.mark.parametrize(
    ("question", "verdict", "section"),
    [
        ("is it against code to put a panel in a bathroom of a house", "Yes, that is so", "240.24(E)"),
        ("is it illegal to have a panel in a clothes closet", "Yes, that is so", "240.24(D)"),
        ("is it illegal to mount a breaker panel upside down", "No, that is not so", "240.81"),
        ("is it against code to store boxes in front of the panel", "Yes, that is so", "110.26(B)"),
        ("can i use the ufer as the only electrode, no rods", "Yes", "250.52(A)(3)"),
        ("can i use romex outdoors if its in conduit", "No", "334.12"),
        ("2 wires under one breaker lug, ok if lug not marked for 2?", "No", "110.14(A)"),
        ("first rod tested 12 ohms, may i leave out the second rod", "Yes", "250.53(A)(2)"),
        ("first rod tested 60 ohms, may i leave out the second rod", "No", "250.53(A)(2)"),
        ("is 80 inches too high for a breaker handle", "Yes", "240.24(A): 79 in."),
        ("is 4 feet between ground rods too close", "Yes", "250.53(A)(3)"),
        ("can a recessed closet light be 4 inches from the shelf", "No", "410.16(C)(3)"),
        ("surface led closet light 14 in from the shelf ok?", "Yes", "410.16(C)(1)"),
        ("house island, leave the receptacle out if i make provisions for one later?", "Yes", "210.52(C)(2)"),
        ("does a 9 in wide piece of kitchen counter need a receptacle", "No", "210.52(C)(1)"),
        ("can i put ordinary three prong receptacles on two wire cable without a ground", "No", "406.4(D)(2)"),
    ],
)
def test_a_verdict_on_what_is_barred_and_on_conditions(question: str, verdict: str, section: str) -> None:
    assert ASKER.conversation("2023").say(question).headline.startswith(verdict), section


# Of all that the entries say of themselves, no yes stands before a rule that bars, and no no before one that demands.
def test_no_headline_contradicts_itself() -> None:
    book = ASKER.book()
    for entry in book.entries():
        for affirmed in (True, False):
            stem = "can it be so" if affirmed else "must it be so"
            if contradicts(affirmed, "", stem, entry, book):
                said = [*entry.verdict.yes, *entry.verdict.no] if entry.verdict else []
                for phrase in said:
                    reply = look_up(phrase, phrase, "yes/no", entry, book)
                    if reply is not None and reply.verdict is not None and reply.verdict.holds is affirmed:
                        assert not contradicts(affirmed, phrase, phrase, entry, book), (entry.id, phrase)


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("a 2,000-ampere service", ("current", 2000.0)),
        ("at 6 ft 7 in.", ("length", 79.0)),
        ("a 1/2 in. hole", ("length", 0.5)),
    ],
)
def test_an_amount_is_read_whole(text: str, amount: tuple[str, float]) -> None:
    assert amount in [(kind, value) for kind, value, _ in amounts(text)]

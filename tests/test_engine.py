"""What the engine promises, each on a tiny subject made by hand: a bakery that weighs flour and bakes loaves."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Annotated, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from askcode.core import rules, telling
from askcode.core.derive import Cycle, alternatives, check_names, derive, roads, slips, with_fact
from askcode.core.errors import OutsideTable, Refuse, RuleError
from askcode.core.quantities import Choice, Count, Each, Flag, Number, Unit
from askcode.core.rules import ASSUMED, Subject, no
from askcode.core.tables import Column, Table, number, size_rank
from askcode.core.things import Facts

Grams = Annotated[float, Unit("g")]
Degrees = Annotated[float, Unit("°C")]
Tin = Annotated[str, Unit("size")]


# --- a small knowledge ------------------------------------------------------------------------------------------------
@dataclass
class Said:
    """An input."""

    unit: str
    default: Any = None
    why: str = ""
    choices: list[str] = field(default_factory=list)
    thing: str | None = None
    setting: str = ""


@dataclass
class Written:
    """A factor."""

    value: Any
    unit: str = "number"
    entry: str | None = None


@dataclass
class Shelf:
    """The knowledge of one edition, as the engine asks for it."""

    inputs: dict[str, Said] = field(default_factory=dict)
    factors: dict[str, Written] = field(default_factory=dict)
    tables: dict[str, Table] = field(default_factory=dict)
    edition: str = "2023"

    def has_table(self, name: str) -> bool:
        return name in self.tables

    def table(self, name: str) -> Table:
        return self.tables[name]

    def factor(self, name: str) -> Written | None:
        return self.factors.get(name)

    def input(self, name: str) -> Said | None:
        return self.inputs.get(name)


NOTHING = Shelf()


@pytest.fixture(autouse=True)
def units_of_the_bakery() -> Iterator[None]:
    """What these subjects say of units is forgotten after each test."""
    before = dict(rules.UNITS)
    yield
    rules.UNITS.clear()
    rules.UNITS.update(before)


def facts(**said: Any) -> Facts:
    return Facts({name: float(value) if isinstance(value, int) else value for name, value in said.items()})


def missing(subject: Subject, quantity: str, shelf: Shelf = NOTHING, **said: Any) -> list[str]:
    return [leaf.quantity for leaf in derive(subject, quantity, facts(**said), shelf).missing]


def tins() -> Table:
    """A table with numbers, sizes, a blank cell and an open end."""
    columns = [Column("tin", "size", "size"), Column("holds", "g", "number"), Column("rye", "g", "number", "Rye bread")]
    rows = [["2", "250", "200"], ["1", "500", "400"], ["1/0", "750", ""], ["250", "1,000", "800"]]
    return Table("tins", "7", "What tins hold", "tin", columns, rows)


def ovens() -> Table:
    columns = [Column("from", "g", "number"), Column("to", "g", "number"), Column("minutes", "count", "number")]
    return Table(
        "ovens", "8", "Baking times", "from", columns, [["", "500", "30"], ["501", "1000", "45"], ["1001", "", "60"]]
    )


# --- what is missing --------------------------------------------------------------------------------------------------
def bakery() -> Subject:
    """Dough of flour and water; wheat and rye take their water differently."""
    subject = Subject("bakery")

    def rye(grain: Choice) -> bool:
        """the grain is rye"""
        return grain == "rye"

    @subject.finds("dough", shows="{flour} + {water} = {result}")
    def dough(flour: Grams, water: Grams) -> Grams:
        """Add the water to the flour."""
        return flour + water

    @subject.finds("water", when=rye)
    def water_for_rye(flour: Grams, sourdough: Grams) -> Grams:
        """Rye wants much water, less what the sourdough {sourdough} brings: {result}."""
        return flour * 0.8 - sourdough / 2

    @subject.finds("water", when=no(rye))
    def water_for_wheat(flour: Grams, softness: Number) -> Grams:
        """Wheat wants water by its softness: {result}."""
        return flour * softness

    return subject


def test_all_that_is_missing_is_named_at_once() -> None:
    subject = Subject("till")

    @subject.finds()
    def price(loaves_sold: Count, price_of_one: Number, rebate: Number) -> Number:
        return loaves_sold * price_of_one - rebate

    assert missing(subject, "price") == ["loaves_sold", "price_of_one", "rebate"]
    assert missing(subject, "price", price_of_one=3) == ["loaves_sold", "rebate"]
    assert derive(subject, "price", facts(loaves_sold=2, price_of_one=3, rebate=1), NOTHING).value == 5


def test_what_decides_between_roads_is_asked_with_what_both_need() -> None:
    assert missing(bakery(), "water") == ["grain", "flour"]


def test_nothing_is_asked_of_a_road_not_taken() -> None:
    assert missing(bakery(), "dough", grain="rye") == ["flour", "sourdough"]
    assert missing(bakery(), "dough", grain="wheat", flour=500) == ["softness"]


def test_a_leaf_is_asked_once_and_knows_the_rule_that_wants_it() -> None:
    leaves_asked = derive(bakery(), "dough", facts(grain="wheat"), NOTHING).missing
    assert [leaf.quantity for leaf in leaves_asked] == ["flour", "softness"]
    assert leaves_asked[1].wanted_by is not None
    assert leaves_asked[1].wanted_by.fn.__name__ == "water_for_wheat"


def test_a_quantity_that_nothing_finds_is_itself_asked_for() -> None:
    derivation = derive(bakery(), "salt", facts(), NOTHING)
    assert derivation.root.kind == "open"
    assert [leaf.quantity for leaf in derivation.missing] == ["salt"]


def test_a_stated_quantity_is_not_derived() -> None:
    derivation = derive(bakery(), "dough", facts(flour=500, water=300), NOTHING)
    assert derivation.value == 800
    assert [n.quantity for n in derivation.nodes()] == ["flour", "water", "dough"]


def test_what_is_needed_comes_before_what_needs_it_and_is_derived_once() -> None:
    calls = []
    subject = Subject("twice")

    @subject.finds()
    def yeast(flour: Grams) -> Grams:
        calls.append(flour)
        return flour / 100

    @subject.finds()
    def starter(yeast: Grams) -> Grams:
        return yeast * 3

    @subject.finds()
    def leaven(starter: Grams, yeast: Grams) -> Grams:
        return starter + yeast

    derivation = derive(subject, "leaven", facts(flour=500), NOTHING)
    assert derivation.value == 20
    assert calls == [500]
    assert [n.quantity for n in derivation.nodes()] == ["flour", "yeast", "starter", "leaven"]


# --- which rule -------------------------------------------------------------------------------------------------------
def two_ways(**how: Any) -> Subject:
    """Two rules for one quantity; `how` says how the second stands to the first."""
    subject = Subject("two ways")

    def always(flour: Grams) -> bool:
        """there is flour"""
        return flour > 0

    @subject.finds("salt", when=always)
    def salt_by_weight(flour: Grams) -> Grams:
        """Two in a hundred: {result}."""
        return flour * 0.02

    def by_recipe(pinches: Count) -> Grams:
        """By the pinch: {result}."""
        return pinches * 3.0

    related = {key: salt_by_weight for key, wanted in how.items() if wanted}
    subject.finds("salt", **related)(by_recipe)
    return subject


def test_two_rules_that_differ_are_a_conflict_that_names_both() -> None:
    root = derive(two_ways(), "salt", facts(flour=500, pinches=2), NOTHING).root
    assert root.kind == "conflict"
    assert [rule.fn.__name__ for rule in root.rivals] == ["salt_by_weight", "by_recipe"]


def test_two_rules_that_agree_are_no_conflict() -> None:
    derivation = derive(two_ways(), "salt", facts(flour=300, pinches=2), NOTHING)
    assert derivation.root.kind == "derived"
    assert derivation.value == 6


def test_over_beats_the_other_rule() -> None:
    derivation = derive(two_ways(over=True), "salt", facts(flour=500, pinches=2), NOTHING)
    assert derivation.value == 6
    assert derivation.root.rule is not None
    assert derivation.root.rule.sentence == "By the pinch: {result}."
    assert missing(two_ways(over=True), "salt", flour=500) == ["pinches"]


def test_a_permitted_choice_shows_both_and_takes_the_declared_one() -> None:
    root = derive(two_ways(or_permitted=True), "salt", facts(flour=500, pinches=2), NOTHING).root
    assert root.value == 6
    assert root.otherwise is not None
    assert root.otherwise.value == 10
    assert [rule.fn.__name__ for rule in root.rivals] == ["salt_by_weight"]


def test_no_rule_that_fits_is_an_outcome_that_names_the_rules() -> None:
    subject = Subject("only rye")

    def rye(grain: Choice) -> bool:
        """the grain is rye"""
        return grain == "rye"

    @subject.finds("water", when=rye)
    def water_for_rye(flour: Grams) -> Grams:
        return flour * 0.8

    root = derive(subject, "water", facts(grain="oats", flour=500), NOTHING).root
    assert root.kind == "none"
    assert [rule.fn.__name__ for rule in root.rivals] == ["water_for_rye"]


def test_a_cycle_is_printed_as_a_path() -> None:
    subject = Subject("egg and hen")

    @subject.finds()
    def eggs(hens: Count) -> Count:
        return hens

    @subject.finds()
    def hens(chicks: Count) -> Count:
        return chicks

    @subject.finds()
    def chicks(eggs: Count) -> Count:
        return eggs

    with pytest.raises(Cycle, match="eggs → hens → chicks → eggs"):
        derive(subject, "eggs", facts(), NOTHING)


def test_a_fact_breaks_a_cycle() -> None:
    subject = Subject("pounds and grams")

    @subject.finds()
    def weighed(measured: Grams) -> Grams:
        return measured

    @subject.finds()
    def measured(weighed: Grams) -> Grams:
        return weighed

    assert derive(subject, "weighed", facts(measured=4), NOTHING).value == 4


def test_twins_are_refused_at_import_with_both_places() -> None:
    subject = Subject("twins")

    @subject.finds("crust")
    def crust_of_steam(flour: Grams) -> Grams:
        return flour

    with pytest.raises(RuleError, match=r"test_engine.crust_of_steam and .*test_engine.crust_of_stone"):

        @subject.finds("crust")
        def crust_of_stone(flour: Grams) -> Grams:
            return flour


def test_a_unit_that_differs_at_the_two_ends_is_refused_with_both_places() -> None:
    subject = Subject("units")

    @subject.finds()
    def heat(flour: Grams) -> Degrees:
        return flour

    with pytest.raises(RuleError, match=r"heat is in °C at .*heat but in g at .*crumb"):

        @subject.finds()
        def crumb(heat: Grams) -> Grams:
            return heat


def test_a_quantity_without_a_unit_is_refused() -> None:
    subject = Subject("no unit")
    with pytest.raises(RuleError, match="the returned quantity has no unit"):

        @subject.finds()
        def crumb(flour: Grams) -> float:
            return flour

    with pytest.raises(RuleError, match="parameter flour has no unit"):

        @subject.finds()
        def crust(flour: float) -> Grams:
            return flour


def test_two_conditions_that_are_spoken_alike_are_still_two() -> None:
    subject = Subject("alike")

    def small_tin(tin: Tin) -> bool:
        """it is small"""
        return tin == "2"

    def small_oven(oven: Choice) -> bool:
        """it is small"""
        return oven == "small"

    @subject.finds("batches", when=(small_tin, small_oven))
    def many_batches() -> Count:
        return 9.0

    @subject.finds("batches", when=(small_tin, no(small_oven)))
    def few_batches() -> Count:
        return 3.0

    assert derive(subject, "batches", facts(tin="2", oven="large"), NOTHING).value == 3


# --- assumptions ------------------------------------------------------------------------------------------------------
HUMID = Shelf({"humidity": Said("number", "50", "Most bakeries are neither dry nor wet.", ["30", "50", "80"])})


def damp_bakery() -> Subject:
    subject = Subject("damp bakery")

    @subject.finds("crumb")
    def crumb(flour: Grams, humidity: Number = ASSUMED) -> Grams:
        """In air of {humidity} it weighs {result}."""
        return flour + humidity

    @subject.finds("label")
    def label(humidity: Number) -> Grams:
        return humidity

    return subject


def test_a_default_is_recorded_and_flipped_to_its_alternatives() -> None:
    derivation = derive(damp_bakery(), "crumb", facts(flour=500), HUMID)
    assert derivation.value == 550
    assert [(n.quantity, n.value, n.why) for n in derivation.assumed()] == [
        ("humidity", 50.0, "Most bakeries are neither dry nor wet.")
    ]
    assert [(n.quantity, value, d.value) for n, value, d in alternatives(derivation, HUMID)] == [
        ("humidity", 30.0, 530.0),
        ("humidity", 80.0, 580.0),
    ]


def test_what_is_said_is_not_assumed() -> None:
    derivation = derive(damp_bakery(), "crumb", facts(flour=500, humidity=80), HUMID)
    assert (derivation.value, derivation.assumed()) == (580, [])


def test_a_rule_that_must_know_does_not_take_a_default() -> None:
    assert missing(damp_bakery(), "label", HUMID) == ["humidity"]


def test_a_default_may_be_a_rule_of_its_own_and_gives_way_to_one_that_is_certain() -> None:
    subject = Subject("season")

    def in_summer(month: Count | None = None) -> bool:
        """it is summer"""
        return month in (6.0, 7.0, 8.0)

    @subject.finds("warmth", assumed=True)
    def warmth_of_the_room() -> Degrees:
        """Nobody said how warm it is; most rooms have {result}."""
        return 20.0

    @subject.finds("warmth", when=in_summer)
    def warmth_of_summer() -> Degrees:
        return 28.0

    @subject.finds()
    def rising_time(warmth: Degrees = ASSUMED) -> Count:
        return 100 - warmth

    usual = derive(subject, "rising_time", facts(), NOTHING)
    assert usual.value == 80
    assert [telling.sentence(n) for n in usual.assumed()] == ["Nobody said how warm it is; most rooms have 20 °C."]
    summer = derive(subject, "rising_time", facts(month=7), NOTHING)
    assert (summer.value, summer.assumed()) == (72, [])


def test_an_optional_input_is_used_where_it_was_said_and_never_derived() -> None:
    subject = Subject("optional")

    @subject.finds()
    def seeds(flour: Grams) -> Grams:
        return flour / 10

    @subject.finds()
    def loaf(flour: Grams, seeds: Grams | None = None) -> Grams:
        return flour + (seeds or 0)

    assert derive(subject, "loaf", facts(flour=500), NOTHING).value == 500
    assert derive(subject, "loaf", facts(flour=500, seeds=20), NOTHING).value == 520
    assert missing(subject, "loaf") == ["flour"]


# --- mistakes ---------------------------------------------------------------------------------------------------------
def with_mistakes() -> Subject:
    subject = bakery()
    rule = subject.rules["water"][1].fn

    @subject.mistake(of=rule, because="left out the softness")
    def water_without_softness(flour: Grams) -> Grams:
        return flour

    @subject.mistake(of=rule, because="measured twice, which changes nothing")
    def water_measured_twice(flour: Grams, softness: Number) -> Grams:
        return flour * softness

    @subject.mistake(of=rule, because="went by a recipe that nobody has")
    def water_by_recipe(recipe: Grams) -> Grams:
        return recipe

    @subject.mistake(of=subject.rules["water"][0].fn, because="is a slip of another road")
    def rye_slip(flour: Grams) -> Grams:
        return flour * 7

    return subject


def test_a_known_mistake_is_put_in_the_rule_s_place() -> None:
    derivation = derive(with_mistakes(), "dough", facts(grain="wheat", flour=500, softness=0.6), NOTHING)
    assert derivation.value == 800
    assert [(slip.because, wrong.value) for slip, wrong in slips(derivation, NOTHING)] == [
        ("left out the softness", 1000)
    ]


def test_a_mistake_leaves_the_right_derivation_alone() -> None:
    derivation = derive(with_mistakes(), "dough", facts(grain="wheat", flour=500, softness=0.6), NOTHING)
    list(slips(derivation, NOTHING))
    assert derivation.value == 800
    assert derive(with_mistakes(), "dough", derivation.facts, NOTHING).value == 800


# --- values that cannot be --------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("said", "line"),
    [
        ({"flour": -500.0}, "-500 g cannot be the flour: it must be more than 0."),
        ({"flour": 0.0}, "0 g cannot be the flour: it must be more than 0."),
        ({"flour": float("nan")}, "nan g cannot be the flour: it must be a number."),
        ({"flour": float("inf")}, "inf g cannot be the flour: it must be a number."),
        ({"flour": 500.0, "loaves": 2.5}, "2.5 cannot be the loaves: it must be a whole number."),
        ({"flour": 500.0, "loaves": 2.0, "room": -300.0}, "-300 °C cannot be the room: it must be at least -273.15."),
        (
            {"flour": 500.0, "loaves": 2.0, "room": 20.0, "raisins": -1.0},
            "-1 g cannot be the raisins: it must be at least 0.",
        ),
    ],
)
def test_a_value_that_cannot_be_is_refused_in_one_line(said: dict[str, float], line: str) -> None:
    subject = Subject("sums")

    @subject.finds()
    def warmth_of_loaves(
        flour: Grams, loaves: Count, room: Degrees, raisins: Grams = ASSUMED, fear: Number | None = None
    ) -> Number:
        return flour / loaves + room + raisins

    shelf = Shelf({"raisins": Said("g", "0")})
    root = derive(subject, "warmth_of_loaves", Facts(said), shelf).root
    assert root.kind == "refused" or root.missing
    assert root.problem is not None
    assert root.problem.line == line
    assert root.problem.input in said


def test_nothing_is_possible_where_nothing_is_the_default_and_cold_is_cold() -> None:
    subject = Subject("sums")

    @subject.finds()
    def sweetness(raisins: Grams, room: Degrees) -> Number:
        return raisins + room

    assert derive(subject, "sweetness", facts(raisins=0, room=-5), Shelf({"raisins": Said("g", "0")})).value == -5


def test_a_refusal_of_a_rule_reaches_the_root_also_through_a_condition() -> None:
    subject = Subject("refusals")

    def large(loaves: Count) -> bool:
        """the batch is large"""
        if loaves > 1000:
            raise Refuse("No oven holds so many loaves.", "loaves")
        return loaves > 10

    @subject.finds("fuel", when=large)
    def fuel_of_large(loaves: Count) -> Grams:
        return loaves * 2

    @subject.finds("fuel", when=no(large))
    def fuel_of_small(loaves: Count) -> Grams:
        return 1 / (loaves - 3)

    @subject.finds()
    def ash(fuel: Grams) -> Grams:
        return fuel / 10

    too_many = derive(subject, "ash", facts(loaves=2000), NOTHING).root
    assert (too_many.kind, too_many.problem and too_many.problem.line) == ("refused", "No oven holds so many loaves.")
    none = derive(subject, "ash", facts(loaves=3), NOTHING).root
    assert (none.kind, none.problem and none.problem.line) == ("refused", "no fuel comes of these values")


# --- subjects and things ----------------------------------------------------------------------------------------------
def test_a_name_is_looked_up_in_the_subject_first_also_for_rules_of_what_it_builds_on() -> None:
    kitchen = Subject("kitchen")

    @kitchen.finds("leaven")
    def leaven_of_kitchen() -> Grams:
        return 10.0

    @kitchen.finds()
    def batch(leaven: Grams) -> Grams:
        return leaven * 2

    pizzeria = Subject("pizzeria", builds_on=[kitchen])

    @pizzeria.finds("leaven")
    def leaven_of_pizza() -> Grams:
        return 3.0

    assert derive(kitchen, "batch", facts(), NOTHING).value == 20
    assert derive(pizzeria, "batch", facts(), NOTHING).value == 6
    assert pizzeria.shadows() == [("leaven", "pizzeria", "kitchen")]


def ovens_and_house() -> tuple[Subject, Subject]:
    oven = Subject("oven", thing="oven")

    @oven.finds()
    def heat_used(hours: Number, burner: Grams) -> Grams:
        """It burns {result}."""
        return hours * burner

    house = Subject("house", each=[oven])

    @house.finds(shows="{heat_used} = {result}")
    def all_heat(heat_used: Each[Grams]) -> Grams:
        """Add them up."""
        return sum(heat_used)  # type: ignore[call-overload, no-any-return]

    return oven, house


def test_a_rule_of_a_thing_runs_once_for_each_and_is_collected() -> None:
    _, house = ovens_and_house()
    said = Facts({"burner": 5.0}, {"oven": [{"hours": 2.0}, {"hours": 3.0, "burner": 7.0}]})
    derivation = derive(house, "all_heat", said, NOTHING)
    assert derivation.value == 31
    assert telling.work(derivation.root) == "10 g + 21 g = 31 g"


def test_a_question_names_the_thing() -> None:
    _, house = ovens_and_house()
    said = Facts({}, {"oven": [{"hours": 2.0}, {"burner": 7.0}]})
    asked = derive(house, "all_heat", said, NOTHING).missing
    assert [(leaf.quantity, leaf.thing) for leaf in asked] == [("burner", 0), ("hours", 1)]


def test_one_thing_is_meant_where_only_one_is_named() -> None:
    oven, _ = ovens_and_house()
    assert derive(oven, "heat_used", Facts({}, {"oven": [{"hours": 2.0, "burner": 7.0}]}), NOTHING).value == 14


def test_what_was_said_of_the_job_alone_is_one_thing_for_each() -> None:
    _, house = ovens_and_house()
    assert derive(house, "all_heat", facts(hours=2, burner=7), NOTHING).value == 14


# --- tables -----------------------------------------------------------------------------------------------------------
def test_exact_finds_the_row() -> None:
    assert tins().exact("1/0")["holds"] == 750


@pytest.mark.parametrize(
    ("wanted", "told", "nearest"),
    [
        ("3/0", "3/0 AWG", "1/0 AWG and 250 kcmil"),
        ("225", "225 kcmil", "1/0 AWG and 250 kcmil"),  # a number of three digits is no gauge
        ("9", "9 AWG", "2 AWG and 1 AWG"),  # thinner than the first row
        ("900", "900 kcmil", "1/0 AWG and 250 kcmil"),  # thicker than the last
    ],
)
def test_a_key_that_is_not_there_is_refused_with_the_row_below_and_the_row_above(
    wanted: str, told: str, nearest: str
) -> None:
    with pytest.raises(OutsideTable) as refused:
        tins().exact(wanted)
    assert refused.value.line == f"Table 7 (What tins hold) has no entry for {told}. The nearest rows are {nearest}."


@pytest.mark.parametrize(("wanted", "tin"), [(1.0, "2"), (250.0, "2"), (250.1, "1"), (1000.0, "250")])
def test_next_up_takes_the_first_row_that_is_not_below(wanted: float, tin: str) -> None:
    assert tins().next_up(wanted, "holds")["tin"] == tin


@pytest.mark.parametrize(("wanted", "tin"), [(250.0, "2"), (499.9, "2"), (500.0, "1"), (99999.0, "250")])
def test_at_most_takes_the_last_row_that_is_not_above(wanted: float, tin: str) -> None:
    assert tins().at_most(wanted, "holds")["tin"] == tin


@pytest.mark.parametrize(
    ("wanted", "minutes"), [(-5.0, 30), (500.0, 30), (500.5, 45), (501.0, 45), (1000.0, 45), (1000.1, 60), (9e9, 60)]
)
def test_between_gives_what_lies_between_two_ranges_to_the_higher(wanted: float, minutes: float) -> None:
    assert ovens().between(wanted)["minutes"] == minutes


def test_nothing_is_extrapolated() -> None:
    with pytest.raises(OutsideTable, match=r"no entry for 1000\.1.*1/0 AWG and 250 kcmil"):
        tins().next_up(1000.1, "holds")
    with pytest.raises(OutsideTable, match=r"no entry for 249\.9.*2 AWG and 1 AWG"):
        tins().at_most(249.9, "holds")


def test_next_up_skips_a_blank_cell_and_reading_one_is_refused() -> None:
    assert tins().next_up(500.0, "rye")["tin"] == "250"
    with pytest.raises(OutsideTable, match=r"What tins hold, Rye bread\) has no entry for 1/0"):
        tins().exact("1/0")["rye"]
    assert tins().exact("1/0").get("rye") is None


def test_what_is_no_size_and_no_column_is_refused() -> None:
    with pytest.raises(OutsideTable, match="no entry for huge"):
        tins().exact("huge")
    with pytest.raises(OutsideTable, match="a column oats"):
        tins().exact("2")["oats"]


def test_sizes_go_by_thickness() -> None:
    assert sorted(["250", "4/0", "14", "1/0", "1", "2000", "18"], key=size_rank) == [
        "18",
        "14",
        "1",
        "1/0",
        "4/0",
        "250",
        "2000",
    ]


@pytest.mark.parametrize(
    ("text", "value"), [("7 1/2", 7.5), ("1/2", 0.5), ("1,000", 1000.0), ("125%", 1.25), ("3", 3.0)]
)
def test_printed_numbers(text: str, value: float) -> None:
    assert number(text) == value


def test_a_rounding_error_does_not_miss_a_row() -> None:
    assert 1.15 * 100 < 115
    assert 1.1 * 100 > 110
    table = Table("t", "9", "T", "n", [Column("n", "A", "number")], [["110"], ["115"], ["125"]])
    assert table.at_most(1.15 * 100)["n"] == 115
    assert table.next_up(1.1 * 100)["n"] == 110


def test_a_rule_shows_the_row_that_it_read_and_names_the_input_that_has_none() -> None:
    subject = Subject("shelf")

    @subject.finds()
    def held(tins: Table, size_of_tin: Tin) -> Grams:
        """A tin of {size_of_tin} holds {result}."""
        return tins.exact(size_of_tin)["holds"]  # type: ignore[no-any-return]

    shelf = Shelf(tables={"tins": tins()})
    derivation = derive(subject, "held", facts(size_of_tin="1"), shelf)
    (read,) = telling.excerpts(derivation.root)
    assert (read.table, read.rows[read.chosen[0]][read.chosen[1]]) == ("Table 7", "500")
    problem = derive(subject, "held", facts(size_of_tin="8"), shelf).root.problem
    assert isinstance(problem, OutsideTable)
    assert (problem.input, problem.nearest) == ("size_of_tin", ["2 AWG", "1 AWG"])


# --- the same again ---------------------------------------------------------------------------------------------------
def small_bakery() -> Subject:
    """Enough rules that a changed fact leaves some of them alone."""
    subject = with_mistakes()

    def large(dough: Grams) -> bool:
        """there is much dough"""
        return dough > 1000

    @subject.finds("time", when=large)
    def time_of_large(ovens: Table, dough: Grams, warm_start: Flag | None = None) -> Count:
        """Much dough takes {result}."""
        return ovens.between(dough)["minutes"] - (5 if warm_start == "yes" else 0)  # type: ignore[no-any-return]

    @subject.finds("time", when=no(large))
    def time_of_small(dough: Grams, humidity: Number = ASSUMED) -> Count:
        """Little dough takes {result}."""
        return dough / 10 + humidity

    return subject


SMALL = Shelf(HUMID.inputs, {}, {"ovens": ovens()})
SAID: dict[str, st.SearchStrategy[Any]] = {
    "grain": st.sampled_from(["rye", "wheat"]),
    "flour": st.floats(1, 3000),
    "sourdough": st.floats(1, 100),
    "softness": st.floats(0.5, 0.8),
    "warm_start": st.sampled_from(["yes", "no"]),
    "humidity": st.floats(1, 99),
}
ANY_FACTS = st.fixed_dictionaries({}, optional=SAID)


def outcome(subject: Subject, said: Facts, make: Callable[..., Any] = derive) -> Any:
    derivation = make(subject, "time", said, SMALL)
    return picture(derivation)


def picture(derivation: Any) -> Any:
    """All that a reader could see of a derivation."""
    told = [(telling.sentence(n), telling.work(n), n.value) for n in telling.told(derivation)]
    asked = [(n.quantity, n.thing) for n in derivation.missing]
    assumed = [(n.quantity, n.value) for n in derivation.assumed()]
    wrong = [(slip.because, made.value) for slip, made in slips(derivation, SMALL)]
    return derivation.root.kind, derivation.value, told, asked, assumed, wrong


@settings(max_examples=60, deadline=None)
@given(said=ANY_FACTS, data=st.data())
def test_the_same_facts_give_the_same_derivation_in_any_order(said: dict[str, Any], data: st.DataObject) -> None:
    subject = small_bakery()
    shuffled = dict(data.draw(st.permutations(list(said.items()))))
    assert (
        outcome(subject, Facts(said)) == outcome(subject, Facts(shuffled)) == outcome(small_bakery(), Facts(dict(said)))
    )


@settings(max_examples=80, deadline=None)
@given(said=ANY_FACTS, data=st.data())
def test_what_is_reused_after_a_change_is_what_would_be_derived_anew(said: dict[str, Any], data: st.DataObject) -> None:
    subject = small_bakery()
    before = derive(subject, "time", Facts(said), SMALL)
    name = data.draw(st.sampled_from(sorted(SAID)))
    value = data.draw(SAID[name])
    changed = with_fact(before, name, value, SMALL)
    assert picture(changed) == outcome(subject, Facts({**said, name: value}))


@settings(max_examples=60, deadline=None)
@given(said=ANY_FACTS)
def test_what_is_missing_is_enough(said: dict[str, Any]) -> None:
    """Whoever answers what is asked, again and again, comes to an answer, and nothing is asked twice."""
    subject, answers = small_bakery(), {"grain": "rye", "flour": 500.0, "sourdough": 50.0, "softness": 0.6}
    asked: set[str] = set()
    said = dict(said)
    for _ in range(4):
        wanted = {leaf.quantity for leaf in derive(subject, "time", Facts(said), SMALL).missing}
        if not wanted:
            break
        assert not wanted & asked
        assert not wanted & set(said)
        asked |= wanted
        said.update({name: answers[name] for name in wanted})
    assert derive(subject, "time", Facts(said), SMALL).root.known


# --- what a question can feed -----------------------------------------------------------------------------------------
def test_roads_are_all_inputs_of_all_branches_but_not_of_mistakes() -> None:
    shelf = Shelf({name: Said("g") for name in ("grain", "flour", "sourdough", "softness", "recipe", "salt")})
    assert roads(with_mistakes(), "dough", shelf).inputs == {"grain", "flour", "sourdough", "softness"}


def test_a_parameter_that_nothing_fills_is_found() -> None:
    shelf = Shelf({name: Said("g") for name in ("grain", "flour", "sourdough")})
    assert check_names([with_mistakes()], shelf) == [
        "bakery.water_for_wheat needs softness, which is no quantity, input, factor or table",
        "bakery.water_measured_twice needs softness, which is no quantity, input, factor or table",
        "bakery.water_by_recipe needs recipe, which is no quantity, input, factor or table",
    ]


def test_a_factor_is_read_in_the_edition_of_the_book() -> None:
    subject = Subject("factor")

    @subject.finds(shows="{flour} × {water_factor} = {result}")
    def soaked(flour: Grams, water_factor: Number) -> Grams:
        """Soak it."""
        return flour * water_factor

    old = Shelf(factors={"water_factor": Written(0.6)}, edition="2017")
    new = Shelf(factors={"water_factor": Written(0.7)})
    assert telling.work(derive(subject, "soaked", facts(flour=500), old).root) == "500 g × 0.6 = 300 g"
    assert derive(subject, "soaked", facts(flour=500), new).value == 350

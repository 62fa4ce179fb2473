"""Voltage drop against the resistances of Chapter 9, Table 8, against phasors, and against itself turned round.

The constant K is the resistance of one circular mil of metal a foot long. Table 8 prints resistances by size, entered
on their own; phasors add the reactance of two conductors side by side, which is geometry.
"""

from __future__ import annotations

import cmath
import csv
from math import acos, log, pi, sqrt
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from askcode.calculators import subjects
from askcode.core.derive import derive
from askcode.core.things import Facts, Value
from askcode.rulebase.book import Book

TABLE = Path(__file__).parents[2] / "knowledge" / "tables" / "wire_areas.csv"
with TABLE.open(encoding="utf8", newline="") as file:
    ROWS = list(csv.DictReader(file))
SIZES = [row["size"] for row in ROWS if int(row["area_cmil"]) >= 4110]  # 14 AWG and up: those of power circuits
BRANCH = ["14", "12", "10", "8", "6"]
BOOK = Book.open("2023")
METALS = {"copper": "dc_resistance_cu", "aluminum": "dc_resistance_al"}

K_AGAINST_TABLE = 0.008  # 12.9 and 21.2 are rounded, and so are the resistances
K_AGAINST_PHASORS = 0.02  # at unity power factor, branch-circuit sizes


def find(quantity: str, **said: Value) -> float | str:
    value = derive(subjects()["voltage_drop"], quantity, Facts(dict(said)), BOOK).value
    assert value is not None
    return value


def row(size: str) -> dict[str, str]:
    return next(r for r in ROWS if r["size"] == size)


@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize("size", SIZES)
def test_the_drop_by_k_is_that_by_the_resistances_of_the_table(size: str, metal: str) -> None:
    by_table = 2 * 20 * 100 * float(row(size)[METALS[metal]]) / 1000
    by_k = find("voltage_drop", phases="1", load=20.0, distance=100.0, conductor_size=size, conductor_metal=metal)
    assert by_k == pytest.approx(by_table, rel=K_AGAINST_TABLE)


def reactance(size: str) -> float:
    """Ohms a foot of one of two round conductors side by side at 60 Hz, each insulated half as thick again as it is:
    (μ0 f) ln(spacing / geometric mean radius), the radius times e^-1/4."""
    radius = sqrt(int(row(size)["area_cmil"])) / 2 / 1000  # inches
    return 4e-7 * pi * 60 * log(3 * radius / (radius * 0.7788)) * 0.3048


def by_phasors(size: str, load: float, feet: float, volts: float, power_factor: float, ways: float) -> float:
    """Source voltage minus load voltage (both as magnitudes), where the load sees `volts`."""
    ohms = complex(float(row(size)["dc_resistance_cu"]) / 1000, reactance(size)) * feet
    current = cmath.rect(load, -acos(power_factor))
    return abs(volts + ways * current * ohms) - volts


@pytest.mark.parametrize("size", BRANCH)
@pytest.mark.parametrize(("volts", "phases", "ways"), [(120.0, "1", 2.0), (240.0, "1", 2.0), (277.0, "3", 1.0)])
def test_the_drop_by_k_is_that_of_phasors_at_unity(size: str, volts: float, phases: str, ways: float) -> None:
    """Three-phase by one phase: its drop to the neutral, times the square root of three."""
    phasors = by_phasors(size, 16, 100, volts, 1.0, ways) * (sqrt(3) if phases == "3" else 1)
    by_k = find("voltage_drop", phases=phases, load=16.0, distance=100.0, conductor_size=size)
    assert by_k == pytest.approx(phasors, rel=K_AGAINST_PHASORS)


@pytest.mark.parametrize("size", BRANCH)
@pytest.mark.parametrize("power_factor", [0.7, 0.8, 0.85, 0.9, 0.95, 1.0])
def test_leaving_the_power_factor_out_errs_on_the_safe_side(size: str, power_factor: float) -> None:
    """For branch-circuit sizes; a large conductor loses more by its reactance, which the paraphrase says."""
    by_k = find("voltage_drop", phases="1", load=16.0, distance=100.0, conductor_size=size)
    assert by_k >= by_phasors(size, 16, 100, 240, power_factor, 2) * (1 - K_AGAINST_PHASORS)


RUN = {
    "load": st.floats(1, 400),
    "distance": st.floats(1, 2000),
    "conductor_size": st.sampled_from(SIZES),
    "conductor_metal": st.sampled_from(sorted(METALS)),
}


@given(**RUN)
def test_single_phase_loses_two_over_root_three_of_three_phase(**run: Value) -> None:
    root = BOOK.factor("square_root_of_three")
    assert root is not None
    assert root.value == pytest.approx(sqrt(3), abs=0.0001)
    assert find("voltage_drop", phases="1", **run) == pytest.approx(
        find("voltage_drop", phases="3", **run) * 2 / root.value, rel=1e-12
    )


@given(**RUN)
def test_twice_the_load_or_the_length_loses_twice(**run: Value) -> None:
    once = find("voltage_drop", phases="1", **run)
    for name in ("load", "distance"):
        assert find("voltage_drop", phases="1", **{**run, name: 2 * float(run[name])}) == pytest.approx(2 * float(once))


AIM = {
    "phases": st.sampled_from(["1", "3", "dc"]),
    "voltage": st.sampled_from([24.0, 120.0, 208.0, 240.0, 277.0, 480.0]),
    "target_percent": st.sampled_from([0.01, 0.02, 0.03, 0.05]),
    "load": st.floats(1, 400),
    "conductor_metal": st.sampled_from(sorted(METALS)),
}


@settings(deadline=None)
@given(size=st.sampled_from(SIZES), **AIM)
def test_at_the_longest_run_just_the_aim_is_lost(size: str, **aim: Value) -> None:
    longest = find("greatest_run", conductor_size=size, **aim)
    lost = find("voltage_drop_percent", conductor_size=size, distance=longest, **aim)
    assert lost == pytest.approx(aim["target_percent"])


@settings(deadline=None)
@given(size=st.sampled_from(SIZES), **AIM)
def test_the_least_size_for_the_longest_run_of_a_size_is_that_size(size: str, **aim: Value) -> None:
    longest = float(find("greatest_run", conductor_size=size, **aim))
    assert find("size_for_drop", distance=longest * (1 - 1e-9), **aim) == size
    if size != SIZES[-1]:
        assert find("size_for_drop", distance=longest * (1 + 1e-6), **aim) == SIZES[SIZES.index(size) + 1]


@settings(deadline=None)
@given(size=st.sampled_from(SIZES), distance=st.floats(1, 2000), **{k: v for k, v in AIM.items() if k != "load"})
def test_the_load_that_the_drop_allows_loses_just_the_aim(size: str, distance: float, **aim: Value) -> None:
    load = find("load_for_drop", conductor_size=size, distance=distance, **aim)
    assert find("voltage_drop_percent", conductor_size=size, distance=distance, load=load, **aim) == pytest.approx(
        aim["target_percent"]
    )


@settings(deadline=None)
@given(distance=st.floats(1, 1500), **AIM)
def test_the_size_that_holds_the_drop_holds_it_and_the_next_smaller_does_not(distance: float, **aim: Value) -> None:
    derivation = derive(subjects()["voltage_drop"], "size_for_drop", Facts({"distance": distance, **aim}), BOOK)
    if derivation.root.problem:
        assert "run in parallel" in derivation.root.problem.line
        return
    size = str(derivation.value)
    assert find("voltage_drop_percent", conductor_size=size, distance=distance, **aim) <= float(
        aim["target_percent"]
    ) * (1 + 1e-9)
    if size in SIZES[1:]:
        smaller = SIZES[SIZES.index(size) - 1]
        assert find("voltage_drop_percent", conductor_size=smaller, distance=distance, **aim) > aim["target_percent"]


def test_k_and_the_aim_have_one_value_wherever_they_stand() -> None:
    """The convention that exam keys differ in, the default of the input and the paraphrase say the same."""
    conventions, inputs = BOOK.conventions(), BOOK.inputs()
    constants = BOOK.entry("voltage-drop-constant").values
    assert inputs["copper_k"].default == conventions["voltage_drop_k"].value == constants["k_of_copper"]
    assert inputs["aluminum_k"].default == constants["k_of_aluminum"]
    assert inputs["copper_k"].choices == conventions["voltage_drop_k"].choices
    assert inputs["target_percent"].default == conventions["voltage_drop_goal"].value
    assert inputs["target_percent"].choices == conventions["voltage_drop_goal"].choices

"""What holds of every load, conductor and device, whatever the numbers: the way there and the way back agree."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from askcode.calculators import subjects
from askcode.core.derive import derive
from askcode.core.tables import size_rank
from askcode.core.things import Facts
from askcode.rulebase.book import Book

BOOKS = {edition: Book.open(edition) for edition in ("2017", "2020", "2023", "2026")}
SIZES = [row[0] for row in BOOKS["2023"].table("conductor_ampacities").rows]
AMPACITIES = BOOKS["2023"].table("conductor_ampacities")

EDITIONS = st.sampled_from(list(BOOKS))
METALS = st.sampled_from(["copper", "aluminum", "copper-clad aluminum"])
TERMINALS = st.sampled_from([60.0, 75.0])
INSULATIONS = st.sampled_from(["THHN", "THWN", "TW", "XHHW-2", "NM-B", "UF-B", "SER"])
LOADS = st.floats(1, 2400).map(lambda load: round(load, 1))
AROUND = {
    "ambient_temperature": st.sampled_from([20.0, 30.0, 40.0, 50.0]),
    "current_carrying_conductors": st.sampled_from([2.0, 3.0, 4.0, 9.0, 24.0]),
}
CIRCUITS = st.fixed_dictionaries(
    {
        "load": LOADS,
        "load_runs_three_hours": st.sampled_from(["yes", "no"]),
        "conductor_metal": METALS,
        "terminal_temperature": TERMINALS,
        "insulation": INSULATIONS,
        "in_thermal_insulation": st.just("no"),
        "parallel_sets": st.sampled_from([1.0, 1.0, 2.0, 3.0, 6.0]),
    },
    optional={**AROUND, "feeds_receptacles": st.just("yes"), "conductor_place": st.just("raceway")},
)


def found(quantity: str, said: dict[str, Any], edition: str = "2023", subject: str = "circuits") -> Any:
    """What comes out, or None where it is refused; nothing may be left open."""
    derivation = derive(subjects()[subject], quantity, Facts(said), BOOKS[edition])
    if derivation.root.known:
        return derivation.value
    assert derivation.root.kind == "refused", f"{derivation.root.kind}: {[m.quantity for m in derivation.missing]}"
    assert derivation.root.problem is not None
    assert derivation.root.problem.line.strip()
    return None


@settings(max_examples=200, deadline=None)
@given(circuit=CIRCUITS, edition=EDITIONS)
def test_the_conductor_for_a_load_may_have_the_device_for_that_load(circuit: dict[str, Any], edition: str) -> None:
    size = found("least_conductor_size", circuit, edition)
    device = found("least_device_rating", circuit, edition)
    if size is None or device is None:
        return
    conductor = {k: v for k, v in circuit.items() if k not in ("load", "load_runs_three_hours")}
    largest = found("greatest_device_rating", {**conductor, "conductor_size": size}, edition)
    assert largest is not None
    assert largest >= device


@settings(max_examples=200, deadline=None)
@given(circuit=CIRCUITS)
def test_the_next_smaller_conductor_would_not_do(circuit: dict[str, Any]) -> None:
    """Whatever is found is the least: one size down either does not carry the load or may not have the device (where it
    is cooler than the table, what that adds is not counted on)."""
    circuit = {**circuit, "ambient_temperature": max(circuit.get("ambient_temperature", 30.0), 30.0)}
    size = found("least_conductor_size", circuit)
    device = found("least_device_rating", circuit)
    smaller = [s for s in SIZES if size is not None and size_rank(s) < size_rank(size)]
    if size is None or device is None or not smaller:
        return
    down = smaller[-1]
    if size == ("1/0" if circuit["parallel_sets"] > 1 else "14" if circuit["conductor_metal"] == "copper" else "12"):
        return  # the smallest that may be used at all
    conductor = {k: v for k, v in circuit.items() if k not in ("load", "load_runs_three_hours")}
    largest = found("greatest_device_rating", {**conductor, "conductor_size": down})
    each = found("ampacity", {**conductor, "conductor_size": down})
    needed = found("required_ampacity", circuit)
    at_terminals = found("terminal_ampacity", {**conductor, "conductor_size": down})
    at_insulation = found("insulation_ampacity", {**conductor, "conductor_size": down})
    if None in (largest, each, at_terminals, at_insulation):
        return
    sets = circuit["parallel_sets"]
    carries = each * sets >= circuit["load"] - 1e-9 and min(at_terminals, at_insulation) * sets >= needed - 1e-9
    assert not (carries and largest >= device)


@settings(max_examples=200, deadline=None)
@given(circuit=CIRCUITS, more=st.floats(0.1, 500))
def test_a_larger_load_never_gets_a_smaller_conductor_or_device(circuit: dict[str, Any], more: float) -> None:
    larger = {**circuit, "load": circuit["load"] + more}
    size, larger_size = found("least_conductor_size", circuit), found("least_conductor_size", larger)
    device, larger_device = found("least_device_rating", circuit), found("least_device_rating", larger)
    if larger_size is not None:
        assert size is not None
        assert size_rank(size) <= size_rank(larger_size)
    if larger_device is not None:
        assert device is not None
        assert device <= larger_device


@settings(max_examples=200, deadline=None)
@given(
    size=st.sampled_from(SIZES),
    metal=METALS,
    insulation=INSULATIONS,
    terminals=TERMINALS,
    around=st.fixed_dictionaries({}, optional=AROUND),
)
def test_an_ampacity_is_a_cell_of_the_table_or_less_for_warmth_and_company(
    size: str, metal: str, insulation: str, terminals: float, around: dict[str, float]
) -> None:
    said = {
        "conductor_size": size,
        "conductor_metal": metal,
        "insulation": insulation,
        "terminal_temperature": terminals,
        "in_thermal_insulation": "no",
        **around,
    }
    ampacity = found("ampacity", said)
    if ampacity is None:
        return
    row = AMPACITIES.exact(size)
    cells = {row.get(f"{'cu' if metal == 'copper' else 'al'}_{t}") for t in (60, 75, 90)}
    limit = row[
        f"{'cu' if metal == 'copper' else 'al'}_{min(terminals, 60 if insulation in ('NM-B', 'UF-B') else 75):g}"
    ]
    assert ampacity <= limit
    if not around or (
        around.get("ambient_temperature", 30.0) == 30 and around.get("current_carrying_conductors", 3.0) <= 3
    ):
        assert ampacity in cells


@settings(max_examples=150, deadline=None)
@given(
    said=st.fixed_dictionaries(
        {},
        optional={
            "service_conductor_size": st.sampled_from(SIZES),
            "service_conductor_metal": METALS,
            "grounding_metal": METALS,
            "service_sets": st.sampled_from([1.0, 2.0, 4.0, 11.0]),
            "electrode": st.sampled_from(["rod", "plate", "concrete-encased", "ground ring", "water pipe"]),
            "ring_conductor_size": st.sampled_from(["2", "1/0"]),
            "jumper_arrangement": st.sampled_from(["one for all", "one in each raceway"]),
            "device_rating": st.floats(1, 6000),
            "required_conductor_size": st.sampled_from(SIZES),
            "installed_conductor_size": st.sampled_from(SIZES),
            "parallel_raceways": st.sampled_from([1.0, 3.0]),
        },
    ),
    edition=EDITIONS,
)
@pytest.mark.parametrize(
    "quantity",
    [
        "least_electrode_conductor",
        "least_equipment_ground",
        "least_main_bonding_jumper",
        "least_system_bonding_jumper",
        "least_supply_side_jumper",
        "least_water_pipe_bond",
        "least_steel_bond",
        "least_grounded_conductor",
    ],
)
def test_grounding_answers_asks_or_refuses_and_nothing_else(quantity: str, said: dict[str, Any], edition: str) -> None:
    derivation = derive(subjects()["grounding"], quantity, Facts(said), BOOKS[edition])
    root = derivation.root
    if root.known:
        assert size_rank(root.value) is not None
    elif root.problem is not None:
        assert root.problem.line.endswith((".", "?"))
    else:
        assert derivation.missing
        assert not {leaf.quantity for leaf in derivation.missing} & set(said)
        assert all(BOOKS[edition].input(leaf.quantity) for leaf in derivation.missing)


@settings(max_examples=100, deadline=None)
@given(device=st.floats(1, 5999), more=st.floats(0, 500))
def test_a_larger_device_never_gets_a_smaller_ground(device: float, more: float) -> None:
    ground = found("least_equipment_ground", {"device_rating": device}, subject="grounding")
    larger = found("least_equipment_ground", {"device_rating": min(device + more, 6000.0)}, subject="grounding")
    assert size_rank(ground) <= size_rank(larger)

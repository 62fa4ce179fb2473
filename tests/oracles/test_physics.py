"""What the tables must obey if they are right: geometry, resistivity, heat and plain order.

Nothing here knows the code's numbers; each check names the law or the publication it rests on. The bands are as narrow
as the laws allow, so that a slip of a digit falls out of them.
"""

from __future__ import annotations

import csv
from itertools import pairwise
from math import log, sqrt
from pathlib import Path

import pytest

TABLES = Path(__file__).parents[2] / "knowledge" / "tables"
HP_IN_WATTS = 745.7  # NIST SP 811, appendix B: mechanical horsepower, 550 ft·lbf/s
COPPER = {"at_20": 10.371, "alpha": 0.00393}  # ohm·cmil/ft and 1/K: NBS Handbook 100 (100 % IACS)
ALUMINUM = {"at_20": 17.002, "alpha": 0.00404}  # the same for 1350 aluminum, 61 % IACS: ASTM B193, B230


def table(name: str) -> list[dict[str, str]]:
    with (TABLES / f"{name}.csv").open(encoding="utf8", newline="") as file:
        return list(csv.DictReader(file))


def number(text: str) -> float:
    whole, _, fraction = text.rpartition(" ")
    if "/" in fraction:
        top, bottom = fraction.split("/")
        return (float(whole) if whole else 0.0) + int(top) / int(bottom)
    return float(text)


def gauge(size: str) -> int:
    """The number of an AWG size: 1/0 is 0, 2/0 is -1."""
    return 1 - int(size[:-2]) if size.endswith("/0") else int(size)


def is_awg(size: str) -> bool:
    return size.endswith("/0") or int(size) < 250


def thickness(size: str) -> float:
    """Area in circular mils, by formula only."""
    return awg_area(size) if is_awg(size) else float(size) * 1000


def awg_area(size: str) -> float:
    """ASTM B258: the diameter is 0.005 in. at gauge 36 and grows by the 39th root of 92 a gauge."""
    return (1000 * 0.005 * 92 ** ((36 - gauge(size)) / 39)) ** 2


def column(rows: list[dict[str, str]], name: str) -> list[tuple[str, float]]:
    """The filled cells of a column with the first cell of their row."""
    return [(next(iter(row.values())), number(row[name])) for row in rows if row[name]]


# --- conductors -------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("row", table("wire_areas"), ids=lambda row: row["size"])
def test_areas_follow_the_gauge(row: dict[str, str]) -> None:
    """ASTM B258 for AWG; a kcmil size is its own area by definition."""
    assert float(row["area_cmil"]) == pytest.approx(thickness(row["size"]), rel=0.005)


@pytest.mark.parametrize("row", table("wire_areas"), ids=lambda row: row["size"])
def test_resistances_follow_the_resistivity(row: dict[str, str]) -> None:
    """NBS Handbook 100 for copper, ASTM B193 for aluminum; stranding lengthens the wires by about 2 % (ASTM B8, B231).

    Coated (tinned) wires resist 2 to 7 % more, the finer the wires the more: ASTM B33.
    """
    area = float(row["area_cmil"])
    for metal, of in (("cu", COPPER), ("al", ALUMINUM)):
        solid = 1000 * of["at_20"] * (1 + of["alpha"] * (75 - 20)) / area
        assert float(row[f"dc_resistance_{metal}"]) == pytest.approx(1.02 * solid, rel=0.012)
        if row[f"dc_resistance_{metal}_solid"]:
            assert float(row[f"dc_resistance_{metal}_solid"]) == pytest.approx(solid, rel=0.012)
    bare, coated = float(row["dc_resistance_cu"]), float(row["dc_resistance_cu_coated"])
    assert 1.015 <= coated / bare <= 1.075
    if row["dc_resistance_cu_solid"]:
        assert 1.015 <= float(row["dc_resistance_cu_coated_solid"]) / float(row["dc_resistance_cu_solid"]) <= 1.075


@pytest.mark.parametrize("name", ["conductor_ampacities", "conductor_ampacities_free_air"])
def test_ampacities_keep_their_order(name: str) -> None:
    """Physics: more metal, a better metal or a hotter insulation never carries less."""
    rows = table(name)
    assert [row["size"] for row in rows] == sorted((row["size"] for row in rows), key=thickness)
    for heading in ("cu_60", "cu_75", "cu_90", "al_60", "al_75", "al_90"):
        amps = [value for _, value in column(rows, heading)]
        assert all(thin < thick for thin, thick in pairwise(amps)), heading
    for row in rows:
        for metal in ("cu", "al"):
            cells = [float(row[f"{metal}_{rating}"]) for rating in (60, 75, 90) if row[f"{metal}_{rating}"]]
            assert cells == sorted(cells), row
        for rating in (60, 75, 90):
            if row[f"al_{rating}"]:
                # The same heat leaves the same wire: I²R is alike, so aluminum carries about sqrt(10.37/17.0) = 0.78.
                # Small sizes are rounded coarsely; in large ones skin effect troubles copper more.
                assert 0.70 <= float(row[f"al_{rating}"]) / float(row[f"cu_{rating}"]) <= 0.88, row


@pytest.mark.parametrize(
    ("name", "warm", "within"),
    [
        ("conductor_ampacities", 60, 2.5),
        ("conductor_ampacities", 90, 2.5),
        ("conductor_ampacities_free_air", 90, 2.5),
        ("conductor_ampacities_free_air", 60, 6.5),  # of older descent: not figured anew with the other two
    ],
)
def test_columns_are_the_75_degree_column_at_another_temperature(name: str, warm: int, within: float) -> None:
    """Heat balance (Neher and McGrath, AIEE 57-660): I² R(Tc) is proportional to Tc - Ta, with Ta 30 °C.

    Since 2011 both tables are figured so and rounded to 5 A: the law meets every cell within half of that. It tells
    the numbers of 2011 from older ones (500 A, not 505 A, for 300 kcmil copper at 90 °C in free air).
    """
    for row in table(name):
        for metal, of in (("cu", COPPER), ("al", ALUMINUM)):
            cell, cool = row[f"{metal}_{warm}"], row[f"{metal}_75"]
            if cell and cool:
                resistance = (1 + of["alpha"] * (75 - 20)) / (1 + of["alpha"] * (warm - 20))
                law = float(cool) * sqrt((warm - 30) / (75 - 30) * resistance)
                assert float(cell) == pytest.approx(law, abs=within), (row["size"], metal, warm)


@pytest.mark.parametrize(("name", "within"), [("conductor_ampacities", 7), ("conductor_ampacities_free_air", 15)])
def test_ampacities_are_fives_on_a_smooth_curve(name: str, within: float) -> None:
    """From 14 AWG on the tables print multiples of 5 A; between its neighbors a size lies near their power law."""
    for heading in ("cu_60", "cu_75", "cu_90", "al_60", "al_75", "al_90"):
        cells = [
            (thickness(size), amps) for size, amps in column(table(name), heading) if thickness(size) > awg_area("15")
        ]
        assert all(amps % 5 == 0 for _, amps in cells), heading
        for (thin, low), (area, amps), (thick, high) in zip(cells, cells[1:], cells[2:], strict=False):
            curve = low * (high / low) ** (log(area / thin) / log(thick / thin))
            assert amps == pytest.approx(curve, abs=within), (heading, area)


def test_free_air_carries_more_than_a_raceway() -> None:
    """Physics: a single conductor in open air cools better than three together in a pipe."""
    raceway = {row["size"]: row for row in table("conductor_ampacities")}
    for row in table("conductor_ampacities_free_air"):
        for heading in ("cu_60", "cu_75", "cu_90", "al_60", "al_75", "al_90"):
            if row[heading]:
                assert 1.2 <= float(row[heading]) / float(raceway[row["size"]][heading]) <= 2.3, (row["size"], heading)


@pytest.mark.parametrize("row", table("ambient_correction"), ids=lambda row: f"to {row['to']} °C")
def test_ambient_factors_follow_the_square_root_law(row: dict[str, str]) -> None:
    """Heat balance: I² is proportional to Tc - Ta; the factor holds at the warm end of its row, Ta of the table 30 °C.

    Published as equation 310.15(B)(2) of the 2017 edition (from memory).
    """
    for rating in (60, 75, 90):
        room = rating - float(row["to"])
        cell = row[f"t{rating}"]
        if room <= 0:
            assert cell == ""
        elif cell:
            assert float(cell) == pytest.approx(sqrt(room / (rating - 30)), abs=0.006)


def test_ambient_rows_leave_no_degree_out() -> None:
    rows = table("ambient_correction")
    assert rows[0]["from"] == ""
    assert all(int(warm["from"]) == int(cool["to"]) + 1 for cool, warm in pairwise(rows))


def test_adjustment_falls_with_the_number_of_conductors_and_leaves_none_out() -> None:
    rows = table("conductor_count_adjustment")
    assert all(int(more["from"]) == int(fewer["to"]) + 1 for fewer, more in pairwise(rows))
    assert rows[-1]["to"] == ""
    percents = [float(row["percent"]) for row in rows]
    assert percents == sorted(percents, reverse=True)


def test_dwelling_conductors_carry_83_percent_at_75_degrees_and_the_next_size_down_does_not() -> None:
    """The rule of 83 percent that the table was computed from: 310.15(B)(7) of the 2014 edition (from memory)."""
    rows = table("conductor_ampacities")
    for service in table("dwelling_service_conductors"):
        for metal, heading in (("copper", "cu_75"), ("aluminum", "al_75")):
            amps = column(rows, heading)
            needed = 0.83 * float(service["device_rating"])
            assert service[metal] == next(size for size, carries in amps if carries >= needed), service


# --- protection and grounding -----------------------------------------------------------------------------------------
RATINGS = ["standard_device_ratings", "standard_device_ratings.2017", "standard_device_ratings.2020"]


@pytest.mark.parametrize("name", RATINGS)
def test_standard_ratings_rise_and_stand_once(name: str) -> None:
    ratings = [int(row["rating"]) for row in table(name)]
    assert ratings == sorted(set(ratings))
    breakers = [int(row["rating"]) for row in table(name) if row["fuse_only"] == "no"]
    assert all(above / below <= 1.5 for below, above in pairwise(breakers))  # the list has no gap wider than 10 to 15 A


@pytest.mark.parametrize("name", ["equipment_grounds", "dwelling_service_conductors"])
def test_grounds_and_service_conductors_never_shrink(name: str) -> None:
    rows = table(name)
    for metal in ("copper", "aluminum"):
        areas = [thickness(row[metal]) for row in rows]
        assert areas == sorted(areas)
    assert all(thickness(row["aluminum"]) > thickness(row["copper"]) for row in rows)
    ratings = [int(row["device_rating"]) for row in rows]
    assert ratings == sorted(set(ratings))


def test_devices_of_grounds_and_services_are_standard_ratings() -> None:
    standard = {row["rating"] for row in table("standard_device_ratings") if row["fuse_only"] == "no"}
    for name in ("equipment_grounds", "dwelling_service_conductors"):
        assert {row["device_rating"] for row in table(name)} <= standard


def test_equipment_grounds_stand_a_fault_of_five_seconds() -> None:
    """A bolted copper wire stands 1 A for each 42.25 cmil during 5 s (ICEA P-32-382, 75 to 250 °C, from memory).

    The band is arithmetic on the table: the wire stands three to nine times the rating of the device, from 2000 A on
    a little less. It catches a row that slipped.
    """
    for row in table("equipment_grounds"):
        withstand = thickness(row["copper"]) / 42.25
        assert 2.5 <= withstand / float(row["device_rating"]) <= 9, row
        assert 1.2 <= thickness(row["aluminum"]) / thickness(row["copper"]) <= 1.8, row


@pytest.mark.parametrize("name", ["grounding_electrode_conductors", "bonding_jumpers"])
def test_electrode_conductors_and_jumpers_grow_with_the_service(name: str) -> None:
    rows = table(name)
    for heading in ("copper_up_to", "aluminum_up_to", "copper", "aluminum"):
        areas = [thickness(row[heading]) for row in rows if row[heading]]
        assert all(thin < thick for thin, thick in pairwise(areas)), heading
    for row in rows:
        if row["copper"]:
            assert thickness(row["aluminum"]) > thickness(row["copper"])
        if row["copper_up_to"]:
            assert thickness(row["aluminum_up_to"]) > thickness(row["copper_up_to"])


def test_no_electrode_conductor_is_larger_than_3_0_copper_or_250_aluminum() -> None:
    """From memory: the table ends there because the earth cannot take more current."""
    last = table("grounding_electrode_conductors")[-1]
    assert (last["copper"], last["aluminum"]) == ("3/0", "250")


def test_jumpers_meet_the_rule_of_an_eighth_that_takes_over_above_the_table() -> None:
    """250.102(C)(1), note 1 (from memory): above the table 12.5 percent of the area; so the last row is about that."""
    last = [row for row in table("bonding_jumpers") if row["copper"]][-1]
    for metal in ("copper", "aluminum"):
        share = thickness(last[metal]) / thickness(last[f"{metal}_up_to"])
        assert share == pytest.approx(0.125, abs=0.006)


def test_small_conductors_are_protected_at_or_below_their_ampacity() -> None:
    """Physics: the device must not let the wire run hotter than it may, at 60 °C where that column has the size."""
    amps = {row["size"]: row for row in table("conductor_ampacities")}
    for row in table("small_conductor_devices"):
        assert float(row["copper"]) <= float(amps[row["size"]]["cu_60"] or amps[row["size"]]["cu_90"])
        if row["aluminum"]:
            assert float(row["aluminum"]) <= float(amps[row["size"]]["al_60"])


# --- motors -----------------------------------------------------------------------------------------------------------
MOTOR_TABLES = [
    "motor_currents_dc",
    "motor_currents_single_phase",
    "motor_currents_three_phase",
    "synchronous_motor_currents",
    "locked_rotor_currents_single_phase",
    "locked_rotor_currents_three_phase",
]


@pytest.mark.parametrize("name", MOTOR_TABLES)
def test_motor_currents_rise_with_horsepower_and_fall_with_voltage(name: str) -> None:
    rows = table(name)
    powers = [number(row["horsepower"]) for row in rows]
    assert powers == sorted(set(powers))
    volts = [heading for heading in rows[0] if heading != "horsepower"]
    for heading in volts:
        amps = [value for _, value in column(rows, heading)]
        assert all(small < large for small, large in pairwise(amps)), heading
    for row in rows:
        amps = [float(row[heading]) for heading in sorted(volts, key=float) if row[heading]]
        assert all(low > high for low, high in pairwise(amps)), row


@pytest.mark.parametrize("name", [name for name in MOTOR_TABLES if "dc" not in name and "synchronous" not in name])
def test_columns_of_a_row_are_the_230_volt_column_turned_by_the_voltage(name: str) -> None:
    """Ohm: the same motor wound for another voltage draws current in the inverse ratio, to the last printed digit.

    The running currents turn 208 V by 1.1, the locked-rotor ones by 230/208.
    """
    turn = {"115": 2, "200": 1.15, "208": 230 / 208 if "locked" in name else 1.1, "460": 0.5, "575": 0.4}
    for row in table(name):
        for heading, factor in turn.items():
            if row["230"] and row.get(heading):
                last_digit = 0.1 if "." in row[heading] else 1
                law = factor * float(row["230"])
                assert float(row[heading]) == pytest.approx(law, abs=0.65 * last_digit), (row["horsepower"], heading)


def test_synchronous_columns_are_the_230_volt_column_turned_by_the_voltage() -> None:
    """Ohm; printed in whole amperes."""
    for row in table("synchronous_motor_currents"):
        for heading, factor in (("460", 0.5), ("575", 0.4), ("2300", 0.1)):
            if row[heading]:
                assert float(row[heading]) == pytest.approx(factor * float(row["230"]), abs=1.01), row


def test_460_volts_draw_half_of_230() -> None:
    for row in table("motor_currents_three_phase"):
        if row["230"] and row["460"]:
            assert float(row["460"]) == pytest.approx(float(row["230"]) / 2, rel=0.005, abs=0.05)


def test_three_phase_currents_are_power_over_voltage() -> None:
    """hp·746 = √3 V I · efficiency · power factor; the product of the two grows with the motor.

    Small motors have about 0.5, large ones up to 0.9 and a little more at 2300 V.
    """
    for row in table("motor_currents_three_phase"):
        power = number(row["horsepower"])
        for heading in ("200", "208", "230", "460", "575", "2300"):
            if row[heading]:
                product = power * HP_IN_WATTS / (sqrt(3) * float(heading) * float(row[heading]))
                least = 0.40 if power < 1 else 0.44 if power < 3 else 0.57 if power < 10 else 0.66
                assert least <= product <= 0.98, (row["horsepower"], heading, product)


def test_three_phase_products_change_smoothly() -> None:
    """Efficiency times power factor may not jump between neighbors: a slip of a digit would."""
    for heading in ("230", "460", "575"):
        products = [
            (power, number(power) * HP_IN_WATTS / (sqrt(3) * float(heading) * amps))
            for power, amps in column(table("motor_currents_three_phase"), heading)
        ]
        for (_, below), (power, above) in pairwise(products):
            if number(power) >= 3:
                assert above / below == pytest.approx(1, abs=0.13), (heading, power)


def test_synchronous_currents_are_power_over_voltage_at_unity_power_factor() -> None:
    for row in table("synchronous_motor_currents"):
        for heading in ("230", "460", "575", "2300"):
            if row[heading]:
                efficiency = number(row["horsepower"]) * HP_IN_WATTS / (sqrt(3) * float(heading) * float(row[heading]))
                assert 0.86 <= efficiency <= 0.97, (row["horsepower"], heading, efficiency)


def test_single_phase_currents_are_power_over_voltage() -> None:
    """hp·746 = V I · efficiency · power factor; about a quarter for the smallest, over a half for the largest."""
    products = []
    for row in table("motor_currents_single_phase"):
        product = number(row["horsepower"]) * HP_IN_WATTS / (230 * float(row["230"]))
        products.append(product)
        assert 0.22 <= product <= 0.70, row
    assert products == sorted(products) or all(b > a * 0.97 for a, b in pairwise(products))


def test_direct_currents_are_power_over_voltage() -> None:
    """hp·746 = V I · efficiency: about a half for the smallest, nine tenths for the largest."""
    for heading in ("90", "120", "180", "240", "500", "550"):
        for power, amps in column(table("motor_currents_dc"), heading):
            efficiency = number(power) * HP_IN_WATTS / (float(heading) * amps)
            assert 0.45 <= efficiency <= 0.95, (power, heading, efficiency)
            if number(power) >= 1:
                assert efficiency >= 0.62, (power, heading, efficiency)
        amps_per_hp = [amps / number(power) for power, amps in column(table("motor_currents_dc"), heading)]
        assert all(0.86 <= larger / smaller <= 1.02 for smaller, larger in pairwise(amps_per_hp)), heading


def test_locked_rotor_currents_are_about_six_times_full_load() -> None:
    """NEMA MG 1, 12.35 (from memory): Design B starts with some six times its current, small motors with more.

    From 20 hp on MG 1 allows 14.5 A at 230 V for each horsepower, rounded to 5 A.
    """
    running = {row["horsepower"]: row for row in table("motor_currents_three_phase")}
    for row in table("locked_rotor_currents_three_phase"):
        for heading in ("200", "208", "230", "460", "575"):
            if row[heading]:
                ratio = float(row[heading]) / float(running[row["horsepower"]][heading])
                most = 9.5 if number(row["horsepower"]) < 2 else 7.6
                assert 5.2 <= ratio <= most, (row["horsepower"], heading, ratio)
        power = number(row["horsepower"])
        for heading, per_hp in (("230", 14.5), ("460", 7.25), ("575", 5.8)):
            if power >= 20 and row[heading]:
                assert float(row[heading]) == pytest.approx(per_hp * power, rel=0.012), (power, heading)


def test_locked_rotor_single_phase_is_six_times_full_load() -> None:
    """The table was made so: 115 and 230 V exactly six times table 430.248 (arithmetic)."""
    running = {row["horsepower"]: row for row in table("motor_currents_single_phase")}
    for row in table("locked_rotor_currents_single_phase"):
        for heading in ("115", "208", "230"):
            ratio = float(row[heading]) / float(running[row["horsepower"]][heading])
            assert ratio == pytest.approx(6, abs=0.001 if heading != "208" else 0.15), (row["horsepower"], heading)


def test_code_letters_follow_the_preferred_numbers() -> None:
    """The limits are Renard's R20 series rounded, a factor of 10^(1/20) a letter (ISO 3), and leave no gap."""
    rows = table("code_letters")
    for lower, upper in pairwise(rows):
        assert float(upper["least"]) == pytest.approx(float(lower["greatest"]) + 0.01, abs=0.001)
    for lower, upper in pairwise(rows[1:]):
        assert float(upper["least"]) / float(lower["least"]) == pytest.approx(10 ** (1 / 20), rel=0.02)
    assert [row["code_letter"] for row in rows] == list("ABCDEFGHJKLMNPRSTUV")
    assert rows[-1]["greatest"] == ""


def test_slow_devices_may_be_smaller_than_fast_ones() -> None:
    """Physics: what trips at once must be set above the starting current, what waits need not."""
    for row in table("motor_device_percents"):
        assert float(row["dual-element fuse"]) <= float(row["inverse-time breaker"])
        assert float(row["inverse-time breaker"]) <= float(row["nontime-delay fuse"])
        assert float(row["instantaneous-trip breaker"]) > float(row["inverse-time breaker"])


def test_longer_duty_wants_more_wire() -> None:
    for row in table("motor_duty_percents"):
        cells = [float(row[heading]) for heading in ("5", "15", "30-60", "continuous") if row[heading]]
        assert cells == sorted(cells)


# --- places -----------------------------------------------------------------------------------------------------------
def test_a_stronger_raceway_never_needs_more_cover() -> None:
    """Physics: steel pipe resists a shovel better than plastic, plastic better than a bare cable."""
    for row in table("cover_depths"):
        assert float(row["rigid"]) <= float(row["other raceway"]) <= float(row["cable"])
        assert float(row["gfci circuit"]) <= float(row["cable"])
        assert float(row["control 30 V"]) <= float(row["cable"])


def test_working_space_grows_with_voltage_and_danger() -> None:
    """29 CFR 1910.303, Table S-1 has the first two rows: 3 ft each; 3, 3.5 and 4 ft."""
    rows = table("working_space_depths")
    conditions = ("condition_1", "condition_2", "condition_3")
    for row in rows:
        cells = [number(row[condition]) for condition in conditions]
        assert cells == sorted(cells)
    for low, high in pairwise(rows):
        assert int(high["from"]) == int(low["to"]) + 1
        assert all(number(low[condition]) <= number(high[condition]) for condition in conditions)
    assert [[number(row[condition]) for condition in conditions] for row in rows[:2]] == [[3, 3, 3], [3, 3.5, 4]]

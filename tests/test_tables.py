"""The printed tables, entered twice without looking, agree cell by cell; what is said to be sure has its source."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
import yaml

TESTS = Path(__file__).parent
TABLES = TESTS.parent / "knowledge" / "tables"
SECOND = TESTS / "oracles" / "second_entry"
PUBLISHED = yaml.load((TESTS / "oracles" / "published.yaml").read_text("utf8"), yaml.BaseLoader)

ENTERED_TWICE = sorted(path.stem for path in SECOND.glob("*.csv"))
HELPERS = {  # columns of ours that no edition prints: what they repeat is tested below
    "bonding_jumpers": {"copper_cmil_up_to", "aluminum_cmil_up_to"},
    "grounding_electrode_conductors": {"copper_cmil_up_to", "aluminum_cmil_up_to"},
    "standard_device_ratings": {"breaker"},
    "cover_depths": {"gfci circuit in raceway", "control 30 V in raceway"},
    "wire_areas": {"dc_resistance_cu_coated", "dc_resistance_cu_coated_solid"},  # tested against resistivity
}


def rows(folder: Path, name: str) -> dict[str, dict[str, str]]:
    """The rows of a CSV by their key, the first column of the second entry; a row twice is an error."""
    with (folder / f"{name}.csv").open(encoding="utf8", newline="") as file:
        read = list(csv.DictReader(file))
    key = next(iter(read[0]))
    found = {row[key]: row for row in read}
    assert len(found) == len(read), f"{name}: a key stands twice"
    return found


def described(name: str) -> dict:
    return yaml.load((TABLES / f"{name}.yaml").read_text("utf8"), yaml.BaseLoader)


@pytest.mark.parametrize("name", ENTERED_TWICE)
def test_both_entries_have_the_same_rows_and_columns(name: str) -> None:
    first, second = rows(TABLES, name), rows(SECOND, name)
    assert set(first) == set(second)
    columns_first, columns_second = (set(next(iter(entry.values()))) for entry in (first, second))
    assert columns_first - columns_second == HELPERS.get(name.split(".")[0], set())
    assert not columns_second - columns_first


@pytest.mark.parametrize("name", ENTERED_TWICE)
def test_both_entries_agree_in_every_cell(name: str) -> None:
    first, second = rows(TABLES, name), rows(SECOND, name)
    differ = [
        f"{name} {key}, {column}: {first[key][column]!r}, but {cell!r} in the second entry"
        for key, row in second.items()
        for column, cell in row.items()
        if first[key][column] != cell
    ]
    assert not differ, "\n".join(differ)


def test_every_edition_of_a_table_was_entered_twice() -> None:
    bases = {name.split(".")[0] for name in ENTERED_TWICE}
    editions = {path.stem for path in TABLES.glob("*.csv") if path.stem.split(".")[0] in bases}
    assert editions == set(ENTERED_TWICE)


@pytest.mark.parametrize("name", sorted(path.stem for path in TABLES.glob("*.yaml")))
def test_what_is_called_sure_has_its_sources(name: str) -> None:
    """Two memories are still memory: one-source needs a published copy, two-sources needs two that are whole."""
    table = described(name)
    copies = PUBLISHED.get(name, [])
    whole = [copy for copy in copies if copy["whole"] == "yes"]
    if table["sure"] == "two-sources":
        assert len(whole) >= 2
    elif table["sure"] == "one-source":
        cells = sum(len(row) - 1 for row in rows(TABLES, name).values())
        covered = sum(int(copy["cells"]) for copy in copies)
        doubted = {doubt["row"] for doubt in table.get("doubts", []) if isinstance(doubt, dict)}
        assert whole or covered >= cells or doubted, "no published copy covers the table, and no row says so"


@pytest.mark.parametrize("name", sorted(PUBLISHED))
def test_a_published_difference_names_a_cell_that_we_have(name: str) -> None:
    ours = rows(TABLES, name)
    for copy in PUBLISHED[name]:
        for cell in copy.get("differs", []):
            assert ours[cell["row"]][cell["column"]] != cell["printed"]


@pytest.mark.parametrize("name", sorted(path.stem for path in TABLES.glob("*.yaml")))
def test_a_doubt_points_at_a_cell(name: str) -> None:
    ours = rows(TABLES, name)
    for doubt in described(name).get("doubts", []):
        if isinstance(doubt, str):
            continue
        row = ours[doubt["row"]]
        column = doubt.get("column")
        assert column is None or column in row
        if "value" in doubt:
            assert row[column] == doubt["value"] != doubt["other"]


@pytest.mark.parametrize("name", ["grounding_electrode_conductors", "bonding_jumpers"])
def test_limits_in_circular_mils_are_the_areas_of_the_sizes(name: str) -> None:
    areas = {size: row["area_cmil"] for size, row in rows(TABLES, "wire_areas").items()}
    for row in rows(TABLES, name).values():
        for metal in ("copper", "aluminum"):
            size, area = row[f"{metal}_up_to"], row[f"{metal}_cmil_up_to"]
            kcmil = f"{size}000" if size.isdigit() and int(size) >= 250 else ""
            assert area == (areas.get(size, kcmil) if size else "")


def test_bonding_jumpers_are_those_of_250_66_but_for_the_last_row() -> None:
    """Source: a trade magazine's forum on the 2014 edition (published.yaml)."""
    jumpers, electrodes = rows(TABLES, "bonding_jumpers"), rows(TABLES, "grounding_electrode_conductors")
    assert [jumpers[key] for key in list(jumpers)[:-1]] == [electrodes[key] for key in list(electrodes)[:-1]]
    assert set(jumpers[""].values()) == {""}


@pytest.mark.parametrize("name", [name for name in ENTERED_TWICE if name.startswith("standard_device_ratings")])
def test_the_breaker_column_repeats_the_ratings_that_are_not_for_fuses_only(name: str) -> None:
    for rating, row in rows(TABLES, name).items():
        assert row["breaker"] == ("" if row["fuse_only"] == "yes" else rating)


def test_a_raceway_changes_the_two_last_columns_only_under_an_exterior_slab() -> None:
    """Source: a residential code, table E3803.1 (published.yaml): 6 in. direct burial, 4 in. in a raceway."""
    for place, row in rows(TABLES, "cover_depths").items():
        for column in ("gfci circuit", "control 30 V"):
            expected = "4" if place == "under an exterior slab" else row[column]
            assert row[f"{column} in raceway"] == expected

"""The printed counts of the table of metal boxes are its volumes over the volumes of conductors, rounded down."""

from __future__ import annotations

import math

import pytest

from askcode.core.tables import Table
from askcode.rulebase.book import Book

ODD = {("4 octagon x 1 1/4", "8"): (5, 4)}  # what is printed, and what comes out
SHAPES = ("square", "octagon", "device", "masonry", "FS or FD")


@pytest.fixture(scope="module")
def boxes() -> Table:
    return Book.open().table("box_volumes")


def test_counts_are_volumes_over_volumes(boxes: Table) -> None:
    conductors = Book.open().table("conductor_volumes")
    for index, row in enumerate(boxes.rows):
        for size in conductors.printed_keys():
            printed, volume = boxes.cell(index, size), boxes.cell(index, "volume")
            computed = math.floor(float(volume or 0) / conductors.exact(size)["volume"] + 1e-9)
            assert (printed, computed) == ODD.get((row[0], size), (computed, computed)), f"{row[0]}, {size} AWG"


def test_the_columns_of_shapes_repeat_the_volume(boxes: Table) -> None:
    for index, row in enumerate(boxes.rows):
        told = {shape: boxes.cell(index, shape) for shape in SHAPES if boxes.cell(index, shape) is not None}
        assert list(told.values()) == [boxes.cell(index, "volume")], row[0]
        assert set(told) == {next((s for s in SHAPES if s in row[0]), "FS or FD")}


def test_a_deeper_box_of_one_kind_holds_more(boxes: Table) -> None:
    kinds: dict[str, list[float]] = {}
    for index, row in enumerate(boxes.rows):
        if " x " in row[0]:
            kinds.setdefault(row[0].rsplit(" x ", 1)[0], []).append(float(boxes.cell(index, "volume") or 0))
    assert all(volumes == sorted(volumes) for volumes in kinds.values())

"""What is read in other units, against pint (a general units library) and the definitions it holds."""

from __future__ import annotations

import pytest

from askcode.asker import Asker
from askcode.measures import held

pint = pytest.importorskip("pint")
UNITS = pint.UnitRegistry()

# text, kind of fact, its amount and unit as pint knows them
READ = [
    ("104 °F ambient", "temperature", (104, "degF")),
    ("32 F ambient", "temperature", (32, "degF")),
    ("a run of 30 meters", "length", (30, "meter")),
    ("a run of 100 yards", "length", (100, "yard")),
    ("buried 450 mm deep", "length", (450, "millimeter")),
    ("a run of 12'-6\"", "length", (12.5, "foot")),
    ("a 9 kW load", "power", (9, "kilowatt")),
    ("a 1500 W load", "power", (1500, "watt")),
]
TO = {"°C": "degC", "ft": "foot", "in": "inch", "W": "watt", "VA": "watt"}


@pytest.fixture(scope="module")
def asker():
    return Asker()


@pytest.mark.parametrize(("text", "kind", "told"), READ, ids=[r[0] for r in READ])
def test_units_are_read_as_pint_converts_them(text, kind, told, asker):
    fact = next(f for f in asker.read(text).facts if f.kind == kind)
    unit = "in" if kind == "length" else fact.unit
    due = UNITS.Quantity(*told).to(TO[unit]).magnitude
    assert float(held(fact.value, fact.unit, unit)) == pytest.approx(due, abs=0.06)

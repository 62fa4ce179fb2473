"""One motor: its current, its conductors, its protective devices, its disconnect and its starting current."""

from __future__ import annotations

from askcode.calculators.conductors import conductors
from askcode.calculators.grounding import grounding
from askcode.calculators.overcurrent import overcurrent
from askcode.core.rules import Subject

motors = Subject("motors", builds_on=[conductors, overcurrent, grounding], thing="motor")
finds, mistake = motors.finds, motors.mistake

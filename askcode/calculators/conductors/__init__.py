"""Conductors: what they must carry, what a size may carry, and the least size for a load."""

from __future__ import annotations

from askcode.core.rules import Subject

conductors = Subject("conductors")
finds, mistake = conductors.finds, conductors.mistake

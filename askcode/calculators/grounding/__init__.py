"""Grounding and bonding: electrode conductors, equipment grounds, bonding jumpers."""

from __future__ import annotations

from askcode.core.rules import Subject

grounding = Subject("grounding")
finds, mistake = grounding.finds, grounding.mistake

"""The calculators: a module a subject, or a folder of modules that share one; nothing but rules and mistakes.

A module added here is found by itself."""

from __future__ import annotations

from functools import cache
from importlib import import_module
from pkgutil import walk_packages

from askcode.core.rules import Subject


@cache
def subjects() -> dict[str, Subject]:
    """Every subject by its name."""
    found: dict[str, Subject] = {}
    for module in walk_packages(__path__, __name__ + "."):
        for value in vars(import_module(module.name)).values():
            if isinstance(value, Subject):
                found[value.name] = value
    return found

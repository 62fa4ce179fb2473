"""Amendments: a folder of the same YAML and CSV, laid over the knowledge. Three lines change a depth for one town.

A map is merged key by key, and a text or a list replaces what it lies on. A CSV replaces the table of that name.
"""

from __future__ import annotations

from typing import Any

from askcode.rulebase.layers import Layer, Written, no_yaml
from askcode.rulebase.schemas import EDITIONS
from askcode.rulebase.text_yaml import KnowledgeError


def lay_over(base: Layer, over: Layer) -> None:
    """Lay one layer over another: a map is merged key by key, a text or a list replaces what it lies on."""
    for kind, things in over.things.items():
        known = base.things.setdefault(kind, {})
        for name, written in things.items():
            under = known.get(name)
            if under and kind == "rules":
                _refuse_unknown_values(name, under, written)
            data = _merged(under.data, written.data) if under else written.data
            known[name] = Written(data, written.document, written.path, amended=True)
    for kind, names in over.vocabulary.items():
        merged = base.vocabulary.setdefault(kind, {})
        for name, words in names.items():
            merged[name] = list(dict.fromkeys(merged.get(name, []) + words))
    for name, editions in over.csv.items():
        known_csv = base.csv.setdefault(name, {})
        if "" in editions:
            known_csv.clear()  # the amended table holds in every edition
        known_csv.update(editions)
        table = base.things.setdefault("tables", {}).get(name)
        if table is None:
            raise no_yaml(name, editions)
        table.amended = True


def _refuse_unknown_values(name: str, under: Written, written: Written) -> None:
    """A misspelt value would change nothing, silently."""
    have = under.data.get("values", {}) if isinstance(under.data, dict) else {}
    said = written.data.get("values", {}) if isinstance(written.data, dict) else {}
    for value in said if isinstance(said, dict) and "answer" not in written.data else ():
        if value not in have:
            line = written.document.line((name, "values", value))
            known = f"it has {', '.join(have)}" if have else "it has none"
            raise KnowledgeError(f"the entry has no such value; {known}", written.document.file, line, name, value)


def _merged(under: Any, over: Any) -> Any:
    if isinstance(under, str) and isinstance(over, dict) and over and set(over) <= set(EDITIONS):
        under = dict.fromkeys(EDITIONS, under)
    if not isinstance(under, dict) or not isinstance(over, dict):
        return over
    return {**under, **{key: _merged(under[key], value) if key in under else value for key, value in over.items()}}

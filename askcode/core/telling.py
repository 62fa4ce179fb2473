"""Telling a derivation: each rule that fired as a sentence, its arithmetic, and the rows that it read."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from askcode.core.derive import Derivation, Node
from askcode.core.replies import Excerpt
from askcode.core.tables import Table, size_unit

FRACTIONAL = ("hp", "ft", "in", "trade size")  # units in which the trade says 3 1/2, not 3.5
ROWS_AROUND = 2
NOTHING_ADDED = re.compile(r" \+ 0(?: [A-Za-z]+)*(?= [+=])")  # a part that is nothing is not told


def shown(value: Any, unit: str, decimals: int = 2) -> str:
    """A value with its unit, as a reader wants it: 24 A, 125%, 10 AWG, 250 kcmil, 7 1/2 hp."""
    if isinstance(value, list):
        return " + ".join(shown(v, unit, decimals) for v in value)
    if unit == "size":
        return f"{value} {size_unit(str(value))}"
    if not isinstance(value, (int, float)):
        return str(value)
    if unit == "%":
        return plain(value * 100, decimals) + "%"
    if unit == "trade size":
        return f"trade size {fraction(value)}"
    text = fraction(value) if unit in FRACTIONAL else plain(value, decimals)
    return text if unit in ("count", "number", "ratio", "choice", "") else f"{text} {unit}"


def plain(value: float, decimals: int = 2) -> str:
    """A number without trailing noughts; thousands are set apart from ten thousand up."""
    rounded = round(float(value), decimals)
    text = f"{rounded:,.{decimals}f}" if abs(rounded) >= 10_000 else f"{rounded:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def fraction(value: float) -> str:
    """A number as the trade says it: 3 1/2; with a decimal point where no sixteenth fits."""
    exact = Fraction(value).limit_denominator(16)
    if abs(float(exact) - value) > 1e-9 or exact.denominator not in (1, 2, 3, 4, 6, 8, 16):
        return plain(value)
    whole, rest = divmod(exact, 1)
    if not rest:
        return plain(float(whole))
    return f"{whole} {rest}" if whole else str(rest)


class Names(dict[str, str]):
    """The shown values of a derivation by name, for templates; a name that is not there stays visible."""

    def __missing__(self, name: str) -> str:
        return "{" + name + "}"


def names(node: Node) -> Names:
    """What the templates of a rule may use: its inputs and its result."""
    found = Names()
    for name, part in node.inputs.items():
        if isinstance(part, list):
            found[name] = " + ".join(_shown(p) for p in part)
        else:
            found[name] = _shown(part)
    found["result"] = found[node.quantity] = _shown(node)
    return found


def all_names(derivation: Derivation) -> Names:
    """The shown values of every quantity of a derivation, for the headline."""
    found = Names()
    for node in derivation.nodes():
        found.update((name, text) for name, text in names(node).items() if name != "result")
    found[derivation.root.quantity] = found["result"] = _shown(derivation.root)
    return found


def sentence(node: Node) -> str:
    """The step that the reader sees."""
    return node.rule.sentence.format_map(names(node)) if node.rule else ""


def work(node: Node) -> str:
    """The arithmetic of a step, or nothing."""
    shows = node.rule.shows.format_map(names(node)) if node.rule and node.rule.shows else ""
    return NOTHING_ADDED.sub("", shows)


def told(derivation: Derivation) -> list[Node]:
    """The nodes that are told as steps: rules with a sentence (one without is plumbing), in order."""
    return [n for n in derivation.nodes() if n.rule and n.rule.sentence and n.kind in ("derived", "assumed")]


def excerpts(node: Node) -> Iterator[Excerpt]:
    """The rows around what a step read of each table."""
    for table in node.tables:
        if table.reads:
            telling = [r for r in table.reads if r[1] != table.key] or table.reads  # the key tells nothing by itself
            yield excerpt(table, *telling[-1])


def excerpt(table: Table, row: int, column: str) -> Excerpt:
    """A few rows of a table around one cell, the key column first."""
    first, last = max(0, row - ROWS_AROUND), min(len(table.rows), row + ROWS_AROUND + 1)
    keys = [c for c in table.columns if c.name in (table.key, "from", "to") or c.name.endswith("up_to")]
    shown_columns = keys + [c for c in table.columns if c.name == column and c not in keys]
    titles = [c.title or c.name for c in shown_columns]
    rows = [[table.printed(i, c.name) for c in shown_columns] for i in range(first, last)]
    at = next(i for i, c in enumerate(shown_columns) if c.name == column)
    gathered = table.has_column("section")  # of several sections, where each row names its own
    called = f"{table.printed(row, 'section')} (gathered table)" if gathered else table.called
    return Excerpt(called, table.title, titles, rows, [row - first, at])


def _shown(node: Node) -> str:
    decimals = node.rule.decimals if node.rule else 4
    return shown(node.value, node.unit, decimals)

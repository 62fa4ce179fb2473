"""What can go wrong in a derivation, with its parts kept so that the sentence is composed late."""

from __future__ import annotations


class Refuse(Exception):
    """Input that cannot be (a negative length, say). `input` names what to type again, `choices` what would work."""

    def __init__(self, line: str, input: str | None = None, choices: list[str] | None = None):
        super().__init__(line)
        self.line = line
        self.input = input
        self.choices = choices or []


class OutsideTable(Refuse):
    """A look-up that the table does not cover: what was wanted (`said` without its unit), where, and the nearest rows
    that exist."""

    def __init__(
        self,
        table: str,
        title: str,
        wanted: str,
        nearest: list[str],
        input: str | None,
        column: str = "",
        said: str | None = None,
    ):
        self.table = table
        self.title = title
        self.wanted = wanted
        self.said = wanted if said is None else said
        self.nearest = nearest
        place = f"{title}, {column}" if column else title
        have = f" The nearest rows are {listed(nearest)}." if nearest else ""
        super().__init__(f"{table} ({place}) has no entry for {wanted}.{have}", input, nearest)


class RuleError(Exception):
    """A rule that does not hold together: twins, a unit that differs at the two ends of an edge, an unknown subject."""


class Cycle(RuleError):
    """Quantities that need one another; the message prints the path."""

    def __init__(self, path: list[str]):
        super().__init__("these quantities need one another: " + " → ".join(path))
        self.path = path


def listed(words: list[str], last: str = "and") -> str:
    """Words as a spoken list: a, b and c."""
    if len(words) < 2:
        return "".join(words)
    return ", ".join(words[:-1]) + f" {last} " + words[-1]

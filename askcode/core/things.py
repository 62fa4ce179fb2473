"""What the user has said: facts of the job, and facts of single things of it (motor 1, motor 2)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

Value = float | str


class Either(str):
    """Values of which one is meant and must be asked for: "10 to 15 hp", or a duty that is not continuous."""

    __slots__ = ("choices",)
    choices: list[str]

    def __new__(cls, choices: list[str]) -> Either:
        either = super().__new__(cls, " or ".join(choices))
        either.choices = choices
        return either


@dataclass(slots=True)
class Facts:
    """Facts by the name of the quantity. A thing inherits what the job says."""

    job: dict[str, Value] = field(default_factory=dict)
    things: dict[str, list[dict[str, Value]]] = field(default_factory=dict)

    def count(self, kind: str | None) -> int:
        """How many things of this kind the job names."""
        return len(self.things.get(kind, ())) if kind else 0

    def get(self, name: str, kind: str | None = None, index: int | None = None) -> Value | None:
        """What was said of the thing, or else of the job."""
        if kind is not None and index is not None and index < self.count(kind):
            said = self.things[kind][index].get(name)
            if said is not None:
                return said
        return self.job.get(name)

    def names(self) -> Iterator[str]:
        """Every name that was said, of the job or of any thing."""
        yield from self.job
        for things in self.things.values():
            for thing in things:
                yield from thing

    def with_fact(self, name: str, value: Value) -> Facts:
        """A copy in which one fact of the job is another (facts of single things of that name give way)."""
        things = {
            kind: [{n: v for n, v in thing.items() if n != name} for thing in several]
            for kind, several in self.things.items()
        }
        return Facts({**self.job, name: value}, things)

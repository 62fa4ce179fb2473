"""A rule is a function: its name is the quantity that it finds, its parameters are the quantities that it needs."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any, TypeVar, get_type_hints

from askcode.core.errors import RuleError
from askcode.core.quantities import is_each, unit_of
from askcode.core.tables import Table

F = TypeVar("F", bound=Callable[..., Any])


class _Assumed:
    """The default of a parameter that has a trade default: inputs.yaml, or a rule decorated `assumed=True`."""

    def __repr__(self) -> str:
        return "ASSUMED"


ASSUMED: Any = _Assumed()

#: The unit of every quantity that any rule names, with the place that said so first.
UNITS: dict[str, tuple[str, str]] = {}


@dataclass(frozen=True, slots=True)
class Param:
    """What a rule needs: a quantity (must be known, may be assumed, or optional), or a table."""

    name: str
    unit: str
    need: str  # must | assumed | optional
    table: bool = False
    each: bool = False


@dataclass(frozen=True, slots=True)
class Condition:
    """When a rule applies: a function that returns yes or no, with its spoken name."""

    fn: Callable[..., bool]
    params: tuple[Param, ...]
    spoken: str
    negated: bool = False
    key: str = ""  # two conditions may be spoken alike and still be two


@dataclass(slots=True, eq=False)
class Rule:
    """A rule as the engine sees it."""

    quantity: str
    fn: Callable[..., Any]
    subject: str
    params: tuple[Param, ...]
    unit: str
    sentence: str
    decimals: int = 2
    cites: tuple[str, ...] = ()
    shows: str = ""
    when: tuple[Condition, ...] = ()
    over: tuple[Callable[..., Any], ...] = ()
    or_permitted: tuple[Callable[..., Any], ...] = ()
    assumed: bool = False
    because: str = ""  # of a mistake: the slip

    @property
    def name(self) -> str:
        return f"{self.subject}.{self.fn.__name__}"


@dataclass(frozen=True)
class no:
    """The negation of a condition."""

    fn: Callable[..., bool]


@dataclass(eq=False)
class Subject:
    """A topic's rules. A name is looked up here first, then in what it builds on, in order.

    `thing` names the kind of thing that the rules are about (a motor); `each` are the subjects whose quantities an
    `Each[...]` parameter collects over all the things of the job, a subject for each kind of thing.
    """

    name: str
    builds_on: list[Subject] = field(default_factory=list)
    thing: str | None = None
    each: list[Subject] = field(default_factory=list)
    rules: dict[str, list[Rule]] = field(default_factory=dict)
    mistakes: list[tuple[Callable[..., Any], Rule]] = field(default_factory=list)
    _scope: list[Subject] | None = None

    def finds(
        self,
        quantity: str | None = None,
        *,
        cites: str | Iterable[str] = (),
        shows: str = "",
        when: Any = (),
        over: Any = (),
        or_permitted: Any = (),
        assumed: bool = False,
    ) -> Callable[[F], F]:
        """Register a rule. `cites` entries of the rule base; `shows` its arithmetic; `when` conditions that must hold;
        `over` rules that it beats; `or_permitted` rules that the code lets one choose instead."""

        def register(fn: F) -> F:
            rule = self._rule(quantity or fn.__name__, fn, cites, shows)
            rule.when = tuple(_condition(c) for c in _many(when))
            rule.over, rule.or_permitted, rule.assumed = _many(over), _many(or_permitted), assumed
            self._refuse_twins(rule)
            self.rules.setdefault(rule.quantity, []).append(rule)
            return fn

        return register

    def mistake(self, of: Callable[..., Any], because: str, shows: str = "") -> Callable[[F], F]:
        """Register a known slip: the rule `of` done wrongly. `because` completes "one gets this who …"."""

        def register(fn: F) -> F:
            quantity = next((r.quantity for rules in self.rules.values() for r in rules if r.fn is of), of.__name__)
            rule = self._rule(quantity, fn, (), shows)
            rule.because = because
            self.mistakes.append((of, rule))
            return fn

        return register

    def scope(self) -> list[Subject]:
        """This subject and all that it builds on, in the order in which names are looked up."""
        if self._scope is None:
            seen: list[Subject] = [self]
            for base in self.builds_on:
                seen += [s for s in base.scope() if s not in seen]
            self._scope = seen
        return self._scope

    def find(self, quantity: str) -> list[Rule]:
        """The rules for a quantity: those of the first subject in scope that has any."""
        for subject in self.scope():
            if rules := subject.rules.get(quantity):
                return rules
        return []

    def collects(self, name: str, kind: str | None) -> Subject:
        """The subject that an `Each[...]` parameter of this name collects from: the one that finds it, or that is about
        things of the kind that it is told of; itself where it collects nothing."""
        known = (s for s in self.each if s.find(name) or s.thing == kind)
        return next(known, self.each[0] if self.each else self)

    def known_mistakes(self, rule: Rule) -> list[Rule]:
        """The slips known for a rule."""
        return [slip for subject in self.scope() for of, slip in subject.mistakes if of is rule.fn]

    def shadows(self) -> list[tuple[str, str, str]]:
        """(quantity, this subject, the subject whose rule is hidden) for every name found twice in scope."""
        return [(q, self.name, base.name) for q in self.rules for base in self.scope()[1:] if q in base.rules]

    def _rule(self, quantity: str, fn: Callable[..., Any], cites: str | Iterable[str], shows: str) -> Rule:
        hints = get_type_hints(fn, include_extras=True)
        unit = unit_of(hints.get("return"))
        if unit is None:
            raise RuleError(f"{_place(fn)}: the returned quantity has no unit")
        same_unit(quantity, unit.symbol, _place(fn))
        sentence = (inspect.getdoc(fn) or "").split("\n")[0]
        return Rule(
            quantity,
            fn,
            self.name,
            _params(fn),
            unit.symbol,
            sentence,
            unit.decimals,
            (cites,) if isinstance(cites, str) else tuple(cites),
            shows,
        )

    def _refuse_twins(self, rule: Rule) -> None:
        for other in self.rules.get(rule.quantity, []):
            chosen_between = {rule.fn, other.fn} & {*rule.over, *other.over, *rule.or_permitted, *other.or_permitted}
            same_when = [(c.fn, c.negated) for c in rule.when] == [(c.fn, c.negated) for c in other.when]
            same_terms = same_when and not chosen_between and rule.assumed == other.assumed
            if same_terms or other.fn.__name__ == rule.fn.__name__:
                places = f"{_place(other.fn)} and {_place(rule.fn)}"
                raise RuleError(f"two rules find {rule.quantity} on the same terms: {places}")


def same_unit(name: str, unit: str, place: str) -> None:
    """Refuse a quantity that two places give different units."""
    have = UNITS.setdefault(name, (unit, place))
    if have[0] != unit:
        raise RuleError(f"{name} is in {have[0]} at {have[1]} but in {unit} at {place}")


def _params(fn: Callable[..., Any]) -> tuple[Param, ...]:
    hints = get_type_hints(fn, include_extras=True)
    params = []
    for name, parameter in inspect.signature(fn).parameters.items():
        hint = hints.get(name)
        default = parameter.default
        need = "must" if default is parameter.empty else "assumed" if default is ASSUMED else "optional"
        if hint is Table:
            params.append(Param(name, "", "must", table=True))
            continue
        unit = unit_of(hint)
        if unit is None:
            raise RuleError(f"{_place(fn)}: parameter {name} has no unit")
        same_unit(name, unit.symbol, _place(fn))
        params.append(Param(name, unit.symbol, need, each=is_each(hint)))
    return tuple(params)


_CONDITIONS: dict[tuple[Callable[..., bool], bool], Condition] = {}


def _condition(said: Any) -> Condition:
    negated = isinstance(said, no)
    fn = said.fn if negated else said
    key = (fn, negated)
    if key not in _CONDITIONS:
        spoken = (inspect.getdoc(fn) or fn.__name__.replace("_", " ")).split("\n")[0]
        name = f"{'not ' if negated else ''}{_place(fn)}"
        _CONDITIONS[key] = Condition(fn, _params(fn), f"not so that {spoken}" if negated else spoken, negated, name)
    return _CONDITIONS[key]


def _many(said: Any) -> tuple[Any, ...]:
    return tuple(said) if isinstance(said, (tuple, list)) else (said,)


def _place(fn: Callable[..., Any]) -> str:
    return f"{fn.__module__}.{fn.__name__}"

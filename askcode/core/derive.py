"""The engine: chains backwards from the quantity asked for. Pure: same facts, same knowledge, same derivation."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any, Literal, Protocol

from askcode.core.errors import Cycle, OutsideTable, Refuse, RuleError, listed
from askcode.core.rules import Condition, Param, Rule, Subject
from askcode.core.tables import Table, number, spoken
from askcode.core.things import Either, Facts, Value

Kind = Literal["stated", "derived", "factor", "assumed", "open", "none", "conflict", "refused"]
NOTHING: frozenset[str] = frozenset()


class FactorLike(Protocol):
    value: Any
    unit: str
    entry: str | None


class InputLike(Protocol):
    unit: str
    default: Any
    why: str
    choices: list[str]
    thing: str | None
    setting: str


class Knowledge(Protocol):
    """What the engine asks of the knowledge of one edition."""

    edition: str

    def has_table(self, name: str) -> bool: ...
    def table(self, name: str) -> Table: ...
    def factor(self, name: str) -> FactorLike | None: ...
    def input(self, name: str) -> InputLike | None: ...


CLOSED_UNITS = ("choice", "yes/no")  # of inputs that can be nothing but one of their choices


@dataclass(slots=True, eq=False)
class Node:
    """One quantity of a derivation: how it came about, and all that it rests on."""

    quantity: str
    kind: Kind
    value: Any = None
    unit: str = ""
    thing: int | None = None
    of: str | None = None  # the kind of thing that it is about
    rule: Rule | None = None
    inputs: dict[str, Node | list[Node]] = field(default_factory=dict)
    tables: list[Table] = field(default_factory=list)
    tests: list[Node] = field(default_factory=list)  # the conditions that chose the rule
    missing: list[Node] = field(default_factory=list)  # open leaves, to be asked for
    why: str = ""
    problem: Refuse | None = None
    rivals: list[Rule] = field(default_factory=list)  # rules in conflict, or permitted instead
    otherwise: Node | None = None  # what the permitted alternative gives
    rests_on: frozenset[str] = NOTHING  # names of leaves and rules; what a flip of one of them derives again
    wanted_by: Rule | None = None  # the rule that asked for an open leaf

    @property
    def known(self) -> bool:
        return self.kind in ("stated", "derived", "factor", "assumed")

    def parts(self) -> Iterator[Node]:
        """The nodes that this one rests on directly, conditions first."""
        yield from self.tests
        for node in self.inputs.values():
            if isinstance(node, list):
                yield from node
            else:
                yield node


@dataclass(slots=True)
class Derivation:
    """A quantity asked for, and the web of nodes that answers it (or says what is missing)."""

    root: Node
    facts: Facts
    subject: Subject
    memo: dict[tuple[str, str, int | None], Node]
    _order: list[Node] = field(default_factory=list, init=False, repr=False)

    @property
    def value(self) -> Any:
        return self.root.value

    @property
    def missing(self) -> list[Node]:
        """Every open leaf, each once, in the order in which it was met."""
        seen: dict[tuple[str, int | None], Node] = {}
        for leaf in self.root.missing:
            seen.setdefault((leaf.quantity, leaf.thing), leaf)
        return list(seen.values())

    def nodes(self) -> list[Node]:
        """All nodes below the root, each once, what is needed before what needs it."""
        order = self._order
        if order:
            return order  # nothing is added to the web once it is made
        seen: set[int] = set()
        stack: list[tuple[Node, bool]] = [(self.root, False)]
        while stack:
            node, ready = stack.pop()
            if ready:
                order.append(node)
            elif id(node) not in seen:
                seen.add(id(node))
                stack.append((node, True))
                stack += [(part, False) for part in reversed(list(node.parts()))]
        return order

    def assumed(self) -> list[Node]:
        """The trade defaults that the answer rests on."""
        seen: dict[str, Node] = {}
        for node in self.nodes():
            if node.kind == "assumed":
                seen.setdefault(node.quantity, node)
        return list(seen.values())

    def rests_on(self, name: str) -> bool:
        return name in self.root.rests_on


def derive(
    subject: Subject,
    quantity: str,
    facts: Facts,
    book: Knowledge,
    *,
    thing: int | None = None,
    swap: dict[Rule, Rule] | None = None,
    reuse: Derivation | None = None,
    changed: str = "",
) -> Derivation:
    """Find a quantity (of the thing with this index, where the job names several). `swap` puts a known mistake in a
    rule's place; `reuse` keeps every node of an earlier derivation that does not rest on `changed` (the name of a fact,
    or of a rule)."""
    if thing is None and facts.count(subject.thing) == 1:
        thing = 0
    run = _Run(subject, facts, book, swap or {})
    if reuse is not None:
        run.memo = {key: node for key, node in reuse.memo.items() if changed not in node.rests_on}
    root = run.resolve(quantity, subject, thing)
    if root.kind in ("open", "none") and not root.missing and not root.problem:
        root.missing = [run.leaf_to_ask(root, None)]
    return Derivation(root, facts, subject, run.memo)


def with_fact(derivation: Derivation, name: str, value: Value, book: Knowledge) -> Derivation:
    """The same question with one fact changed; only what depends on it is derived again."""
    return derive(
        derivation.subject,
        derivation.root.quantity,
        derivation.facts.with_fact(name, value),
        book,
        thing=derivation.root.thing,
        reuse=derivation,
        changed=name,
    )


def alternatives(derivation: Derivation, book: Knowledge) -> Iterator[tuple[Node, Value, Derivation]]:
    """Every trade default flipped to each of its choices: (the assumption, the other value, the derivation)."""
    for node in derivation.assumed():
        declared = book.input(node.quantity)
        for choice in declared.choices if declared else ():
            value = typed(choice, node.unit)
            if value != node.value:
                yield node, value, with_fact(derivation, node.quantity, value, book)


def cases(derivation: Derivation, leaf: Node, book: Knowledge) -> Iterator[tuple[Value, Derivation]]:
    """What is missing taken for each of its choices: (the choice, the derivation)."""
    declared = book.input(leaf.quantity)
    for choice in declared.choices if declared else ():
        value = typed(choice, declared.unit) if declared else choice
        yield value, with_fact(derivation, leaf.quantity, value, book)


def same_in_all_cases(derivation: Derivation, book: Knowledge) -> tuple[Node, Derivation] | None:
    """The one thing that is missing and a derivation without it, where every choice of it leads to the same answer.
    Choices of an amount are examples: of others nothing is known."""
    missing = {leaf.quantity: leaf for leaf in derivation.missing}
    if len(missing) != 1:
        return None
    (leaf,) = missing.values()
    declared = book.input(leaf.quantity)
    if declared is None or declared.unit not in CLOSED_UNITS:
        return None
    found = [case for _, case in cases(derivation, leaf, book)]
    same = len(found) > 1 and all(case.root.known and case.value == found[0].value for case in found)
    return (leaf, found[0]) if same else None


def slips(derivation: Derivation, book: Knowledge) -> Iterator[tuple[Rule, Derivation]]:
    """Every known mistake that this chain can be made with: (the slip, the derivation that it gives)."""
    for rule in {id(n.rule): n.rule for n in derivation.nodes() if n.rule}.values():
        for slip in derivation.subject.known_mistakes(rule):
            wrong = derive(
                derivation.subject,
                derivation.root.quantity,
                derivation.facts,
                book,
                swap={rule: slip},
                thing=derivation.root.thing,
                reuse=derivation,
                changed=rule.name,
            )
            if wrong.root.known and wrong.value != derivation.value:
                yield slip, wrong


def typed(text: Any, unit: str) -> Value:
    """A choice as written in the knowledge, in the type of its unit: text for sizes and choices, else a number."""
    return text if unit in ("size", "choice", "yes/no", "min") or not isinstance(text, str) else number(text)


LEAST = {"°C": -273.15}  # what a value of a unit is at least; of any other unit it is more than nothing
WHOLE = ("count",)


def impossible(quantity: str, value: Value, unit: str, declared: InputLike | None) -> Refuse | None:
    """What is wrong with a stated value that cannot be: a negative length, half a conductor, no number at all. Nothing
    is possible only where nothing is also the default (no other load)."""
    if not isinstance(value, (int, float)):
        return None
    unit = unit or (declared.unit if declared else "")
    least = LEAST.get(unit, 0.0)
    none_is_possible = unit in LEAST or (declared is not None and str(declared.default) == "0")
    if not math.isfinite(value):
        wrong = "it must be a number"
    elif value < least or (value == least and not none_is_possible):
        wrong = f"it must be {'at least' if none_is_possible else 'more than'} {spoken(least)}"
    elif unit in WHOLE and value != int(value):
        wrong = "it must be a whole number"
    else:
        return None
    shown = spoken(float(value)) + (f" {unit}" if unit not in ("count", "number", "ratio", "") else "")
    return Refuse(f"{shown} cannot be the {quantity.replace('_', ' ')}: {wrong}.", quantity)


class _Run:
    """One derivation: a memo over (scope, quantity, thing)."""

    def __init__(self, subject: Subject, facts: Facts, book: Knowledge, swap: dict[Rule, Rule]):
        self.subject = subject
        self.facts = facts
        self.book = book
        self.swap = swap
        self.memo: dict[tuple[str, str, int | None], Node] = {}
        self.path: list[tuple[str, str, int | None]] = []

    # --- a quantity ---------------------------------------------------------------------------------------------------
    def resolve(self, quantity: str, scope: Subject, thing: int | None, unit: str = "") -> Node:
        key = (scope.name, quantity, thing)
        node = self.memo.get(key)
        if node is None:
            if key in self.path:
                start = self.path.index(key)
                raise Cycle([q for _, q, _ in self.path[start:]] + [quantity])
            self.path.append(key)
            node = self._find(quantity, scope, thing, unit)
            node.of = scope.thing
            self.path.pop()
            self.memo[key] = node
        return node

    def _find(self, quantity: str, scope: Subject, thing: int | None, unit: str) -> Node:
        said = self._fact(quantity, scope, thing)
        name = frozenset((quantity,))
        if isinstance(said, Either):
            which = "How many" if unit == "count" else "Which is the"
            line = f"{which} {quantity.replace('_', ' ')}: {listed(said.choices, 'or')}?"
            problem = Refuse(line, quantity, said.choices)
            return Node(quantity, "refused", said, unit, thing, rests_on=name, problem=problem)
        if said is not None:
            stated = Node(quantity, "stated", typed(said, unit) if unit else said, unit, thing, rests_on=name)
            if wrong := impossible(quantity, stated.value, unit, self.book.input(quantity)):
                stated.kind, stated.problem = "refused", wrong
            return stated
        if (factor := self.book.factor(quantity)) is not None:
            return Node(quantity, "factor", factor.value, factor.unit, thing)
        rules = scope.find(quantity)
        certain = [r for r in rules if not r.assumed]
        node = self._choose(quantity, certain, scope, thing) if certain else None
        if node is not None and node.kind != "none":
            return self._resting(node, name)
        declared = self.book.input(quantity)
        chosen = declared is not None and bool(declared.setting)  # what somebody chose goes before what a rule guesses
        if not chosen and (guesses := [r for r in rules if r.assumed]):
            guess = self._choose(quantity, guesses, scope, thing)
            if guess.known:
                guess.kind = "assumed"
                guess.why = guess.rule.sentence if guess.rule else ""
            if guess.kind != "none":
                return self._resting(guess, name)
        if declared is not None and declared.default is not None:
            return Node(
                quantity,
                "assumed",
                typed(declared.default, declared.unit),
                declared.unit,
                thing,
                why=declared.why,
                rests_on=name,
            )
        return self._resting(node, name) if node else Node(quantity, "open", unit=unit, thing=thing, rests_on=name)

    def _fact(self, quantity: str, scope: Subject, thing: int | None) -> Value | None:
        return self.facts.get(quantity, scope.thing or next((s.thing for s in scope.each), None), thing)

    def _said(self, quantity: str, scope: Subject, thing: int | None) -> bool:
        return self._fact(quantity, scope, thing) is not None

    @staticmethod
    def _resting(node: Node, name: frozenset[str]) -> Node:
        """A quantity that has rules may be stated too, so what rests on it rests on its own name."""
        node.rests_on |= name
        return node

    # --- which rule ---------------------------------------------------------------------------------------------------
    def _choose(self, quantity: str, rules: list[Rule], scope: Subject, thing: int | None) -> Node:
        applies: list[tuple[Rule, list[Node]]] = []
        open_rules: list[tuple[Rule, list[Node]]] = []
        looked_at: list[Node] = []
        for rule in rules:
            holds, tests = self._holds(rule, scope, thing)
            looked_at += tests
            if holds:
                applies.append((rule, tests))
            elif holds is None:
                open_rules.append((rule, tests))
        beaten = {fn for rule, _ in applies for fn in rule.over}
        applies = [(r, t) for r, t in applies if r.fn not in beaten]
        open_rules = [(r, t) for r, t in open_rules if r.fn not in beaten]
        if open_rules:
            return self._undecided(quantity, open_rules, applies, scope, thing)
        rests = frozenset().union(*(t.rests_on for t in looked_at)) if looked_at else NOTHING
        if not applies:
            return Node(quantity, "none", thing=thing, rivals=rules, tests=looked_at, rests_on=rests)
        node = self._pick(quantity, applies, scope, thing)
        node.rests_on |= rests
        return node

    def _pick(self, quantity: str, applies: list[tuple[Rule, list[Node]]], scope: Subject, thing: int | None) -> Node:
        if len(applies) == 1:
            return self._fire(*applies[0], scope, thing)
        for rule, tests in applies:
            others = [(r, t) for r, t in applies if r is not rule]
            if all(r.fn in rule.or_permitted for r, _ in others):
                node = self._fire(rule, tests, scope, thing)
                other = self._fire(*others[0], scope, thing)
                node.otherwise, node.rivals = other, [r for r, _ in others]
                node.rests_on |= other.rests_on
                return node
        found = [self._fire(rule, tests, scope, thing) for rule, tests in applies]
        if all(n.known and n.value == found[0].value for n in found):
            return found[0]
        node = Node(quantity, "conflict", thing=thing, rivals=[r for r, _ in applies])
        node.missing = [leaf for n in found for leaf in n.missing]
        node.rests_on = frozenset().union(*(n.rests_on for n in found))
        return node

    def _undecided(
        self,
        quantity: str,
        open_rules: list[tuple[Rule, list[Node]]],
        applies: list[tuple[Rule, list[Node]]],
        scope: Subject,
        thing: int | None,
    ) -> Node:
        """Ask for what the conditions need, and for what every road that is still open needs alike."""
        node = Node(quantity, "open", thing=thing)
        node.tests = [t for _, tests in open_rules for t in tests]
        asked = [leaf for t in node.tests for leaf in t.missing]
        node.problem = next((t.problem for t in node.tests if t.problem), None)
        if node.problem and not asked:  # which road is open cannot be known before that is put right
            node.kind = "refused"
            node.rests_on = frozenset().union(*(t.rests_on for t in node.tests))
            return node
        roads = [self._fire(rule, tests, scope, thing) for rule, tests in (*open_rules, *applies)]
        common = set.intersection(*({leaf.quantity for leaf in road.missing} for road in roads))
        node.missing = asked + [leaf for leaf in roads[0].missing if leaf.quantity in common]
        node.inputs = roads[0].inputs if len(roads) == 1 else {}
        node.rests_on = frozenset().union(*(r.rests_on for r in roads), *(t.rests_on for t in node.tests))
        return node

    def _holds(self, rule: Rule, scope: Subject, thing: int | None) -> tuple[bool | None, list[Node]]:
        """Whether a rule's conditions all hold; None where one needs what is not known and none fails."""
        verdict: bool | None = True
        tests: list[Node] = []
        for condition in rule.when:
            test = self._test(condition, scope, thing)
            tests.append(test)
            if test.value is False:
                return False, [test]
            if test.value is None:
                verdict = None
        return verdict, tests

    def _test(self, condition: Condition, scope: Subject, thing: int | None) -> Node:
        key = (scope.name, condition.key, thing)
        if key not in self.memo:
            node = Node(condition.spoken, "derived", thing=thing)
            values = self._needs(node, condition.params, scope, thing, None)
            if values is not None:
                held = self._call(node, condition.fn, values)
                node.value = None if held is None else bool(held) is not condition.negated
            self.memo[key] = node
        return self.memo[key]

    # --- a rule fires -------------------------------------------------------------------------------------------------
    def _fire(self, rule: Rule, tests: list[Node], scope: Subject, thing: int | None) -> Node:
        node = Node(rule.quantity, "derived", unit=rule.unit, thing=thing, rule=rule, tests=tests)
        done = self.swap.get(rule, rule)
        values = self._needs(node, done.params, scope, thing, rule)
        node.rests_on |= frozenset((rule.name,)).union(*(t.rests_on for t in tests))
        if done is not rule:
            node.rule = done
        if values is None:
            node.kind = "refused" if node.problem and not node.missing else "open"
            return node
        node.value = self._call(node, done.fn, values)
        if node.problem:
            node.kind = "refused"
        elif node.value is None:
            node.kind = "none"
        return node

    def _needs(
        self, node: Node, params: Iterable[Param], scope: Subject, thing: int | None, rule: Rule | None
    ) -> dict[str, Any] | None:
        """The values of a rule's parameters; None where one is not known (what is missing is noted on the node)."""
        values: dict[str, Any] = {}
        complete = True
        rests: list[frozenset[str]] = []
        for param in params:
            if param.table:
                table = self.book.table(param.name).watched()
                node.tables.append(table)
                values[param.name] = table
                continue
            if param.each and scope.each:
                of = collects(scope, param.name, self.book)
                count = self.facts.count(of.thing)
                each = [self.resolve(param.name, of, i, param.unit) for i in range(count)] or [
                    self.resolve(param.name, of, None, param.unit)
                ]
                node.inputs[param.name] = each
                ready = [self._ready(node, part, param, rule) for part in each]
                values[param.name] = [part.value for part in each]
                complete &= all(ready)
                rests += [part.rests_on for part in each]
                continue
            if param.need == "optional" and not self._said(param.name, scope, thing):
                values[param.name] = None  # optional: used where the user said it, never derived
                rests.append(frozenset((param.name,)))
                continue
            part = self.resolve(param.name, scope, thing, param.unit)
            rests.append(part.rests_on)
            node.inputs[param.name] = part
            complete &= self._ready(node, part, param, rule)
            values[param.name] = part.value
        node.rests_on = node.rests_on.union(*rests)
        return values if complete else None

    def _ready(self, node: Node, part: Node, param: Param, rule: Rule | None) -> bool:
        """Whether a part may be used here: known, and assumed only where the rule allows it."""
        if part.known and not (part.kind == "assumed" and param.need == "must"):
            return True
        if part.problem:
            node.problem = node.problem or part.problem
        if part.kind == "conflict":
            node.rivals = node.rivals or part.rivals
        if part.missing and not part.known:
            node.missing += part.missing
        elif not part.problem:
            node.missing.append(self.leaf_to_ask(part, rule))
        return False

    @staticmethod
    def leaf_to_ask(part: Node, rule: Rule | None) -> Node:
        """An open leaf, with the rule that wants it."""
        return Node(part.quantity, "open", unit=part.unit, thing=part.thing, wanted_by=rule)

    @staticmethod
    def _call(node: Node, fn: Callable[..., Any], values: dict[str, Any]) -> Any:
        try:
            return fn(**values)
        except Refuse as refused:
            if isinstance(refused, OutsideTable):  # name what was said, where the table knows its own column only
                stated = (n for n, p in node.inputs.items() if isinstance(p, Node) and p.kind == "stated")
                refused.input = next((n for n in stated if spoken(values[n]) == refused.said), refused.input)
            node.problem = refused
            return None
        except (ZeroDivisionError, OverflowError):
            node.problem = Refuse(f"no {node.quantity.replace('_', ' ')} comes of these values")
            return None


def collects(scope: Subject, name: str, book: Knowledge) -> Subject:
    """The subject whose things an `Each[...]` parameter of this name collects from."""
    declared = book.input(name)
    return scope.collects(name, declared.thing if declared else None)


@dataclass(frozen=True, slots=True)
class Roads:
    """All that some road to a quantity can use: the inputs that a question may fill, and the entries it may cite."""

    inputs: frozenset[str]
    cites: frozenset[str]


def roads(subject: Subject, quantity: str, book: Knowledge) -> Roads:
    """Every road to a quantity, whether its conditions hold or not."""
    found: set[str] = set()
    cited: set[str] = set()
    seen: set[tuple[str, str]] = set()
    todo = [(subject, quantity)]
    while todo:
        scope, name = todo.pop()
        if (scope.name, name) in seen:
            continue
        seen.add((scope.name, name))
        if book.input(name) is not None:
            found.add(name)
        for rule in scope.find(name):
            cited.update(rule.cites)
            for params in (rule.params, *(c.params for c in rule.when)):
                for param in params:
                    if not param.table:
                        of = collects(scope, param.name, book) if param.each else scope
                        todo.append((of, param.name))
    return Roads(frozenset(found), frozenset(cited))


def check_names(subjects: Iterable[Subject], book: Knowledge) -> list[str]:
    """Every parameter that neither a rule, an input, a factor nor a table can fill."""
    wrong = []
    for subject in subjects:
        found = [r for rules in subject.rules.values() for r in rules] + [slip for _, slip in subject.mistakes]
        for rule in found:
            for param in (*rule.params, *(p for c in rule.when for p in c.params)):
                scope = collects(subject, param.name, book) if param.each else subject
                if param.table:
                    ok = book.has_table(param.name)
                else:
                    ok = bool(scope.find(param.name) or book.input(param.name) or book.factor(param.name))
                if not ok:
                    wrong.append(f"{rule.name} needs {param.name}, which is no quantity, input, factor or table")
    return wrong


__all__ = [
    "Cycle",
    "Derivation",
    "Knowledge",
    "Node",
    "RuleError",
    "alternatives",
    "cases",
    "check_names",
    "derive",
    "roads",
    "same_in_all_cases",
    "slips",
    "typed",
    "with_fact",
]

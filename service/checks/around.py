"""A bound check around its nominal values: judged at many corners, with only what a corner changes done again.

A computed input is worked out again only where something it is made from varies. A judging that touches no input that
differs from an earlier one comes to the same, so it is not done twice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from operator import itemgetter
from typing import Any

from service.checks.core import NotingInputs, Outcome, touched_by
from service.checks.plan import NOT_COMPUTABLE, Node, Plan, judge_inputs, judged, work_out

#: How a corner moves each toleranced fact: down (-1), up (1) or not at all (0).
Signs = tuple[float, ...]


class Around:
    """One plan whose toleranced facts are `variables` (size, names); `override` is one input with another value."""

    def __init__(self, plan: Plan, variables: Sequence[tuple[float, list[str]]], override: tuple[str, Any] | None = None) -> None:
        self.plan, self.variables = plan, variables
        self.start = plan.nominal(override=override)
        self.varying = {name for _, names in variables for name in names}
        self.nodes = [node for node in plan.nodes if (override is None or node.name != override[0]) and self._varies(node)]
        for node in self.nodes:
            self.start.pop(node.name, None)
        self.moved = [{sign: {name: self.start[name] + sign * size for name in names if name in self.start} for sign in (-1.0, 1.0)}
                      for size, names in variables]
        self.moves_computed = any(node.name in names for node in self.nodes for _, names in variables)
        self.seen: dict[tuple[str, ...], Seen] | None = {}

    def _varies(self, node: Node) -> bool:
        """Whether a computed input may differ from corner to corner; what is made from it then does too."""
        needs = node.needs if node.needs is not None else _touched(self.plan.defaults[node.name].default, self.start)
        if self.varying.isdisjoint(needs) and node.name not in self.varying:
            return False
        self.varying.add(node.name)
        return True

    def shifts(self, signs: Signs) -> dict[str, float]:
        """What a corner adds to each input."""
        return {name: sign * size for (size, names), sign in zip(self.variables, signs, strict=True) for name in names if sign}

    def judged(self, signs: Signs) -> Outcome:
        """The outcome at a corner."""
        values = self._moved(signs)
        if self.seen is None:
            return judged(self.plan.check, values)
        for seen in self.seen.values():
            found = seen.outcome(values)
            if found is not None:
                return found
        return self._noted(values)

    def _moved(self, signs: Signs) -> dict[str, Any]:
        """The inputs at a corner."""
        values = self.start.copy()
        for moved, sign in zip(self.moved, signs, strict=True):
            if sign:
                values.update(moved[sign])
        if self.nodes:
            work_out(self.nodes, values, self.shifts(signs) if self.moves_computed else {})
        return values

    def _noted(self, values: dict[str, Any]) -> Outcome:
        """Judge, and keep the outcome by the figures that it touched; no longer where every corner differs in one of them."""
        inputs = NotingInputs(values)
        out = judge_inputs(self.plan.check, inputs)
        noted = touched_by(inputs)
        if self.seen is not None:
            touched = tuple(self.varying & noted)
            if touched not in self.seen:
                self.seen[touched] = Seen(touched)
            self.seen[touched].keep(values, out)
            if all(not noted.isdisjoint(names) for _, names in self.variables):
                self.seen = None
        return out


class Seen:
    """Outcomes by the figures of the inputs that they touched."""

    def __init__(self, touched: tuple[str, ...]) -> None:
        self._figures: Callable[[Mapping[str, Any]], Any] = itemgetter(*touched) if touched else lambda values: ()
        self._outcomes: dict[Any, Outcome] = {}

    def outcome(self, values: Mapping[str, Any]) -> Outcome | None:
        """The outcome that these inputs come to, if it is known. What is absent or no figure is never looked up."""
        try:
            return self._outcomes.get(self._figures(values))
        except (KeyError, TypeError):
            return None

    def keep(self, values: Mapping[str, Any], outcome: Outcome) -> None:
        """Know it from now on."""
        with suppress(KeyError, TypeError):
            self._outcomes[self._figures(values)] = outcome


def _touched(default: Callable[[Any], Any], values: dict[str, Any]) -> set[str]:
    """The inputs that a default made from inputs touches."""
    inputs = NotingInputs(values)
    with suppress(*NOT_COMPUTABLE):
        default(inputs)
    return touched_by(inputs)

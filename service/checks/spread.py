"""Worst case over the inputs' tolerances.

Up to eight toleranced facts every corner is judged; beyond that, for each value and each limit, the corner that each
fact's own sign of effect points to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from typing import Any

from service.checks.core import Inputs, Outcome
from service.checks.plan import Plan

#: Beyond this many toleranced facts, corners are chosen by sign of effect. Source: the format's own rule.
ALL_CORNERS = 8


@dataclass(frozen=True, slots=True)
class Spread:
    """Lowest and highest of each numeric value over the corners, and whether some corner fails."""

    low: dict[str, float]
    high: dict[str, float]
    fails: bool = False
    failing: Mapping[str, float] | None = None


def spread(plan: Plan, nominal: Outcome, override: tuple[str, Any] | None = None, *, verdict_only: bool = False) -> Spread:
    """The worst case around `nominal`. `verdict_only` stops at the first corner that fails."""
    low = {name: value for name, value in nominal.values.items() if isinstance(value, (int, float))}
    high = dict(low)
    failing = None
    for shifts, out in corners(plan, nominal, override):
        for name, value in out.values.items():
            if name in low and isinstance(value, (int, float)):
                if value < low[name]:
                    low[name] = value
                elif value > high[name]:
                    high[name] = value
        if failing is None and out.reason is None and out.verdict == "fail":
            failing = shifts
            if verdict_only:
                break
    return Spread(low, high, failing is not None, failing)


def doubted(plan: Plan, inputs: dict[str, Any], out: Outcome, worst: Spread) -> None:
    """Let the check judge how far its values are spread, where it has a rule for that."""
    if plan.check.doubt is not None and out.reason is None and not out.missing and worst.low:
        plan.check.doubt(Inputs(inputs), out, worst.low, worst.high)


def varied(plan: Plan, override: tuple[str, Any] | None) -> list[tuple[float, list[str]]]:
    """The toleranced facts that take part: the replaced one has no tolerance."""
    skip = override[0] if override else None
    found = []
    for size, names in plan.variables.values():
        kept = [name for name in names if name != skip]
        if kept and size:
            found.append((size, kept))
    return found


def corners(plan: Plan, nominal: Outcome, override: tuple[str, Any] | None = None) -> Iterator[tuple[Mapping[str, float], Outcome]]:
    """Outcomes at the corners that matter, each with its shifts."""
    variables = varied(plan, override)
    if not variables:
        return
    if len(variables) <= ALL_CORNERS:
        for signs in product((-1.0, 1.0), repeat=len(variables)):
            shifts = _shifts(variables, signs)
            yield shifts, plan.evaluate(shifts, override)
        return
    yield from _pointed_corners(plan, nominal, variables, override)


def _shifts(variables: list[tuple[float, list[str]]], signs: tuple[float, ...]) -> dict[str, float]:
    return {name: sign * size for (size, names), sign in zip(variables, signs, strict=True) for name in names}


def _figures(out: Outcome) -> dict[Any, float]:
    """Values and limit margins by key, so that each can be followed from corner to corner."""
    figures: dict[Any, float] = {name: value for name, value in out.values.items() if isinstance(value, (int, float))}
    for index, limit in enumerate(out.limits):
        if limit.verdict == "fail" and limit.value is not None:
            edges = [limit.value - limit.low] if limit.low is not None else []
            edges += [limit.high - limit.value] if limit.high is not None else []
            figures[index, limit.of] = min(edges)
    return figures


def _pointed_corners(plan: Plan, nominal: Outcome, variables: list[tuple[float, list[str]]], override: tuple[str, Any] | None) -> Iterator[
        tuple[Mapping[str, float], Outcome]]:
    at_rest = _figures(nominal)
    effects = []
    for size, names in variables:
        moved = _figures(plan.evaluate(dict.fromkeys(names, size), override))
        effects.append({key: moved.get(key, value) - value for key, value in at_rest.items()})
    seen = set()
    for key in at_rest:
        signs = tuple(1.0 if effect[key] >= 0 else -1.0 for effect in effects)
        for chosen in (signs, tuple(-sign for sign in signs)):
            if chosen not in seen:
                seen.add(chosen)
                shifts = _shifts(variables, chosen)
                yield shifts, plan.evaluate(shifts, override)

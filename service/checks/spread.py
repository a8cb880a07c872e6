"""Worst case over the inputs' tolerances.

Up to eight toleranced facts every corner is judged; beyond that, for each value and each limit, the corner that each
fact's own sign of effect points to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any, NamedTuple

from service.checks.around import Around, Signs
from service.checks.core import Inputs, Outcome
from service.checks.plan import Plan

#: Beyond this many toleranced facts, corners are chosen by sign of effect. Source: the format's own rule.
ALL_CORNERS = 8


class Spread(NamedTuple):
    """Lowest and highest of each numeric value over the corners, and whether some corner fails."""

    low: dict[str, float]
    high: dict[str, float]
    fails: bool = False
    failing: Mapping[str, float] | None = None


#: Nothing that spreads; and the same if some corner failed.
NONE, FAILING = Spread({}, {}), Spread({}, {}, fails=True)


def spread(plan: Plan, nominal: Outcome, override: tuple[str, Any] | None = None, *, verdict_only: bool = False) -> Spread:
    """The worst case around `nominal`. `verdict_only` stops at the first corner that fails, and follows no values."""
    low = {} if verdict_only else {name: value for name, value in nominal.values.items() if isinstance(value, (int, float))}
    high = dict(low)
    around = Around(plan, varied(plan, override), override)
    failing = None
    for signs, out in corners(around, nominal):
        for name in low.keys() & out.values:
            value = out.values[name]
            if isinstance(value, (int, float)):
                low[name], high[name] = min(low[name], value), max(high[name], value)
        if failing is None and out.reason is None and out.verdict == "fail":
            failing = around.shifts(signs)
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


def corners(around: Around, nominal: Outcome) -> Iterator[tuple[Signs, Outcome]]:
    """Outcomes at the corners that matter, each with the way it moves each toleranced fact."""
    count = len(around.variables)
    if count > ALL_CORNERS:
        yield from _pointed_corners(around, nominal)
    elif count:
        for signs in product((-1.0, 1.0), repeat=count):
            yield signs, around.judged(signs)


def _figures(out: Outcome) -> dict[Any, float]:
    """Values and limit margins by key, so that each can be followed from corner to corner."""
    figures: dict[Any, float] = {name: value for name, value in out.values.items() if isinstance(value, (int, float))}
    for index, limit in enumerate(out.limits):
        if limit.verdict == "fail" and limit.value is not None:
            edges = [limit.value - limit.low] if limit.low is not None else []
            edges += [limit.high - limit.value] if limit.high is not None else []
            figures[index, limit.of] = min(edges)
    return figures


def _pointed_corners(around: Around, nominal: Outcome) -> Iterator[tuple[Signs, Outcome]]:
    at_rest, count = _figures(nominal), len(around.variables)
    effects = []
    for index in range(count):
        moved = _figures(around.judged(tuple([float(index == other) for other in range(count)])))
        effects.append({key: moved.get(key, value) - value for key, value in at_rest.items()})
    seen = set()
    for key in at_rest:
        signs = tuple([1.0 if effect[key] >= 0 else -1.0 for effect in effects])
        for chosen in (signs, tuple([-sign for sign in signs])):
            if chosen not in seen:
                seen.add(chosen)
                yield chosen, around.judged(chosen)

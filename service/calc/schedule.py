"""The schedule: critical path through the remaining steps, slack, working days.

Times in s of work; dates as calendar dates. Source: Kelley & Walker 1959, Critical-Path Planning and Scheduling.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Network:
    """Earliest start and finish, latest finish and slack of each step in s, the longest path, and the steps on one such path."""

    earliest_start: Mapping[str, float]
    earliest_finish: Mapping[str, float]
    latest_finish: Mapping[str, float]
    slack: Mapping[str, float]
    length: float
    chain: tuple[str, ...]


class Circle(ValueError):
    """Steps that wait for each other."""

    def __init__(self, steps: Sequence[str]) -> None:
        super().__init__(f"these steps wait for each other in a circle: {', '.join(steps)}")
        self.steps = tuple(steps)


def order(after: Mapping[str, Sequence[str]]) -> list[str]:
    """The steps so that each comes behind those before it. Raises Circle, or ValueError for an unknown step.

    >>> order({"b": ["a"], "a": [], "c": ["a", "b"]})
    ['a', 'b', 'c']
    """
    for step, before in after.items():
        for name in before:
            if name not in after:
                raise ValueError(f"step {step} comes after {name}, which is not among the steps")
    found: list[str] = []
    done: set[str] = set()
    left = list(after)
    while left:
        ready = [step for step in left if all(name in done for name in after[step])]
        if not ready:
            raise Circle(_waited_for(left, after))
        found.extend(ready)
        done.update(ready)
        left = [step for step in left if step not in done]
    return found


def _waited_for(left: Sequence[str], after: Mapping[str, Sequence[str]]) -> list[str]:
    """Of steps that can never start, those that some other one of them waits for: the circle without what hangs on it."""
    found = sorted(left)
    while True:
        wanted = {name for step in found for name in after[step]}
        kept = [step for step in found if step in wanted]
        if kept == found:
            return found
        found = kept


def network(after: Mapping[str, Sequence[str]], durations: Mapping[str, float]) -> Network:
    """Critical path method: earliest times forward, latest times backward, slack = latest finish - earliest finish.

    `after` lists for each step those before it; `durations` in s (0 for steps done). ValueError for a circle or an
    unknown step. Source: Kelley & Walker 1959.

    >>> found = network({"a": [], "b": ["a"], "c": ["a"]}, {"a": 3600, "b": 7200, "c": 3600})
    >>> found.length, found.slack["c"], found.chain
    (10800, 3600, ('a', 'b'))
    """
    steps = order(after)
    start: dict[str, float] = {}
    finish: dict[str, float] = {}
    for step in steps:
        start[step] = max((finish[name] for name in after[step]), default=0)
        finish[step] = start[step] + durations[step]
    length = max(finish.values(), default=0)
    latest = dict.fromkeys(steps, length)
    for step in reversed(steps):
        for name in after[step]:
            latest[name] = min(latest[name], latest[step] - durations[step])
    slack = {step: latest[step] - finish[step] for step in steps}
    return Network(start, finish, latest, slack, length, _chain(steps, after, start, finish, durations, length))


def _chain(steps: Sequence[str], after: Mapping[str, Sequence[str]], start: Mapping[str, float], finish: Mapping[str, float],
           durations: Mapping[str, float], length: float) -> tuple[str, ...]:
    """One longest path, followed back from a step that finishes last; steps that take no time are left out."""
    step = next((name for name in steps if finish[name] == length and durations[name] > 0), None)
    found: list[str] = []
    while step is not None:
        if durations[step] > 0:
            found.append(step)
        here = step
        step = next((name for name in after[here] if finish[name] == start[here]), None)
    return tuple(reversed(found))


def working_days(first: dt.date, last: dt.date, days_per_week: int) -> int:
    """Working days from `first` to `last`, both counted; a week's working days are its first ones, Monday first.

    >>> working_days(dt.date(2026, 6, 8), dt.date(2026, 6, 12), 5)
    5
    """
    if last < first:
        return 0
    weeks, rest = divmod((last - first).days + 1, 7)
    extra = sum((first.weekday() + day) % 7 < days_per_week for day in range(rest))
    return weeks * days_per_week + extra

"""What stands between a car and the road, and how a result and a plan are laid out for reading."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from service.vocabulary.core import SYSTEMS

_OF_RESULTS = ("failed: ", "not known: ")
_ONE_AND_MANY = {
    "Signatures": ("signature", "signatures"), "Open fixes": ("open fix", "open fixes"), "Torques": ("torque", "torques"),
    "Other records": ("other record", "other records"),
}


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands between a car and the road: safety findings, and everything else that readiness asks for."""

    ready: bool
    failed: list[dict[str, Any]]
    unknown: list[dict[str, Any]]
    others: dict[str, list[str]]

    @property
    def count(self) -> int:
        """How many things stand between."""
        return len(self.failed) + len(self.unknown) + sum(map(len, self.others.values()))

    @property
    def told(self) -> list[str]:
        """What stands between, counted kind by kind: `2 safety checks failed`, `1 signature`."""
        counts = [(len(self.failed), "safety check failed", "safety checks failed"), (len(self.unknown), "not known", "not known"),
                  *((len(reasons), *_ONE_AND_MANY[kind]) for kind, reasons in self.others.items())]
        return [f"{count} {one if count == 1 else many}" for count, one, many in counts if count]


def standing(answer: Mapping[str, Any]) -> Standing:
    """Sort the reasons of an answer: findings as results, the others by what kind of thing they are."""
    because = answer["ready"]["because"]
    safety = [item for item in answer["results"] if item["safety"] and item["check"] != "readiness.safety_items"]
    others: dict[str, list[str]] = {}
    for reason in because:
        if not reason.startswith(_OF_RESULTS):
            others.setdefault(_kind(reason), []).append(reason)
    return Standing(answer["ready"]["for_road"], [item for item in safety if item["verdict"] == "fail"],
                    [item for item in safety if item["verdict"] == "unknown" and _named(item, because)], others)


def _named(item: Mapping[str, Any], because: Iterable[str]) -> bool:
    return any(reason.startswith(f"not known: {item['title']}") for reason in because)


def _kind(reason: str) -> str:
    if "not signed" in reason or "sign again" in reason:
        return "Signatures"
    if reason.startswith("safety fix"):
        return "Open fixes"
    if "torque" in reason or "tighten" in reason or "recheck" in reason:
        return "Torques"
    return "Other records"


def anchor(item: Mapping[str, Any]) -> str:
    """The name of a finding's place on the page."""
    return f"{item['check']}{'-' + item['position'].replace(' ', '-') if item['position'] else ''}"


def by_system(results: Iterable[Mapping[str, Any]]) -> list[tuple[str, list[Mapping[str, Any]]]]:
    """Results under their systems, in the order of the car; worst first within, as the answer has them."""
    found: dict[str, list[Mapping[str, Any]]] = {}
    for item in results:
        found.setdefault(item["system"], []).append(item)
    order = {name: index for index, name in enumerate(SYSTEMS)}
    return sorted(found.items(), key=lambda pair: order.get(pair[0], len(order)))


@dataclass(frozen=True, slots=True)
class Step:
    """A step of the plan: what it waits for, and how long it may slip before the date does."""

    task: Mapping[str, Any]
    after: list[str]
    waits_for: list[str]
    slack: str
    deciding: bool


def steps_left(document: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Step]:
    """The steps that are not done, in the order of the document."""
    path: Mapping[str, Any] = next((item for item in answer["results"] if item["check"] == "schedule.critical_path"), {"values": {}})
    tasks = {task["id"]: task for task in document.get("tasks") or ()}
    parts = {part["id"]: part for part in document.get("parts") or ()}
    return [_step(task, tasks, parts, path["values"]) for task in tasks.values() if not task.get("done_at")]


def _step(task: Mapping[str, Any], tasks: Mapping[str, Any], parts: Mapping[str, Any], values: Mapping[str, Any]) -> Step:
    slack = values.get(f"slack.{task['id']}")
    missing = [parts[id] for id in task.get("needs_parts") or () if id in parts and parts[id].get("status") in ("wanted", "ordered")]
    return Step(task, [tasks[id]["title"] for id in task.get("after") or () if id in tasks and not tasks[id].get("done_at")],
                [f"{part.get('name') or part['kind'].replace('_', ' ')} ({part['status']})" for part in missing],
                slack["printed"] if slack else "", slack is not None and slack["si"] <= 1e-6)


def days_to(promised: str | None, today: dt.date) -> str:
    """How long to a promised date, in words.

    >>> days_to("2026-06-12", dt.date(2026, 6, 10)), days_to("2026-06-12", dt.date(2026, 6, 15)), days_to(None, dt.date(2026, 6, 1))
    ('in 2 days', '3 days ago', '')
    """
    if not promised:
        return ""
    left = (dt.date.fromisoformat(promised[:10]) - today).days
    if left == 0:
        return "today"
    many = "" if abs(left) == 1 else "s"
    return f"in {left} day{many}" if left > 0 else f"{-left} day{many} ago"

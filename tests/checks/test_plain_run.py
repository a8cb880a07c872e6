"""The plain run says what the whole answer says, and what it does once for many corners is what each corner comes to by itself."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from service.checks.answer import answer
from service.checks.around import Around
from service.checks.bind import Car
from service.checks.outcome import Outcome
from service.checks.registry import checks
from service.checks.spread import corners, varied
from service.document import Facts, load
from service.settings import DEMO_BUILDS
from tests.checks.test_any_car import CARS, a_car

DEMO = sorted(DEMO_BUILDS.glob("*.json"))


def demo(path: Path) -> dict[str, Any]:
    return load(json.loads(path.read_text(encoding="utf-8")))


def told(document: Mapping[str, Any], *, full: bool) -> dict[tuple[str, str | None], Any]:
    return {(item["check"], item["position"]): (item["verdict"], item["safety"], item["margin"], item["missing"],
                                                {name: value["si"] for name, value in item["values"].items() if value["si"] is not None})
            for item in answer(document, full=full)["results"]}


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_the_plain_run_of_a_demo_build(path: Path) -> None:
    document = demo(path)
    assert told(document, full=False) == told(document, full=True)


@pytest.mark.parametrize("seed", CARS)
def test_the_plain_run_of_any_car(seed: int) -> None:
    document = a_car(seed)
    assert told(document, full=False) == told(document, full=True)


def outcome(out: Outcome) -> tuple[Any, ...]:
    return out.values, out.limits, out.missing, out.reason, out.verdict


def corners_of(document: Mapping[str, Any]) -> int:
    """Hold every corner of every check against judging it alone; how many there were."""
    car, count = Car(Facts(document)), 0
    for check_id, check in checks().items():
        for position in car.positions(check) if not check.last else ():
            if not car.applies(check, position):
                continue
            plan = car.plan(check_id, position)
            around = Around(plan, varied(plan, None))
            for signs, out in corners(around, plan.evaluate()):
                assert outcome(out) == outcome(plan.evaluate(around.shifts(signs))), (check_id, position, signs)
                count += 1
    return count


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_each_corner_of_a_demo_build(path: Path) -> None:
    assert corners_of(demo(path)) > 100


@pytest.mark.parametrize("seed", CARS)
def test_each_corner_of_any_car(seed: int) -> None:
    corners_of(a_car(seed))

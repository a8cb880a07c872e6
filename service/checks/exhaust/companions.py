"""What the exhaust needs beside it: shields and hangers near body and brake lines, a sealed cabin above it."""

from __future__ import annotations

from typing import Any

from service.calc.exhaust import CLEARANCES
from service.checks.companions import Rule, companions

NEAR, FIRE = "An exhaust near body or brake lines", "fire; brake fluid boils"
CABIN, GAS = "An exhaust under a closed cabin", "carbon monoxide kills without smell"
OPEN_BODIES = ("roadster", "other")


def _near(car: Any) -> list[str]:
    """Labels of clearances to body or brake lines that are less than what is wanted bare."""
    found = []
    for label in car.labels("exhaust_clearance"):
        neighbor, distance = (car.value(f"exhaust_clearance.{field}@here", label) for field in ("neighbor", "distance"))
        if neighbor in ("body", "brake_line") and distance is not None and distance < CLEARANCES[neighbor][0]:
            found.append(label)
    return found


def _shielded(car: Any) -> bool | None:
    answers = [car.value("exhaust_clearance.shield@here", label) for label in _near(car)]
    return False if False in answers else None if None in answers else True


def _under_a_cabin(car: Any) -> bool:
    body = car.value("car.body")
    return bool(car.on_car("exhaust")) and body is not None and body not in OPEN_BODIES


RULES = [
    Rule("exhaust_shield", NEAR, "a heat shield", "safety", FIRE, lambda car: bool(_near(car)), _shielded, without=("heat_shield",)),
    Rule("exhaust_hangers", NEAR, "hangers at most 900 mm (36 in) apart", "safety", FIRE, lambda car: bool(_near(car)),
         without=("exhaust_hanger",)),
    Rule("exhaust_bulkhead", CABIN, "sealed holes in the bulkhead and floor", "safety", GAS, _under_a_cabin),
    Rule("exhaust_tailpipe", CABIN, "a tailpipe that ends beyond the body's edge", "safety", GAS, _under_a_cabin, without=("tailpipe",)),
]
CHECK = companions("exhaust", RULES)

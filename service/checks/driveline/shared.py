"""What several driveline checks share: defaults by use, and where the shafts are."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

#: Steady speed the car is used at, by use, m/s (70, 75, 65, 60, 110, 120 mph). Common practice.
CRUISE_SPEED: Mapping[str, float] = {use: mph * 0.44704 for use, mph in
                                     {"street": 70, "touring": 75, "towing": 65, "autocross": 60, "track": 110, "drag": 120}.items()}


def shaft_positions(car: Any) -> list[str | None]:
    """None for a one-piece shaft, else the shafts there are (`front`, `rear`, `front axle`)."""
    labels: list[str | None] = list(car.labels("driveshaft"))
    bare = None in car.facts.subjects.get("driveshaft", ())
    return [None, *labels] if bare or not labels else labels

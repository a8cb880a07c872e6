"""What steering parts need beside them."""

from __future__ import annotations

from typing import Any

from service.checks.companions import Rule, companions

#: Column joints from which the shaft between them needs holding. Common practice.
JOINTS_THAT_NEED_A_BEARING = 3
_LINKS = ("steering_arm", "pitman_arm", "idler_arm", "center_link", "drag_link", "tie_rod")


def _bearing(car: Any) -> bool | None:
    if car.on_car("steering_shaft_bearing"):
        return True
    return False if car.facts.is_absent("steering_shaft_bearing") else None


RULES = (
    Rule("column_support_bearing", "a column with three or more joints", "a support bearing on the intermediate shaft", "safety",
         "without it the shaft whips and a joint folds", lambda car: len(car.labels("steering_joint")) >= JOINTS_THAT_NEED_A_BEARING, _bearing),
    Rule("no_bent_or_welded_links", "a steering arm, drag link or tie rod", "to be neither bent by heat nor welded, and a new part where it was", "safety",
         "heated or welded steering parts break without warning", lambda car: any(car.on_car(link) for link in _LINKS)),
)

CHECK = companions("steering", RULES)

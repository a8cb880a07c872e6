"""What bolts and nuts need beside them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from service import notation
from service.calc import fasteners as calc
from service.checks.companions import Rule, companions
from service.checks.fasteners.length_to_order import uncommon
from service.checks.fasteners.recheck_due import interval
from service.checks.fasteners.shared import STAINLESS

#: First recheck of wheel nuts and of other joints that bed in, m (100 and 500 mi). Common practice.
WHEEL_RECHECK, OTHER_RECHECK = 160934.4, 804672.0
BEDDING = ("suspension", "driveline", "exhaust")


def _fasteners(car: Any, *systems: str) -> list[Any]:
    return [record for record in car.document.get("fasteners") or () if not systems or record.get("system") in systems]


def _rechecked(longest: float, *systems: str) -> Callable[[Any], bool | None]:
    """Yes where every joint has a recheck soon enough, no where one is set too late, else not said."""

    def answered(car: Any) -> bool | None:
        texts = [record.get("recheck_after") for record in _fasteners(car, *systems)]
        due = [interval(str(text)) for text in texts if text]
        if any(not item.is_time and item.amount > longest * (1 + 1e-9) for item in due):
            return False
        return True if len(due) == len(texts) else None

    return answered


def _angle_tightened(car: Any) -> bool:
    return any((car.value(f"fastener.extra_angle@{label}") or 0.0) > 0 for label in car.labels("fastener"))


def _stainless_in_aluminum(car: Any) -> Iterator[str]:
    for label in car.labels("joint"):
        if "aluminum" in (car.value(f"joint.tapped_material@{label}") or "") and car.value(f"fastener.class@{label}") in STAINLESS:
            yield label


def _anti_seize(car: Any) -> bool | None:
    return all(car.value(f"fastener.lubricant@{label}") == "anti_seize" for label in _stainless_in_aluminum(car)) or None


def _slotted(car: Any) -> bool:
    return bool(car.exists("radiator_mount.slot_length@*"))


def _special_length(car: Any) -> bool:
    """Whether a bolt still to be fitted has to be ordered ahead."""
    return any(_special_at(car, label) for label in car.labels("joint") if not car.exists(f"fastener.applied_torque@{label}"))


def _special_at(car: Any, label: str) -> bool:
    names = ("grip", "nut_height", "engagement", "hole_depth")
    grip, nut, engagement, depth = (car.value(f"joint.{name}@{label}") for name in names)
    text = car.value(f"fastener.thread@{label}")
    if text is None or grip is None or (nut is None and None in (engagement, depth)):
        return False
    thread, washers = notation.thread(text), car.value(f"joint.washers@{label}") or 0.0
    ends = calc.through_lengths(grip, washers, nut, thread.pitch) if nut is not None else calc.tapped_lengths(grip, washers, engagement, depth, thread.pitch)
    found = calc.order_length(*ends, thread.inch)
    return found is None or bool(uncommon(found, thread, car.value(f"fastener.class@{label}")))


def _answered(rule: str) -> Callable[[Any], bool]:
    """For what the record does not know: the rule speaks once somebody has answered it."""
    return lambda car: bool(car.exists(f"companion.fitted@{rule}"))


RULES = (
    Rule("new_stretch_bolts", "a bolt tightened by angle", "new bolts at each use", "safety", "used ones are already stretched", _angle_tightened),
    Rule("new_lock_nuts", "a nylon-insert nut", "a new nut at each use", "safety", "a used one loses its grip", _answered("new_lock_nuts")),
    Rule("cool_lock_nuts", "a nylon-insert nut", "a place below about 120 °C", "safety", "the insert softens", _answered("cool_lock_nuts")),
    Rule("wheel_nut_recheck", "a set of wheel nuts", "a recheck after 50 to 100 mi", "safety", "it beds in", lambda car: bool(_fasteners(car, "wheels")),
         _rechecked(WHEEL_RECHECK, "wheels")),
    Rule("bedding_recheck", "a new joint of suspension, driveline or exhaust", "a recheck after 500 mi", "safety", "it beds in",
         lambda car: bool(_fasteners(car, *BEDDING)), _rechecked(OTHER_RECHECK, *BEDDING)),
    Rule("slot_washers", "a slotted or oversize hole", "a hardened washer on both sides", "note", "the joint settles", _slotted),
    Rule("slot_torque_mark", "a slotted or oversize hole", "a torque mark", "note", "the joint settles", _slotted),
    Rule("stainless_in_aluminum", "stainless in aluminum", "anti-seize or insulation", "note", "corrosion welds them together",
         lambda car: any(True for _ in _stainless_in_aluminum(car)), _anti_seize),
    Rule("special_length", "a bolt length that no shelf carries", "an early order, named in the needs of its step", "note",
         "a bolt worth small change stops the job", _special_length),
    Rule("plated_hardware", "bare rusting hardware on a finished car", "plated or painted replacements listed", "note",
         "it spoils the finish", _answered("plated_hardware")),
)

CHECK = companions("fasteners", RULES)

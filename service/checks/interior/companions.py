"""What the interior needs beside it: above all that a safety device taken out is not forgotten."""

from __future__ import annotations

from typing import Any

from service.checks.companions import Rule, companions

#: Safety devices that the vocabulary knows in the cabin.
DEVICES = ("seat_belt", "head_restraint", "child_seat_anchor")


def _taken_out(car: Any) -> bool:
    """A device recorded as removed, or somebody has answered the rule."""
    removed = any(part["kind"] in DEVICES and part.get("status") == "removed" for part in car.document.get("parts") or ())
    return removed or bool(car.exists("companion.fitted@removed_safety_device"))


def _remembered(car: Any) -> bool | None:
    return any(fix.get("safety") and fix.get("system") == "interior" for fix in car.document.get("fixes") or ()) or None


RULES = (
    Rule("removed_safety_device", "a safety device taken out (belt, guard, switch)", "a fix on record that is marked as safety", "safety",
         "it must not be forgotten",
         _taken_out, _remembered),
)

CHECK = companions("interior", RULES)

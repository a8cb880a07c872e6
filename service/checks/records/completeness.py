"""Is the book going to have holes?

Counts what the next mechanic will miss: parts without any number to order by, safety checks that rest on no measurement,
fixes without a note for whoever comes next, safety parts and signed items without a photograph, fasteners without torque.
It never fails: a hole in the record is no fault of the car.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Outcome, Shown, always, common_practice
from service.checks.fasteners.shared import SAFETY_SYSTEMS
from service.checks.readiness.items import ITEMS, system_of_part


def judge(x: Any, out: Outcome) -> None:
    """Count the holes, and what was counted."""
    document = x.document
    parts = [part for part in document.get("parts") or () if part.get("status", "fitted") in ("received", "fitted")]
    safety = [item for item in x.results if item["safety"]]
    fixes, fasteners = document.get("fixes") or [], document.get("fasteners") or []
    shown = _worth_a_photo(document, parts)
    pictured = {target for photo in document.get("photos") or () for target in photo.get("of") or ()}
    counts = {
        "parts_without_number": (sum(not any(part.get(key) for key in ("part_number", "order_as", "serial")) for part in parts), len(parts)),
        "safety_checks_unmeasured": (sum(not any(entry["from"].get("list") == "measurements" for entry in item["inputs"]) for item in safety), len(safety)),
        "fixes_without_note": (sum(not fix.get("next_mechanic") for fix in fixes), len(fixes)),
        "items_without_photo": (sum(not (record.get("photos") or record["id"] in pictured) for record in shown), len(shown)),
        "fasteners_without_torque": (sum(fastener.get("applied_torque") in (None, "") for fastener in fasteners), len(fasteners)),
    }
    for name, (holes, _) in counts.items():
        out.value(name, holes)
    counted = sum(count for _, count in counts.values())
    out.value("completeness", 1 - sum(holes for holes, _ in counts.values()) / counted if counted else 1.0)
    for name, (holes, _) in counts.items():
        out.must(holes == 0, f"{holes} {(ONE if holes == 1 else TITLES)[name]}", "caution", of=name)


def _worth_a_photo(document: Any, parts: list[Any]) -> list[Any]:
    fitted = [part for part in parts if part.get("status", "fitted") == "fitted" and system_of_part(part) in SAFETY_SYSTEMS]
    return fitted + [entry for entry in document.get("signoffs") or () if entry["item"].strip().lower() in ITEMS]


TITLES = {
    "parts_without_number": "parts without a number to order by",
    "safety_checks_unmeasured": "safety checks that rest on no measurement",
    "fixes_without_note": "fixes without a note for the next mechanic",
    "items_without_photo": "safety parts and signed items without a photograph",
    "fasteners_without_torque": "fasteners without torque",
}
ONE = {
    "parts_without_number": "part without a number to order by",
    "safety_checks_unmeasured": "safety check that rests on no measurement",
    "fixes_without_note": "fix without a note for the next mechanic",
    "items_without_photo": "safety part or signed item without a photograph",
    "fasteners_without_torque": "fastener without torque",
}


def say(s: Any) -> str:
    """The finding in words."""
    holes = [limit.why for limit in s.limits if limit.violated]
    if not holes:
        return "The record has no holes that the book would show."
    return f"{s.v['completeness'] * 100:.0f} % recorded; missing: {'; '.join(holes)}."


CHECK = Check(
    title="Is the book going to have holes?",
    system="records",
    safety=False,
    applies=always,
    reads=("document", "results"),
    last=1,
    inputs=[],
    values={**{name: Shown(title, "dimensionless") for name, title in TITLES.items()}, "completeness": Shown("share recorded", "dimensionless", "%")},
    judge=judge,
    say=say,
    formula="completeness = 1 − holes/things counted",
    basis=[common_practice("what the next mechanic asks for")],
)

"""Is the book going to have holes?

Counts what the next mechanic will miss: parts without any number to order by, safety checks that rest on no measurement,
fixes without a note for whoever comes next, safety parts and signed items without a photograph, fasteners without torque.
It never fails: a hole in the record is no fault of the car.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.checks.core import Check, Outcome, Shown, always, common_practice
from service.checks.fasteners.shared import SAFETY_SYSTEMS
from service.checks.readiness.items import ITEMS, grouped, item_of, system_of_part
from service.checks.readiness.items import TITLES as ITEM_TITLES
from service.checks.records.measured import from_the_car, is_tightened, rests_on


@dataclass(frozen=True, slots=True)
class Counted:
    """The holes of one sort (in words, or as findings), and how many things were counted."""

    holes: Sequence[Any]
    of: int

    @property
    def words(self) -> list[str]:
        """The holes in words, none twice."""
        findings = [hole for hole in self.holes if not isinstance(hole, str)]
        return grouped(findings) or list(dict.fromkeys(self.holes))


def judge(x: Any, out: Outcome) -> None:
    """Count the holes, and what was counted."""
    found = counted(x)
    for name, item in found.items():
        out.value(name, len(item.holes))
    everything = sum(item.of for item in found.values())
    out.value("completeness", 1 - sum(len(item.holes) for item in found.values()) / everything if everything else 1.0)
    for name, item in found.items():
        holes = len(item.holes)
        out.must(holes == 0, f"{holes} {(ONE if holes == 1 else TITLES)[name]}", "caution", of=name)


def counted(x: Any) -> dict[str, Counted]:
    """Every sort of hole, by the name of its value."""
    document = x.document
    parts = [part for part in document.get("parts") or () if part.get("status", "fitted") in ("received", "fitted")]
    safety, measured = [item for item in x.results if item["safety"]], from_the_car(document)
    fixes, fasteners = document.get("fixes") or [], document.get("fasteners") or []
    pictures = _pictures(document, parts)
    return {
        "parts_without_number": Counted([_part(part) for part in parts if not any(part.get(key) for key in NUMBERS)], len(parts)),
        "safety_checks_unmeasured": Counted([item for item in safety if not rests_on(item, measured)], len(safety)),
        "fixes_without_note": Counted([fix["title"] for fix in fixes if not (fix.get("next_mechanic") or "").strip()], len(fixes)),
        "items_without_photo": Counted([title for title, shown in pictures if not shown], len(pictures)),
        "fasteners_without_torque": Counted([fastener["joint"] for fastener in fasteners if not is_tightened(fastener)], len(fasteners)),
    }


def _part(part: Mapping[str, Any]) -> str:
    return str(part.get("name") or part["kind"].replace("_", " "))


def _pictures(document: Mapping[str, Any], parts: Sequence[Mapping[str, Any]]) -> list[tuple[str, bool]]:
    """Fitted parts of the safety systems and signed items, in words, each with whether a photograph shows it."""
    pictured = {target for photo in document.get("photos") or () for target in photo.get("of") or ()}
    fitted = [part for part in parts if part.get("status", "fitted") == "fitted" and system_of_part(part) in SAFETY_SYSTEMS]
    found = [(_part(part), bool(part.get("photos")) or part["id"] in pictured) for part in fitted]
    signed: dict[str, bool] = {}
    for entry in document.get("signoffs") or ():
        item = item_of(entry)
        if item in ITEMS:
            signed[item] = signed.get(item, False) or entry["id"] in pictured
    return found + [(f"signed: {ITEM_TITLES[item]}", shown) for item, shown in signed.items()]


#: What a part can be ordered again by.
NUMBERS = ("part_number", "order_as", "serial")
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


def holes(x: Any, values: Mapping[str, Any]) -> dict[str, Any]:
    """The holes by name, for whoever fills them."""
    rows = [[TITLES[name], "; ".join(item.words)] for name, item in counted(x).items() if item.holes]
    return {"table": {"title": "Holes in the record", "columns": ["what is missing", "where"], "rows": rows}} if rows else {}


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
    extras=holes,
    formula="completeness = 1 − holes/things counted",
    basis=[common_practice("what the next mechanic asks for")],
)

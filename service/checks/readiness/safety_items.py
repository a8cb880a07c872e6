"""May the car go on the road?

Strict, and it explains itself: every safety item signed and the signature still current, no safety fix open, no safety
check failed or unanswered, the core checks given at all, every safety fastener tightened and recorded, a road test
logged. A person may accept an unanswered check or a caution with name and reason; that is printed in the book and the
finding keeps its verdict. A fail cannot be accepted. This is the shop's own list, not an inspection.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.checks.core import Check, Outcome, Shown, always, common_practice
from service.checks.readiness import items
from service.checks.readiness.acceptance import Acceptances, acceptances, key_of, remarks
from service.checks.registry import checks
from service.checks.speak import in_sentence
from service.document.address import normal

#: Safety checks whose facts a sound shop may never have: unknown is a note, not a reason. The reference's list.
SELDOM_KNOWN = frozenset({
    "weights.cg_height", "weights.against_ratings", "suspension.load_transfer_balance", "suspension.camber_curve", "suspension.bump_steer",
    "suspension.ball_joint_relocation", "driveline.transmission_power", "driveline.transmission_torque", "driveline.shaft_torque", "driveline.axle_torque",
    "driveline.joint_vibration", "driveline.converter_pilot", "driveline.speedometer", "brakes.heat", "brakes.parking_hold",
})
#: Checks without which nothing was looked at: giving no result at all is a reason. The reference's list.
CORE = ("brakes.balance", "brakes.stop", "brakes.hydraulic_proof", "wheels.load_and_speed", "wheels.stud_engagement", "wheels.tire_age", "wheels.clearance")


def judge(x: Any, out: Outcome) -> None:
    """Count the reasons in their order."""
    accepted = acceptances(x.document)
    unknown, seldom = _unknown(x, accepted)
    silent = _silent(x)
    work = items.work_done(x.document, x.car)
    reasons = {
        "items_unsigned": [reason for item in items.ITEMS if (reason := items.standing(item, x.document, work))],
        "open_safety_fixes": [f"safety fix still open: {fix['title']}" for fix in x.document.get("fixes") or ()
                              if fix.get("safety") and fix.get("status", "open") != "resolved"],
        "safety_checks_failed": [f"failed: {name}" for name in items.named(item for item in x.results if item["safety"] and item["verdict"] == "fail")],
        "safety_checks_unknown": [f"not known: {name}" for name in items.named(unknown)],
        "core_checks_missing": [f"nothing recorded for {checks()[check].system}: {in_sentence(title)}" for check, title in silent.items()
                                if not accepted.covers(check)],
        "safety_fasteners_untorqued": [f"no applied torque recorded for {fastener['joint']}" for fastener in items.safety_fasteners(x.document, x.car)
                                       if not x.car.exists(f"fastener.applied_torque@{normal(fastener['joint'])}")],
    }
    drives = x.document.get("drives") or ()
    for name, found in reasons.items():
        out.value(name, len(found))
        out.because.extend(found)
    out.value("findings_accepted", len(_accepted(x, accepted, silent)))
    out.value("drives_logged", len(drives))
    for reason in out.because:
        out.must(False, reason)
    if not drives:
        out.because.append("no road test logged")
        out.must(False, "no road test logged", "caution")
    for note in (*_notes(x, seldom), *remarks(accepted, x.results, silent)):
        out.remark(note)


def _unknown(x: Any, accepted: Acceptances) -> tuple[list[Any], list[Any]]:
    """Unknown safety checks that count, and those a sound shop may never be able to judge."""
    unknown = [item for item in x.results if item["safety"] and item["verdict"] == "unknown" and not accepted.covers(key_of(item))]
    moved = any(x.car.value(f"suspension.ball_joint_moved@{axle}") is not None for axle in ("front", "rear"))
    seldom = [item for item in unknown if item["check"] in SELDOM_KNOWN and not (item["check"] == "suspension.ball_joint_relocation" and moved)]
    return [item for item in unknown if item not in seldom], seldom


def _silent(x: Any) -> dict[str, str]:
    """Core checks that gave no result at all, with their titles."""
    given = {item["check"] for item in x.results}
    return {check: checks()[check].title for check in CORE if check not in given}


def _accepted(x: Any, accepted: Acceptances, silent: Mapping[str, str]) -> list[str]:
    found = [key_of(item) for item in x.results if item["verdict"] in ("unknown", "caution") and accepted.covers(key_of(item))]
    return found + [check for check in silent if accepted.covers(check)]


def _notes(x: Any, seldom: list[Any]) -> Iterator[str]:
    if seldom:
        yield f"Not judged, and no hindrance: {', '.join(items.named(seldom))}."
    for item in items.SECONDED:
        if not items.seconded(item, x.document, x.car):
            yield f"The {items.TITLES[item]} were signed by whoever did the work; have a second person look." if item == "brakes" else \
                  f"The {items.TITLES[item]} was signed by whoever did the work; have a second person look."


def say(s: Any) -> str:
    """The finding in words."""
    count = sum(1 for limit in s.limits if limit.violated)
    if count == 0:
        judged = "judged or accepted by name" if s.v["findings_accepted"] else "judged"
        return f"Everything on the shop's own list is signed, tightened, {judged}, and driven. It is not an inspection."
    first = next(limit.why for limit in s.limits if limit.violated)
    if s.verdict == "caution":
        return "All is signed and tightened; the road test is still to be driven, at low speed and away from traffic first."
    return f"Not ready: {count} thing{' is' if count == 1 else 's are'} open; first {first}."


CHECK = Check(
    title="May the car go on the road?",
    system="readiness",
    safety=True,
    applies=always,
    reads=("document", "car", "results"),
    last=2,
    inputs=[],
    values={
        "items_unsigned": Shown("safety items not signed", "dimensionless"),
        "open_safety_fixes": Shown("safety fixes open", "dimensionless"),
        "safety_checks_failed": Shown("safety checks failed", "dimensionless"),
        "safety_checks_unknown": Shown("safety checks unknown", "dimensionless"),
        "core_checks_missing": Shown("core checks without result", "dimensionless"),
        "safety_fasteners_untorqued": Shown("safety fasteners without torque", "dimensionless"),
        "findings_accepted": Shown("findings accepted", "dimensionless"),
        "drives_logged": Shown("drives logged", "dimensionless"),
    },
    judge=judge,
    say=say,
    formula="ready = every item signed and current, no safety fix open, no safety check failed or unknown, "
            "core checks given, safety fasteners tightened, road test driven",
    basis=[common_practice("the shop's own list; inspection law is local")],
)

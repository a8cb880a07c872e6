"""Firm push held for a minute.

The simplest proof there is: a dry system under pressure, bled to the top. A pedal that sinks leaks somewhere, inside or
out; a caliper on the wrong side has its bleeder at the bottom and keeps its air. Watch for: a booster gives a little as
its vacuum settles, so repeat the push with the booster emptied; a hose that swells.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Outcome, Shown, any_recorded, common_practice, need
from service.checks.wheels.shared import gap

#: Sinking of the pedal pad in a minute, m: more than this fails, more than that is a caution. Common practice.
FAIL_DROP, CAUTION_DROP = 0.010, 0.003


def judge(x: Any, out: Outcome) -> None:
    """Any one bad sign is enough; a pass needs all three."""
    with out.part():
        out.value("held_pedal_drop", x.held_pedal_drop)
        out.at_most("held_pedal_drop", FAIL_DROP, CAUTION_DROP, why="the pad may settle 3 mm in a minute; 10 mm is a leak")
    with out.part():
        out.must(not x.leaks_seen, "a joint, hose or seal is wet", of="leaks_seen")
    with out.part():
        out.must(x.bleeders_uppermost, "a bleeder is not at the top of its cylinder, so air stays in", of="bleeders_uppermost")


def say(s: Any) -> str:
    """The finding in words."""
    broken = {item.of for item in s.limits if item.violated}
    drop, leaks = s.v.get("held_pedal_drop"), s.x.leaks_seen
    seen = [f"the pedal sank {gap(s, drop)}" if drop else "the pedal did not sink"] if drop is not None else []
    if leaks is not None:
        seen.append("a leak was seen" if leaks else "no leaks")
    text = f"Held a firm push for a minute: {', '.join(seen)}." if seen else ""
    if "bleeders_uppermost" in broken:
        text += " A bleeder sits below the top of its cylinder: swap the calipers side to side and bleed again."
    if "leaks_seen" in broken:
        text += " Find the leak and mend it before the car moves."
    elif "held_pedal_drop" in broken:
        text += " Look for a leak inside or out, bleed again and repeat with the booster emptied."
    return text.strip()


CHECK = Check(
    title="Firm push held for a minute",
    system="brakes",
    safety=True,
    applies=any_recorded("brake_system.held_pedal_drop", "brake_system.leaks_seen", "brake_system.bleeders_uppermost"),
    inputs=[need("brake_system.held_pedal_drop"), need("brake_system.leaks_seen"), need("brake_system.bleeders_uppermost")],
    values={"held_pedal_drop": Shown("sinking of the pedal pad in a minute", "length", "mm")},
    judge=judge,
    say=say,
    remedies=["find the leak, swap the calipers side to side if a bleeder is low, bleed again"],
    formula="pedal pad sinks at most 3 mm in 60 s under about 450 N; nothing wet; every bleeder uppermost",
    basis=[common_practice("a firm push of about 450 N (100 lbf) held for a minute, engine running if boosted, rule at the pad")],
)

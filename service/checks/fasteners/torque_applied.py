"""Was it tightened as specified?

Compares what the wrench was set to with what was wanted. A ratio of 1.36, 0.74, 12 or a twelfth is the mark of exchanged
units. Who tightened a safety joint and with which tool belongs to the record.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Outcome, Shown, any_recorded, common_practice, need, option, published
from service.checks.fasteners.shared import READS, SAFETY_INPUTS, capital, safety

#: Ratios passed and allowed. Common practice.
GOOD, ALLOWED = (0.95, 1.05), (0.90, 1.10)
#: Ratios that exchanged units give, and how near one must be. Derived from the units: 1 lb·ft = 1.356 N·m = 12 lb·in.
EXCHANGED = ((1.356, "N·m and lb·ft"), (0.738, "N·m and lb·ft"), (12.0, "lb·ft and lb·in"), (0.0833, "lb·ft and lb·in"))
NEAR = 0.02


def judge(x: Any, out: Outcome) -> None:
    """Applied over specified."""
    ratio = out.value("ratio", x.applied_torque / x.specified_torque)
    out.within("ratio", GOOD, ALLOWED, why="applied over specified torque")
    for factor, units in EXCHANGED:
        if abs(ratio / factor - 1) <= NEAR:
            out.remark(f"It looks like {units} were exchanged.")
    if x.safety_joint:
        out.must(x.has("tool"), "the tool is not recorded", "caution", of="tool")
        out.must(x.has("by"), "who tightened it is not recorded", "caution", of="by")


def say(s: Any) -> str:
    """The finding in words."""
    ratio = s.v["ratio"]
    text = f"{capital(s.position)}: {s.applied_torque} of {s.specified_torque}"
    off = "" if GOOD[0] <= ratio <= GOOD[1] else f", {s.percent(abs(ratio - 1))} too {'much' if ratio > 1 else 'little'}"
    then = ""
    if ratio > ALLOWED[1]:
        then = " Slacken it and look at the bolt; renew it if it was stretched, then tighten again."
    elif ratio < ALLOWED[0]:
        then = " Tighten it again."
    lacking = [limit.why for limit in s.limits if limit.violated and limit.kind == "must"]
    return f"{text}{off}.{then}" + (f" {capital(' and '.join(lacking))}." if lacking else "")


CHECK = Check(
    title="Was it tightened as specified?",
    system="fasteners",
    safety=safety,
    at=("label", "fastener"),
    applies=any_recorded("fastener.specified_torque@here"),
    reads=READS,
    inputs=[
        need("fastener.specified_torque@here"),
        need("fastener.applied_torque@here"),
        option("fastener.tool@here"),
        option("fastener.by@here"),
        *SAFETY_INPUTS,
    ],
    values={"ratio": Shown("applied over specified", "dimensionless", "%")},
    judge=judge,
    say=say,
    formula="ratio = applied/specified torque",
    basis=[
        published("wrench error ±4 % above 10 N·m, ±6 % up to it: ISO 6789, setting tools of class A (as a tool maker's manual quotes it)"),
        common_practice("5 % and 10 %; tool and name on a safety joint"),
    ],
)

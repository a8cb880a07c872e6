"""Does the slip yoke belong to this transmission and shaft?

Splines have to be the same, engaged by more than their diameter at ride height, the seal has to run on its surface, and
the joint's caps have to be one size at both ends, or a conversion joint is needed.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, on_car, option
from service.checks.driveline.shared import broken

#: Engagement over spline diameter, fail and caution. Common practice: one diameter.
ENGAGED_FAIL, ENGAGED_CAUTION = 1.0, 1.25
#: Difference of joint caps or spans, and of the seal surface, m. Common practice.
JOINT_DIFFERENCE, SEAL_DIFFERENCE = 0.00025, 0.0005


def judge(x: Any, out: Outcome) -> None:
    """Each counterpart where both sides are known."""
    with out.part():
        teeth = out.value("tooth_difference", x.spline_teeth - x.output_spline_teeth)
        out.must(teeth == 0, f"the yoke has {x.spline_teeth} splines and the transmission {x.output_spline_teeth}", of="tooth_difference")
    for name, ours, theirs, most, why in (
            ("seal_difference", x.seal_diameter, x.tail_seal_diameter, SEAL_DIFFERENCE, "the seal runs on its surface"),
            ("cap_difference", x.cap_diameter, x.shaft_cap_diameter, JOINT_DIFFERENCE, "joint caps of one size"),
            ("span_difference", x.cap_span, x.shaft_cap_span, JOINT_DIFFERENCE, "joint spans of one size")):
        if ours is not None and theirs is not None:
            out.value(name, ours - theirs)
            out.at_most(name, most, value=abs(ours - theirs), why=why)
    engagement = x.engagement
    if x.has("spline_diameter"):
        if x.spline_diameter <= 0:
            raise ValueError("the spline diameter must be positive")
        out.value("engagement_ratio", engagement / x.spline_diameter)
        out.at_least("engagement_ratio", ENGAGED_FAIL, ENGAGED_CAUTION, why="one spline diameter engaged, a quarter more for droop")


def say(s: Any) -> str:
    """The finding in words."""
    parts = [f"{s.spline_teeth} splines" if s.spline_teeth else "", f"{s.engagement} engaged" if s.engagement else "",
             f"caps {s.cap_diameter}" + (f" by {s.cap_span}" if s.cap_span else "") if s.cap_diameter else ""]
    text = ", ".join(part for part in parts if part) + "."
    if not broken(s):
        return text + " The yoke belongs to this transmission and shaft."
    return " ".join([text, *dict.fromkeys(_sentence(s, limit) for limit in s.limits if limit.violated)])


def _sentence(s: Any, limit: Any) -> str:
    if limit.kind == "must":
        return f"{limit.why[:1].upper()}{limit.why[1:]}: another yoke."
    if limit.of == "engagement_ratio":
        least = s.show(ENGAGED_CAUTION * s.x.spline_diameter, "length", "mm")
        return f"At least {least} of spline should be engaged at ride height: a longer shaft."
    if limit.of == "seal_difference":
        return f"The seal surface is {s.seal_diameter} and the tail seal {s.tail_seal_diameter}: another yoke, or the seal that fits this one."
    which = ("caps", s.cap_diameter, s.shaft_cap_diameter) if limit.of == "cap_difference" else ("spans", s.cap_span, s.shaft_cap_span)
    return f"The joint {which[0]} differ, the yoke has {which[1]} and the shaft {which[2]}: a conversion joint of these two sizes is needed."


CHECK = Check(
    title="Does the slip yoke belong to this transmission and shaft?",
    system="driveline",
    safety=True,
    applies=on_car("slip_yoke"),
    inputs=[
        need("slip_yoke.spline_teeth"),
        need("transmission.output_spline_teeth"),
        need("slip_yoke.engagement"),
        option("slip_yoke.spline_diameter"),
        option("slip_yoke.seal_diameter"),
        option("transmission.tail_seal_diameter"),
        option("slip_yoke.cap_diameter"),
        option("slip_yoke.cap_span"),
        option("driveshaft.cap_diameter", "shaft_cap_diameter"),
        option("driveshaft.cap_span", "shaft_cap_span"),
    ],
    values={
        "tooth_difference": Shown("splines, yoke less transmission", "dimensionless"),
        "engagement_ratio": Shown("engagement over spline diameter", "dimensionless"),
        "seal_difference": Shown("seal surface, yoke less transmission", "length", "mm"),
        "cap_difference": Shown("joint caps, yoke less shaft", "length", "mm"),
        "span_difference": Shown("joint spans, yoke less shaft", "length", "mm"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("slip_yoke.engagement", "by the length of the shaft")],
    formula="differences yoke − counterpart; engagement ratio = engagement/spline diameter",
    basis=[
        derived("parts that slide or press into each other have to agree"),
        common_practice("one spline diameter engaged; 0.25 mm at the joint, 0.5 mm at the seal"),
    ],
)

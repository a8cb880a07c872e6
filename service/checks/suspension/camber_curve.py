"""Camber curve and roll center.

A wheel that leans out as the car rolls loses its grip just when it is needed; one that leans in too fast wears its
shoulder and tramlines. Measure a ball joint at the center of its ball. For linkages other than a double wishbone the
camber is measured at the wheel, spring out.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need
from service.checks.suspension import hard_points as points
from service.quantities import both


def judge(x: Any, out: Outcome) -> None:
    """Camber over the travel, roll center, kingpin."""
    if not points.double_wishbone(x):
        out.value("camber_change_in_bump", x.measured_camber_in_bump)
        points.judge_camber(out, "camber_change_in_bump", x.check_travel)
        return
    linkage = points.linkage(x)
    found = points.geometry(linkage, x.check_travel, (x.track / 2, 0.0))
    out.value("camber_change_in_bump", found.bump)
    out.value("camber_change_in_droop", points.camber_change(linkage, -x.check_travel))
    out.value("roll_center_height", found.view.roll_center_height)
    if found.view.swing_arm_length is not None:
        out.value("swing_arm_length", found.view.swing_arm_length)
    out.value("kingpin_inclination", found.kingpin.inclination)
    out.value("caster", found.kingpin.caster)
    out.value("scrub_radius", found.kingpin.scrub_radius)
    points.judge_camber(out, "camber_change_in_bump", x.check_travel)
    out.within("roll_center_height", *points.ROLL_CENTER, why="roll-center height")
    out.at_most("scrub_radius", points.SCRUB_FAIL, points.SCRUB, value=abs(found.kingpin.scrub_radius), why="scrub radius, either way")
    _advise_offset(out, found.kingpin.scrub_radius)


def _advise_offset(out: Outcome, scrub_radius: float) -> None:
    excess = abs(scrub_radius) - points.SCRUB
    if excess > 0:
        change = both(excess, "length", "us", "mm")
        out.advise(f"wheels with {change} {'more' if scrub_radius > 0 else 'less'} offset bring the scrub radius in")


def say(s: Any) -> str:
    """The finding in words."""
    change = s.v["camber_change_in_bump"]
    gain = s.show(abs(change), "angle", "deg")
    where = f"In {s.check_travel} of bump the {s.position} wheel"
    first = f"{where} {'gains' if change <= 0 else 'loses'} {gain} of negative camber"
    if "roll_center_height" in s.v:
        height = s.v["roll_center_height"]
        first += f"; the roll center sits {s.show(abs(height), 'length', 'mm')} {'above' if height >= 0 else 'below'} ground"
    broken = {item.of for item in s.limits if item.violated}
    sentences = [first + "."]
    if "camber_change_in_bump" in broken:
        sentences.append("The outside tire leans out in a corner." if change > 0
                         else "That is more than a tire likes: it stands on its inner shoulder in bump.")
    if "roll_center_height" in broken:
        sentences.append("A roll center this high lifts the car in a corner." if s.v["roll_center_height"] > 0
                         else "A roll center this low makes the body roll more.")
    if "scrub_radius" in broken:
        sentences.append(f"The scrub radius of {s.scrub_radius} lets every bump and brake tug at the steering wheel.")
    return " ".join(sentences)


def applies(car: Any, position: str | None) -> bool:
    """A double wishbone, or another linkage whose camber was measured."""
    linkage = points.geometry_of(car, position)
    return linkage == "double_wishbone" or (linkage is not None and car.exists("suspension.measured_camber_in_bump@here", position))


def extras(x: Any, values: Mapping[str, Any]) -> Mapping[str, Any]:
    """One side in the front view, and camber over the travel."""
    if not points.double_wishbone(x):
        return {}
    linkage = points.linkage(x)
    travel, before = points.curve(linkage, x.check_travel)
    return {"series": [
        {"kind": "front_view", "axle": x.position, "track": x.track, "before": points.drawing(linkage, (x.track / 2, 0.0))},
        {"kind": "camber_curve", "travel": travel, "before": before, "limits": points.curve_limits(x.check_travel)},
    ]}


CHECK = Check(
    title="Camber curve and roll center",
    system="suspension",
    safety=True,
    at="axles",
    applies=applies,
    inputs=[
        *points.inputs(),
        *points.tie_rod(),
        need("suspension.measured_camber_in_bump@here", when=lambda x: not points.double_wishbone(x)),
    ],
    values={
        "camber_change_in_bump": Shown("camber change in bump", "angle", "deg"),
        "camber_change_in_droop": Shown("camber change in droop", "angle", "deg"),
        "roll_center_height": Shown("roll-center height", "length", "mm"),
        "swing_arm_length": Shown("length of the swing arm in the front view", "length", "mm"),
        "kingpin_inclination": Shown("kingpin inclination", "angle", "deg"),
        "caster": Shown("caster of the ball joints", "angle", "deg"),
        "scrub_radius": Shown("scrub radius", "length", "mm"),
    },
    judge=judge,
    say=say,
    extras=extras,
    provides={"suspension.roll_center_height@here": "roll_center_height"},
    remedies=[Fix("suspension.upper_front_pivot_z@here", "the rear pivot moves alike where its own height is not recorded")],
    formula="lower arm turned about its axis; upper ball joint on its circle at the knuckle's length; camber = asin(−n_z); "
            "roll center on the line from contact point to instant center",
    basis=[
        derived("rigid links; checked by six constraints solved independently, and the roll center against finite differences"),
        common_practice("bands for 50 mm of travel, growing with it; scrub radius 75 and 110 mm"),
    ],
)

"""Ground clearance and the scrub line.

With a tire flat the rim's flange stands on the road; nothing that steers or stops the car may hang lower than that.
Measure loaded as driven. Local rules may ask for more.
"""

from __future__ import annotations

import re
from typing import Any

from service import notation
from service.calc import suspension as calc
from service.checks.core import Check, Fix, Input, Outcome, Shown, any_recorded, common_practice, derived, from_memory, need, option
from service.checks.speak import in_sentence
from service.checks.suspension import shared
from service.checks.wheels.shared import gap

#: Ground clearance, m: fail below the first, caution below the second, by use. Common practice.
CLEARANCE = shared.by_use({"street touring towing": (0.075, 0.100), "autocross track drag": (0.040, 0.060)})
#: Words that tell a steering or brake part. Source: the rule's own list.
VITAL = ("steering", "tie rod", "drag link", "idler", "pitman", "rack", "brake", "caliper", "hose")
_VITAL = re.compile(rf"\b({'|'.join(word.replace(' ', '[ -]') for word in VITAL)})s?\b", re.IGNORECASE)
#: Rounding of a difference of lengths, m.
EQUAL = 1e-9
#: A gap over the road that nobody can tell from none, m.
HARDLY = 0.001
#: Rolling radius over half the diameter of a radial tire, 3.05/π: European tire makers' rolling-circumference factor (from memory).
ROLLING_FACTOR = 0.971


def judge(x: Any, out: Outcome) -> None:
    """Clearance as it stands, and what is left of it on a flat tire."""
    out.value("ground_clearance", x.clearance)
    out.at_least("ground_clearance", *CLEARANCE[x.use], why=f"ground clearance, {x.use}")
    heights = [height for axle in shared.AXLES if (height := _section_height(x, axle)) is not None]
    if not heights:
        out.at_best_caution("no tire size is recorded that tells the height of the tire, so the flat tire is not judged", lifted_by="front_left_size")
        return
    section = out.value("section_height", max(heights))
    left = out.value("clearance_with_flat_tire", calc.clearance_with_flat_tire(x.clearance, section))
    if x.has("lowest_item"):
        vital = _VITAL.search(x.lowest_item) is not None
        out.must(left > EQUAL, f"on a flat tire the {x.lowest_item} drags", "fail" if vital else "caution", of="clearance_with_flat_tire")
    elif left <= EQUAL:
        out.at_best_caution("which part is the lowest is not recorded, and no part of steering or brakes may drag on a flat tire", lifted_by="lowest_item")


def _section_height(x: Any, axle: str) -> float | None:
    for side in ("left", "right"):
        diameter, rim = _tire(x, f"{axle}_{side}")
        if diameter is not None and rim is not None:
            return calc.section_height(diameter, rim)
    return None


def _tire(x: Any, corner: str) -> tuple[float | None, float | None]:
    """Overall diameter and rim diameter, m, at a corner."""
    size, rim, radius = (getattr(x, f"{corner}_{name}") for name in ("size", "rim", "radius"))
    decoded = None
    if size is not None:
        try:
            decoded = notation.tire_size(size)
        except notation.NotationError:
            decoded = None
    diameter = decoded.diameter if decoded else None
    if diameter is None and radius is not None:
        diameter = 2 * radius / ROLLING_FACTOR
    return diameter, rim if rim is not None else decoded.rim_diameter if decoded else None


def say(s: Any) -> str:
    """The finding in words."""
    item = in_sentence(s.x.lowest_item.strip()) if s.x.lowest_item else "lowest part"
    first = f"The {item} is {s.ground_clearance} above the floor"
    left = s.v.get("clearance_with_flat_tire")
    if left is not None:
        first += f"; with a flat tire {_remains(s, left)}"
    if any(limit.of == "ground_clearance" and limit.violated for limit in s.limits):
        wanted = s.show(CLEARANCE[s.x.use][1], "length", "mm")
        return f"{first}. {shared.CARS[s.x.use].capitalize()} want {wanted} or more: raise the car or move the part up."
    if left is not None and left <= EQUAL and s.x.lowest_item:
        return f"{first}. Raise it above the scrub line."
    return first + "."


def _remains(s: Any, left: float) -> str:
    if left <= EQUAL:
        return "it drags"
    return f"{gap(s, left)} remain" if left >= HARDLY else "next to nothing remains"


def _tires() -> list[Input]:
    return [
        option(f"{fact}@{axle}_{side}", f"{axle}_{side}_{name}")
        for axle in shared.AXLES
        for side in ("left", "right")
        for fact, name in (("tire.size", "size"), ("wheel.rim_diameter", "rim"), ("tire.rolling_radius", "radius"))
    ]


CHECK = Check(
    title="Ground clearance and scrub line",
    system="suspension",
    safety=True,
    applies=any_recorded("car.ground_clearance", "car.lowest_item"),
    inputs=[need("build.use"), need("car.ground_clearance", "clearance"), option("car.lowest_item"), *_tires()],
    values={
        "ground_clearance": Shown("ground clearance", "length", "mm"),
        "section_height": Shown("height of the tire's section", "length", "mm"),
        "clearance_with_flat_tire": Shown("clearance with a flat tire", "length", "mm"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("car.ground_clearance", "by ride height or by moving the part up")],
    formula="section height = (D − rim)/2; clearance with a flat tire = clearance − (section height − 17.5 mm)",
    basis=[
        derived("scrub line: the rim's flange on the road; the flattened tire under it gives 10 to 20 mm more"),
        from_memory("flange of a J contour rim 17.5 mm high"),
        common_practice("clearance by use; local rules may set a higher limit"),
    ],
)

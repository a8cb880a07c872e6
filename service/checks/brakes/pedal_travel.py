"""Fluid volume and pedal travel.

A bigger bore shortens the pedal and makes it heavier, a smaller one the other way round: read this with the pressure
check. A pedal that uses most of its stroke has nothing left for a hot fluid or a worn lining. Watch for: calipers of a
larger car on the old master cylinder; shoes out of adjustment, which take far more than is reckoned here.
"""

from __future__ import annotations

from typing import Any

from service.calc.brakes import hydraulics, stopping
from service.checks.brakes import shared
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need

#: Movement of a piston in a full application, m. A floating caliper's takes up both pads' clearance, a fixed one's its
#: own pad's only. Common practice.
FLOATING_MOVEMENT, FIXED_MOVEMENT, SHOE_MOVEMENT = 0.5e-3, 0.25e-3, 2.0e-3
#: Share of the stroke used, and pedal travel, m: caution above the first, fail above the second. Common practice.
STROKE_SHARES, TRAVELS = (0.60, 0.80), (0.100, 0.130)


def judge(x: Any, out: Outcome) -> None:
    """Volume of a full application, stroke and travel of the pad."""
    pistons = (*_pistons(x, "front"), *_pistons(x, "rear"))
    volume = out.value("fluid_volume", stopping.fluid_volume(pistons))
    stroke = out.value("stroke_used", volume / hydraulics.bore_area(x.bore))
    with out.part():
        out.value("pedal_travel", stroke * x.ratio)
        out.at_most("pedal_travel", TRAVELS[1], TRAVELS[0], why="travel of the pad in a full application")
    with out.part():
        out.value("stroke_share", stroke / x.stroke)
        out.at_most("stroke_share", STROKE_SHARES[1], STROKE_SHARES[0], why="share of the stroke that a full application may use")


def _pistons(x: Any, axle: str) -> tuple[tuple[float, float], ...]:
    """Piston area and movement of both brakes of an axle."""
    if getattr(x, f"type_{axle}") == "drum":
        return ((2 * 2 * hydraulics.bore_area(getattr(x, f"wheel_cylinder_diameter_{axle}")), SHOE_MOVEMENT),)
    area = getattr(x, f"piston_count_{axle}") * hydraulics.bore_area(getattr(x, f"piston_diameter_{axle}"))
    return ((2 * area, FLOATING_MOVEMENT if getattr(x, f"caliper_type_{axle}") == "floating" else FIXED_MOVEMENT),)


def say(s: Any) -> str:
    """The finding in words."""
    text = f"A full application uses {s.percent(s.v['stroke_share'])} of the stroke" if "stroke_share" in s.v else "A full application"
    if "pedal_travel" in s.v:
        text += f"{',' if 'stroke_share' in s.v else ' takes'} {s.pedal_travel} at the pad"
    if s.worst is not None and s.worst.violated:
        return text + ". That is a long pedal: a larger bore or less pedal ratio shortens it, and makes it heavier."
    return text + "."


CHECK = Check(
    title="Fluid volume and pedal travel",
    system="brakes",
    safety=True,
    inputs=[*shared.brake_inputs(shared.SIZES), need("master_cylinder.bore"), need("master_cylinder.stroke"), need("brake_pedal.ratio")],
    values={
        "fluid_volume": Shown("fluid of a full application", "volume", "cc"),
        "stroke_used": Shown("stroke of the master cylinder used", "length", "mm"),
        "stroke_share": Shown("share of the stroke used", "dimensionless"),
        "pedal_travel": Shown("travel of the pedal pad", "length", "mm"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("master_cylinder.bore", stock=shared.as_sold(shared.STOCK_MASTER_BORES)), Fix("brake_pedal.ratio")],
    formula="V = 1.2·Σ piston area · movement (0.5 mm floating, 0.25 mm fixed, 2.0 mm shoes); stroke = V/(π d²/4); travel = stroke · i",
    basis=[derived("volume and lever law; front and rear chambers of a tandem cylinder add"),
           common_practice("movements of 0.5, 0.25 and 2.0 mm, 1.2 for swelling and bending, limits")],
)

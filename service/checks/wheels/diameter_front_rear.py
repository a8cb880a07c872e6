"""Tire diameters.

Tires of different height work a center differential or transfer case all the time, and tell an antilock unit that a
wheel is locking. The size gives the diameter within about 1 %: an all-wheel-drive car needs measured rolling lengths.
Watch for: worn tires on one axle and new ones on the other; two sizes left and right.
"""

from __future__ import annotations

from typing import Any

from service.calc.wheels import tire
from service.checks.core import Check, Missing, Outcome, Shown, any_recorded, common_practice, from_memory, need, option
from service.notation import tire_size

#: Difference of front and rear: caution above the first, fail above the second. Common practice.
ALL_DRIVE, ANTILOCK, OTHERS = (0.01, 0.02), (0.03, 0.05), (0.10, 0.15)
#: Difference of left and right. Common practice.
SIDES = (0.01, 0.02)
CORNERS = ("front_left", "rear_left", "front_right", "rear_right")


def judge(x: Any, out: Outcome) -> None:
    """Rear over front, and left against right."""
    with out.part():
        out.value("diameter_front", _diameter(x, "front_left"))
    with out.part():
        out.value("diameter_rear", _diameter(x, "rear_left"))
    sides = [abs(_diameter(x, f"{axle}_left") / _diameter(x, f"{axle}_right") - 1) for axle in ("front", "rear") if _known(x, f"{axle}_right")]
    if sides:
        out.value("side_difference", max(sides))
        out.at_most("side_difference", SIDES[1], SIDES[0], why="left against right")
        if max(sides) > SIDES[0]:
            out.advise("tires of one size and one age across the axle")
    if "diameter_front" in out.values and "diameter_rear" in out.values:
        ratio = out.value("diameter_ratio", out.values["diameter_rear"] / out.values["diameter_front"])
        caution, fail = ALL_DRIVE if x.drive_layout == "all" else ANTILOCK if x.antilock else OTHERS
        out.within("diameter_ratio", (1 - caution, 1 + caution), (1 - fail, 1 + fail), why="rear over front")
        if abs(ratio - 1) > caution:
            out.advise(f"rear tires {_between(out.values['diameter_front'], caution)} tall, in a size that suits their rims")


def _between(diameter: float, share: float) -> str:
    low, high = diameter * (1 - share), diameter * (1 + share)
    return f"{low * 1000:.0f} to {high * 1000:.0f} mm ({low / 0.0254:.1f} to {high / 0.0254:.1f} in)"


def _known(x: Any, corner: str) -> bool:
    return bool(x.has(f"size_{corner}"))


def _diameter(x: Any, corner: str) -> float:
    """Diameter by the size, else by the rolling radius, m."""
    decoded = tire_size(getattr(x, f"size_{corner}")).diameter
    if decoded is not None:
        return decoded
    if not x.has(f"radius_{corner}"):
        raise Missing(f"radius_{corner}")
    return tire.diameter_from_rolling_radius(getattr(x, f"radius_{corner}"))


def say(s: Any) -> str:
    """The finding in words."""
    parts = []
    if "diameter_ratio" in s.v:
        off = s.v["diameter_ratio"] - 1
        if abs(off) < 5e-4:
            parts.append(f"The rear tires are as tall as the front: {s.diameter_rear}")
        else:
            parts.append(f"The rear tires are {abs(off) * 100:.1f} % {'taller' if off > 0 else 'lower'} than the front: "
                         f"{s.diameter_rear} against {s.diameter_front}")
    if s.v.get("side_difference", 0.0) >= 5e-4:
        parts.append(f"left and right differ by {s.v['side_difference'] * 100:.1f} %")
    text = "; ".join(parts) or "Left and right are of one size"
    text = text[:1].upper() + text[1:]
    if s.worst is None or not s.worst.violated:
        return text + "."
    if s.worst.of == "side_difference":
        return f"{text}. Fit one size across the axle."
    reason = "the drive between the axles winds up" if s.x.drive_layout == "all" else "the antilock unit takes it for slip" if s.x.antilock else \
        "speedometer, ride height and brake balance all move"
    return f"{text}. That is more than {s.percent(s.worst.high - 1)} apart: {reason}."


CHECK = Check(
    title="Tire diameters",
    system="wheels",
    safety=True,
    applies=any_recorded("tire.size@front_left", "tire.size@rear_left"),
    inputs=[*(need(f"tire.size@{corner}", f"size_{corner}") for corner in CORNERS[:2]),
            *(option(f"tire.size@{corner}", f"size_{corner}") for corner in CORNERS[2:]),
            *(option(f"tire.rolling_radius@{corner}", f"radius_{corner}") for corner in CORNERS),
            option("car.drive_layout", default="rear"), option("brake_system.antilock", default=False)],
    values={
        "diameter_front": Shown("diameter of the front tires", "length", "mm"),
        "diameter_rear": Shown("diameter of the rear tires", "length", "mm"),
        "diameter_ratio": Shown("rear over front diameter", "dimensionless"),
        "side_difference": Shown("largest difference of left and right", "dimensionless"),
    },
    judge=judge,
    say=say,
    formula="D = rim + 2·S·A; ratio = rear/front; without a readable size D = 2 r/0.971",
    basis=[from_memory("size designation: ISO 4000-1"),
           common_practice("1 and 2 % with all-wheel drive, 3 and 5 % with antilock brakes, 10 and 15 % otherwise; 1 and 2 % side to side")],
)

"""Driveshaft critical speed.

A turning shaft whips when its speed meets its own bending frequency, and a whipping shaft leaves the car. The shaft is
taken as a pinned straight tube; soft center bearings, long end yokes, dents and slip wear all lower the true figure, and
the quarter kept in hand is for them. Wall hardly matters; diameter and length do.
"""

from __future__ import annotations

from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, Unknown, common_practice, derived, need, on_car, option, published
from service.checks.driveline.shared import CRUISE_SPEED, DUST, broken, shaft_positions, wanted

#: Shares of the critical speed. Common practice (compared with one shaft maker's public page).
FAIL_SHARE, CAUTION_SHARE = 0.75, 0.70
#: Cruise this near to half the critical speed is felt: the joints push twice a turn. Common practice.
HALF_CRITICAL_BAND = 0.08
#: Outside diameters of tube commonly stocked, m. Common practice.
STOCK_TUBES = tuple(0.0254 * inches for inches in (2, 2.5, 3, 3.5, 4, 4.5, 5))


def judge(x: Any, out: Outcome) -> None:
    """Critical speed against the highest speed the shaft can be driven to."""
    with out.part():
        out.value("critical_speed", _critical_speed(x, out))
        out.value("half_critical_speed", out.values["critical_speed"] / 2)
    with out.part():
        out.value("highest_shaft_speed", _highest(x))
    critical, highest = out.values.get("critical_speed"), out.values.get("highest_shaft_speed")
    if critical is not None and highest is not None:
        out.value("speed_ratio", highest / critical)
        if x.has("length"):
            out.value("longest_length", calc.longest_length(x.length, critical, highest, FAIL_SHARE))
        out.at_most("highest_shaft_speed", FAIL_SHARE * critical, CAUTION_SHARE * critical,
                    why=f"{FAIL_SHARE:.0%} of the critical speed, caution from {CAUTION_SHARE:.0%}".replace("%", " %"))
    _cruise(x, out, critical)


def _cruise(x: Any, out: Outcome, critical: float | None) -> None:
    if not x.has("axle_ratio", "rolling_radius"):
        return
    cruise = out.value("cruise_shaft_speed", calc.shaft_speed(x.cruise_speed, x.axle_ratio, x.rolling_radius))
    if critical is not None:
        off = abs(cruise / (critical / 2) - 1)
        out.must(off >= HALF_CRITICAL_BAND - DUST, "at cruise the shaft turns near half its critical speed, where the joints shake it", "caution",
                 of="cruise_shaft_speed")


def _critical_speed(x: Any, out: Outcome) -> float:
    if x.has("maker_critical_speed"):
        return float(x.maker_critical_speed)
    wanted(x, "length", "outer_diameter", "wall")
    if x.material == "carbon" and not x.has("elastic_modulus"):
        raise Unknown("a carbon tube's layup decides; ask the maker for its critical speed or axial modulus")
    material = calc.TUBE_MATERIALS[x.material]
    length, diameter = x.length, x.outer_diameter
    if calc.shorter_than(length, calc.STUBBY, diameter):
        raise Unknown("a shaft shorter than twice its diameter does not bend as a beam")
    if calc.shorter_than(length, calc.SLENDER, diameter):
        out.remark("The shaft is short for its diameter, so half the beam formula's figure is used.")
    modulus = float(x.elastic_modulus or material.elastic_modulus or 0.0)
    return calc.usable_critical_speed(length, diameter, x.wall, modulus, x.density or material.density)


def _highest(x: Any) -> float:
    if not calc.in_order(x.forward_ratios):
        raise Unknown("the transmission's ratios are not in order, first to top")
    highest = x.redline / x.forward_ratios[-1]
    if x.use != "drag" and x.has("top_speed", "axle_ratio", "rolling_radius"):
        highest = min(highest, calc.shaft_speed(x.top_speed, x.axle_ratio, x.rolling_radius))
    return float(highest)


def say(s: Any) -> str:
    """The finding in words."""
    share = s.percent(s.v["speed_ratio"])
    first = f"This shaft whips at {s.critical_speed}; it can be driven to {s.highest_shaft_speed}, {share} of that, and {s.percent(FAIL_SHARE)} is the limit"
    near_half = any(item.of == "cruise_shaft_speed" and item.violated for item in s.limits)
    if near_half:
        first += f". At cruise it turns {s.cruise_shaft_speed}, close to half of the critical speed"
    if not broken(s):
        return first + "."
    return first + ": a larger tube, a shorter shaft or a two-piece shaft moves it away."


CHECK = Check(
    title="Driveshaft critical speed",
    system="driveline",
    safety=True,
    at=shaft_positions,
    applies=on_car("driveshaft@here"),
    inputs=[
        option("driveshaft.length@here"),
        option("driveshaft.outer_diameter@here"),
        option("driveshaft.wall@here"),
        option("driveshaft.critical_speed@here", "maker_critical_speed"),
        need("engine.redline"),
        need("transmission.forward_ratios"),
        option("driveshaft.material@here", default="steel"),
        option("driveshaft.elastic_modulus@here"),
        option("driveshaft.density@here"),
        need("build.use"),
        option("car.top_speed"),
        option("axle.ratio", "axle_ratio"),
        option("tire.rolling_radius@driven"),
        option("driveline.cruise_speed", default=lambda x: CRUISE_SPEED[x.use], why="usual for this use"),
    ],
    either=[((("length", "outer_diameter", "wall")), ("maker_critical_speed",))],
    values={
        "critical_speed": Shown("critical speed", "rotational_speed", "rpm"),
        "half_critical_speed": Shown("half the critical speed", "rotational_speed", "rpm"),
        "highest_shaft_speed": Shown("highest shaft speed", "rotational_speed", "rpm"),
        "speed_ratio": Shown("highest speed over critical speed", "dimensionless"),
        "longest_length": Shown("longest shaft of this tube", "length", "mm"),
        "cruise_shaft_speed": Shown("shaft speed at cruise", "rotational_speed", "rpm"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("driveshaft.outer_diameter@here", "next stock size {stock}", stock=STOCK_TUBES),
        Fix("driveshaft.length@here", "then a two-piece shaft"),
        Fix("driveshaft.material@here"),
        Fix("driveshaft.wall@here", "the wall has little effect"),
        Fix("engine.redline"),
    ],
    formula="ω_cr = (π/L)² √(E (D² + d²)/(16 ρ)), d = D − 2t; ω_max = redline/top ratio, at most v_top A/r",
    basis=[
        published("simply supported beam: Timoshenko, Young & Weaver, Vibration Problems in Engineering; Shigley, Mechanical Engineering Design, shafts"),
        common_practice("75 % and 70 % of the critical speed; cruise 8 % clear of half of it (compared with one shaft maker's public page)"),
        derived("shear and rotary inertia lower the formula by 11 % at a length of five diameters; below that half of it is used"),
    ],
)

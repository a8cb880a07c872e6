"""Driveshaft length and slip.

At ride height the slip yoke stands pulled out from bottomed far enough for the axle to rise, and engaged far enough for
it to fall. Watch for a distance measured on a lift with the axle hanging, and an engine that is still to be moved: settle
driveline.engine_position first, then measure again and set the shift to 0.
"""

from __future__ import annotations

from math import inf
from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, option
from service.checks.driveline.shared import broken, shaft_positions

#: Axle movement along the shaft each way when not recorded, m. Common practice: 1/2 in.
PLUNGE = 0.0127
#: Room wanted beyond the axle's movement, m. Common practice.
SPARE = 0.006


def applies(car: Any, position: str | None) -> bool:
    """A driveshaft is on the car; of a two-piece line, the shaft with the slip."""
    if not car.on_car("driveshaft", position):
        return False
    if position not in ("front", "rear"):
        return True
    return _has_slip(car, position) or (position == "rear" and not _has_slip(car, "front"))


def _has_slip(car: Any, position: str) -> bool:
    return bool(car.exists(f"driveshaft.slip_travel@{position}") or car.exists(f"driveline.flange_to_yoke_distance@{position}"))


def judge(x: Any, out: Outcome) -> None:
    """Pull-out against what the axle's movement needs."""
    out.must(not x.has("wheelbase") or x.length < x.wheelbase, "longer than the wheelbase", of="length")
    # Moved rearward the engine comes nearer to the rear axle and goes away from a driven front one.
    shift = -x.shift if x.position == "front axle" else x.shift
    distance = x.distance - shift
    out.value("longest_length", calc.longest_shaft(distance, x.plunge_in))
    out.value("ideal_length", calc.ideal_shaft(distance, x.plunge_in))
    with out.part():
        out.value("shortest_length", calc.shortest_shaft(distance, x.slip_travel, x.plunge_in, x.plunge_out))
    out.value("pull_out", distance - x.length)
    most = x.slip_travel - x.plunge_out if x.has("slip_travel") else None
    spare = None if most is None else most - SPARE
    out.within("pull_out", (x.plunge_in + SPARE, spare), (x.plunge_in, most), why="the axle's movement each way, 6 mm to spare")


def say(s: Any) -> str:
    """The finding in words."""
    if any(item.of == "length" and item.violated for item in s.limits):
        return f"A shaft of {s.length} in a wheelbase of {s.wheelbase}: one of the two is wrong. Measure both again before ordering."
    out, least = s.v["pull_out"], s.x.plunge_in
    most = inf if s.x.slip_travel is None else s.x.slip_travel - s.x.plunge_out
    if out >= 0:
        text = f"The yoke stands {s.pull_out} out of the bottomed position"
    else:
        text = f"The shaft is {s.show(-out, 'length', 'mm')} longer than the place for it"
    if out < least:
        text += f"; the slip bottoms before the axle has risen {s.show(least, 'length', 'mm')}"
    elif out > most:
        text += "; the slip comes out too far in droop"
    elif broken(s):
        text += f", less than {s.show(SPARE, 'length', 'mm')} from {'bottoming' if out < least + SPARE else 'coming out too far'}"
    wanted = f"{s.ideal_length}, joint center to joint center"
    return f"{text}. " + (f"Order the shaft {wanted}." if broken(s) else f"The ideal length is {wanted}.")


CHECK = Check(
    title="Driveshaft length and slip",
    system="driveline",
    safety=True,
    at=shaft_positions,
    applies=applies,
    inputs=[
        need("driveline.flange_to_yoke_distance@here", "distance"),
        need("driveshaft.length@here"),
        need("driveshaft.slip_travel@here"),
        option("driveline.plunge_in@here", default=PLUNGE, why="1/2 in unless recorded"),
        option("driveline.plunge_out@here", default=PLUNGE, why="1/2 in unless recorded"),
        option("car.wheelbase"),
        option("engine_mounts.shift", default=0.0, why="the engine stays where it stands"),
    ],
    values={
        "pull_out": Shown("pull-out from bottomed", "length", "mm"),
        "longest_length": Shown("longest shaft", "length", "mm"),
        "shortest_length": Shown("shortest shaft", "length", "mm"),
        "ideal_length": Shown("length to order", "length", "mm"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("driveshaft.length@here", "joint center to joint center"), Fix("driveshaft.slip_travel@here", "a longer slip")],
    formula="pull-out = D − L; L below the wheelbase; longest = D − p_i; shortest = D − (S − p_o); ideal = D − max(22.2 mm, p_i + 6 mm); D less the engine's "
            "shift",
    basis=[
        derived("sum of lengths over the axle's movement"),
        common_practice("3/4 to 1 in of pull-out at ride height; 1/2 in of movement each way; 6 mm to spare"),
    ],
)

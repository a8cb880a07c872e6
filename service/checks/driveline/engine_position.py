"""Where the engine can sit, fore and aft.

Universal or adjustable mounts let the engine slide until the transmission is in: tighten and mark last. Everything that
limits it is recorded with the engine where it stands now; what is left is a window, and its middle is the best place.
"""

from __future__ import annotations

from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, on_car, option
from service.checks.driveline.shared import broken

#: Gap wanted to fan and firewall, m. Common practice: 1 in each.
CLEARANCE_WANTED = 0.0254
#: A window narrower than this, or a place nearer than this to its end, leaves nothing for engine rock, m. Common practice.
NARROW, NEAR = 0.006, 0.003


def judge(x: Any, out: Outcome) -> None:
    """The window, and where the chosen shift lies in it."""
    with out.part():
        out.value("forward_limit", calc.forward_limit(_forward(x))[0])
    with out.part():
        out.value("rearward_limit", calc.rearward_limit(_rearward(x))[0])
    front, rear = out.values.get("forward_limit"), out.values.get("rearward_limit")
    if front is not None and rear is not None:
        window = out.value("window", rear - front)
        out.at_least("window", 0.0, NARROW, why="a place has to exist, with some room either side")
        if window < 0:
            return
        out.value("best_position", (front + rear) / 2)
    least, most = None if front is None else front + NEAR, None if rear is None else rear - NEAR
    out.within("shift", (least, most), (front, rear), value=x.shift, why="inside the window, 3 mm from its ends")


def _forward(x: Any) -> dict[str, float]:
    room = {"the mounts' slots": x.slide_forward, "the fan": x.fan_clearance - x.fan_clearance_needed,
            "the slip coming out": x.slip_extension_room, "the crossmember's slots": x.crossmember_slide_forward}
    return {name: size for name, size in room.items() if size is not None}


def _rearward(x: Any) -> dict[str, float]:
    room = {"the mounts' slots": x.slide_rearward, "the firewall": x.firewall_clearance - x.firewall_clearance_needed,
            "the slip going in": x.slip_collapse_room, "the crossmember's slots": x.crossmember_slide_rearward}
    return {name: size for name, size in room.items() if size is not None}


def say(s: Any) -> str:
    """The finding in words."""
    if "window" not in s.v:
        return _one_sided(s)
    ahead, behind = calc.forward_limit(_forward(s.x))[1], calc.rearward_limit(_rearward(s.x))[1]
    if s.v["window"] < 0:
        return (f"No place fits: {ahead} wants the engine at least {_place(s, s.v['forward_limit'])}, while {behind} stops it at "
                f"{_place(s, s.v['rearward_limit'])}. {s.show(-s.v['window'], 'length', 'mm')} is lacking.")
    text = (f"The engine may sit from {_between(s)}; the middle is {_place(s, s.v['best_position'])}. "
            f"Ahead it is stopped by {ahead}, behind by {behind}.")
    return text + _advice(s)


def _one_sided(s: Any) -> str:
    """Only one end of the window is known, and the engine is to stand beyond it."""
    if "forward_limit" in s.v:
        stop, place, way = calc.forward_limit(_forward(s.x))[1], s.v["forward_limit"], "rearward"
    else:
        stop, place, way = calc.rearward_limit(_rearward(s.x))[1], s.v["rearward_limit"], "forward"
    return f"The engine is stopped by {stop} at {_place(s, place)}: move it {s.fraction(abs(s.x.shift - place), 32)} {way} at least."


def _between(s: Any) -> str:
    front, rear = s.v["forward_limit"], s.v["rearward_limit"]
    if front > 0 or rear < 0:
        return f"{s.fraction(abs(front), 32)} to {_place(s, rear)}"
    return f"{_place(s, front)} to {_place(s, rear)}"


def _place(s: Any, position: float) -> str:
    if abs(position) < 0.0001:
        return "where it stands"
    return f"{s.fraction(abs(position), 32)} {'behind' if position > 0 else 'ahead of'} where it stands"


def _advice(s: Any) -> str:
    shift = s.x.shift
    outside = max(s.v["forward_limit"] - shift, shift - s.v["rearward_limit"])
    if outside > 0:
        return f" Move it {s.fraction(outside, 32)} {'rearward' if shift < s.v['forward_limit'] else 'forward'} at least."
    if broken(s):
        return " That leaves little room: settle it with the transmission in, then tighten and mark the mounts."
    return " Tighten and mark the mounts when the transmission is in."


CHECK = Check(
    title="Where the engine can sit, fore and aft",
    system="driveline",
    safety=False,
    applies=on_car("engine_mounts"),
    inputs=[
        need("engine_mounts.slide_forward"),
        need("engine_mounts.slide_rearward"),
        need("driveline.fan_clearance"),
        need("driveline.firewall_clearance"),
        option("driveline.fan_clearance_needed", default=CLEARANCE_WANTED, why="1 in unless recorded"),
        option("driveline.firewall_clearance_needed", default=CLEARANCE_WANTED, why="1 in unless recorded"),
        option("driveline.slip_extension_room"),
        option("driveline.slip_collapse_room"),
        option("driveline.crossmember_slide_forward"),
        option("driveline.crossmember_slide_rearward"),
        option("engine_mounts.shift", default=0.0, why="where it stands"),
    ],
    values={
        "forward_limit": Shown("foremost place, rearward positive", "length", "mm"),
        "rearward_limit": Shown("rearmost place, rearward positive", "length", "mm"),
        "window": Shown("window", "length", "mm"),
        "best_position": Shown("middle of the window", "length", "mm"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("engine_mounts.shift", "move the engine"),
        Fix("driveline.fan_clearance_needed", "an electric fan needs less"),
        Fix("driveline.firewall_clearance_needed"),
    ],
    formula="f = max(−slide, −(fan − wanted), −slip out, −crossmember); b = min(slide, firewall − wanted, slip in, crossmember); window = b − f",
    basis=[derived("intersection of what every limit allows"), common_practice("1 in to fan and firewall; 6 mm of window, 3 mm to its ends")],
)

"""Does the wheel sit on the hub.

A wheel that nearly fits is more dangerous than one that does not: 5 x 120 mm goes onto a hub of 5 x 4 3/4 in (120.65 mm)
with a little force, and its nuts never sit square. Use the stamped size: a tape does not tell 0.05 mm. Watch for: a
wheel made for the hub's pilot on a smaller pilot, held true by nothing but its studs; nuts of another seat.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Fix, Missing, Outcome, Shown, common_practice, need, option
from service.notation import Thread, thread

#: Difference of the bolt circles, m: fail above the first, caution above the second. Common practice.
CIRCLE_FAIL, CIRCLE_CAUTION = 0.30e-3, 0.15e-3
#: A hub-centric wheel has no more play than this on its pilot, m. Common practice.
PILOT_PLAY = 0.30e-3
#: A lug-centric wheel may be this much larger in the bore, m; more needs to be asked about. Common practice.
OPEN_BORE = 15e-3
#: Bolt circles nearer than this look alike on the bench, m. Common practice.
LOOKS_RIGHT = 2e-3
#: Rounding of a difference of two lengths, m; a gap equal to its limit is inside.
EQUAL = 1e-9


def judge(x: Any, out: Outcome) -> None:
    """Count, circle, bore, seats and threads."""
    with out.part():
        out.must(x.wheel_count == x.hub_count, f"{x.wheel_count} holes on {x.hub_count} studs", of="bolt_count")
    with out.part():
        difference = out.value("bolt_circle_difference", x.wheel_circle - x.hub_circle)
        out.at_most("bolt_circle_difference", CIRCLE_FAIL, CIRCLE_CAUTION, value=abs(difference), why="bolt circle of the wheel against the hub's")
    with out.part():
        _judge_bore(x, out)
    if x.has("nut_seat"):
        out.must(x.seat_type == x.nut_seat, f"{x.seat_type} seats with {x.nut_seat} nuts", of="seat_type")
    if x.has("stud_thread", "nut_thread"):
        out.must(_same(thread(x.stud_thread), thread(x.nut_thread)), f"{x.nut_thread} nuts on {x.stud_thread} studs", of="thread")


def _same(stud: Thread, nut: Thread) -> bool:
    return abs(stud.diameter - nut.diameter) < 1e-6 and abs(stud.pitch - nut.pitch) < 1e-7


def _judge_bore(x: Any, out: Outcome) -> None:
    gap = out.value("bore_gap", x.center_bore - x.pilot_diameter)
    out.at_least("bore_gap", 0.0, why="the bore goes over the pilot")
    if gap <= PILOT_PLAY + EQUAL or x.centering == "studs":
        return
    if x.centering == "hub":
        _judge_play(out, "fit a centering ring: this wheel is hub-centric and has play on its pilot")
    elif x.seat_type == "conical" and gap <= OPEN_BORE + EQUAL:
        _judge_play(out, "hub- or lug-centric? Ask, since the bore has play on the pilot")
    else:
        raise Missing("centering")


def _judge_play(out: Outcome, why: str) -> None:
    out.at_most("bore_gap", caution=PILOT_PLAY, why=why)


def say(s: Any) -> str:
    """The finding in words."""
    broken = [item for item in s.limits if item.violated]
    sentences = [_circles(s, any(item.of != "bolt_circle_difference" for item in broken))]
    for item in broken:
        if item.kind == "must" or (item.of, item.kind) == ("bore_gap", "at_most"):
            play = f": {_hundredths(s, s.v['bore_gap'])}" if item.of == "bore_gap" else ""
            sentences.append(f"{item.why[:1].upper()}{item.why[1:]}{play}")
    if s.v.get("bore_gap", 0.0) < 0:
        sentences.append(f"The bore is {_hundredths(s, -s.v['bore_gap'])} smaller than the pilot")
    return ". ".join(sentence for sentence in sentences if sentence) + "."


def _circles(s: Any, other_trouble: bool) -> str:
    if "bolt_circle_difference" not in s.v:
        return ""
    size, off = f"{s.x.wheel_count} x {_circle(s, 'wheel_circle')}", abs(s.v["bolt_circle_difference"])
    if off <= CIRCLE_CAUTION * (1 + 1e-9):
        return f"{size}: the bolt circle is right" if other_trouble else f"{size}: fits the hub"
    if off >= LOOKS_RIGHT:
        return f"{size}: does not fit the hub's {_circle(s, 'hub_circle')}"
    return f"{size}: looks right but is {_hundredths(s, off)} off the hub's {_circle(s, 'hub_circle')}"


def _circle(s: Any, name: str) -> str:
    """A bolt circle as stamped, else to a hundredth: 120.65 mm must not be read as 120.6."""
    return s.as_typed(name) or _hundredths(s, getattr(s.x, name))


def _hundredths(s: Any, si: float) -> str:
    figure, unit = (f"{si * 1000:.2f}", "mm") if s.system == "metric" else (f"{si / 0.0254:.3f}", "in")
    return f"{figure.rstrip('0').rstrip('.')} {unit}"


CHECK = Check(
    title="Does the wheel sit on the hub",
    system="wheels",
    safety=True,
    at="corners",
    inputs=[need("wheel.bolt_count@here", "wheel_count"), need("wheel.bolt_circle@here", "wheel_circle"), need("wheel.center_bore@here"),
            need("hub.bolt_count@here", "hub_count"), need("hub.bolt_circle@here", "hub_circle"), need("hub.pilot_diameter@here"),
            option("wheel.centering@here"), option("lug_nut.seat_type@here", "nut_seat"),
            option("wheel.seat_type@here", default=lambda x: x.nut_seat or "conical", why="not recorded; usual seat"),
            option("hub.stud_thread@here"), option("lug_nut.thread@here", "nut_thread")],
    values={
        "bolt_circle_difference": Shown("bolt circle of the wheel less the hub's", "length", "mm"),
        "bore_gap": Shown("bore of the wheel less the pilot", "length", "mm"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("wheel.center_bore@here"), Fix("wheel.bolt_circle@here")],
    formula="difference = wheel circle − hub circle; gap = bore − pilot",
    basis=[common_practice("0.15 and 0.30 mm of bolt circle, 0.30 mm on the pilot; a gap above 15 mm, or another seat, needs to be asked about")],
)

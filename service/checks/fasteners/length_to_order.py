"""Which bolt length fits, and can it be bought today?

A bolt that is too short does not fill its nut; one that is too long bottoms in its hole before it clamps. And a bolt that
no shelf carries stops the job for want of small change: the lengths commonly stocked decide whether to order ahead.
"""

from __future__ import annotations

from typing import Any

from service import notation
from service.calc import bolt_lengths
from service.calc import fasteners as calc
from service.checks.core import Check, Fix, Missing, Outcome, Shown, any_recorded, common_practice, derived, need, option, published
from service.checks.fasteners.shared import READS, SAFETY_INPUTS, bolt, capital, class_words, safety
from service.checks.speak import readable
from service.quantities import show

#: Classes that shelves carry only in shorter lengths, and how long, m. Common practice.
STRONG, STRONG_UP_TO = ("10.9", "12.9", "8"), 0.100


def judge(x: Any, out: Outcome) -> None:
    """Lengths that fit; the one to buy; the one fitted."""
    thread = bolt(x, out, x.grade)
    shortest, longest = lengths(x, thread)
    out.value("shortest", shortest)
    out.value("longest", longest)
    if longest < shortest - 1e-9:
        out.at_least("longest", shortest, why="the hole is too shallow for the engagement wanted")
        _fitted(x, out, shortest, longest)
        return
    found = calc.order_length(shortest, longest, thread.inch)
    out.must(found is not None, "no length made fits: change the washer stack, or cut and dress a longer bolt", of="order_length")
    if found is not None:
        out.value("order_length", found)
        for reason in uncommon(found, thread, x.grade):
            out.must(False, f"{reason} is not commonly stocked", "caution", of="order_length")
    _fitted(x, out, shortest, longest)


def lengths(x: Any, thread: notation.Thread) -> tuple[float, float]:
    """Shortest and longest bolt: through, where a nut is recorded, else tapped."""
    if x.has("nut_height"):
        return calc.through_lengths(x.grip, x.washers, x.nut_height, thread.pitch)
    if x.has("engagement", "hole_depth"):
        return calc.tapped_lengths(x.grip, x.washers, x.engagement, x.hole_depth, thread.pitch)
    raise Missing("nut_height")


def uncommon(length: float, thread: notation.Thread, grade: str | None) -> list[str]:
    """What of this bolt is not on a hardware shelf; empty when it is there."""
    reasons = []
    if not calc.on_shelf(length, thread.inch):
        reasons.append("this length")
    if thread.fine:
        reasons.append("a fine thread")
    if grade in STRONG and length > STRONG_UP_TO + 1e-9:
        reasons.append(f"{class_words(grade)} beyond 100 mm")
    return reasons


def _fitted(x: Any, out: Outcome, shortest: float, longest: float) -> None:
    """The length that is there, when recorded."""
    if not x.has("length"):
        return
    through = x.has("nut_height")
    out.at_least("length", shortest, why="it does not fill the nut" if through else "it does not engage the thread wanted", value=x.length)
    if longest >= shortest:
        out.at_most("length", caution=longest, why="it stands out too far" if through else "it comes near the bottom of the hole", value=x.length)
    if not through:
        out.at_most("length", x.grip + x.washers + x.hole_depth, why="it bottoms before it clamps", value=x.length)


def say(s: Any) -> str:
    """The finding in words; lengths in the bolt's own system, as it is bought."""
    name, inch = capital(s.position), notation.thread(s.x.thread).inch
    shortest, longest = (show(readable(s.v[key]) if inch else s.v[key], "length", "in" if inch else "mm") for key in ("shortest", "longest"))
    if s.v["longest"] < s.v["shortest"] - 1e-9:
        return f"{name}: the hole is too shallow. The engagement wanted needs a bolt of {shortest}, and {longest} is the most the hole takes."
    text = f"{name} takes a bolt of {shortest} to {longest}"
    wrong = [limit.why for limit in s.limits if limit.of == "length" and limit.violated]
    fitted = f" The bolt of {s.length} is wrong: {wrong[-1]}." if wrong else ""
    if "order_length" not in s.v:
        return f"{text}; no length made fits: change the washer stack, or cut and dress a longer bolt.{fitted}"
    buy = trade_size(s.v["order_length"], inch)
    reasons = uncommon(s.v["order_length"], notation.thread(s.x.thread), s.x.grade)
    if not reasons:
        return f"{text}; buy {buy}.{fitted}"
    named = f"{', '.join(reasons[:-1])} and {reasons[-1]} are" if len(reasons) > 1 else f"{reasons[0]} is"
    return f"{text}; buy {buy}: {named} not commonly stocked, so order ahead or it will stop the job.{fitted}"


def _shelf(x: Any) -> dict[float, str]:
    """Lengths on a hardware shelf for this thread, m, as they are called."""
    inch = notation.thread(x.thread).inch
    return {length: trade_size(length, inch) for length in bolt_lengths.on_shelf(inch)}


def trade_size(length: float, inch: bool) -> str:
    """A bolt's length as it is bought, whatever the shop reads: inch bolts in eighths, metric ones in mm."""
    if not inch:
        return f"{length * 1000:g} mm"
    whole, eighths = divmod(round(length / 0.0254 * 8), 8)
    names = {0: "", 1: "1/8", 2: "1/4", 3: "3/8", 4: "1/2", 5: "5/8", 6: "3/4", 7: "7/8"}
    return f"{whole or ''} {names[eighths]}".strip() + " in"


CHECK = Check(
    title="Which bolt length fits, and can it be bought today?",
    system="fasteners",
    safety=safety,
    at=("label", "fastener", "joint"),
    applies=any_recorded("joint.grip@here"),
    reads=READS,
    inputs=[
        need("fastener.thread@here"),
        need("joint.grip@here"),
        option("joint.nut_height@here"),
        option("joint.engagement@here"),
        option("joint.hole_depth@here"),
        option("joint.washers@here", default=0.0, why="no washer"),
        option("fastener.length@here"),
        option("fastener.class@here", "grade"),
        *SAFETY_INPUTS,
    ],
    either=[(("nut_height",), ("engagement", "hole_depth"))],
    values={
        "shortest": Shown("shortest that fits", "length", "mm"),
        "longest": Shown("longest that fits", "length", "mm"),
        "order_length": Shown("length to buy", "length", "mm"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("fastener.length@here", stock=_shelf), Fix("joint.washers@here", "another washer stack")],
    formula="through: shortest = grip + washers + nut + 2P, longest = shortest + 8P; "
            "blind hole: shortest = grip + washers + engagement, longest = grip + washers + depth − 2P",
    basis=[
        derived("sums of thicknesses"),
        common_practice("two threads out of the nut, two pitches of run-out; inch lengths and shelf stock"),
        published("metric lengths: ISO 888 (compared with an open library's lengths of ISO 4017 screws)"),
    ],
)

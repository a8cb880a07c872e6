"""The front anti-roll bar against what the car is for.

A ratio says how much firmer than before, not how firm the car is; the roll figures say that, and decide when the
springs, heights and weights are known. Watch for: a hollow bar without its wall recorded, a bar taken from a heavier car,
polyurethane bushings that nobody will grease.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.calc import suspension as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, from_memory, need, on_car, option
from service.checks.suspension import corner, shared
from service.checks.suspension.shared import degrees
from service.quantities import both

#: Stiffness over the original: pass band and caution band by use. Common practice.
RATIO = shared.by_use({
    "street touring towing": ((0.9, 3.0), (0.6, 5.0)),
    "autocross track": ((1.0, 6.0), (0.8, 10.0)),
    "drag": ((0.0, 1.5), (0.0, 4.0)),
})
#: Without roll figures a ratio fails only outside its caution band and beyond these. Common practice.
ABSURD_RATIO = (0.4, 10.0)
#: Roll in a 1 g corner, rad: pass band and caution band by use. Common practice.
ROLL = shared.by_use({
    "street touring towing": (degrees(2.5, 7.0), degrees(1.5, 9.0)),
    "autocross": (degrees(1.5, 4.5), degrees(0.8, 6.0)),
    "track": (degrees(1.0, 4.0), degrees(0.5, 5.5)),
    "drag": (degrees(2.5, 9.0), degrees(1.5, 11.0)),
})
#: Front share of the roll stiffness: pass band and caution band by use, and how much lower with front drive. Common practice.
SHARE = shared.by_use({
    "street touring towing drag": ((0.55, 0.88), (0.45, 0.95)),
    "autocross track": ((0.50, 0.88), (0.40, 0.95)),
})
FRONT_DRIVE_LOWER = 0.20
#: Ratios up to which a bar is close to the original, and still comfortable. Common practice.
CLOSE, COMFORTABLE = 1.5, 3.0


def judge(x: Any, out: Outcome) -> None:
    """Stiffness against the original; roll and its share where the car's figures allow."""
    with out.part():
        inner, original_inner = calc.inner_diameter(x.front_diameter, x.front_wall), calc.inner_diameter(x.original_diameter, x.original_wall)
        out.value("stiffness_ratio", calc.stiffness_ratio(x.front_diameter, inner, x.original_diameter, original_inner))
    rolls = corner.known(x) and _judge_roll(x, out)
    if "stiffness_ratio" in out.values:
        _judge_ratio(x, out, rolls)
    if x.bushing_material == "polyurethane":
        out.remark("Re-grease the bushings at each service." if x.greasable else "Take the bushings apart and grease them when they squeak.")


def _judge_ratio(x: Any, out: Outcome, rolls: bool) -> None:
    good, doubtful = RATIO[x.use]
    if rolls:
        out.within("stiffness_ratio", good, worst="caution", why=f"stiffness over the original, {x.use}")
    else:
        worst = (min(doubtful[0], ABSURD_RATIO[0]), max(doubtful[1], ABSURD_RATIO[1]))
        out.within("stiffness_ratio", good, worst, why=f"stiffness over the original, {x.use}")


def _judge_roll(x: Any, out: Outcome) -> bool:
    try:
        found = corner.balance(x)
    except ValueError as reason:
        out.remark(f"The roll figures cannot be worked out: {reason}.")
        return False
    out.value("roll_at_one_g", found.roll)
    out.value("front_roll_stiffness_share", found.front_stiffness_share)
    out.within("roll_at_one_g", *ROLL[x.use], why=f"roll in a 1 g corner, {x.use}")
    lower = FRONT_DRIVE_LOWER if x.drive_layout == "front" else 0.0
    good, doubtful = (tuple(edge - lower for edge in band) for band in SHARE[x.use])
    out.within("front_roll_stiffness_share", good, doubtful, why=f"front share of the roll stiffness, {x.use}")
    return True


def say(s: Any) -> str:
    """The finding in words."""
    sentences = []
    if "stiffness_ratio" in s.v:
        ratio = s.v["stiffness_ratio"]
        sentences.append(f"The front bar is {shared.against_original(ratio, s.stiffness_ratio)} the bar it replaces, {_feel(ratio)}.")
    if "roll_at_one_g" in s.v:
        share = s.percent(s.v["front_roll_stiffness_share"])
        sentences.append(f"In a 1 g corner the body rolls {shared.roll_in_words(s)}, and the front springs and bar give {share} of the roll stiffness.")
    for item in s.limits:
        if item.violated:
            sentences.append(_advice(s, item))
            break
    return " ".join(sentences)


def _feel(ratio: float) -> str:
    if ratio < RATIO["street"][0][0]:
        return "softer than the original"
    if ratio < CLOSE:
        return "close to the original"
    if ratio <= COMFORTABLE:
        return "clearly firmer than the original, still comfortable on the street"
    return "a competition bar: one-wheel bumps are felt on both sides"


def _advice(s: Any, item: Any) -> str:
    low, high = (RATIO[s.x.use][0] if item.of == "stiffness_ratio" else (item.low, item.high))
    cars = shared.CARS[s.x.use][0].upper() + shared.CARS[s.x.use][1:]
    stiffer = "softer" if (item.value > high) != (item.of == "roll_at_one_g") else "stiffer"
    if item.of == "stiffness_ratio":
        return f"{cars} sit between {low:g} and {high:g} times: a {stiffer} bar suits the use better."
    if item.of == "roll_at_one_g":
        low, high = ROLL[s.x.use][0]
        return f"{cars} roll {s.show(low, 'angle', 'deg')} to {s.show(high, 'angle', 'deg')}: a {stiffer} bar suits the use better."
    return f"That split does not suit {shared.CARS[s.x.use]}: a {stiffer} front bar, or a {'stiffer' if stiffer == 'softer' else 'softer'} rear one."


def extras(x: Any, values: Mapping[str, Any]) -> Mapping[str, Any]:
    """The bar beside the one it replaces, as figures and as a drawing."""
    good, doubtful = RATIO[x.use]
    series: dict[str, Any] = {
        "kind": "bar_comparison", "diameter": x.front_diameter, "wall": _hollow(x.front_diameter, x.front_wall),
        "original_diameter": x.original_diameter, "original_wall": _hollow(x.original_diameter, x.original_wall),
        "stiffness_ratio": values["stiffness_ratio"], "use": x.use, "wanted": list(good), "allowed": list(doubtful),
    }
    rows = [["diameter", both(x.original_diameter, "length", "us", "mm"), both(x.front_diameter, "length", "us", "mm")],
            ["stiffness", "1", f"{values['stiffness_ratio']:.2f}"]]
    if "roll_at_one_g" in values:
        series |= {"roll_at_one_g": values["roll_at_one_g"], "roll_wanted": list(ROLL[x.use][0]), "roll_allowed": list(ROLL[x.use][1])}
        before = _with_original(x)
        if before is not None:
            series["roll_at_one_g_before"] = before.roll
            rows.append(["roll in a 1 g corner", _degrees(before.roll), _degrees(values["roll_at_one_g"])])
            rows.append(["front share of the roll stiffness", f"{before.front_stiffness_share:.2f}", f"{values['front_roll_stiffness_share']:.2f}"])
    return {"series": series, "table": {"title": "Front bar, before and after", "columns": ["", "original bar", "this bar"], "rows": rows}}


def _degrees(angle: float) -> str:
    return both(angle, "angle", "us", "deg")


def _hollow(diameter: float, wall: float | None) -> float | None:
    return wall if wall is not None and wall < diameter / 2 else None


def _with_original(x: Any) -> calc.Balance | None:
    """The corner with the bar it replaces on the same arms and bushings."""
    try:
        return corner.balance(x.replaced(front_diameter=x.original_diameter, front_wall=x.original_wall))
    except ValueError:
        return None


CHECK = Check(
    title="Anti-roll bar against the intended use",
    system="suspension",
    safety=False,
    applies=on_car("anti_roll_bar@front"),
    inputs=[
        need("build.use"),
        need("anti_roll_bar.diameter@front", "front_diameter"),
        need("anti_roll_bar.original_diameter@front"),
        option("anti_roll_bar.wall@front", "front_wall", default=shared.solid("front_diameter"), why="solid bar: the wall is half the diameter"),
        option("anti_roll_bar.original_wall@front", default=shared.solid("original_diameter"), why="solid bar: the wall is half the diameter"),
        option("anti_roll_bar.bushing_material@front"),
        option("anti_roll_bar.greasable@front"),
        option("car.drive_layout", default="rear"),
        *(item for item in corner.inputs(optional=True) if item.name not in ("front_diameter", "front_wall")),
    ],
    values={
        "stiffness_ratio": Shown("stiffness over that of the bar it replaces", "dimensionless"),
        "roll_at_one_g": Shown("roll in a 1 g corner", "angle", "deg"),
        "front_roll_stiffness_share": Shown("front share of the roll stiffness", "dimensionless"),
    },
    judge=judge,
    say=say,
    extras=extras,
    remedies=[Fix("anti_roll_bar.diameter@front", "next size {stock}", stock=shared.stock_bars),
              Fix("anti_roll_bar.wall@front", "a hollow bar of this diameter")],
    formula="stiffness ratio = (D⁴ − d⁴)/(D₀⁴ − d₀⁴) at equal shape; φ = m_s g h₁/(K_f + K_r − m_s g h₁) at 1 g",
    basis=[
        derived("stiffness ratio and roll angle"),
        common_practice("bands by intended use: trade judgment, not law"),
        common_practice("on a mid-size rear-drive car of the 1960s and 70s a 1 1/8 in bar against a 15/16 in original is comfortable on the street; "
                        "a solid 1 1/4 in bar is not"),
        from_memory("roll of about 1.5 deg/g (racing) to 8.5 deg/g (very soft): Milliken & Milliken, Race Car Vehicle Dynamics, ch. 16"),
    ],
)

"""Rate of an anti-roll bar.

How hard the bar resists when one wheel goes up and the other down. Stiffness goes with the fourth power of the diameter,
so paint and a worn caliper matter. Printed bar rates are sometimes the figure with one end held, which is half of this
one: ask which before comparing. Rubber bushings and links lower the real rate by 5 to 30 %.
"""

from __future__ import annotations

from typing import Any

from service.calc import suspension as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, from_memory, on_car, option
from service.checks.suspension import shared

#: Stiffness against the bar it replaces outside which a dimension is doubtful. Common practice.
BELIEVABLE_RATIO = (0.5, 8.0)
#: Least share of twist in a bar's flexibility: below it the arms do most of the bending. Common practice.
LEAST_TORSION_SHARE = 0.4


def judge(x: Any, out: Outcome) -> None:
    """Rate at the ends, and whether the dimensions can be believed."""
    if x.has("original_diameter"):
        inner = calc.inner_diameter(x.diameter, x.wall)
        original_inner = calc.inner_diameter(x.original_diameter, x.original_wall)
        out.value("ratio_to_original", calc.stiffness_ratio(x.diameter, inner, x.original_diameter, original_inner))
    found = shared.bar_rate(x)
    out.value("rate", found.rate)
    out.value("rate_one_end_held", found.rate / 2)
    out.value("torsion_share", found.torsion_share)
    out.at_least("torsion_share", caution=LEAST_TORSION_SHARE, why="less twist than this: the arms bend more than the bar turns")
    if x.has("original_diameter"):
        out.within("ratio_to_original", BELIEVABLE_RATIO, worst="caution", why="half to eight times the bar it replaces")


def say(s: Any) -> str:
    """The finding in words."""
    text = f"The {s.position} bar gives {s.rate} at each end in roll ({s.rate_one_end_held} with one end held)"
    if "ratio_to_original" in s.v:
        text += f", {shared.against_original(s.v['ratio_to_original'], s.ratio_to_original)} the bar it replaces"
    doubtful = [item.of for item in s.limits if item.violated]
    if "ratio_to_original" in doubtful:
        return text + ". That is hard to believe: measure both diameters and walls again, paint removed."
    if "torsion_share" in doubtful:
        return text + f". Only {s.percent(s.v['torsion_share'])} of its give is twist of the straight: measure the arms and the bushings again."
    return text + "."


CHECK = Check(
    title="Rate of the anti-roll bar",
    system="suspension",
    safety=False,
    at="axles",
    applies=on_car("anti_roll_bar@here"),
    inputs=[
        *shared.bar_inputs("here"),
        option("anti_roll_bar.original_diameter@here"),
        option("anti_roll_bar.original_wall@here", default=shared.solid("original_diameter"), why="solid bar: the wall is half the diameter"),
    ],
    values={
        "rate": Shown("rate at each end in roll", "stiffness", "N/mm"),
        "rate_one_end_held": Shown("rate with one end held", "stiffness", "N/mm"),
        "torsion_share": Shown("share of the give that is twist", "dimensionless"),
        "ratio_to_original": Shown("stiffness over that of the bar it replaces", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("anti_roll_bar.diameter@here", stock=shared.stock_bars), Fix("anti_roll_bar.wall@here")],
    formula="1/k = a²L/(2GJ) + s³/(3EI) + ((c+e)³ − c³)/(3EI) + (c+e)²b/(6EI); ratio = (D⁴ − d⁴)/(D₀⁴ − d₀⁴)",
    basis=[
        derived("strain energy of straight slender legs in one plane, bushings that let the bar turn; checked by 3-D frame finite elements"),
        from_memory("spring steel: E 206 GPa, G 79.3 GPa (published spring-wire tables lie within 5 % and 3 %)"),
        common_practice("rubber bushings and links lower the real rate by 5 to 30 %; the bands for doubtful dimensions"),
    ],
)

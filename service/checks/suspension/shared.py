"""What several suspension checks share: bars, unsprung masses, words for the uses, bands by use."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from service.calc import suspension as calc
from service.checks.core import Input, need, option
from service.quantities import show_fraction

Band = tuple[float, float]
AXLES = ("front", "rear")
#: Rolling radius, m, where neither axle's is known. Common practice.
USUAL_RADIUS = 0.32
#: Bar diameters, m, as sold: every thirty-second of an inch from 1/2 to 1 3/4 in. Common practice.
STOCK_BARS: Mapping[float, str] = {0.0254 * thirty_seconds / 32: show_fraction(0.0254 * thirty_seconds / 32, 32) for thirty_seconds in range(16, 57)}
#: Roll beyond which the figure says no more than "far over", rad. Common practice.
FAR_OVER = math.radians(45)
#: Stiffness ratios closer to 1 than this are said as equal.
SAME = 0.01
#: What cars of each use are called in a sentence.
CARS: Mapping[str, str] = {
    "street": "street cars", "touring": "touring cars", "towing": "tow cars", "autocross": "autocross cars", "track": "track cars",
    "drag": "drag cars",
}


def stock_bars(x: Any) -> Mapping[float, str]:
    """Bar diameters that can be bought, with their names."""
    return STOCK_BARS


def roll_in_words(s: Any) -> str:
    """Roll in a 1 g corner as printed; a body that its springs hardly hold has no angle worth printing."""
    return str(s.roll_at_one_g) if s.v["roll_at_one_g"] <= FAR_OVER else "far over"


def degrees(low: float, high: float) -> Band:
    """A band written in degrees, in rad."""
    return math.radians(low), math.radians(high)


def by_use(values: Mapping[str, Any]) -> dict[str, Any]:
    """A table by use, written with several uses in one key (`street touring towing`)."""
    return {use: value for uses, value in values.items() for use in uses.split()}


def solid(name: str) -> Callable[[Any], float | None]:
    """Default wall of a bar whose diameter is the input `name`: half of it, which is a solid bar."""
    return lambda x: getattr(x, name) / 2 if x.has(name) else None


def bar_inputs(axle: str, prefix: str = "", *, when: Callable[[Any], bool] | None = None) -> list[Input]:
    """The facts that give a bar its rate, at `axle`; names start with `prefix`."""
    return [
        need(f"anti_roll_bar.diameter@{axle}", f"{prefix}diameter", when=when),
        need(f"anti_roll_bar.center_length@{axle}", f"{prefix}center_length", when=when),
        need(f"anti_roll_bar.arm_length@{axle}", f"{prefix}arm_length", when=when),
        *bar_options(axle, prefix),
    ]


def bar_options(axle: str, prefix: str = "") -> list[Input]:
    """The facts of a bar that have defaults."""
    return [
        option(f"anti_roll_bar.wall@{axle}", f"{prefix}wall", default=solid(f"{prefix}diameter"), why="solid bar: the wall is half the diameter"),
        option(f"anti_roll_bar.arm_true_length@{axle}", f"{prefix}arm_true_length", default=_same(f"{prefix}arm_length"),
               why="as the lever: arms square to the straight"),
        option(f"anti_roll_bar.bushing_span@{axle}", f"{prefix}bushing_span", default=_same(f"{prefix}center_length"),
               why="as the straight: bushings at the bends"),
        option(f"anti_roll_bar.material@{axle}", f"{prefix}material",
               default=lambda x: "spring_steel" if x.has(f"{prefix}diameter") else None),
    ]


def _same(name: str) -> Callable[[Any], float | None]:
    return lambda x: getattr(x, name) if x.has(name) else None


def against_original(ratio: float, printed: str) -> str:
    """A stiffness ratio in words, as printed."""
    return "as stiff as" if abs(ratio - 1) < SAME else f"{printed} times as stiff as"


def bar_rate(x: Any, prefix: str = "") -> calc.BarRate:
    """Rate of the bar whose inputs were declared with `prefix`."""
    diameter = getattr(x, f"{prefix}diameter")
    inner = calc.inner_diameter(diameter, getattr(x, f"{prefix}wall"))
    lengths = (getattr(x, f"{prefix}{name}") for name in ("center_length", "arm_length", "arm_true_length", "bushing_span"))
    return calc.bar_rate(diameter, inner, *lengths)


def radius_inputs(when: Callable[[Any], bool] = lambda x: True) -> list[Input]:
    """Rolling radii of both axles: own, else the other axle's, else a common tire's where `when` holds."""
    recorded = [option(f"tire.rolling_radius@{axle}", f"{axle}_recorded_radius") for axle in AXLES]
    return [*recorded, *(
        option(f"tire.rolling_radius@{axle}", f"{axle}_radius", default=_radius_of(other, when), why="as the other axle's, else a common tire's")
        for axle, other in (("front", "rear"), ("rear", "front"))
    )]


def _radius_of(other: str, when: Callable[[Any], bool]) -> Callable[[Any], float | None]:
    return lambda x: (getattr(x, f"{other}_recorded_radius") or USUAL_RADIUS) if when(x) else None


def unsprung_default(mass: str, kind: str) -> Callable[[Any], float | None]:
    """Default unsprung mass of an axle from the inputs named `mass` (axle mass) and `kind` (suspension type)."""
    return lambda x: calc.UNSPRUNG_SHARE[getattr(x, kind) or "independent"] * getattr(x, mass) if x.has(mass) else None


WHY_UNSPRUNG = "12 % of the axle's mass, 16 % for a live axle or beam"

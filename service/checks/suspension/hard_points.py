"""The hard points that the geometry checks share: inputs, linkage, and the bands of the camber curve."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from service.calc import suspension as calc
from service.calc.suspension.vectors import Vector
from service.checks.core import Input, Outcome, need, option
from service.checks.suspension.shared import degrees
from service.vocabulary.suspension import HARD_POINTS

#: Where a pivot's x is not recorded, m from the axle. Common practice: arms about a foot wide.
PIVOT_X = 0.15
#: Where a tie rod's x is not recorded, m ahead of the axle. Common practice.
TIE_ROD_X = 0.13
#: Travel at which the bands below hold, and the default travel of the checks, m. Common practice.
BAND_TRAVEL = 0.050
#: Camber change in 50 mm of bump, roll-center height, scrub radius: pass and caution. Common practice.
CAMBER_IN_BUMP = (degrees(-3.5, 0.0), degrees(-5.0, 1.5))
ROLL_CENTER = ((-0.05, 0.15), (-0.12, 0.25))
SCRUB_FAIL, SCRUB = 0.110, 0.075
_CURVE_POINTS = 5
POINT_NAMES = tuple(name for name, _, _ in HARD_POINTS)


def double_wishbone(x: Any) -> bool:
    """Whether this axle is judged by its hard points."""
    return bool(x.geometry == "double_wishbone")


def any_hard_point(car: Any, axle: str | None, points: tuple[str, ...] = POINT_NAMES) -> bool:
    """Whether one of these hard points is recorded at an axle."""
    return any(car.exists(f"suspension.{point}_{letter}@here", axle) for point in points for letter in "xyz")


def geometry_of(car: Any, axle: str | None) -> str | None:
    """The linkage of an axle: recorded, or double wishbone where a hard point is recorded."""
    recorded = car.value("suspension.geometry@here", axle)
    return recorded or ("double_wishbone" if any_hard_point(car, axle) else None)


def inputs() -> list[Input]:
    """Hard points, track, and what the geometry checks take for granted."""
    found = [option("suspension.geometry@here", default="double_wishbone", why="a hard point is recorded")]
    for arm in ("upper", "lower"):
        found.extend(_arm(arm))
        found.extend(_point(f"{arm}_ball_joint", 0.0))
    return [
        *found,
        *_point("wheel_center", 0.0),
        need("suspension.track@here", when=double_wishbone),
        option("alignment.camber@left", default=_in_a_wishbone(0.0)),
        option("alignment.toe@left", default=_in_a_wishbone(0.0)),
        option("suspension.check_travel@here", default=BAND_TRAVEL),
    ]


def tie_rod(*, required: Callable[[Any], bool] | None = None) -> list[Input]:
    """Both ends of the tie rod; with `required`, needed where that holds."""
    found = []
    for end in ("inner", "outer"):
        for letter in "yz":
            fact, name = f"suspension.tie_rod_{end}_{letter}@here", f"tie_rod_{end}_{letter}"
            found.append(need(fact, name, when=required) if required else option(fact, name))
        found.append(option(f"suspension.tie_rod_{end}_x@here", f"tie_rod_{end}_x", default=_tie_rod_x(end), why="ahead of the axle"))
    return found


def _in_a_wishbone(value: float) -> Callable[[Any], float | None]:
    return lambda x: value if double_wishbone(x) else None


def _tie_rod_x(end: str) -> Callable[[Any], float | None]:
    return lambda x: TIE_ROD_X if x.has(f"tie_rod_{end}_y") else None


def _point(name: str, x_default: float) -> list[Input]:
    return [
        *(need(f"suspension.{name}_{letter}@here", f"{name}_{letter}", when=double_wishbone) for letter in "yz"),
        option(f"suspension.{name}_x@here", f"{name}_x", default=_in_a_wishbone(x_default)),
    ]


def _arm(arm: str) -> list[Input]:
    """Pivots of an arm. The rear pivot shares the front one's height and place across the car where it is not recorded."""
    front, rear = f"{arm}_front_pivot", f"{arm}_rear_pivot"
    return [
        *_point(front, PIVOT_X),
        option(f"suspension.{rear}_x@here", f"{rear}_x", default=_in_a_wishbone(-PIVOT_X)),
        option(f"suspension.{rear}_y@here", f"{rear}_y", default=lambda x: getattr(x, f"{front}_y"), why="as the front pivot's"),
        option(f"suspension.{rear}_z@here", f"{rear}_z", default=lambda x: getattr(x, f"{front}_z"), why="as the front pivot's"),
    ]


def linkage(x: Any) -> calc.Linkage:
    """The linkage of these inputs, with its tie rod where both ends are known."""
    points = {name: _at(x, name) for name in POINT_NAMES if not name.startswith("tie_rod")}
    found = calc.Linkage(**points, camber=x.camber, toe=x.toe)
    if x.has("tie_rod_inner_y", "tie_rod_inner_z", "tie_rod_outer_y", "tie_rod_outer_z"):
        return found._replace(tie_rod_inner=_at(x, "tie_rod_inner"), tie_rod_outer=_at(x, "tie_rod_outer"))
    return found


def _at(x: Any, name: str) -> Vector:
    return getattr(x, f"{name}_x"), getattr(x, f"{name}_y"), getattr(x, f"{name}_z")


class Geometry(NamedTuple):
    """A linkage judged: camber change in bump in rad, front view, kingpin."""

    bump: float
    view: calc.FrontView
    kingpin: calc.Kingpin


def geometry(points: calc.Linkage, travel: float, contact: tuple[float, float]) -> Geometry:
    """Camber change in bump, roll center and kingpin of a linkage whose tire touches the road at `contact` (y, z)."""
    view, kingpin = calc.front_view(points, contact), calc.kingpin(points.upper_ball_joint, points.lower_ball_joint, contact)
    return Geometry(camber_change(points, travel), view, kingpin)


def camber_change(points: calc.Linkage, lift: float) -> float:
    """Camber change with the wheel lifted by `lift`, rad."""
    return calc.WheelTravel(points).lifted(lift).camber - points.camber


def judge_camber(out: Outcome, of: str, travel: float) -> None:
    """Camber change in bump against its band, which grows with the travel."""
    share = travel / BAND_TRAVEL
    good, doubtful = (tuple(edge * share for edge in band) for band in CAMBER_IN_BUMP)
    out.within(of, good, doubtful, why="camber change in bump")  # type: ignore[arg-type]


def drawing(points: calc.Linkage, contact: tuple[float, float]) -> dict[str, Any]:
    """One side in the front view above the ground, for the book: pivots at the ball joint's own station."""
    view = calc.front_view(points, contact)
    places = {
        **{f"{arm}_pivot": _pivot_at(points, arm) for arm in ("upper", "lower")},
        **{f"{arm}_ball_joint": getattr(points, f"{arm}_ball_joint")[1:] for arm in ("upper", "lower")},
        "wheel_center": points.wheel_center[1:],
        "instant_center": view.instant_center,
    }
    above_ground = {name: [place[0], place[1] - contact[1]] if place else None for name, place in places.items()}
    return {**above_ground, "roll_center_height": view.roll_center_height}


def _pivot_at(points: calc.Linkage, arm: str) -> tuple[float, float]:
    front, rear, ball = (getattr(points, f"{arm}_{name}") for name in ("front_pivot", "rear_pivot", "ball_joint"))
    run = front[0] - rear[0]
    share = (ball[0] - rear[0]) / run if run else 0.5
    return rear[1] + share * (front[1] - rear[1]), rear[2] + share * (front[2] - rear[2])


def curve(points: calc.Linkage, travel: float) -> tuple[list[float], list[float]]:
    """Travel from full droop to full bump, and the camber there."""
    wheel = calc.WheelTravel(points)
    lifts = [travel * step / _CURVE_POINTS for step in range(-_CURVE_POINTS, _CURVE_POINTS + 1)]
    return lifts, [wheel.lifted(lift).camber for lift in lifts]


def curve_limits(travel: float) -> list[float]:
    """Camber change allowed at the end of the travel."""
    return [edge * travel / BAND_TRAVEL for edge in CAMBER_IN_BUMP[0]]


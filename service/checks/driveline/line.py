"""The driveline as a row of axes and joints: what joint_angles and joint_vibration have in common."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from service.calc import driveline as calc
from service.calc.driveline.joints import Axis
from service.checks.core import Input, need, option
from service.checks.driveline.shared import wanted

CARDAN, DOUBLE_CARDAN = "cardan", "double_cardan"


@dataclass(frozen=True, slots=True)
class Line:
    """Axes front to rear (slope, plan angle), the joints between them, yoke phases of the shafts between joints; rad."""

    axes: tuple[Axis, ...]
    joints: tuple[str, ...]
    phases: tuple[float, ...]
    angles: tuple[float, ...]

    @property
    def cardan(self) -> tuple[bool, ...]:
        """Which joints are single cardan joints."""
        return tuple(joint == CARDAN for joint in self.joints)

    @property
    def residual_angle(self) -> float:
        """Angle of the one cardan joint that would turn as unevenly, rad."""
        return _residual_angle(self.axes, self.cardan, self.phases)


#: Two checks ask for it at the same corners of the same car.
_residual_angle = lru_cache(maxsize=1024)(calc.residual_angle)
#: The line to a driven front axle; every other result is of the main line.
FRONT_AXLE = "front axle"


def two_piece(x: Any) -> bool:
    """Whether the line is two shafts: the main one, when their slopes are recorded apart and no single one is."""
    return bool(x.position != FRONT_AXLE and not x.has("shaft_slope") and x.has("front_slope", "rear_slope"))


def _joints_of_one(x: Any) -> tuple[str, str]:
    return (x.transfer_joint, CARDAN) if x.position == FRONT_AXLE else (x.front_joint, x.rear_joint)


def front_angle(x: Any) -> float:
    """Working angle of the front joint, which needs no pinion, rad."""
    shaft = (x.front_slope, x.front_plan_angle) if two_piece(x) else (x.shaft_slope, x.shaft_plan_angle)
    return calc.working_angle((x.engine_slope, x.engine_plan_angle), shaft)


def rear_angle(x: Any) -> float:
    """Working angle of the joint at the pinion, which needs no transmission, rad."""
    shaft = (x.rear_slope, x.rear_plan_angle) if two_piece(x) else (x.shaft_slope, x.shaft_plan_angle)
    return calc.working_angle(shaft, (x.pinion_slope + x.pinion_rise, x.pinion_plan_angle))


def joints(x: Any) -> tuple[str, ...]:
    """The kinds of joint, front to rear."""
    return (x.front_joint, x.center_joint, x.rear_joint) if two_piece(x) else _joints_of_one(x)


def line(x: Any) -> Line:
    """The line as recorded; the pinion with its rise under load."""
    engine, pinion = (x.engine_slope, x.engine_plan_angle), (x.pinion_slope + x.pinion_rise, x.pinion_plan_angle)
    if two_piece(x):
        shafts: tuple[Axis, ...] = ((x.front_slope, x.front_plan_angle), (x.rear_slope, x.rear_plan_angle))
        phases: tuple[float, ...] = (x.front_phase, x.rear_phase)
    else:
        wanted(x, "shaft_slope")
        shafts = ((x.shaft_slope, x.shaft_plan_angle),)
        phases = (x.yoke_phase,)
    axes = (engine, *shafts, pinion)
    return Line(axes, joints(x), phases, calc.working_angles(axes))


def applies(car: Any, position: str | None) -> bool:
    """A driveshaft is on the car, or its slope is recorded."""
    if position is not None:
        return bool(car.on_car("driveshaft", position) or car.exists(f"driveline.shaft_slope@{position}"))
    return bool(car.on_car("driveshaft") or any(car.exists(f"driveline.shaft_slope{at}") for at in ("", "@front", "@rear")))


def inputs() -> list[Input]:
    """The slopes, plan angles, joints and phases of a line."""
    return [
        need("driveline.engine_slope@here"),
        option("driveline.shaft_slope@here"),
        option("driveline.shaft_slope@front", "front_slope"),
        option("driveline.shaft_slope@rear", "rear_slope"),
        need("driveline.pinion_slope@here"),
        option("driveline.engine_plan_angle@here", default=0.0, why="straight from above unless recorded"),
        _for_one("driveline.shaft_plan_angle@here", "shaft_plan_angle"),
        _for_two("driveline.shaft_plan_angle@front", "front_plan_angle"),
        _for_two("driveline.shaft_plan_angle@rear", "rear_plan_angle"),
        option("driveline.pinion_plan_angle@here", default=0.0, why="straight from above unless recorded"),
        option("driveline.pinion_rise@here", default=0.0, why="no rise recorded"),
        option("driveline.joint_type@front", "front_joint", default=lambda x: None if x.position == FRONT_AXLE else CARDAN, why="usual joint"),
        option("driveline.joint_type@center", "center_joint", default=lambda x: CARDAN if two_piece(x) else None, why="usual joint"),
        option("driveline.joint_type@rear", "rear_joint", default=lambda x: None if x.position == FRONT_AXLE else CARDAN, why="usual joint"),
        option("driveline.joint_type@front axle", "transfer_joint", default=lambda x: CARDAN if x.position == FRONT_AXLE else None,
               why="usual joint"),
        _for_one("driveshaft.yoke_phase@here", "yoke_phase"),
        _for_two("driveshaft.yoke_phase@front", "front_phase"),
        _for_two("driveshaft.yoke_phase@rear", "rear_phase"),
    ]


#: Either the one shaft's slope or both shafts' slopes.
EITHER = [(("shaft_slope",), ("front_slope", "rear_slope"))]


def _for_one(fact: str, name: str) -> Input:
    return option(fact, name, default=lambda x: None if two_piece(x) else 0.0, why="0 unless recorded")


def _for_two(fact: str, name: str) -> Input:
    return option(fact, name, default=lambda x: 0.0 if two_piece(x) else None, why="0 unless recorded")


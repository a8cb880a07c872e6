"""Alignment of one wheel against what the car is for.

Bands are trade practice; the car's own manual overrides them. Watch for: bias-ply tires set to radial figures, caster
raised on a car without power assist, toe read as total and entered as one wheel's.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

from service import notation
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, option

Band = tuple[float, float]


class Bands(NamedTuple):
    """Pass bands in degrees: camber, caster (None at the rear), toe of one wheel."""

    camber: Band
    caster: Band | None
    toe: Band


#: Front wheels by use, degrees. Common practice.
FRONT: Mapping[str, Bands] = {
    "street": Bands((-1.0, 0.5), (2, 6), (0, 0.15)),
    "touring": Bands((-1.0, 0.25), (3, 7), (0, 0.15)),
    "towing": Bands((-0.75, 0.5), (2, 6), (0, 0.20)),
    "autocross": Bands((-3.0, -1.0), (3, 8), (-0.15, 0.10)),
    "track": Bands((-3.5, -1.0), (4, 9), (-0.15, 0.10)),
    "drag": Bands((-0.75, 0.5), (4, 9), (0, 0.15)),
}
#: A front beam axle, every use, degrees. Common practice.
FRONT_BEAM = Bands((0, 1.5), (4, 9), (0, 0.20))
#: Rear wheels by use, degrees: camber independent, camber of a live axle or beam, toe. Common practice.
REAR: Mapping[str, tuple[Band, Band, Band]] = {
    "street": ((-1.5, 0.25), (-0.5, 0.5), (-0.05, 0.20)),
    "touring": ((-1.5, 0.25), (-0.5, 0.5), (-0.05, 0.20)),
    "towing": ((-1.5, 0.25), (-0.5, 0.5), (-0.05, 0.20)),
    "autocross": ((-2.5, 0), (-0.75, 0.5), (-0.05, 0.20)),
    "track": ((-3.0, 0), (-0.75, 0.5), (0, 0.20)),
    "drag": ((-1.0, 0.25), (-0.5, 0.5), (-0.05, 0.15)),
}
#: How far outside its band a figure may lie before it fails, degrees; rear camber may be more negative. Common practice.
CAMBER_CAUTION, REAR_NEGATIVE_CAMBER_CAUTION, CASTER_CAUTION, TOE_CAUTION = 0.5, 1.5, 1.0, 0.10
#: Without power assist, and on bias-ply tires, caster is lower; bias-ply tires want more camber. Degrees. Common practice.
CASTER_WITHOUT_ASSIST, CASTER_BIAS_PLY, CAMBER_BIAS_PLY = 2.0, 2.0, 0.5


def judge(x: Any, out: Outcome) -> None:
    """Each angle against its band."""
    front = _front(x)
    bands = _bands(x)
    with out.part():
        out.value("camber", x.camber)
        low, high = bands.camber
        below = CAMBER_CAUTION if front else REAR_NEGATIVE_CAMBER_CAUTION
        out.within("camber", _rad(low, high), _rad(low - below, high + CAMBER_CAUTION), why=f"camber, {x.use}")
    with out.part():
        out.value("toe", x.toe)
        low, high = bands.toe
        out.within("toe", _rad(low, high), _rad(low - TOE_CAUTION, high + TOE_CAUTION), why=f"toe of one wheel, {x.use}")
    if bands.caster is not None:
        out.value("caster", x.caster)
        low, high = bands.caster
        out.within("caster", _rad(low, high), (math.radians(low - CASTER_CAUTION), None), why=f"caster, {x.use}")


def _applies(car: Any, position: str | None) -> bool:
    """One of the angles judged here is recorded, or toe as a length."""
    angles = ("camber", "toe", "toe_length", "toe_reference_diameter", *(("caster",) if str(position).startswith("front") else ()))
    return any(car.exists(f"alignment.{name}@here", position) for name in angles)


def _rad(low: float, high: float) -> Band:
    return math.radians(low), math.radians(high)


def _front(x: Any) -> bool:
    return str(x.position).startswith("front")


def _bands(x: Any) -> Bands:
    """The bands that hold for this wheel, with the shifts for bias-ply tires and for steering without assist."""
    bias = x.use == "street" and _bias_ply(x.size)
    if not _front(x):
        independent, solid, toe = REAR[x.use]
        return Bands(_raised(independent if x.type == "independent" else solid, CAMBER_BIAS_PLY if bias else 0), None, toe)
    if x.type == "beam":
        return FRONT_BEAM
    camber, caster, toe = FRONT[x.use]
    assert caster is not None
    lower = (0 if x.power_assist else CASTER_WITHOUT_ASSIST) + (CASTER_BIAS_PLY if bias else 0)
    low, high = _raised(caster, -lower)
    return Bands(_raised(camber, CAMBER_BIAS_PLY if bias else 0), (max(0, low), max(0, high)) if lower else caster, toe)


def _raised(band: Band, by: float) -> Band:
    return band[0] + by, band[1] + by


def _bias_ply(size: str) -> bool:
    try:
        return not notation.tire_size(size).radial
    except notation.NotationError:
        return False


def say(s: Any) -> str:
    """The finding in words."""
    names = [name for name in ("camber", "caster", "toe") if name in s.v]
    where = s.position[:1].upper() + s.position[1:]
    first = f"{where}: " + ", ".join(f"{name} {getattr(s, name)}" for name in names)
    broken = {item.of for item in s.limits if item.violated}
    bands = _bands(s.x)
    if not broken:
        return f"{first}, inside the {s.x.use} bands."
    wanted = " and ".join(f"{name} {_text(s, getattr(bands, name))}" for name in names if name in broken)
    return f"{first}. For {s.x.use} use set {wanted}."


def _text(s: Any, band: Band) -> str:
    low, high = _rad(*band)
    return f"between {s.show(low, 'angle', 'deg')} and {s.show(high, 'angle', 'deg')}"


CHECK = Check(
    title="Alignment for the intended use",
    system="alignment",
    safety=True,
    at="corners",
    applies=_applies,
    inputs=[
        need("build.use"),
        need("alignment.camber@here"),
        need("alignment.toe@here"),
        need("alignment.caster@here", when=_front),
        option("suspension.type@axle", default="independent"),
        option("steering.power_assist", default=lambda x: True if _front(x) else None),
        option("tire.size@here", "size", default="radial", why="radial tire taken"),
    ],
    values={
        "camber": Shown("camber", "angle", "deg"),
        "caster": Shown("caster", "angle", "deg"),
        "toe": Shown("toe of this wheel", "angle", "deg"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("alignment.camber@here"), Fix("alignment.caster@here"), Fix("alignment.toe@here")],
    formula="toe = asin(toe length/reference diameter); each angle inside its band",
    basis=[derived("toe from a length"), common_practice("bands by intended use; a car's own manual overrides them")],
)

"""What several brake checks share: the brakes of both axles, booster and valve, the car they slow, the tires they turn."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from math import inf
from typing import Any

from service import notation
from service.calc.brakes import hydraulics
from service.calc.brakes.balance import STANDARD_GRAVITY, Brakes, Car
from service.checks.core import Input, Outcome, Unknown, need, option, presence
from service.quantities import show_fraction

AXLES = ("front", "rear")
_DISC = ("piston_count", "piston_diameter", "caliper_type", "pad_friction", "effective_radius")
_DRUM = ("wheel_cylinder_diameter", "drum_radius", "brake_factor")
#: Facts that the fluid volume needs of a brake, by its type.
SIZES = {"disc": _DISC[:3], "drum": _DRUM[:1]}
#: Facts that the torque needs of a brake, by its type.
TORQUES = {"disc": _DISC, "drum": _DRUM}
#: Rolling radius of a common tire, m, where nothing is known of the tires. Common practice.
USUAL_ROLLING_RADIUS = 0.32
#: Piston diameters of calipers, bores of wheel cylinders and of master cylinders commonly stocked, m, as sold. Common practice.
STOCK_PISTONS = {d / 1000: f"{d} mm" for d in (34, 36, 38, 40, 42, 45, 48, 51, 54, 57, 60, 64, 66, 68, 70, 75)}
_CYLINDERS = (5 / 8, 11 / 16, 3 / 4, 13 / 16, 7 / 8, 15 / 16, 1, 1.125)
STOCK_WHEEL_CYLINDERS = {0.0254 * inches: show_fraction(0.0254 * inches, 16) for inches in _CYLINDERS}
STOCK_MASTER_BORES = {0.0254 * inches: show_fraction(0.0254 * inches, 32) for inches in (*_CYLINDERS, 1.03125, 1.25)}


def as_sold(sizes: Mapping[float, str]) -> Callable[[Any], Mapping[float, str]]:
    """The sizes of a list above, for a remedy."""
    return lambda x: sizes


def _of_type(kind: str, axle: str, condition: Callable[[Any], bool] | None) -> Callable[[Any], bool]:
    return lambda x: getattr(x, f"type_{axle}") == kind and (condition is None or condition(x))


def brake_inputs(facts: dict[str, tuple[str, ...]], when: Callable[[Any], bool] | None = None) -> list[Input]:
    """The brakes of both axles: `brake.type` and, by type, the facts asked for; names end in `_front` and `_rear`."""
    found = []
    for axle in AXLES:
        found.append(need(f"brake.type@{axle}", f"type_{axle}", when=when))
        for kind, names in facts.items():
            found.extend(need(f"brake.{name}@{axle}", f"{name}_{axle}", when=_of_type(kind, axle, when)) for name in names)
    return found


def torque_gain(x: Any, axle: str) -> float:
    """Torque of an axle over its line pressure, m3."""
    if getattr(x, f"type_{axle}") == "disc":
        return hydraulics.disc_gain(pad_area(x, axle), getattr(x, f"pad_friction_{axle}"), getattr(x, f"effective_radius_{axle}"))
    return hydraulics.drum_gain(getattr(x, f"brake_factor_{axle}"), getattr(x, f"wheel_cylinder_diameter_{axle}"), getattr(x, f"drum_radius_{axle}"))


def pad_area(x: Any, axle: str) -> float:
    """Piston area that presses one pad of an axle's disc brakes, m2."""
    count, fixed = getattr(x, f"piston_count_{axle}"), getattr(x, f"caliper_type_{axle}") == "fixed"
    if fixed and count % 2:
        raise Unknown(f"a fixed caliper has as many pistons on each side, and {count} is odd")
    return hydraulics.caliper_area(count, getattr(x, f"piston_diameter_{axle}"), not fixed)


def booster_inputs() -> list[Input]:
    """The booster: none when it is not on the car; one that is needs its ratio."""
    return [presence("brake_booster", "booster_fitted"), option("brake_booster.type", "booster_type"),
            need("brake_booster.boost_ratio", when=boosted), option("brake_booster.runout_force")]


def boosted(x: Any) -> bool:
    """Whether a booster helps the foot."""
    return bool(x.booster_fitted) and x.booster_type != "none"


def front_pressure(x: Any, pedal_force: float, assisted: bool = True) -> float:
    """Pressure before the valve, Pa, at a force on the pedal, N."""
    return hydraulics.line_pressure(pushrod_force(x, pedal_force, assisted), x.bore)


def pushrod_force(x: Any, pedal_force: float, assisted: bool = True) -> float:
    """Force on the master cylinder's piston, N."""
    rod = hydraulics.rod_force(pedal_force, x.ratio)
    if not assisted or not boosted(x):
        return rod
    return hydraulics.boosted_force(rod, x.boost_ratio, x.runout_force if x.has("runout_force") else inf)


def valve_inputs() -> list[Input]:
    """The proportioning valve: none when it is not on the car; one that is needs its knee and slope."""
    return [presence("proportioning_valve", "valve_fitted"), need("proportioning_valve.knee_pressure", when=lambda x: x.valve_fitted),
            need("proportioning_valve.slope", when=lambda x: x.valve_fitted)]


def valve(x: Any) -> tuple[float, float]:
    """Knee pressure, Pa, and slope of the valve; without one it never holds back."""
    fitted = x.valve_fitted if x.has("valve_fitted") else x.has("knee_pressure", "slope")
    return (x.knee_pressure, x.slope) if fitted else (inf, 1.0)


def optional(items: Iterable[Input]) -> list[Input]:
    """The same facts, wanted only if they happen to be recorded."""
    return [option(item.fact, item.name) for item in items if item.role == "fact" and item.default is None]


def car_inputs(when: Callable[[Any], bool] | None = None) -> list[Input]:
    """The car that is slowed: mass, wheelbase, height of its center of gravity, mass on each axle."""
    return [need("car.mass", when=when), need("car.wheelbase", when=when), need("car.cg_height", when=when),
            need("weights.axle_mass@front", "axle_mass_front", when=when), need("weights.axle_mass@rear", "axle_mass_rear", when=when)]


def slowed_car(x: Any) -> Car:
    """Weight, N; share of it on the front axle; height of the center of gravity over the wheelbase."""
    share = x.axle_mass_front / (x.axle_mass_front + x.axle_mass_rear)
    return x.mass * STANDARD_GRAVITY, share, x.cg_height / x.wheelbase


def radius_inputs() -> list[Input]:
    """Rolling radii of both axles: own, else the other axle's, else a common tire's."""
    return [option("tire.rolling_radius@front", "recorded_front"), option("tire.rolling_radius@rear", "recorded_rear"),
            option("tire.rolling_radius@front", "radius_front", default=lambda x: _other(x, "recorded_rear"), why=_WHY_RADIUS),
            option("tire.rolling_radius@rear", "radius_rear", default=lambda x: _other(x, "recorded_front"), why=_WHY_RADIUS)]


_WHY_RADIUS = "as the other axle's, else a common tire's"


def _other(x: Any, name: str) -> float:
    return float(getattr(x, name)) if x.has(name) else USUAL_ROLLING_RADIUS


def radius(x: Any, out: Outcome, axle: str) -> float:
    """Rolling radius of an axle's tires, m; a size that does not tell its diameter counts as not recorded."""
    for name in (f"radius_{axle}", f"recorded_{axle}"):
        if x.has(name):
            return float(getattr(x, name))
    found = _other(x, f"recorded_{'rear' if axle == 'front' else 'front'}")
    out.remark(f"The rolling radius of the {axle} tires is not known; {found * 1000:.0f} mm is assumed.")
    return found


def car_brakes(x: Any, out: Outcome) -> Brakes:
    """Braking force over pressure front and rear, m2, and the valve."""
    knee, slope = valve(x)
    return torque_gain(x, "front") / radius(x, out, "front"), torque_gain(x, "rear") / radius(x, out, "rear"), knee, slope


def whole_speed(s: Any, si: float) -> str:
    """A speed, m/s, to the mile or kilometer an hour."""
    return f"{si / 0.44704:.0f} mph" if s.system == "us" else f"{si * 3.6:.0f} km/h"


def reference_date(build: Any) -> date | None:
    """The day a car's ages are counted to: delivered, else promised, else opened."""
    for name in ("delivered_on", "promised_on", "opened_on"):
        text = (build or {}).get(name)
        if text:
            try:
                return notation.date(text)
            except notation.NotationError:
                continue
    return None

"""What several driveline checks share: inputs with their defaults by use, where the shafts are, printing in tables."""

from __future__ import annotations

from typing import Any

from service.calc import driveline as calc
from service.checks.core import Input, Missing, need, option
from service.quantities import System, preferred, show

CRUISE_SPEED = calc.CRUISE_SPEED
#: Uses in which comfort and long life count. The others are autocross, track, drag.
ROAD_USES = ("street", "touring", "towing")
#: Torque multiplied by a converter at stall when not recorded. Common practice: passenger-car converters lie between 1.7 and 2.5.
STALL_TORQUE_RATIO = 2.0
#: A length this near to an inch figure is that figure, m (dust of adding up a stack).
_RIGHT_ON = 1e-7
#: Limits compared outside the engine's own allow this much dust of floating-point arithmetic, relative.
DUST = 1e-9


def shaft_positions(car: Any) -> list[str | None]:
    """None for a one-piece shaft, else the shafts there are (`front`, `rear`, `front axle`)."""
    labels: list[str | None] = list(car.labels("driveshaft"))
    bare = None in car.facts.subjects.get("driveshaft", ())
    return [None, *labels] if bare or not labels else labels


def line_positions(car: Any) -> list[str | None]:
    """None for the main line, and `front axle` where a separate shaft drives the front axle."""
    front = car.on_car("driveshaft", "front axle") or car.exists("driveline.shaft_slope@front axle")
    others = set(car.labels("driveshaft")) - {"front axle"}
    main = bool(others) or None in car.facts.subjects.get("driveshaft", ()) or not front or _main_slope(car)
    return [place for place, there in ((None, main), ("front axle", front)) if there]


def _main_slope(car: Any) -> bool:
    return any(car.exists(f"driveline.shaft_slope{at}") for at in ("", "@front", "@rear"))


def is_road(x: Any) -> bool:
    """Whether the use is street, touring or towing."""
    return x.use in ROAD_USES


def transmission_type() -> Input:
    """`x.transmission_type`; not recorded: automatic with a torque converter, manual with a clutch, else automatic. Needs `car` in reads."""
    return option("transmission.type", "transmission_type", default=_type_by_parts, why="by the parts on the car")


def _type_by_parts(x: Any) -> str:
    return "manual" if x.car.on_car("clutch") and not x.car.on_car("torque_converter") else "automatic"


def stall_torque_ratio() -> Input:
    """`x.stall_torque_ratio`, None where no converter multiplies. Comes after `transmission_type`."""
    return option("torque_converter.stall_torque_ratio", default=lambda x: STALL_TORQUE_RATIO if multiplies(x) else None, why="usual converter")


def multiplies(x: Any) -> bool:
    """Whether a torque converter stands between engine and gearbox: not with a manual, nor with an automated manual without one."""
    if x.transmission_type == "automated_manual":
        return bool(x.car.on_car("torque_converter"))
    return bool(x.transmission_type != "manual")


def multiplication(x: Any) -> float:
    """Torque multiplied at stall: 1 without a converter."""
    return float(x.stall_torque_ratio) if multiplies(x) else 1.0


def spacer_location() -> Input:
    """`x.location`: where a flexplate spacer sits."""
    return option("flexplate_spacer.location", default="crank", why="at the crank unless recorded")


def cruise_speed() -> Input:
    """`x.cruise_speed`, by use when not recorded."""
    return option("driveline.cruise_speed", default=lambda x: CRUISE_SPEED[x.use], why="usual for this use")


def use() -> Input:
    """`x.use`."""
    return need("build.use")


def ordered_ratios(x: Any) -> tuple[float, ...]:
    """The forward ratios. Raises ValueError unless they are positive and fall from first to top."""
    ratios: tuple[float, ...] = x.forward_ratios
    if not calc.in_order(ratios):
        raise ValueError("the transmission's ratios are not in order, first to top")
    return ratios


def edge(value: float, metric: float, inch: float) -> float:
    """The limit for a value where the trade's figure is an inch fraction and its millimeters are rounded, m: the millimeters,
    unless the value stands right on the inch figure, which is inside."""
    return inch if abs(value - inch) < _RIGHT_ON else metric


def broken(s: Any) -> bool:
    """Whether the figures as recorded break a limit (a caution may also come from tolerances alone)."""
    return any(limit.violated for limit in s.limits)


def printed(car: Any, si: float | None, dimension: str, like: str | None = None) -> str:
    """A figure in the unit that this shop reads, for tables; a dash for None."""
    if si is None:
        return "–"
    system: System = "metric" if (car.document.get("build") or {}).get("units") == "metric" else "us"
    return show(si, dimension, preferred(dimension, system, like))


def percent(share: float | None) -> str:
    """A share as text for tables; a dash for None."""
    return "–" if share is None else f"{share * 100:.0f} %"


def wanted(x: Any, *names: str) -> None:
    """Stop here unless these inputs, one way of several, have a value. Raises Missing for the first that has none."""
    for name in names:
        if not x.has(name):
            raise Missing(name)

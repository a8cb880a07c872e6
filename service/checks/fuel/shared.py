"""What checks of fuel, exhaust and cooling share: the engine's power and displacement, and what fuel it burns."""

from __future__ import annotations

import math
from typing import Any

from service.calc.engine import crank_power
from service.calc.engine import displacement as swept
from service.calc.fuel import FUELS, POUND_PER_HORSEPOWER_HOUR, Fuel
from service.checks.core import Basis, Input, Unknown, common_practice, need, option

CONSUMPTION_BASIS: Basis = common_practice("consumption by fuel at full power, ±10 %: gasoline 0.50, boosted 0.60 lb/(hp·h), E85 0.70, boosted 0.84; "
                                           "compared with a public table")


def fuel_name(engine_fuel: str) -> str:
    """The fuel system's word for an engine's fuel: every grade of gasoline is gasoline."""
    return "gasoline" if engine_fuel.startswith("gasoline") else engine_fuel


def fuel_of(x: Any) -> Fuel:
    """The fuel's properties. Raises Unknown when engine and fuel system are recorded for different fuels."""
    if x.has("engine_fuel") and fuel_name(x.engine_fuel) != x.fuel:
        raise Unknown(f"the fuel system is recorded for {x.fuel}, the engine for {fuel_name(x.engine_fuel)}: say which")
    return FUELS[x.fuel]


def _boosted(x: Any) -> bool:
    return bool(x.boost_pressure > 0.0)


def _consumption(x: Any) -> float:
    fuel = FUELS[x.fuel]
    return (fuel.boosted_consumption if _boosted(x) else fuel.consumption) * POUND_PER_HORSEPOWER_HOUR


def _consumption_spread(x: Any) -> float:
    return FUELS[x.fuel].spread * POUND_PER_HORSEPOWER_HOUR


def burning() -> list[Input]:
    """Inputs from which the fuel burned at full power follows: power, its basis, fuel, boost, consumption."""
    return [
        need("engine.peak_power"),
        option("engine.power_basis"),
        option("fuel_system.fuel", default="gasoline"),
        option("engine.fuel", "engine_fuel"),
        option("engine.boost_pressure", default=0.0),
        option("fuel_system.bsfc", default=_consumption, tolerance=_consumption_spread, why="usual for this fuel"),
    ]


def power(x: Any) -> float:
    """Peak power at the crank, W."""
    return crank_power(x.peak_power, x.power_basis)


def breathing() -> list[Input]:
    """Inputs from which the displacement follows: as claimed, and bore, stroke and cylinders, which outrank the claim."""
    return [need("engine.displacement"), option("engine.bore"), option("engine.stroke"), option("engine.cylinders")]


def displacement(x: Any) -> float:
    """Displacement, m³: from bore, stroke and cylinders where all are recorded, else as claimed."""
    if x.has("bore", "stroke", "cylinders"):
        return float(swept(x.bore, x.stroke, x.cylinders))
    return float(x.displacement)


def described(car: Any, kinds: tuple[str, ...], words: tuple[str, ...]) -> bool:
    """Whether a part of these kinds that is not removed has one of the words in its name, position or notes."""
    for part in car.document.get("parts") or ():
        if part["kind"] in kinds and part.get("status", "fitted") != "removed":
            text = " ".join(str(part.get(key) or "") for key in ("name", "position", "notes")).lower()
            if any(word in text for word in words):
                return True
    return False


def fitted(car: Any, kind: str) -> bool | None:
    """True when a part of the kind is on the car, False when it is recorded as absent, None when nothing is said."""
    if car.facts.is_absent(kind):
        return False
    return True if car.on_car(kind) else None


def circuit_fused(car: Any, word: str) -> bool | None:
    """Whether the circuits with `word` in their label are fused; None when none says."""
    answers = []
    for label in car.labels("circuit"):
        if word in label:
            rating = car.value("circuit.fuse_rating@here", label)
            answers.append(True if rating is not None else car.value("circuit.fused@here", label))
    return False if False in answers else True if answers and None not in answers else None


def room(s: Any, gap: float, actual: float) -> str:
    """A gap wanted, as a shop reads it: the next sixteenth of an inch up, or millimeters; exact where `actual` lies between."""
    sixteenth = 0.0254 / 16
    rounded = math.ceil(gap / sixteenth - 1e-6) * sixteenth
    return str(s.fraction(rounded) if s.system == "us" and not gap * (1 - 1e-9) <= actual < rounded else s.show(gap, "length", "mm"))

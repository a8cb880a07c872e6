"""What parts of the fuel system need beside them: pressure control, protection after a crash, clean fuel, a breathing tank."""

from __future__ import annotations

from typing import Any

from service.checks.companions import Rule, companions
from service.checks.fuel.shared import circuit_fused, described, fitted, fuel_name

INJECTED = "Port or throttle-body injection"
FIRE = "fire; the pressure is not controlled otherwise"
ELECTRIC_PUMP = "An electric fuel pump"
CRASH = "a pump that runs after a crash feeds a fire"
TANK = "A new or changed fuel tank"
VAPOR = "vapor, static, a collapsing tank"
#: Words that tell the pump's relay or fuse from others.
PUMP_WORDS = ("pump", "fuel")
LOW_RATED = ("hose_low_pressure",)


def _injected(car: Any) -> bool:
    return car.value("fuel_system.kind") in ("port_injection", "throttle_body_injection")


def _pump_reaches(car: Any) -> bool | None:
    system = car.value("fuel_system.pressure")
    reached = [value for value in (car.value("fuel_pump.rated_pressure"), car.value("fuel_pump.second_pressure")) if value is not None]
    return None if system is None or not reached else max(reached) >= system * (1 - 1e-9)


def _either(*answers: bool | None) -> bool | None:
    return True if any(answers) else None if None in answers else False


def _first(*answers: bool | None) -> bool | None:
    """What is recorded outranks what a part on the list implies."""
    return next((answer for answer in answers if answer is not None), None)


def _hoses_rated(car: Any) -> bool | None:
    materials = [car.value("fuel_line.material@here", label) for label in car.labels("fuel_line") if car.value("fuel_line.role@here", label) == "pressure"]
    if any(material in LOW_RATED for material in materials):
        return False
    return None


def _electric_pump(car: Any) -> bool:
    return bool(car.on_car("fuel_pump")) and car.value("fuel_pump.drive") != "mechanical"


def _in_tank(car: Any) -> bool:
    return _electric_pump(car) and described(car, ("fuel_pump",), ("tank",))


def _near_exhaust(car: Any) -> bool:
    return any(car.value("exhaust_clearance.neighbor@here", label) == "fuel_line" for label in car.labels("exhaust_clearance"))


def _e85(car: Any) -> bool:
    engine = car.value("engine.fuel")
    return car.value("fuel_system.fuel") == "e85" or (engine is not None and fuel_name(engine) == "e85")


RULES = [
    Rule("injection_pump", INJECTED, "a high-pressure pump", "safety", FIRE, _injected, _pump_reaches, without=("fuel_pump",)),
    Rule("injection_regulator", INJECTED, "a regulator", "safety", FIRE, _injected, lambda car: car.value("fuel_system.regulator"),
         parts=("fuel_regulator",)),
    Rule("injection_filter", INJECTED, "a fine filter", "safety", FIRE, _injected,
         lambda car: _first(car.value("fuel_system.filter_fine"), fitted(car, "fuel_filter"))),
    Rule("injection_return", INJECTED, "a return line or a returnless module", "safety", FIRE, _injected,
         lambda car: _either(car.value("fuel_system.return_line"), car.value("fuel_system.returnless"))),
    Rule("injection_hose", INJECTED, "injection-rated hose and clamps", "safety", FIRE, _injected, _hoses_rated),
    Rule("pump_relay", ELECTRIC_PUMP, "a relay", "safety", CRASH, _electric_pump, parts=("relay",), serving=PUMP_WORDS),
    Rule("pump_fuse", ELECTRIC_PUMP, "a fuse at the source", "safety", CRASH, _electric_pump, lambda car: circuit_fused(car, "pump"),
         parts=("fuse",), serving=PUMP_WORDS),
    Rule("pump_cutout", ELECTRIC_PUMP, "a crash or engine-stopped cut-out", "safety", CRASH, _electric_pump,
         lambda car: _first(car.value("fuel_system.shutoff"), fitted(car, "fuel_cutoff"))),
    Rule("pump_strainer", "A pump in the tank or beside it", "a strainer before it", "note", "debris from old tanks", _in_tank,
         lambda car: _first(car.value("fuel_system.filter_coarse"), fitted(car, "fuel_strainer"))),
    Rule("pump_filter", "A pump in the tank or beside it", "a fine filter after it", "note", "debris from old tanks", _in_tank,
         lambda car: _first(car.value("fuel_system.filter_fine"), fitted(car, "fuel_filter"))),
    Rule("tank_vent", TANK, "a vent", "safety", VAPOR, lambda car: car.on_car("fuel_tank"), lambda car: car.value("fuel_tank.vent")),
    Rule("tank_roll_over_valve", TANK, "a roll-over valve in the vent", "safety", VAPOR, lambda car: car.on_car("fuel_tank"),
         lambda car: fitted(car, "roll_over_valve")),
    Rule("tank_grounds", TANK, "a ground at filler and sender", "safety", VAPOR, lambda car: car.on_car("fuel_tank")),
    Rule("fuel_line_clips", "A fuel line near exhaust or moving parts", "clips at most 450 mm (18 in) apart and a grommet at each panel", "safety",
         "chafing", _near_exhaust),
    Rule("e85_hose", "E85", "alcohol-proof hose and seals", "stop", "ordinary hose softens", _e85),
    Rule("e85_tune", "E85", "a fuel sensor or a tune for it", "stop", "it burns a third more fuel", _e85),
]
CHECK = companions("fuel", RULES)

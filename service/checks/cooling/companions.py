"""What parts of the cooling system need beside them: fan control, a cooler for the automatic, a filler at the high point."""

from __future__ import annotations

from typing import Any

from service.checks.companions import Rule, companions
from service.checks.cooling.fan_electrical import IDLE_OUTPUT_SHARE
from service.checks.fuel.shared import circuit_fused, described, fitted

FAN, QUEUE = "An electric fan", "overheating in traffic"
AUTOMATIC, HEAT = "An automatic transmission", "heat is what ends it"
ALUMINUM, PITTING = "An aluminum radiator or heads", "pitting"
CONDENSER, PREHEATED = "An A/C condenser ahead of the radiator", "preheated air"
LOW_NECK, TRAPPED = "A radiator filler below the engine's high point", "trapped air"
#: Winters below this, K (−18 °C, 0 °F), are cold climates for transmission fluid. Common practice.
COLD_CLIMATE = 255.15
AGING = ("radiator", "hose", "heater_core")


def _electric(car: Any) -> bool:
    return bool(car.value("cooling_fan.drive") == "electric")


def _fan_fuse(car: Any) -> bool | None:
    return True if car.value("cooling_fan.fuse_rating") is not None else circuit_fused(car, "fan")


def _alternator(car: Any) -> bool | None:
    current, rated, idle = (car.value(fact) for fact in ("cooling_fan.current", "alternator.rated_output", "alternator.idle_output"))
    available = idle if idle is not None else None if rated is None else IDLE_OUTPUT_SHARE * rated
    return None if current is None or available is None else current * (car.value("cooling_fan.count") or 1) <= available


def _switch(car: Any) -> bool | None:
    """A switch answers it; where none is fitted, a control unit that is on the car may do its work."""
    switch = fitted(car, "fan_switch")
    return None if switch is False and car.on_car("control_unit") else switch


def _universal_brackets(car: Any) -> bool:
    return _electric(car) and any(car.exists(f"radiator_mount.bracket_hole_height@{place}") for place in ("upper", "lower"))


def _automatic(car: Any) -> bool:
    return bool(car.value("transmission.type") == "automatic")


def _automatic_in_the_cold(car: Any) -> bool:
    coldest = car.value("cooling.coldest_temperature")
    return _automatic(car) and coldest is not None and coldest < COLD_CLIMATE


def _low_neck(car: Any) -> bool:
    mount, neck, top = (car.value(fact) for fact in ("radiator_mount.mount_height", "radiator.fill_point_above_mount", "engine.coolant_high_point"))
    return None not in (mount, neck, top) and mount + neck < top


def _older_than_the_cap(car: Any) -> bool:
    parts = [part for part in car.document.get("parts") or () if part.get("fitted_on") and part.get("status", "fitted") == "fitted"]
    caps = [part["fitted_on"] for part in parts if part["kind"] == "radiator_cap"]
    others = [part["fitted_on"] for part in parts if part["kind"] in AGING]
    return bool(caps and others) and min(others)[:10] < max(caps)[:10]


def _cap_fits(car: Any) -> bool | None:
    cap, rating = car.value("radiator.cap_pressure"), car.value("radiator.pressure_rating")
    return False if cap is not None and rating is not None and cap > rating else None


def _aluminum(car: Any) -> bool:
    return described(car, ("radiator", "cylinder_head", "engine"), ("aluminum",))


RULES = [
    Rule("fan_relay", FAN, "a relay", "stop", QUEUE, _electric, parts=("relay",), serving=("fan",)),
    Rule("fan_switch", FAN, "a thermostat switch or a control-unit output", "stop", QUEUE, _electric, _switch),
    Rule("fan_fuse", FAN, "a fuse", "stop", QUEUE, _electric, _fan_fuse, parts=("fuse",), serving=("fan",)),
    Rule("fan_alternator", FAN, "an alternator that carries it at idle", "stop", QUEUE, _electric, _alternator,
         without=("alternator",)),
    Rule("fan_brackets", "An electric fan on a core support made for none", "brackets: check the upper holes, expect to drill the lower, rubber washers",
         "note", "universal angle brackets rarely match below", _universal_brackets),
    Rule("automatic_cooler", AUTOMATIC, "a cooler sized for the use, with its lines", "stop", HEAT, _automatic,
         lambda car: fitted(car, "transmission_cooler")),
    Rule("automatic_cooler_thermostat", "An automatic transmission in a cold climate", "a thermostat for its cooler", "stop",
         "cold fluid shifts late and starves", _automatic_in_the_cold, lambda car: car.value("transmission_cooler.thermostat")),
    Rule("condenser_fan", CONDENSER, "a fan that runs with the compressor", "note", PREHEATED, lambda car: car.on_car("condenser")),
    Rule("condenser_pressure_switch", CONDENSER, "a high-pressure switch", "note", PREHEATED, lambda car: car.on_car("condenser")),
    Rule("high_point_filler", LOW_NECK, "a filler or expansion tank at the high point", "stop", TRAPPED, _low_neck,
         lambda car: fitted(car, "expansion_tank")),
    Rule("high_point_bleed", LOW_NECK, "a bleed screw at the high point", "stop", TRAPPED, _low_neck),
    Rule("cap_for_the_weakest", "A radiator, hose or heater core older than the cap", "a cap no stronger than the weakest part", "stop", "bursts hot",
         _older_than_the_cap, _cap_fits),
    Rule("inhibited_coolant", ALUMINUM, "corrosion-inhibited antifreeze and no tap water", "note", PITTING, _aluminum),
    Rule("stray_current", ALUMINUM, "less than 0.3 V between coolant and ground", "note", PITTING, _aluminum),
]
CHECK = companions("cooling", RULES)

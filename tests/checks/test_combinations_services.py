"""Combinations that a builder really tries with cooling, fuel and exhaust: what is found, and how it is said."""

from __future__ import annotations

from typing import Any

import pytest

from service.checks.answer import answer
from service.document import load

HEAD = {"format": "as-fitted/build/1", "car": {"make": "Example", "model": "One", "year": 1962}}

TWO_FANS = {"cooling_fan.drive": "electric", "cooling_fan.count": 2, "cooling_fan.current": "22 A", "cooling_fan.fuse_rating": "40 A",
            "alternator.rated_output": "63 A", "cooling_fan.core_gap": "10 mm", "cooling_fan.engine_gap": "22 mm"}
BOOSTED = {"engine.peak_power": "450 hp", "engine.fuel": "e85", "engine.boost_pressure": "15 psi", "fuel_system.kind": "port_injection",
           "fuel_system.pressure": "43.5 psi", "fuel_pump.flow": "255 L/h", "fuel_pump.rated_pressure": "43.5 psi", "fuel_pump.second_flow": "190 L/h",
           "fuel_pump.second_pressure": "60 psi", "fuel_pump.voltage": "12.4 V", "injector.count": 8, "injector.mass_flow": "60 lb/h",
           "injector.rated_pressure": "43.5 psi"}
OLD_HOSE = {"fuel_system.kind": "throttle_body_injection", "fuel_system.pressure": "58 psi", "fuel_pump.flow": "200 L/h", "fuel_pump.rated_pressure": "58 psi",
            "fuel_line.inner_diameter@feed": "5/16 in", "fuel_line.length@feed": "12 ft", "fuel_line.role@feed": "pressure",
            "fuel_line.material@feed": "hose_low_pressure", "fuel_system.regulator": True, "fuel_system.return_line": False,
            "fuel_system.returnless": False, "fuel_system.filter_fine": True, "fuel_system.shutoff": False, "fuel_tank.vent": True}
LOW_RADIATOR = {"radiator_mount.slot_low": "4 in", "radiator_mount.slot_high": "7 in", "radiator_mount.mount_height": "5 in",
                "radiator_mount.hood_height": "25 in", "radiator_mount.obstruction_height": "1 1/2 in", "radiator.top_above_mount": "16 in",
                "radiator.bottom_below_mount": "2 in", "radiator.fill_point_above_mount": "15 1/2 in", "engine.coolant_high_point": "22 in"}
TOW_RIG = {"transmission.type": "automatic", "transmission_cooler.temperature": "230 degF", "engine.peak_power": "320 hp", "engine.displacement": "390 cu in",
           "radiator.core_height": "18 in", "radiator.core_width": "24 in", "radiator.core_thickness": "2 1/4 in", "cooling_fan.airflow": "2500 cfm",
           "coolant.glycol_fraction": 0.5, "radiator.cap_pressure": "13 psi"}
SMALL_PIPE = {"engine.peak_power": "350 hp", "exhaust.pipe_diameter": "1.87 in", "exhaust_clearance.distance@left frame rail": "40 mm",
              "exhaust_clearance.neighbor@left frame rail": "brake_line", "exhaust.backpressure": "6 psi"}


def found(use: str, facts: dict[str, Any], **lists: Any) -> dict[str, dict[str, Any]]:
    measurements = [{"fact": fact, "value": value} for fact, value in facts.items()]
    document = load({**HEAD, "build": {"use": use}, "measurements": measurements, **lists})
    return {item["check"]: item for item in answer(document)["results"]}


@pytest.mark.parametrize(("use", "facts", "check", "verdict", "says"), [
    ("street", TWO_FANS, "cooling.fan_electrical", "fail", "110 % of the fuse and 175 % of what the alternator makes at idle. One fuse stops both fans"),
    ("street", TWO_FANS, "cooling.companions", "fail", "an alternator that carries it at idle"),
    ("street", TWO_FANS, "cooling.fan_clearance", "pass", "between fan and core"),
    ("street", BOOSTED, "fuel.pump_flow", "fail", "see what the wiring loses before buying a larger pump"),
    ("street", BOOSTED, "fuel.injector_size", "pass", "open 79 % of the time"),
    ("street", OLD_HOSE, "fuel.line_size", "fail", "Low-pressure hose at injection pressure bursts"),
    ("street", OLD_HOSE, "fuel.system_match", "fail", "a return line or a returnless module. Do not drive it so."),
    ("street", LOW_RADIATOR, "cooling.radiator_height", "caution", "fit a filler or expansion tank at the high point"),
    ("towing", TOW_RIG, "cooling.heat_rejection", "fail", "of real airflow or a core of"),
    ("towing", TOW_RIG, "cooling.boiling_margin", "pass", "With a 13 psi cap at sea level"),
    ("street", SMALL_PIPE, "exhaust.pipe_size", "fail", "the pipe is small and costs power"),
    ("street", SMALL_PIPE, "exhaust.clearance", "fail", "fit a heat shield with air behind it. Do not drive it so."),
    ("street", SMALL_PIPE, "exhaust.backpressure", "fail", "is the most wanted"),
])
def test_a_finding_of_a_combination(use: str, facts: dict[str, Any], check: str, verdict: str, says: str) -> None:
    finding = found(use, facts)[check]
    assert finding["verdict"] == verdict
    assert says in finding["summary"]


def test_towing_with_the_only_cooler_in_the_radiator() -> None:
    finding = found("towing", TOW_RIG, parts=[{"kind": "transmission_cooler", "specs": {"kind": "in_radiator"}}])["cooling.transmission_cooler"]
    assert finding["verdict"] == "caution"
    assert "add one in the air" in finding["summary"]

"""Limits of the engine's and driveline's checks, just inside, right on and just outside; each row reads its figures off the rule beside it."""

from __future__ import annotations

from collections.abc import Mapping
from math import degrees, pi, sqrt
from typing import Any

import pytest

from service.document import Facts
from tests.checks.cases import document, results_for

GAP = {"torque_converter.bolt_count": 4}
STACK = {"engine.crank_flange_to_block_face": "6 mm", "flexplate.thickness": "3.2 mm", "torque_converter.seated_depth": "13.2 mm"}
PILOT = {"torque_converter.pilot_length": "16 mm", "torque_converter.pad_to_pilot_shoulder": "2 mm", "engine.crank_register_depth": "20 mm",
         "flexplate.thickness": "3.2 mm", "flexplate.offset": "6 mm"}
BOLTS = {"flexplate.thickness": "3.2 mm", "torque_converter.bolt_thread": "M8x1.25", "torque_converter.pad_thread_depth": "15 mm"}
MATCH = {"torque_converter.bolt_circle": "273 mm", "flexplate.ring_gear_teeth": 168, "starter.ring_gear_teeth": 168}
PLACE = {"engine_mounts.slide_forward": "40 mm", "engine_mounts.slide_rearward": "40 mm", "driveline.fan_clearance": "25.4 mm",
         "driveline.firewall_clearance": "55.4 mm"}
SHAFT = {"driveline.flange_to_yoke_distance": "1300 mm", "driveshaft.slip_travel": "76 mm"}
WHIP = {"driveshaft.critical_speed": "10000 rpm", "transmission.forward_ratios": [2, 1]}
TORQUE = {"engine.peak_torque": "500 N*m", "transmission.type": "manual", "transmission.forward_ratios": [2.0, 1.0]}
TUBE = {"driveshaft.outer_diameter": "100 mm", "driveshaft.wall": "2 mm"}
AXLE = {"axle.ratio": 4, "axle.torque_rating": "9000 N*m"}
POWER = {"transmission.type": "automatic", "transmission.input_power_rating": "1000 hp"}
YOKE = {"slip_yoke.spline_teeth": 32, "transmission.output_spline_teeth": 32, "slip_yoke.spline_diameter": "40 mm"}
RELEASE = {"clutch_release.pedal_ratio": 5, "clutch_release.master_bore": "20 mm", "clutch_release.slave_bore": "20 mm",
           "clutch_release.pedal_travel": "112 mm"}
CENTERED = {"bellhousing.bore_runout": "0 mm"}
HEAD = {"engine.bore": "100 mm", "engine.stroke": "80 mm", "engine.chamber_volume": "60 cc", "engine.piston_volume": "10 cc",
        "engine.gasket_bore": "102 mm", "engine.deck_clearance": "0 mm"}
DIAL = {"axle.ratio": 3.5, "speedometer.calibrated_revs_per_mile": 750, "speedometer.calibrated_axle_ratio": 3.5}
ON_THE_ROAD = {"axle.ratio": 3.5, "tire.rolling_radius@rear": "0.33 m"}
#: Shaft speed at 3000 rpm, rad/s, and the angle it allows: the root of 1000 rad/s² over it, degrees.
AT_3000 = degrees(sqrt(1000) / (100 * pi))

Row = tuple[str, Mapping[str, Any], str, Mapping[str, str]]
STREET: list[Row] = [
    ("driveline.converter_fit", GAP, "driveline.converter_gap", {
        "1.59 mm": "fail", "1/16 in": "caution", "1.6 mm": "caution", "3.19 mm": "caution", "1/8 in": "pass", "3.2 mm": "pass", "4.8 mm": "pass",
        "3/16 in": "pass", "4.81 mm": "caution", "6.4 mm": "caution", "1/4 in": "caution", "6.41 mm": "fail"}),
    ("driveline.converter_fit", {**STACK, "torque_converter.seated_depth": "15.5 mm"}, "driveline.converter_gap", {"4.8 mm": "pass", "4.79 mm": "caution"}),
    ("driveline.converter_pilot", PILOT, "torque_converter.pilot_length", {"10.39 mm": "fail", "10.4 mm": "caution", "11.99 mm": "caution", "12 mm": "pass"}),
    ("driveline.converter_pilot", {**PILOT, "torque_converter.nose_length": "16 mm"}, "engine.crank_register_depth", {
        "9.29 mm": "fail", "9.3 mm": "caution", "9.79 mm": "caution", "9.8 mm": "pass"}),
    ("driveline.converter_pilot", PILOT, "engine.crank_register_depth", {"12.29 mm": "caution", "12.3 mm": "pass"}),
    ("driveline.converter_pilot", {**PILOT, "torque_converter.pilot_diameter": "45 mm"}, "engine.crank_register_diameter", {
        "44.999 mm": "fail", "45 mm": "caution", "45.024 mm": "caution", "45.025 mm": "pass", "45.13 mm": "pass", "45.131 mm": "caution",
        "45.25 mm": "caution", "45.251 mm": "fail"}),
    ("driveline.converter_bolts", BOLTS, "torque_converter.bolt_length", {
        "9.59 mm": "fail", "9.6 mm": "caution", "11.19 mm": "caution", "11.2 mm": "pass", "16.95 mm": "pass", "16.96 mm": "caution",
        "18.2 mm": "caution", "18.21 mm": "fail"}),
    ("driveline.flexplate_match", MATCH, "flexplate.converter_bolt_circle", {
        "273.5 mm": "pass", "273.51 mm": "caution", "274 mm": "caution", "274.01 mm": "fail", "271.99 mm": "fail"}),
    ("driveline.engine_position", PLACE, "engine_mounts.shift", {
        "-0.01 mm": "fail", "0 mm": "caution", "2.99 mm": "caution", "3 mm": "pass", "27 mm": "pass", "27.01 mm": "caution", "30 mm": "caution",
        "30.01 mm": "fail"}),
    ("driveline.engine_position", {**PLACE, "engine_mounts.shift": "3 mm"}, "driveline.firewall_clearance", {"31.4 mm": "pass", "31.39 mm": "caution"}),
    ("driveline.engine_position", PLACE, "driveline.firewall_clearance", {"25.4 mm": "caution", "25.39 mm": "fail"}),
    ("driveline.shaft_length", SHAFT, "driveshaft.length", {
        "1287.31 mm": "fail", "1287.3 mm": "caution", "1281.31 mm": "caution", "1281.3 mm": "pass", "1242.7 mm": "pass", "1242.69 mm": "caution",
        "1236.7 mm": "caution", "1236.69 mm": "fail"}),
    ("driveline.critical_speed", WHIP, "engine.redline", {"7000 rpm": "pass", "7001 rpm": "caution", "7500 rpm": "caution", "7501 rpm": "fail"}),
    ("driveline.shaft_torque", {**TORQUE, **TUBE}, "driveshaft.joint_torque_rating", {
        "1111.2 N*m": "pass", "1111 N*m": "caution", "1000 N*m": "caution", "999 N*m": "fail"}),
    ("driveline.axle_torque", {**TORQUE, "axle.ratio": 4}, "axle.torque_rating", {
        "4445 N*m": "pass", "4444 N*m": "caution", "4000 N*m": "caution", "3999 N*m": "fail"}),
    ("driveline.axle_torque", {**TORQUE, **AXLE}, "axle.pinion_torque_rating", {
        "1111.2 N*m": "pass", "1111 N*m": "caution", "1000 N*m": "caution", "999 N*m": "fail"}),
    ("driveline.axle_torque", {**TORQUE, **AXLE, "axle.differential": "limited_slip"}, "axle.shaft_torque_rating", {
        "3334 N*m": "pass", "3333 N*m": "caution", "3000 N*m": "caution", "2999 N*m": "fail"}),
    ("driveline.transmission_power", {**POWER, "transmission.duty": "heavy_duty"}, "engine.peak_power", {
        "900 hp": "pass", "901 hp": "caution", "1000 hp": "caution", "1001 hp": "fail"}),
    ("driveline.transmission_power", {**POWER, "transmission.duty": "standard"}, "engine.peak_power", {"600 hp": "pass", "601 hp": "caution"}),
    ("driveline.clutch_capacity", {"engine.peak_torque": "100 N*m"}, "clutch.torque_capacity", {
        "119.9 N*m": "fail", "120 N*m": "caution", "129.9 N*m": "caution", "130 N*m": "pass", "250 N*m": "pass", "251 N*m": "caution"}),
    ("driveline.slip_yoke", YOKE, "slip_yoke.engagement", {"39.99 mm": "fail", "40 mm": "caution", "49.99 mm": "caution", "50 mm": "pass"}),
    ("driveline.slip_yoke", {**YOKE, "slip_yoke.engagement": "50 mm", "driveshaft.cap_span": "70 mm"}, "slip_yoke.cap_span", {
        "70.25 mm": "pass", "70.26 mm": "fail", "69.74 mm": "fail"}),
    ("driveline.clutch_release", RELEASE, "clutch.release_travel_needed", {
        "20.01 mm": "fail", "20 mm": "caution", "18.2 mm": "caution", "18.18 mm": "pass", "13.34 mm": "pass", "13.33 mm": "caution"}),
    ("driveline.bellhousing_alignment", {}, "bellhousing.bore_runout", {
        "0.13 mm": "pass", "0.005 in": "pass", "0.131 mm": "caution", "0.25 mm": "caution", "0.010 in": "caution", "0.252 mm": "fail"}),
    ("driveline.bellhousing_alignment", CENTERED, "starter.root_clearance", {
        "0.19 mm": "fail", "0.2 mm": "caution", "0.49 mm": "caution", "0.5 mm": "pass", "0.9 mm": "pass", "0.91 mm": "caution"}),
    ("driveline.bellhousing_alignment", CENTERED, "starter.rest_gap", {"1.49 mm": "caution", "1.5 mm": "pass", "4.8 mm": "pass", "4.81 mm": "caution"}),
    ("driveline.speedometer", DIAL, "tire.revs_per_mile@rear", {
        "719.9": "fail", "720.1": "caution", "742.4": "caution", "742.6": "pass", "779.9": "pass", "780.1": "caution", "824.9": "caution", "825.1": "fail"}),
    ("driveline.speedometer", {**DIAL, "speedometer.rule": "unece_r39"}, "tire.revs_per_mile@rear", {
        "749.9": "fail", "750": "pass", "849.9": "pass", "850.1": "fail"}),
    ("engine.compression_ratio", HEAD, "engine.gasket_thickness", {
        "0.639 mm": "fail", "0.64 mm": "caution", "0.025 in": "caution", "0.0249 in": "fail", "0.8895 mm": "caution", "0.035 in": "pass", "0.89 mm": "pass"}),
    ("engine.compression_ratio", {**HEAD, "engine.rod_material": "aluminum"}, "engine.gasket_thickness", {
        "1.26 mm": "fail", "1.27 mm": "caution", "0.050 in": "caution", "1.51 mm": "caution", "1.52 mm": "pass", "0.060 in": "pass"}),
]


def verdict(check: str, facts: Mapping[str, Any], use: str = "street") -> str:
    found = results_for(check, Facts(document({"facts": facts, "use": use})), full=False)
    return str(found[None]["verdict"])


@pytest.mark.parametrize(("check", "facts", "address", "expected"), STREET)
def test_limits(check: str, facts: Mapping[str, Any], address: str, expected: Mapping[str, str]) -> None:
    assert {wire: verdict(check, {**facts, address: wire}) for wire in expected} == expected


@pytest.mark.parametrize(("use", "caution", "fail"), [
    ("street", 300, 400), ("touring", 300, 400), ("towing", 300, 400), ("autocross", 400, 600), ("track", 400, 600), ("drag", 400, 600)])
def test_shake_by_use(use: str, caution: float, fail: float) -> None:
    """One joint alone, 3000 rpm of the shaft: its angle squared times speed squared is the shake."""
    def shake(size: float) -> str:
        slope = degrees(sqrt(size) / (100 * pi))
        speed = f"{100 * pi * 0.33 / 3.5:.9f} m/s"
        return verdict("driveline.joint_vibration", {
            **ON_THE_ROAD, "driveline.cruise_speed": speed, "driveline.engine_slope": "0 deg", "driveline.shaft_slope": f"{slope:.9f} deg",
            "driveline.pinion_slope": f"{slope:.9f} deg"}, use)
    assert [shake(size) for size in (caution - 1, caution + 1, fail - 1, fail + 1)] == ["pass", "caution", "caution", "fail"]


@pytest.mark.parametrize(("joint", "angles"), [
    ("cardan", {0.49: "caution", 0.5: "pass", 3.0: "pass", 3.01: "caution", AT_3000 - 0.001: "caution", AT_3000 + 0.001: "fail"}),
    ("constant_velocity", {8.0: "pass", 8.01: "caution", 10.0: "caution", 10.01: "fail"}),
    ("double_cardan", {1.6 * AT_3000 - 0.01: "pass", 1.6 * AT_3000 + 0.01: "caution", 2 * AT_3000 - 0.01: "caution", 2 * AT_3000 + 0.01: "fail"}),
])
def test_angles_by_joint(joint: str, angles: Mapping[float, str]) -> None:
    """The front joint of this kind, at 3000 rpm of the shaft; the rear cardan joint at the same angle, or at 1 deg beside another kind."""
    def at(angle: float) -> str:
        rear = angle if joint == "cardan" else 1.0
        return verdict("driveline.joint_angles", {
            "driveline.engine_slope": "0 deg", "driveline.shaft_slope": f"{angle:.9f} deg", "driveline.pinion_slope": f"{angle - rear:.9f} deg",
            "driveline.joint_type@front": joint})
    assert {angle: at(angle) for angle in angles} == angles


@pytest.mark.parametrize(("use", "least"), [("street", 1.2), ("touring", 1.2), ("towing", 1.4), ("drag", 1.4), ("autocross", 1.3), ("track", 1.3)])
def test_clutch_reserve_by_use(use: str, least: float) -> None:
    found = [verdict("driveline.clutch_capacity", {"engine.peak_torque": "100 N*m", "clutch.torque_capacity": f"{100 * size:.6f} N*m"}, use)
             for size in (least - 0.001, least, least + 0.099, least + 0.1)]
    assert found == ["fail", "caution", "caution", "pass"]


@pytest.mark.parametrize(("use", "caution", "fail"), [("street", 20, 27), ("touring", 20, 27), ("towing", 20, 27), ("autocross", 24, 30), ("drag", 24, 30)])
def test_piston_speed_by_use(use: str, caution: float, fail: float) -> None:
    """u = s ω/π with a stroke of 100 mm."""
    found = [verdict("engine.piston_speed", {"engine.stroke": "100 mm", "engine.redline": f"{speed / 0.1 * 30:.6f} rpm"}, use)
             for speed in (caution, caution + 0.01, fail, fail + 0.01)]
    assert found == ["pass", "caution", "caution", "fail"]

"""What builders really try on a driveline: small documents, and what the findings that matter say of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from service.checks.answer import answer
from service.document import load

Expected = Mapping[str, tuple[str, str]]

BIG_ENGINE_LIGHT_TRANSMISSION = {
    "engine.peak_power": "680 hp", "engine.peak_power_speed": "6200 rpm", "engine.peak_torque": "620 lb-ft", "engine.peak_torque_speed": "4400 rpm",
    "engine.redline": "6500 rpm", "transmission.type": "automatic", "transmission.duty": "standard", "transmission.input_power_rating": "450 hp",
    "transmission.input_torque_rating": "450 lb-ft", "transmission.gearbox_torque_rating": "800 lb-ft",
    "transmission.forward_ratios": [2.75, 1.57, 1.0, 0.7], "torque_converter.stall_torque_ratio": 2.1, "axle.ratio": 3.55,
    "axle.torque_rating": "4500 lb-ft", "axle.shaft_torque_rating": "2800 lb-ft", "axle.differential": "limited_slip",
    "driveshaft.length": "54 in", "driveshaft.outer_diameter": "3 in", "driveshaft.wall": "0.083 in", "driveshaft.joint_torque_rating": "1100 lb-ft",
    "tire.rolling_radius@rear": "13.2 in", "weights.axle_mass@rear": "1750 lb", "car.mass": "3900 lb",
}
SPACER_OLD_BOLTS = {
    "engine.crank_flange_to_block_face": "0.2 in", "flexplate.thickness": "1/8 in", "flexplate_spacer.thickness": "1/2 in",
    "flexplate_spacer.location": "crank", "torque_converter.seated_depth": "31/32 in", "flexplate.crank_bolt_length": "3/4 in",
    "engine.crank_bolt_thread": "7/16-20", "engine.crank_thread_depth": "1 1/8 in", "torque_converter.bolt_thread": "3/8-24",
    "torque_converter.pad_thread_depth": "0.6 in", "torque_converter.bolt_length": "5/8 in", "torque_converter.pilot_length": "0.6 in",
    "torque_converter.pad_to_pilot_shoulder": "0.1 in", "engine.crank_register_depth": "0.9 in",
}
LOWERED_TRUCK = {
    "driveline.engine_slope": "4.5 deg", "driveline.shaft_slope": "-0.8 deg ± 0.2 deg", "driveline.pinion_slope": "1.5 deg",
    "driveline.pinion_rise": "1.5 deg", "axle.ratio": 3.73, "tire.rolling_radius@rear": "13.4 in", "driveline.flange_to_yoke_distance": "57.5 in",
    "driveshaft.length": "57 1/8 in", "driveshaft.slip_travel": "3 in",
}
OVERDRIVE_LONG_SHAFT = {
    "engine.redline": "6500 rpm", "engine.peak_torque_speed": "3600 rpm", "transmission.type": "manual",
    "transmission.forward_ratios": [2.97, 2.07, 1.43, 1.0, 0.62], "axle.ratio": 4.1, "tire.rolling_radius@rear": "335 mm",
    "driveshaft.length": "1480 mm", "driveshaft.outer_diameter": "76.2 mm", "driveshaft.wall": "2.1 mm", "car.top_speed": "230 km/h",
}
TALL_TIRE_SHORT_AXLE = {
    "engine.redline": "5000 rpm", "engine.peak_torque_speed": "2800 rpm", "engine.peak_torque": "300 lb-ft", "engine.stroke": "4 in",
    "transmission.type": "automatic", "torque_converter.stall_speed": "2000 rpm", "transmission.forward_ratios": [2.84, 1.55, 1.0], "axle.ratio": 4.88,
    "tire.revs_per_mile@rear": 612, "car.mass": "5600 lb", "driveline.trailer_mass": "7000 lb", "transmission.speedometer_drive_teeth": 7,
    "transmission.speedometer_driven_teeth": 18,
}


def findings(facts: Mapping[str, Any], use: str, units: str) -> dict[str, dict[str, Any]]:
    """Results of engine and driveline by check."""
    document = load({
        "format": "as-fitted/build/1", "car": {"make": "Example", "model": "One", "year": 1966}, "build": {"use": use, "units": units},
        "specs": [{"id": f"spec-{index}", "fact": fact, "value": value} for index, (fact, value) in enumerate(facts.items())],
    })
    return {item["check"]: item for item in answer(document)["results"] if item["system"] in ("engine", "driveline")}


@pytest.mark.parametrize(("facts", "use", "units", "expected"), [
    pytest.param(BIG_ENGINE_LIGHT_TRANSMISSION, "street", "us", {
        "driveline.transmission_power": ("fail", "too weak for this engine. Above about 600 hp fit a heavy-duty automatic"),
        "driveline.transmission_torque": ("fail", "163 % of the gearbox rating"),
        "driveline.companions": ("fail", "needs a heavy-duty transmission"),
        "driveline.shaft_torque": ("pass", "weakest rated link from engine to wheels is the gearbox behind the converter, 163 % used"),
        "driveline.critical_speed": ("fail", "138 % of that, and 75 % is the limit. At cruise it turns 3,164 rpm"),
        "driveline.launch": ("pass", "on any slope that its tires can grip"),
    }, id="a big engine on a light transmission"),
    pytest.param(SPACER_OLD_BOLTS, "street", "us", {
        "driveline.converter_fit": ("pass", "it should be 1/8 to 3/16 in"),
        "driveline.crank_bolts": ("fail", "use 1 1/8 in. These engage only 0.125 in, 0.3 of a diameter"),
        "driveline.converter_pilot": ("fail", "The spacer needs a register of its own"),
        "driveline.converter_bolts": ("pass", "Through 0.125 in of plate the converter bolts"),
        "driveline.companions": ("fail", "needs longer crank bolts"),
    }, id="a spacer with the old bolts"),
    pytest.param(LOWERED_TRUCK, "street", "us", {
        "driveline.joint_angles": ("fail", "The front joint is over 5.28° (what this shaft speed allows one joint)"),
        "driveline.joint_vibration": ("fail", "489 rad/s² of shake (300 rad/s² is comfortable)"),
        "driveline.shaft_length": ("fail", "the slip bottoms before the axle has risen 0.5 in. Order the shaft 56.6 in"),
    }, id="a lowered truck's shaft angles"),
    pytest.param(OVERDRIVE_LONG_SHAFT, "touring", "metric", {
        "driveline.critical_speed": ("fail", "whips at 5,763 rpm; it can be driven to 7,467 rpm"),
        "driveline.gearing": ("pass", "At 120.7 km/h in top the engine turns 2,429 rpm"),
    }, id="an overdrive that raises shaft speed"),
    pytest.param(TALL_TIRE_SHORT_AXLE, "towing", "us", {
        "driveline.speedometer": ("fail", "the dial shows 69.7 mph: fit a 21-tooth driven gear"),
        "driveline.gearing": ("caution", "That is busy: a taller axle or an overdrive calms it"),
        "driveline.launch": ("pass", "with its trailer on a slope of 28 %"),
    }, id="a tall tire with a short axle"),
])
def test_combination(facts: Mapping[str, Any], use: str, units: str, expected: Expected) -> None:
    found = findings(facts, use, units)
    assert {check: found[check]["verdict"] for check in expected} == {check: verdict for check, (verdict, _) in expected.items()}
    for check, (_, words) in expected.items():
        assert words in found[check]["summary"]


@pytest.mark.parametrize("facts", [BIG_ENGINE_LIGHT_TRANSMISSION, SPACER_OLD_BOLTS, LOWERED_TRUCK, OVERDRIVE_LONG_SHAFT, TALL_TIRE_SHORT_AXLE])
@pytest.mark.parametrize("units", ["us", "metric"])
def test_sentences_have_no_empty_or_raw_words(facts: Mapping[str, Any], units: str) -> None:
    for item in findings(facts, "street", units).values():
        assert not [raw for raw in ("None", "_", "  ", " .", " ,", " in in ", "()", "nan") if raw in item["summary"]], item["summary"]

"""What builders really try on a chassis: small documents, and what the findings that matter say of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from service.checks.answer import answer
from service.document import load

Expected = Mapping[str, tuple[str, str]]

CAR = {
    "car.mass": "3400 lb", "car.wheelbase": "108 in", "car.cg_height": "21 in", "weights.axle_mass@front": "1870 lb",
    "weights.axle_mass@rear": "1530 lb",
}
SPRINGS = {
    "suspension.type@front": "independent", "suspension.type@rear": "live_axle", "suspension.track@front": "58 in",
    "suspension.track@rear": "57 in", "spring.rate@front": "320 lb/in", "spring.motion_ratio@front": 0.6, "spring.rate@rear": "125 lb/in",
    "spring.motion_ratio@rear": 1, "spring.spacing@rear": "42 in", "suspension.roll_center_height@front": "2 in",
    "suspension.roll_center_height@rear": "11 in", "suspension.bump_travel@front": "2.2 in",
}
BAR = {
    "diameter": "1 3/8 in", "original_diameter": "3/4 in", "center_length": "38 in", "arm_length": "9 in", "motion_ratio": 0.55,
    "bushing_material": "polyurethane", "clearance_at_ride": "2.5 in",
}
GAPS = {
    "reference_offset": "6 mm", "reference_section_width": "8.3 in", "reference_diameter": "26 in", "inner_clearance": "1.1 in",
    "outer_clearance": "1.4 in", "radial_clearance": "1.8 in",
}
WHEEL = {
    "rim_diameter": "15 in", "rim_width": "8 in", "bolt_count": 5, "bolt_circle": "4 3/4 in", "center_bore": "78.1 mm",
}
HUB = {"bolt_count": 5, "bolt_circle": "4 3/4 in", "pilot_diameter": "70.4 mm"}
POINTS = {
    "upper_front_pivot": (6, 15.6, 17.5), "upper_rear_pivot": (-6, 15.2, 17.2), "lower_front_pivot": (6, 10, 8.6),
    "lower_rear_pivot": (-7, 9.6, 8.8), "upper_ball_joint": (-0.5, 25, 18.2), "lower_ball_joint": (0.3, 26.4, 8.1),
    "wheel_center": (0, 29.4, 12.9),
}
BRAKES = {
    "brake.type@front": "disc", "brake.piston_count@front": 4, "brake.piston_diameter@front": "44 mm", "brake.caliper_type@front": "fixed",
    "brake.pad_friction@front": 0.42, "brake.effective_radius@front": "140 mm", "brake.type@rear": "drum",
    "brake.brake_factor@rear": 2.1, "brake.wheel_cylinder_diameter@rear": "7/8 in", "brake.drum_radius@rear": "4.75 in",
    "brake_pedal.ratio": 6, "master_cylinder.bore": "1 1/8 in", "master_cylinder.stroke": "1.4 in", "brake.caliper_radius@front": "6.7 in",
    "brake.caliper_projection@front": "2.1 in", "wheel.barrel_inner_radius@front": "6.95 in", "wheel.spoke_depth@front": "2 in",
    "tire.rolling_radius@front": "12.7 in", "tire.rolling_radius@rear": "12.7 in",
}


def findings(facts: Mapping[str, Any], units: str = "us", use: str = "street", body: str = "coupe", **lists: Any) -> dict[str, dict[str, Any]]:
    """Results by `check` or `check@position`."""
    document = load({
        "format": "as-fitted/build/1", "car": {"make": "Example", "model": "One", "year": 1966, "body": body},
        "build": {"use": use, "units": units, "opened_on": "2026-03-02"},
        "specs": [{"id": f"spec-{index}", "fact": fact, "value": value} for index, (fact, value) in enumerate(facts.items())], **lists,
    })
    return {f"{item['check']}@{item['position']}" if item["position"] else item["check"]: item for item in answer(document)["results"]}


def agree(found: Mapping[str, dict[str, Any]], expected: Expected) -> None:
    """Verdict of each finding that matters, and a piece of what it says."""
    for name, (verdict, text) in expected.items():
        assert name in found, sorted(found)
        assert found[name]["verdict"] == verdict, found[name]["summary"]
        assert text in found[name]["summary"]


def read_aloud(found: Mapping[str, dict[str, Any]]) -> None:
    """Nothing that nobody would say: raw names, doubled or empty words, sentences said twice."""
    for name, item in found.items():
        summary = item["summary"]
        assert not any(bad in summary for bad in ("None", "  ", "..", "_", " ,", " .", "nan", "inf ")), f"{name}: {summary}"
        sentences = summary.split(". ")
        assert len(sentences) == len(set(sentences)), f"{name}: {summary}"


def thick_bar(units: str, **bar: Any) -> dict[str, dict[str, Any]]:
    part = {"id": "bar", "kind": "anti_roll_bar", "position": "front", "specs": {**BAR, **bar}}
    return findings({**CAR, **SPRINGS}, units, parts=[part], absent=["anti_roll_bar@rear"])


@pytest.mark.parametrize("units", ["us", "metric"])
def test_a_thick_bar_in_front_alone(units: str) -> None:
    found = thick_bar(units)
    agree(found, {
        "suspension.bar_rate@front": ("caution", "11.3 times as stiff as the bar it replaces. That is hard to believe"),
        "suspension.bar_against_use": ("caution", "a softer bar suits the use better. Take the bushings apart and grease them"),
        "suspension.load_transfer_balance": ("caution", "the front will push. Less bar or spring at the front"),
        "suspension.axle_bar_clearance@front": ("caution", "is wanted, because bushings and links give"),
    })
    bar = next(item for item in found["suspension.bar_against_use"]["remedies"] if item["fact"] == "anti_roll_bar.diameter@front")
    assert bar["stock"] == "31/32 in"
    read_aloud(found)


def test_a_moderate_bar_steadies_the_car() -> None:
    found = thick_bar("us", diameter="15/16 in")
    agree(found, {
        "suspension.bar_against_use": ("pass", "clearly firmer than the original"),
        "suspension.load_transfer_balance": ("pass", "of the weight: steady"),
    })


def wrong_offset(units: str, **wheel: Any) -> dict[str, dict[str, Any]]:
    parts = [
        {"id": "wheel", "kind": "wheel", "specs": {**WHEEL, **wheel}},
        {"id": "tire", "kind": "tire", "specs": {"size": "P245/60R15"}},
        {"id": "hub", "kind": "hub", "specs": HUB},
    ]
    return findings({f"wheel_fit.{name}@{axle}": value for axle in ("front", "rear") for name, value in GAPS.items()}, units, parts=parts)


def test_a_wheel_with_the_wrong_offset() -> None:
    out, into = wrong_offset("us", offset="-22 mm"), wrong_offset("metric", offset="30 mm")
    agree(out, {
        "wheels.clearance@front_left": ("fail", "touching outside by 0.58 in, 1.51 in over the tread. 0.39 in is wanted outside; 0.95 in more offset"),
        "wheels.clearance@rear_right": ("fail", "more offset would even them."),
        "wheels.bolt_pattern_and_bore@front_left": ("caution", "Hub- or lug-centric? Ask, since the bore has play on the pilot: 0.303 in"),
        "wheels.rim_width_for_tire@front_left": ("pass", "belongs on rims of 6.5 in to 8.5 in"),
    })
    assert "scrub radius" in out["wheels.clearance@front_left"]["summary"]
    assert "scrub radius" not in out["wheels.clearance@rear_right"]["summary"]
    agree(into, {"wheels.clearance@front_left": ("fail", "touching inside by 18.2 mm")})
    read_aloud(out)
    read_aloud(into)


def test_a_spacer_mends_a_wheel_that_sits_too_far_in() -> None:
    found = wrong_offset("metric", offset="20 mm", spacer_thickness="17 mm", centering="studs")
    agree(found, {
        "wheels.clearance@front_left": ("pass", "inside"),
        "wheels.bolt_pattern_and_bore@front_left": ("pass", "5 x 4 3/4 in: fits the hub"),
    })


def moved_joint(units: str, arm: str, suits: bool | None = None) -> dict[str, dict[str, Any]]:
    points = {f"suspension.{name}_{axis}@front": f"{value} in" for name, place in POINTS.items() for axis, value in zip("xyz", place, strict=True)}
    move = {"suspension.ball_joint_moved@front": arm, "suspension.ball_joint_shift@front": "3/4 in", "wheel_fit.radial_clearance@front": "1.4 in"}
    said = {} if suits is None else {"suspension.ball_joint_suits_load_direction@front": suits}
    return findings({**points, "suspension.track@front": "58.8 in", **move, **said}, units)


def test_a_ball_joint_moved_to_the_other_side_of_its_arm() -> None:
    check = "suspension.ball_joint_relocation@front"
    asked, wrong, other = moved_joint("us", "lower"), moved_joint("metric", "lower", suits=False), moved_joint("us", "upper")
    agree(asked, {check: ("caution", "drops the car by 0.784 in"), "suspension.camber_curve@front": ("pass", "of negative camber; the roll center sits")})
    agree(asked, {check: ("caution", "Measure ground clearance again too. Ask the joint's maker whether it may be loaded the new way.")})
    agree(wrong, {check: ("fail", "may pull out: fit one that is"), "suspension.companions": ("caution", "a joint made to be pushed may be pulled out")})
    agree(other, {check: ("pass", "leaves the ride height nearly as it was")})
    for found in (asked, wrong, other):
        read_aloud(found)


@pytest.mark.parametrize("units", ["us", "metric"])
def test_big_front_brakes_with_the_old_rear_ones(units: str) -> None:
    found = findings({**CAR, **BRAKES}, units, absent=["brake_booster", "proportioning_valve"])
    agree(found, {
        "brakes.balance": ("pass", "The front axle locks first, at 0.70 g on a dry road, as it should"),
        "brakes.stop": ("fail", "is the most that may be needed on one circuit: larger pistons in the weaker one"),
        "brakes.pedal_travel": ("pass", "A full application uses 32 % of the stroke"),
        "brakes.pedal_to_torque": ("pass", "of torque there"),
        "brakes.companions": ("caution", "the rear may lock first without it"),
        "wheels.brake_inside_wheel@front_left": ("fail", "the spokes meet the caliper by"),
    })
    read_aloud(found)


def test_wider_rear_cylinders_turn_the_balance() -> None:
    found = findings({**CAR, **BRAKES, "brake.wheel_cylinder_diameter@rear": "1 3/8 in"}, absent=["brake_booster", "proportioning_valve"])
    agree(found, {"brakes.balance": ("fail", "A rear-first car spins: hold the rear back.")})
    assert {"fact": None, "note": "fit a proportioning valve in the rear circuit"} in found["brakes.balance"]["remedies"]


def old_tires(units: str, code: str) -> dict[str, dict[str, Any]]:
    masses = {"front_left": 1010, "front_right": 985, "rear_left": 930, "rear_right": 925}
    tire = {"id": "tire", "kind": "tire", "specs": {"size": "P225/70R15 100S", "date_code": code, "pressure": "28 psi"}}
    facts = {"car.top_speed": "110 mph", **{f"weights.corner_mass@{corner}": f"{mass} lb" for corner, mass in masses.items()}}
    return findings(facts, units, "touring", "wagon", parts=[tire])


def test_tires_from_eight_years_ago() -> None:
    found, older, oldest = old_tires("metric", "0918"), old_tires("us", "0312"), old_tires("us", "237")
    agree(found, {
        "wheels.tire_age@front_left": ("caution", "Made in week 9 of 2018, 8.0 years old. From six years on"),
        "wheels.load_and_speed@front_left": ("pass", "good for 180 km/h, and the car does 177 km/h"),
        "wheels.diameter_front_rear": ("pass", "as tall as the front"),
    })
    agree(older, {"wheels.tire_age@rear_right": ("fail", "14.1 years old. Ten years is the end, whatever its tread")})
    agree(oldest, {"wheels.tire_age@rear_right": ("fail", "at least 26 years old")})
    for each in (found, older, oldest):
        read_aloud(each)

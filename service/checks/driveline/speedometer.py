"""Speedometer after a tire or ratio change.

Judged by whatever is recorded of it: the tire and axle it was calibrated with, the mechanical gears of its cable, or the
pulses it is set for. It is the driver's only figure for speed. Local rules for its accuracy differ.
"""

from __future__ import annotations

from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, any_of, any_recorded, common_practice, derived, from_memory, need, on_car, option, published
from service.checks.driveline.shared import broken, wanted

#: Error of an ordinary instrument, good and allowed; positive reads high. Common practice.
GOOD, ALLOWED = (-0.01, 0.04), (-0.04, 0.10)
#: UN Regulation No. 39, 5.3: 0 <= V1 - V2 <= 0.1 V2 + 4 km/h, tightest at the 120 km/h test.
REGULATION = (0.0, 0.1 + 4 / 120)
#: Cable turns a mile when not printed on the dial. The trade's figure; SAE J678 gives 1001 (from memory).
CABLE_TURNS = 1000.0
#: The true speed for which the reading is told: 60 mph, or 100 km/h in a metric shop, m/s.
TOLD_AT = {"us": 60 * 1609.344 / 3600, "metric": 100 / 3.6}


def judge(x: Any, out: Outcome) -> None:
    """Error by the first way that is recorded."""
    error = out.value("error", _error(x, out))
    if x.rule == "unece_r39":
        out.within("error", REGULATION, why="UN Regulation No. 39: never low, high by a tenth and 4 km/h at most")
    else:
        out.within("error", GOOD, ALLOWED, why="1 % low to 4 % high; 4 % low to 10 % high at most", value=error)


def _error(x: Any, out: Outcome) -> float:
    turns = _tire_turns(x) * x.axle_ratio
    if x.has("calibrated_revs_per_mile", "calibrated_axle_ratio"):
        return calc.reading_error(turns, x.calibrated_revs_per_mile * x.calibrated_axle_ratio)
    by_pulses = x.has("sensor_teeth", "pulses_per_mile")
    if x.has("drive_teeth") and (x.has("driven_teeth") or not by_pulses):
        out.value("driven_teeth_needed", calc.driven_teeth_needed(turns, x.drive_teeth, x.cable_turns))
        if x.has("driven_teeth"):
            return calc.reading_error(out.value("cable_revs_per_mile", turns * x.drive_teeth / x.driven_teeth), x.cable_turns)
    if x.has("sensor_teeth"):
        out.value("pulses_per_mile", turns * x.sensor_teeth)
    if not by_pulses:
        wanted(x, "calibrated_revs_per_mile", "calibrated_axle_ratio")
    return calc.reading_error(out.values["pulses_per_mile"], x.pulses_per_mile)


def _tire_turns(x: Any) -> float:
    if x.has("revs_per_mile"):
        return float(x.revs_per_mile)
    wanted(x, "rolling_radius")
    return calc.revs_per_mile(x.rolling_radius)


def say(s: Any) -> str:
    """The finding in words."""
    true = TOLD_AT[s.system]
    text = f"At a true {s.show(true, 'speed', 'mph')} the dial shows {s.show(true * (1 + s.v['error']), 'speed', 'mph')}"
    if not broken(s):
        return text + "."
    if "driven_teeth_needed" in s.v:
        return f"{text}: fit a {s.driven_teeth_needed}-tooth driven gear." if s.v["driven_teeth_needed"] != s.x.driven_teeth else (
            f"{text}: no other driven gear is nearer, so change the drive gear or fit a ratio box.")
    if "pulses_per_mile" in s.v:
        return f"{text}: set it to {s.show(s.v['pulses_per_mile'], 'dimensionless')} pulses a mile."
    return f"{text}: have it calibrated for this tire and axle."


CHECK = Check(
    title="Speedometer after a tire or ratio change",
    system="driveline",
    safety=True,
    applies=any_of(on_car("speedometer"), any_recorded("transmission.speed_sensor_teeth", "transmission.speedometer_drive_teeth")),
    inputs=[
        need("axle.ratio", "axle_ratio"),
        option("tire.rolling_radius@driven"),
        option("tire.revs_per_mile@driven"),
        option("speedometer.calibrated_revs_per_mile"),
        option("speedometer.calibrated_axle_ratio"),
        option("transmission.speedometer_drive_teeth", "drive_teeth"),
        option("transmission.speedometer_driven_teeth", "driven_teeth"),
        option("transmission.speed_sensor_teeth", "sensor_teeth"),
        option("speedometer.pulses_per_mile"),
        option("speedometer.cable_revs_per_mile", "cable_turns", default=lambda x: CABLE_TURNS if x.has("drive_teeth") else None, why="usual cable"),
        option("speedometer.rule", default="common", why="common unless recorded"),
    ],
    either=[
        (("rolling_radius",), ("revs_per_mile",)),
        (("calibrated_revs_per_mile", "calibrated_axle_ratio"), ("drive_teeth", "driven_teeth"), ("sensor_teeth", "pulses_per_mile")),
    ],
    values={
        "error": Shown("error, positive reads high", "dimensionless", "%"),
        "cable_revs_per_mile": Shown("cable turns a mile", "dimensionless"),
        "driven_teeth_needed": Shown("driven gear for a true reading", "dimensionless"),
        "pulses_per_mile": Shown("pulses a mile", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("speedometer.pulses_per_mile", "its setting"),
        Fix("transmission.speedometer_driven_teeth", "another driven gear"),
        Fix("speedometer.calibrated_revs_per_mile", "calibrate again"),
        Fix("speedometer.calibrated_axle_ratio", "calibrate again"),
    ],
    formula="e = n A/(n₀ A₀) − 1, or n A z₁/(z₂ c) − 1, or n A z/p − 1; driven gear = round(n A z₁/c)",
    basis=[
        derived("turns of the tire times ratios"),
        published("UN Regulation No. 39, 5.3 (wording compared with public quotations)"),
        common_practice("1000 cable turns a mile"),
        from_memory("SAE J678 gives 1001"),
        common_practice("1 % low to 4 % high; 4 % low to 10 % high at most"),
    ],
)

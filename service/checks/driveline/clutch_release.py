"""Does the clutch release, and not more than it may?

Pedal, hydraulics and fork together have to move the bearing as far as the clutch needs. Too little and it drags; too much
takes the diaphragm over its center. A long pedal with small travel is light, a short one heavy.
"""

from __future__ import annotations

from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, on_car, option

#: Bearing travel over what is needed: fails below 1; caution outside. Common practice.
DRAGS, LITTLE, MUCH = 1.0, 1.1, 1.5
#: Pedal force, N. Common practice.
HEAVY = 180.0
#: Free play at the pedal pad when not recorded, m. Common practice.
FREE_PLAY = 0.012


def judge(x: Any, out: Outcome) -> None:
    """Bearing travel against the clutch's figures, then the pedal's weight."""
    if x.has("release_force"):
        with out.part():
            out.value("pedal_force", calc.pedal_force(x.release_force, x.pedal_ratio, x.fork_ratio, x.master_bore, x.slave_bore))
            out.at_most("pedal_force", caution=HEAVY, why="a heavy pedal in traffic")
    travel = out.value("bearing_travel", calc.bearing_travel(
        x.pedal_travel, x.free_play, x.pedal_ratio, x.master_bore, x.slave_bore, x.fork_ratio, x.bearing_gap))
    if x.has("release_travel_most"):
        out.at_most("bearing_travel", x.release_travel_most, why="more takes the diaphragm over its center")
    ratio = out.value("travel_ratio", travel / x.release_travel_needed)
    out.at_least("travel_ratio", DRAGS, LITTLE, why="the bearing has to move as far as the clutch needs, with a tenth in hand")
    out.at_most("travel_ratio", caution=MUCH, why="more travel than any wear needs", value=ratio)


def say(s: Any) -> str:
    """The finding in words."""
    text = f"The bearing moves {s.bearing_travel}"
    text += f"; this clutch needs {s.release_travel_needed}." if s.release_travel_needed else "."
    for limit in s.limits:
        if limit.violated and limit.of == "bearing_travel":
            text += f" The most it allows is {s.release_travel_most}: fit a pedal stop or a smaller master cylinder."
    ratio = s.v.get("travel_ratio", LITTLE)
    if ratio < DRAGS:
        text += " It drags: a larger master or smaller slave cylinder, or more pedal travel."
    elif ratio < LITTLE:
        text += " Wear and flexing hoses take that much: give it a tenth more."
    elif ratio > MUCH:
        text += " That is far more than it needs: a pedal stop keeps it from being overtravelled."
    if s.v.get("pedal_force", 0) > HEAVY:
        text += f" The pedal takes {s.pedal_force}, which is heavy in traffic."
    return text


CHECK = Check(
    title="Does the clutch release?",
    system="driveline",
    safety=False,
    applies=on_car("clutch", "clutch_release"),
    inputs=[
        need("clutch_release.pedal_ratio"),
        need("clutch_release.master_bore"),
        need("clutch_release.slave_bore"),
        need("clutch_release.pedal_travel"),
        need("clutch.release_travel_needed"),
        option("clutch_release.fork_ratio", default=1.0, why="concentric slave unless recorded"),
        option("clutch_release.free_play", default=FREE_PLAY, why="12 mm unless recorded"),
        option("clutch_release.bearing_gap", default=0.0, why="bearing touches unless recorded"),
        option("clutch.release_travel_most"),
        option("clutch.release_force"),
    ],
    values={
        "bearing_travel": Shown("travel of the release bearing", "length", "mm"),
        "travel_ratio": Shown("travel over what is needed", "dimensionless"),
        "pedal_force": Shown("force at the pedal", "force", "N"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("clutch_release.master_bore"),
        Fix("clutch_release.slave_bore"),
        Fix("clutch_release.pedal_ratio"),
        Fix("clutch_release.pedal_travel"),
    ],
    formula="travel = (pedal travel − free play)/i_p (d_m/d_s)²/i_f − gap; pedal force = F/(i_p i_f (d_s/d_m)²)",
    basis=[derived("hydraulics and levers"), common_practice("1.1 to 1.5 times the travel needed; 180 N at the pedal; 12 mm of free play")],
)

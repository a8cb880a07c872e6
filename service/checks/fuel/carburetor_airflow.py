"""Whether the carburetor is the right size.

Too small strangles the top end; too large, the air is slow and fuel is metered badly. Vacuum and air-valve secondaries
open only as the engine asks, so they forgive size. Ratings differ: four barrels at 1.5 inHg, one and two barrels at
3.0 inHg. Taken for a four-stroke engine that draws for itself.
"""

from __future__ import annotations

from typing import Any

from service.calc import fuel as calc
from service.checks.core import Check, Fix, Outcome, Shown, Unknown, common_practice, derived, need, option
from service.checks.fuel.shared import breathing, displacement

#: Volumetric efficiency and its spread. Common practice.
EFFICIENCY, EFFICIENCY_SPREAD = 0.85, 0.05
#: Airflow over the engine's demand: fails below and above (mechanical secondaries); cautions below and above. Common practice.
LEAST, MOST_MECHANICAL, WISE_LEAST, WISE_ROAD, WISE_OTHER, WISE_FORGIVING = 0.55, 2.0, 0.90, 1.40, 1.70, 2.2
ROAD_USES = ("street", "touring", "towing")
FORGIVING = ("vacuum", "air_valve")


def _wise_most(x: Any) -> float:
    if x.secondaries in FORGIVING:
        return WISE_FORGIVING
    return WISE_ROAD if x.use in ROAD_USES else WISE_OTHER


def judge(x: Any, out: Outcome) -> None:
    """The carburetor's airflow at 1.5 inHg against the engine's at redline."""
    if x.cycle == "two_stroke":
        raise Unknown("this is for four-stroke piston engines")
    if x.aspiration in ("supercharged", "turbocharged"):
        raise Unknown("a blower that draws through the carburetor asks for more than displacement tells: follow its maker")
    demand = out.value("air_demand", calc.air_demand(displacement(x), x.redline, x.volumetric_efficiency))
    capacity = out.value("capacity", calc.airflow_at_drop(x.airflow, x.rated_drop))
    out.value("ratio", capacity / demand)
    most = MOST_MECHANICAL if x.secondaries == "mechanical" else None
    out.within("ratio", (WISE_LEAST, _wise_most(x)), (LEAST, most), why="carburetor over engine, by use and secondaries")


def say(s: Any) -> str:
    """The finding in words."""
    text = f"The engine breathes {s.air_demand} at {s.redline}; the carburetor passes {s.capacity}, {s.v['ratio']:.2f} times that."
    if s.v["ratio"] < WISE_LEAST:
        text += " It strangles the top end."
    elif s.v["ratio"] > _wise_most(s.x):
        text += " It is large: air moves slowly through it and fuel is metered badly at low speed."
    return text


CHECK = Check(
    title="Is the carburetor the right size?",
    system="fuel",
    safety=False,
    applies=lambda car, position: car.value("fuel_system.kind") == "carburetor",
    inputs=[
        *breathing(),
        need("engine.redline"),
        need("carburetor.airflow"),
        need("build.use"),
        option("engine.volumetric_efficiency", default=EFFICIENCY, tolerance=EFFICIENCY_SPREAD),
        option("carburetor.rated_drop", default=calc.FOUR_BARREL_DROP, why="the rating of four barrels"),
        option("carburetor.secondaries", default="mechanical"),
        option("engine.cycle"),
        option("engine.aspiration"),
    ],
    values={
        "air_demand": Shown("air the engine breathes at redline", "volume_flow", "cfm"),
        "capacity": Shown("airflow of the carburetor at 1.5 inHg", "volume_flow", "cfm"),
        "ratio": Shown("carburetor over engine", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("carburetor.airflow")],
    formula="V̇ = V_d/2·N·η_v; V̇_c = airflow·√(1.5 inHg/Δp_r); ratio = V̇_c/V̇",
    basis=[
        derived("a four-stroke engine fills once in two turns; airflow grows with the root of the pressure drop"),
        common_practice("bands by use and secondaries; rating drops of 1.5 and 3.0 inHg; volumetric efficiency 0.85"),
    ],
)

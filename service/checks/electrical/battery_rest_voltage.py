"""Is the battery charged?

A lead battery's voltage at rest tells its charge, roughly and only after hours of rest between 10 and 40 °C: fresh from
the charger it reads too high. A lithium battery's voltage hardly changes with its charge and tells nothing.
"""

from __future__ import annotations

from typing import Any

from service.calc import electrical as calc
from service.checks.core import Check, Outcome, Shown, Unknown, any_recorded, common_practice, need, option, published
from service.checks.electrical.shared import found

#: Charge below which it fails, and is a caution. Common practice.
LOW, PARTLY = 0.50, 0.75
#: Above this there is surface charge, below this a cell is dead (12 V battery), V. Common practice.
SURFACE, DEAD = 13.0, 9.0


def judge(x: Any, out: Outcome) -> None:
    """Charge by the table."""
    if x.kind == "lithium_iron_phosphate":
        raise Unknown("the voltage of a lithium battery hardly changes with its charge; read its own monitor")
    volts = twelve(x)
    if volts > SURFACE:
        raise Unknown("that is surface charge: lights on two minutes, rest, measure again")
    out.must(volts >= DEAD, "a dead cell or a flat battery", of="state_of_charge")
    out.value("state_of_charge", calc.state_of_charge(volts, x.kind))
    out.at_least("state_of_charge", LOW, PARTLY, why="share of full charge")


def twelve(x: Any) -> float:
    """The reading as of a 12 V battery, V."""
    return float(x.rest_voltage * 12.0 / x.system_voltage)


def say(s: Any) -> str:
    """The finding in words."""
    if twelve(s.x) < DEAD:
        return f"{s.rest_voltage} at rest is a dead cell or a flat battery: charge it, let it rest, and have it tested."
    if s.v["state_of_charge"] == 0:
        return f"{s.rest_voltage} at rest is an empty battery: charge it now, let it rest, and have it tested."
    text = f"{s.rest_voltage} at rest is about {s.percent(s.v['state_of_charge'])} charged"
    return text + {"pass": ".", "caution": ": charge it before it stands.", "fail": ": charge it now; a battery left like this is soon spoiled."}[found(s)]


CHECK = Check(
    title="Is the battery charged?",
    system="electrical",
    safety=False,
    applies=any_recorded("electrical.rest_voltage"),
    inputs=[need("electrical.rest_voltage"), option("battery.kind", default="flooded"), option("electrical.system_voltage", default=12.0)],
    values={"state_of_charge": Shown("charge", "dimensionless", "%")},
    judge=judge,
    say=say,
    formula="interpolated in the table of rest voltages (6 V: voltage × 2; 24 V: ÷ 2)",
    basis=[
        published("rest voltages of lead batteries near 25 °C, ±5 % of charge: a battery maker's table (flooded) and a vehicle maker's (absorbed glass mat)"),
        common_practice("50 % and 75 %; 10 to 40 °C, 4 h at rest"),
    ],
)

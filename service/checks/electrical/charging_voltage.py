"""Does the alternator charge rightly?

Measured on the battery's posts at about 1500 rpm with lights and fan on. Too low and the battery never fills; too high
and it gives off gas, dries out and boils. Gel batteries are the first to be spoiled.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Outcome, Shown, any_recorded, common_practice, need, option
from service.checks.electrical.shared import found

#: Allowed and good voltages of a 12 V system, V. Common practice.
ALLOWED, GOOD_FROM, GOOD_TO = (13.2, 15.0), 13.7, 14.7
#: Highest good voltage where the battery's kind has its own, V. Common practice.
GOOD_TO_OF = {"gel": 14.5, "absorbed_glass_mat": 14.8}
#: Below this nothing charges, V. Common practice.
NOT_CHARGING = 12.9


def judge(x: Any, out: Outcome) -> None:
    """Voltage as of a 12 V system against its bands."""
    volts = out.value("charging_voltage_12", twelve(x))
    out.within("charging_voltage_12", (GOOD_FROM, GOOD_TO_OF.get(x.kind, GOOD_TO)), ALLOWED, why="12 V system")
    if volts < NOT_CHARGING:
        out.remark("It is not charging at all.")


def twelve(x: Any) -> float:
    """The reading as of a 12 V system, V."""
    return float(x.charging_voltage * 12.0 / x.system_voltage)


def say(s: Any) -> str:
    """The finding in words."""
    volts = s.v["charging_voltage_12"]
    text = f"{s.charging_voltage} with the engine at about 1500 rpm"
    if found(s) == "pass":
        return text + "."
    good = (GOOD_FROM, GOOD_TO_OF.get(s.x.kind, GOOD_TO))
    low, high = (s.show(edge * s.x.system_voltage / 12.0, "voltage", "V") for edge in good)
    if volts < GOOD_FROM:
        return f"{text} is too low; {low} to {high} is wanted. Look at belt, connections, grounds, then regulator and alternator."
    gas = " The battery gives off gas: stop until it is mended." if volts > ALLOWED[1] else ""
    return f"{text} is too high; {low} to {high} is wanted. Look at the regulator and at its ground and sensing wire.{gas}"


CHECK = Check(
    title="Does the alternator charge rightly?",
    system="electrical",
    safety=lambda x: twelve(x) > ALLOWED[1],
    applies=any_recorded("electrical.charging_voltage"),
    inputs=[need("electrical.charging_voltage"), option("electrical.system_voltage", default=12.0), option("battery.kind", default="flooded")],
    values={"charging_voltage_12": Shown("charging voltage of a 12 V system", "voltage", "V")},
    judge=judge,
    say=say,
    formula="V·12/V_system",
    basis=[common_practice("13.2 to 15.0 V allowed, 13.7 to 14.7 V good (gel to 14.5 V, absorbed glass mat to 14.8 V)")],
)

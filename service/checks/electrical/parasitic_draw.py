"""How long may the car stand?

Clocks, radios and control units draw a little all the time. Measured with everything asleep, which takes up to forty
minutes after the doors are shut. Counted is the charge from 90 % down to 50 %, from where a starter still turns.
"""

from __future__ import annotations

from typing import Any

from service.calc import electrical as calc
from service.checks.core import Check, Outcome, Shown, any_recorded, common_practice, derived, need, option
from service.checks.electrical.shared import found

#: Draw, A, and standing time, s: fail, caution. Common practice.
MOST, MUCH = 0.100, 0.050
_DAY = 86400.0
LEAST, SHORT = 7 * _DAY, 14 * _DAY
#: Standing times shorter than so many days are said in hours.
IN_DAYS_FROM = 3.0
#: Usual battery, A·s (50 Ah). Common practice.
USUAL_CAPACITY = 180000.0


def judge(x: Any, out: Outcome) -> None:
    """Standing time and draw against their limits."""
    out.value("time_to_flat", calc.time_to_flat(x.capacity, x.parasitic_draw))
    out.at_most("parasitic_draw", MOST, MUCH, why="draw asleep", value=x.parasitic_draw)
    out.at_least("time_to_flat", LEAST, SHORT, why="a week, caution below two")


def say(s: Any) -> str:
    """The finding in words."""
    days = s.v["time_to_flat"] / _DAY
    stands = f"{days:.0f} days" if days >= IN_DAYS_FROM else f"{days * 24:.0f} hours"
    text = f"{s.parasitic_draw} asleep: the car still starts after about {stands}"
    return text + ("." if found(s) == "pass" else ". Pull fuses one by one to find what stays awake, or fit a master switch.")


CHECK = Check(
    title="How long may the car stand?",
    system="electrical",
    safety=False,
    applies=any_recorded("electrical.parasitic_draw"),
    inputs=[need("electrical.parasitic_draw"), option("battery.capacity", default=USUAL_CAPACITY, why="usual battery")],
    values={"time_to_flat": Shown("time until it no longer starts", "time", "day")},
    judge=judge,
    say=say,
    remedies=["a master switch for the time it stands"],
    formula="time = 0.40·C/(I + 0.001·C/day)",
    basis=[derived("charge balance"), common_practice("from 90 % to 50 % charge; self-discharge 0.1 % a day; 50 and 100 mA; 7 and 14 days")],
)

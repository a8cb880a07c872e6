"""Do the claimed power and torque agree?

Power is torque times speed at every speed. A torque peak cannot lie below the torque that the power peak needs, nor the
other way round. Watch for wheel power beside crank torque, metric horsepower typed as hp (1.4 %), speeds swapped, and
gross and net figures mixed.
"""

from __future__ import annotations

from typing import Any

from service.calc import engine as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, need, on_car, option, published

#: Rounding of claims, and torque at the power peak below which one figure is doubtful. Common practice.
ROUNDING, LOW_RATIO = 1.02, 0.65


def judge(x: Any, out: Outcome) -> None:
    """Each peak against the other figure."""
    with out.part():
        torque = out.value("torque_at_peak_power", calc.torque_from_power(x.peak_power, x.peak_power_speed))
        out.value("torque_ratio", torque / x.peak_torque)
        out.at_most("torque_at_peak_power", ROUNDING * x.peak_torque, why="no more than the peak torque, 2 % for rounding")
        out.at_least("torque_ratio", caution=LOW_RATIO, why="torque seldom falls this far by the power peak")
    with out.part():
        out.value("power_at_peak_torque", calc.power_from_torque(x.peak_torque, x.peak_torque_speed))
        out.at_most("power_at_peak_torque", ROUNDING * x.peak_power, why="no more than the peak power, 2 % for rounding")
    if x.has("redline"):
        out.must(x.redline >= x.peak_power_speed, "the redline lies below the power peak", "caution")


def say(s: Any) -> str:
    """The finding in words."""
    over = {limit.of for limit in s.limits if limit.violated and limit.verdict == "fail"}
    end = "cannot be from the same run; check the units, the speeds and whether one is measured at the wheels." if over else "agrees."
    needs = f" needs {s.torque_at_peak_power}" if s.torque_at_peak_power else ""
    text = f"{_at(s.peak_power, s.peak_power_speed)}{needs}; the claim of {_at(s.peak_torque, s.peak_torque_speed)} {end}"
    if "power_at_peak_torque" in over:
        text += f" It would already make {s.power_at_peak_torque}."
    elif s.v.get("torque_ratio", 1.0) < LOW_RATIO:
        text += f" That is only {s.percent(s.v['torque_ratio'])} of the peak torque, which is unusual: look at the sheet again."
    if s.x.redline is not None and s.x.peak_power_speed is not None and s.x.redline < s.x.peak_power_speed:
        text += f" At a redline of {s.redline} the claimed power is never reached."
    return text


def _at(figure: str, speed: str) -> str:
    return f"{figure} at {speed}" if speed else figure


CHECK = Check(
    title="Do the claimed power and torque agree?",
    system="engine",
    safety=False,
    applies=on_car("engine"),
    inputs=[
        need("engine.peak_power"), need("engine.peak_power_speed"), need("engine.peak_torque"), need("engine.peak_torque_speed"),
        option("engine.redline"),
    ],
    values={
        "torque_at_peak_power": Shown("torque at the power peak", "torque", "N*m"),
        "power_at_peak_torque": Shown("power at the torque peak", "power", "hp"),
        "torque_ratio": Shown("torque at the power peak over peak torque", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("engine.redline")],
    formula="T_P = P/ω_P ≤ T; P_T = T ω_T ≤ P; ratio = T_P/T",
    basis=[published("P = T ω, any mechanics text (5252 = 33000/2π)"), common_practice("2 % for rounding; 0.65 of the peak torque")],
)

"""From pedal to brake torque.

Leg, lever, booster, bore and pistons together decide what a push is worth at the wheels. Too little pressure and the
car needs a strong leg; too much and hoses, seals and the pedal box carry what they were never made for. Watch for: a
pedal ratio measured to the wrong pin, a booster ratio taken from a catalog, a larger master cylinder fitted for a
shorter pedal. Brake factors of drums swing with lining and water: give them a tolerance.
"""

from __future__ import annotations

from typing import Any

from service.calc.brakes import hydraulics
from service.checks.brakes import shared
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, option, published

#: Push on the pedal, N, where none is recorded: with a booster 75 lbf, without 100 lbf. Common practice.
USUAL_FORCE_BOOSTED, USUAL_FORCE_UNBOOSTED = 334.0, 445.0
#: Front line pressure, Pa: good and still acceptable. Common practice.
BOOSTED_BAND = (5.0e6, 10.5e6), (3.5e6, 14.0e6)
UNBOOSTED_BAND = (3.5e6, 10.5e6), (2.5e6, 14.0e6)
DRUMS_BAND = (2.5e6, 8.0e6), (1.5e6, 10.0e6)


def judge(x: Any, out: Outcome) -> None:
    """Pressure and torque at both axles for the push."""
    pushrod = out.value("pushrod_force", shared.pushrod_force(x, x.force))
    front = out.value("line_pressure_front", hydraulics.line_pressure(pushrod, x.bore))
    with out.part():
        good, acceptable = _bands(x)
        out.within("line_pressure_front", good, acceptable, why="below, too little bite; above, hoses, seals and pedal box are overloaded")
    with out.part():
        out.value("torque_front", shared.torque_gain(x, "front") * front)
    rear = out.value("line_pressure_rear", hydraulics.rear_pressure(front, *shared.valve(x)))
    out.value("torque_rear", shared.torque_gain(x, "rear") * rear)


def _bands(x: Any) -> tuple[tuple[float, float], tuple[float, float]]:
    if not any(x.has(kind) and getattr(x, kind) == "disc" for kind in ("type_front", "type_rear")) and x.type_front == x.type_rear == "drum":
        return DRUMS_BAND
    return BOOSTED_BAND if shared.boosted(x) else UNBOOSTED_BAND


def say(s: Any) -> str:
    """The finding in words."""
    text = f"A push of {s.force} makes {s.line_pressure_front} at the front"
    if "torque_front" in s.v and "torque_rear" in s.v:
        text += f" and {s.torque_front} of torque there, {s.torque_rear} at the rear"
    if s.verdict == "pass" or s.worst is None or not s.worst.violated:
        return text + "."
    boosted = shared.boosted(s.x)
    if s.v["line_pressure_front"] < s.worst.low:
        return f"{text}. That is too little bite: a smaller master cylinder, more pedal ratio or {'more boost' if boosted else 'a booster'} raises it."
    less = "a larger master cylinder, less pedal ratio or less boost" if boosted else "a larger master cylinder or less pedal ratio"
    return f"{text}. Hoses, seals and pedal box carry too much: {less} lowers it."


CHECK = Check(
    title="From pedal to brake torque",
    system="brakes",
    safety=True,
    inputs=[need("brake_pedal.ratio"), need("master_cylinder.bore"), *shared.brake_inputs(shared.TORQUES), *shared.booster_inputs(), *shared.valve_inputs(),
            option("brake_pedal.force", default=lambda x: USUAL_FORCE_BOOSTED if shared.boosted(x) else USUAL_FORCE_UNBOOSTED, why="usual push")],
    values={
        "pushrod_force": Shown("force on the master cylinder", "force", "N"),
        "line_pressure_front": Shown("front line pressure", "pressure", "MPa"),
        "line_pressure_rear": Shown("rear line pressure", "pressure", "MPa"),
        "torque_front": Shown("brake torque of the front axle", "torque", "N*m"),
        "torque_rear": Shown("brake torque of the rear axle", "torque", "N*m"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("master_cylinder.bore", stock=shared.as_sold(shared.STOCK_MASTER_BORES)), Fix("brake_pedal.ratio"),
              Fix("brake_booster.boost_ratio")],
    formula="p = B·0.90·F·i/(π d²/4); disc T = 2·(2 μ p A r_e); drum T = 2 C p (π d²/4) r_d; above the knee p_r = p_k + s (p − p_k)",
    basis=[
        published("Limpert, Brake Design and Safety: disc and drum torque, booster and valve characteristics"),
        derived("lever law and piston areas"),
        common_practice("0.90 for friction of pivot and rod; pushes of 334 N (75 lbf) and 445 N (100 lbf); pressure bands"),
    ],
)

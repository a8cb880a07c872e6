"""Stop from 100 km/h, also with a failure.

What the brakes promise on paper against what a road car is asked for: a stop from 100 km/h at a push of 500 N, the same
with the booster failed, and the same on what is left when one circuit is lost. The circuits are taken as split front
and rear. Watch for: a proportioning valve without bypass strangles the rear circuit when it is the only one left; a
single-circuit master cylinder leaves nothing. A calculation, not a test.
"""

from __future__ import annotations

from typing import Any

from service.calc.brakes import stopping as calc
from service.checks.brakes import shared
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, from_memory, need, option, published

#: Stopping distance from 100 km/h, m. Source: FMVSS 135 S7.5, 70 m; the caution is common practice.
FAIL_DISTANCE, CAUTION_DISTANCE = 70.0, 66.5
#: The same with one circuit or the booster failed, m. Source: FMVSS 135 S7.10, S7.11, 168 m (from memory); the caution is common practice.
FAILED_FAIL_DISTANCE, FAILED_CAUTION_DISTANCE = 168.0, 160.0


def judge(x: Any, out: Outcome) -> None:
    """The whole system, then without the booster, then on one circuit."""
    car, brakes = shared.slowed_car(x), shared.car_brakes(x, out)
    pressure = shared.front_pressure(x, calc.PEDAL_FORCE)
    deceleration = out.value("deceleration", calc.stop_deceleration(pressure, car, brakes))
    out.value("stopping_distance", calc.stopping_distance(deceleration))
    out.at_most("stopping_distance", FAIL_DISTANCE, CAUTION_DISTANCE, why="70 m from 100 km/h at a push of 500 N")
    unboosted = calc.stop_deceleration(shared.front_pressure(x, calc.PEDAL_FORCE, assisted=False), car, brakes)
    out.value("failed_boost_deceleration", unboosted)
    _judge_failure(out, "failed_boost_deceleration", "168 m from 100 km/h with the booster failed")
    if x.circuits == 1:
        _judge_single(x, out)
    else:
        out.value("one_circuit_deceleration", min(calc.one_circuit_decelerations(pressure, car, brakes, bool(x.bypass))))
        _judge_failure(out, "one_circuit_deceleration", "168 m from 100 km/h on one circuit")


def _judge_failure(out: Outcome, name: str, why: str) -> None:
    out.at_least(name, _deceleration_for(FAILED_FAIL_DISTANCE), _deceleration_for(FAILED_CAUTION_DISTANCE), why=why)


def _deceleration_for(distance: float) -> float:
    """Deceleration that stops the car in a distance, by the same formula."""
    return calc.SPEED**2 / (2 * (distance - calc.TIME_LOST * calc.SPEED))


def _judge_single(x: Any, out: Outcome) -> None:
    out.must(x.use != "towing", "one circuit on a car that tows: one leak and there are no brakes", of="circuits")
    out.at_best_caution("a single-circuit master cylinder leaves no brakes after one leak", "circuits")


def say(s: Any) -> str:
    """The finding in words."""
    push, speed = s.show(calc.PEDAL_FORCE, "force", "N"), shared.whole_speed(s, calc.SPEED)
    text = f"At a push of {push} it should stop from {speed} in about {s.stopping_distance}"
    if shared.boosted(s.x):
        text += f"; without the booster in {_distance(s, 'failed_boost_deceleration')}"
    if "one_circuit_deceleration" in s.v:
        text += f"; on one circuit in {_distance(s, 'one_circuit_deceleration')}"
    return f"{text}. {_advice(s)}A calculation, not a test."


def _distance(s: Any, name: str) -> str:
    return str(s.show(calc.stopping_distance(s.v[name]), "length", "m"))


def _advice(s: Any) -> str:
    broken = {item.of for item in s.limits if item.violated}
    allowed, failed = s.show(FAIL_DISTANCE, "length", "m"), s.show(FAILED_FAIL_DISTANCE, "length", "m")
    if "stopping_distance" in broken:
        boost = "more boost" if shared.boosted(s.x) else "a booster"
        return f"{allowed} is the most that may be needed: {boost}, more pedal ratio, a smaller master cylinder or pads with more bite. "
    if "one_circuit_deceleration" in broken:
        if s.x.valve_fitted and not s.x.bypass:
            return f"{failed} is the most on one circuit: the rear alone is held back by its valve; one with a bypass opens when the front is lost. "
        return f"{failed} is the most that may be needed on one circuit: larger pistons in the weaker one, more pedal ratio or a smaller master cylinder. "
    if "failed_boost_deceleration" in broken:
        return f"{failed} is the most that may be needed without the booster: more pedal ratio or a smaller master cylinder. "
    if "circuits" in broken:
        return "Towing on a single circuit: fit a dual-circuit master cylinder. "
    return ""


CHECK = Check(
    title="Stop from 100 km/h, also with a failure",
    system="brakes",
    safety=True,
    inputs=[need("brake_pedal.ratio"), need("master_cylinder.bore"), *shared.brake_inputs(shared.TORQUES), *shared.car_inputs(), need("build.use"),
            *shared.radius_inputs(), *shared.booster_inputs(), *shared.valve_inputs(), option("proportioning_valve.bypass", default=False),
            option("master_cylinder.circuits", default=2)],
    values={
        "deceleration": Shown("deceleration at a push of 500 N", "acceleration", "m/s2"),
        "stopping_distance": Shown("stopping distance from 100 km/h", "length", "m"),
        "failed_boost_deceleration": Shown("deceleration with the booster failed", "acceleration", "m/s2"),
        "one_circuit_deceleration": Shown("deceleration on one circuit", "acceleration", "m/s2"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("master_cylinder.bore", stock=shared.as_sold(shared.STOCK_MASTER_BORES)),
        Fix("brake_pedal.ratio"),
        Fix("brake_booster.boost_ratio"),
        Fix("brake.pad_friction@front"),
        Fix("brake.pad_friction@rear"),
        Fix("brake.piston_diameter@front", stock=shared.as_sold(shared.STOCK_PISTONS)),
    ],
    formula="a = (T_f/r_f + T_r/r_r)/m, held back to first lock on a road of friction 0.9; s = 0.36 v + v²/(2 a), v = 27.78 m/s",
    basis=[
        published("FMVSS 135 (49 CFR 571.135) S7.5: 70 m from 100 km/h at no more than 500 N (compared with an NHTSA letter of interpretation)"),
        from_memory("FMVSS 135 S7.10, S7.11: 168 m with one circuit or the power unit failed; 0.10 V + 0.0060 V²"),
        derived("0.36 s at speed is the 0.10 V term; forces and first lock as in the balance of the axles"),
        common_practice("cautions at 66.5 m and 160 m; circuits taken as split front and rear"),
    ],
)

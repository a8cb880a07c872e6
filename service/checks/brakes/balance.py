"""Which axle locks first.

A car whose rear wheels lock first turns round; one whose fronts lock first runs straight on. Braking moves load to the
front, so brakes that are right for a hard stop on a dry road can be wrong on a wet one, and the other way round. Watch
for: a rear disc conversion without a valve, tall rear tires on a short front, a valve that was set with other pads. One
height of the center of gravity and one load are judged: repeat it with the laden car. A calculation, not a test.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.calc.brakes import balance as calc
from service.checks.brakes import shared
from service.checks.core import Check, Fix, Outcome, Shown, Unknown, common_practice, derived, from_memory, option, published

#: Deceleration over g at which the use of grip is printed, and the grip of the road of the first lock.
#: Source: UN Regulation No. 13-H, upper end of its band (from memory).
FULL_STOP, DRY_ROAD = 0.8, 0.8
#: The rear may not take over below this deceleration over g without a remark. Common practice.
CRITICAL_CAUTION = 0.90
#: Least deceleration over g before an axle locks on a dry road. Common practice.
LEAST_FIRST_LOCK = 0.45
#: Rounding of a deceleration over g.
EQUAL = 1e-6
G = calc.STANDARD_GRAVITY


def judge(x: Any, out: Outcome) -> None:
    """Grip used by both axles over the band, first lock on a dry road, and where the order turns."""
    car, brakes = shared.slowed_car(x), shared.car_brakes(x, out)
    if 1 - car[1] - FULL_STOP * car[2] <= 0:
        raise Unknown("at 0.8 g this rear axle would leave the ground; check the height of the center of gravity and the axle masses")
    front, rear = calc.adhesion_used(FULL_STOP, car, brakes)
    out.value("front_adhesion_at_0_8", front)
    out.value("rear_adhesion_at_0_8", rear)
    _, lock, _ = calc.first_lock(DRY_ROAD, car, brakes)
    out.value("deceleration_at_first_lock", lock * G)
    _judge_order(x, out, car, brakes)
    out.at_least("deceleration_at_first_lock", LEAST_FIRST_LOCK * G, why="0.45 g on a dry road before the first axle locks")
    excess, grip = calc.lowest_utilization(car, brakes)
    asked = calc.utilization_line(grip)
    out.must(excess >= 0, f"on a road of friction {grip:.2f} an axle locks at {asked + excess:.2f} g, where {asked:.2f} g is asked", "caution",
             of="utilization")


def _judge_order(x: Any, out: Outcome, car: calc.Car, brakes: calc.Brakes) -> None:
    rear_first = calc.rear_locks_first_between(calc.FRONT_FIRST_FROM, calc.FRONT_FIRST_TO, car, brakes)
    out.must(not rear_first, "between 0.15 and 0.80 g the rear axle uses more grip than the front", "caution" if x.antilock else "fail", of="rear_first")
    crossings = calc.critical_decelerations(car, brakes)
    if crossings:
        out.value("critical_deceleration", crossings[0] * G)
    late = next((z for z in crossings if calc.FRONT_FIRST_TO - EQUAL <= z <= CRITICAL_CAUTION), None)
    if late is not None and not rear_first:
        out.at_least("critical_deceleration", caution=CRITICAL_CAUTION * G, value=late * G, why="0.90 g before the rear takes over")
    if rear_first and not x.valve_fitted:
        out.advise("fit a proportioning valve in the rear circuit")


def say(s: Any) -> str:
    """The finding in words."""
    lock = _in_g(s.v["deceleration_at_first_lock"])
    broken = {item.of for item in s.limits if item.violated}
    if "rear_first" in broken:
        held = "The antilock system has to hold it." if s.x.antilock else "A rear-first car spins: hold the rear back."
        return f"{_where(s)}; on a dry road the first wheels lock at {lock}. {held}"
    text = f"The front axle locks first, at {lock} on a dry road, as it should"
    if "deceleration_at_first_lock" in broken:
        text += f", but that is too early: at least {LEAST_FIRST_LOCK:.2f} g is needed, so give the rear more work"
    elif "critical_deceleration" in broken:
        text += f"; above {_in_g(s.v['critical_deceleration'])} the rear takes over, which leaves little in hand"
    elif "utilization" in broken:
        text += ", but grip is wasted: " + next(item.why for item in s.limits if item.of == "utilization")
    elif "critical_deceleration" in s.v:
        text += f"; the rear would take over at {_in_g(s.v['critical_deceleration'])}"
    return text + "."


def _where(s: Any) -> str:
    """At which decelerations the rear locks first."""
    if s.v["rear_adhesion_at_0_8"] <= s.v["front_adhesion_at_0_8"]:
        return "In a part of the range from 0.15 to 0.80 g the rear axle locks before the front"
    if "critical_deceleration" not in s.v:
        return "At every deceleration the rear axle locks before the front"
    return f"Above {_in_g(s.v['critical_deceleration'])} the rear axle locks before the front"


def _in_g(deceleration: float) -> str:
    return f"{deceleration / G:.2f} g"


def extras(x: Any, values: Mapping[str, Any]) -> Mapping[str, Any]:
    """Forces against the ideal, and grip used by each axle, over the deceleration."""
    car, brakes = shared.slowed_car(x), shared.car_brakes(x, Outcome())
    last = min(1.0, 0.98 * (1 - car[1]) / car[2]) if car[2] > 0 else 1.0
    rates = [last * step / 40 for step in range(1, 41)]
    forces = [calc.braking_forces(calc.pressure_for(z, car, brakes), brakes) for z in rates]
    grips = [calc.adhesion_used(z, car, brakes) for z in rates]
    pressure, lock, front = calc.first_lock(DRY_ROAD, car, brakes)
    locked = calc.braking_forces(pressure, brakes)
    critical = values.get("critical_deceleration")
    return {"series": [
        {"kind": "brake_distribution", "braking_rate": rates, "front_force": [force[0] for force in forces], "rear_force": [force[1] for force in forces],
         "ideal_front_force": [z * car[0] * (car[1] + z * car[2]) for z in rates], "ideal_rear_force": [z * car[0] * (1 - car[1] - z * car[2]) for z in rates],
         "first_lock": {"axle": "front" if front else "rear", "braking_rate": lock, "front_force": locked[0], "rear_force": locked[1]}},
        {"kind": "adhesion", "braking_rate": rates, "front": [grip[0] for grip in grips], "rear": [grip[1] for grip in grips],
         "limit": [(z - calc.UTILIZATION_AT_START) / calc.UTILIZATION_SLOPE + calc.GRIP_FROM for z in rates],
         "band": [calc.FRONT_FIRST_FROM, calc.FRONT_FIRST_TO], "critical_braking_rate": critical / G if critical is not None else None},
    ]}


CHECK = Check(
    title="Which axle locks first",
    system="brakes",
    safety=True,
    inputs=[*shared.brake_inputs(shared.TORQUES), *shared.car_inputs(), *shared.radius_inputs(), *shared.valve_inputs(),
            option("brake_system.antilock", default=False)],
    values={
        "front_adhesion_at_0_8": Shown("grip the front axle uses at 0.8 g", "dimensionless"),
        "rear_adhesion_at_0_8": Shown("grip the rear axle uses at 0.8 g", "dimensionless"),
        "deceleration_at_first_lock": Shown("deceleration at first lock on a dry road", "acceleration", "m/s2"),
        "critical_deceleration": Shown("deceleration at which both axles use the same grip", "acceleration", "m/s2"),
    },
    judge=judge,
    say=say,
    extras=extras,
    remedies=[
        Fix("proportioning_valve.knee_pressure"),
        Fix("proportioning_valve.slope"),
        Fix("brake.wheel_cylinder_diameter@rear", stock=shared.as_sold(shared.STOCK_WHEEL_CYLINDERS)),
        Fix("brake.piston_diameter@rear"),
        Fix("brake.pad_friction@front"),
    ],
    formula="k_f = F_f/(W (w_f + z χ)), k_r = F_r/(W (1 − w_f − z χ)), z = (F_f + F_r)/W, χ = h/L; z* from k_f = k_r",
    basis=[
        derived("braking forces against dynamic axle loads, as Limpert, Brake Design and Safety; checked by integrating wheel spin on a moving road "
                "with a pressure ramp of 0.1 MPa/s: same axle every time, pressure within 4 %"),
        published("front above rear from 0.15 to 0.80: Directive 71/320/EEC, annex II, appendix, category M1 (compared), as UN Regulation No. 13-H has it"),
        from_memory("z ≥ 0.1 + 0.7 (k − 0.2): UN Regulation No. 13-H, annex on the distribution of braking among axles"),
        published("FMVSS 135 (49 CFR 571.135) asks for adhesion utilization curves of the same kind"),
        common_practice("0.45 g before the first lock on a dry road; a remark where the rear takes over between 0.80 and 0.90 g"),
    ],
)

"""Facts of the brakes that others make up: the share of a stop's energy on each axle."""

from __future__ import annotations

from math import inf
from typing import Any

from service.calc.brakes import balance, hydraulics
from service.checks.brakes.shared import AXLES, TORQUES, USUAL_ROLLING_RADIUS
from service.checks.core import Derived

#: Deceleration over g at which the share of the axles is taken. Common practice.
SHARE_AT = 0.6
_CAR = ("car.mass", "car.wheelbase", "car.cg_height", "weights.axle_mass@front", "weights.axle_mass@rear")
_OPTIONAL = ("tire.rolling_radius@front", "tire.rolling_radius@rear", "proportioning_valve.knee_pressure", "proportioning_valve.slope")


def _rest(share: float) -> float:
    return 1 - share


def _gain(kind: str, facts: tuple[Any, ...]) -> float:
    if kind == "disc":
        count, diameter, caliper, friction, radius = facts
        return hydraulics.disc_gain(hydraulics.caliper_area(count, diameter, caliper == "floating"), friction, radius)
    diameter, drum_radius, factor = facts
    return hydraulics.drum_gain(factor, diameter, drum_radius)


def _share(front_kind: str, rear_kind: str, axle: str, *facts: Any) -> float:
    """Share of the braking force of an axle at 0.6 g, by the balance of the axles."""
    types, front, rear = facts[:2], len(TORQUES[front_kind]), len(TORQUES[rear_kind])
    if types != (front_kind, rear_kind):
        raise ValueError("the brakes are of another type")
    front_facts, rear_facts = facts[2:2 + front], facts[2 + front:2 + front + rear]
    mass, wheelbase, height, front_mass, rear_mass, front_radius, rear_radius, knee, slope = facts[2 + front + rear:]
    front_radius = front_radius or rear_radius or USUAL_ROLLING_RADIUS
    rear_radius = rear_radius or front_radius
    brakes = (_gain(front_kind, front_facts) / front_radius, _gain(rear_kind, rear_facts) / rear_radius,
              inf if knee is None else knee, 1.0 if slope is None else slope)
    car = (mass * balance.STANDARD_GRAVITY, front_mass / (front_mass + rear_mass), height / wheelbase)
    forces = balance.braking_forces(balance.pressure_for(SHARE_AT, car, brakes), brakes)
    return forces[AXLES.index(axle)] / sum(forces)


def _by_balance(front_kind: str, rear_kind: str, axle: str) -> Derived:
    needs = ["brake.type@front", "brake.type@rear", *(f"brake.{name}@front" for name in TORQUES[front_kind]),
             *(f"brake.{name}@rear" for name in TORQUES[rear_kind]), *_CAR]
    return Derived(f"brake.energy_share@{axle}", needs, lambda *facts: _share(front_kind, rear_kind, axle, *facts),
                   source={"check": "brakes.balance"}, optional=_OPTIONAL)


DERIVED = [
    Derived("brake.energy_share@front", ("brake.energy_share@rear",), _rest),
    Derived("brake.energy_share@rear", ("brake.energy_share@front",), _rest),
    *(_by_balance(front, rear, axle) for front, rear in (("disc", "drum"), ("disc", "disc"), ("drum", "disc"), ("drum", "drum")) for axle in AXLES),
]

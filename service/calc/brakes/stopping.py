"""Stopping from 100 km/h with everything working, with the booster failed and with one circuit lost."""

from __future__ import annotations

from contextlib import suppress
from math import isfinite

from service.calc.brakes.balance import STANDARD_GRAVITY, Brakes, Car, braking_forces, first_lock

#: Pedal force of the stop, N. Source: FMVSS 135 S7.5, at most 500 N (compared with an NHTSA letter of interpretation).
PEDAL_FORCE = 500.0
#: Speed of the stop, m/s (100 km/h). Source: FMVSS 135 S7.5 (compared with an NHTSA letter of interpretation).
SPEED = 100 / 3.6
#: Friction of the road of the stop. Source: FMVSS 135 S6.2.1, peak friction coefficient 0.9 (from memory).
ROAD_GRIP = 0.9
#: Time lost before full braking, s: the term 0.10*V (V in km/h, m) of FMVSS 135 S7.5.3 (b) over the speed (derived).
TIME_LOST = 0.36


def stop_deceleration(pressure: float, car: Car, brakes: Brakes, grip: float = ROAD_GRIP) -> float:
    """Deceleration in m/s2 at a pressure before the valve in Pa, held back to the first axle's lock.

    a = (F_f + F_r)/m with the pressure limited to that of first lock on a road of friction `grip`. A lock that cannot
    be reached limits nothing. Source: derived, same model as the balance.

    >>> round(stop_deceleration(11.94e6, (15200.3075, 0.549091, 0.1890909), (1.609932e-3, 4.837489e-4, 2.5e6, 0.4)), 3)
    7.286
    """
    with suppress(ValueError):
        pressure = min(pressure, first_lock(grip, car, brakes)[0])
    return sum(braking_forces(pressure, brakes)) * STANDARD_GRAVITY / car[0]


def one_circuit_decelerations(pressure: float, car: Car, brakes: Brakes, bypass: bool = False,
                              grip: float = ROAD_GRIP) -> tuple[float, float]:
    """Deceleration in m/s2 on the front circuit alone and on the rear circuit alone, each held back to its own lock.

    pressure of the working chamber, Pa. With `bypass` the valve opens fully when the front circuit is lost. Circuits
    are taken as split front and rear. Source: derived.

    >>> [round(a, 3) for a in one_circuit_decelerations(11.94e6, (15200.3075, 0.549091, 0.1890909),
    ...                                                 (1.609932e-3, 4.837489e-4, 2.5e6, 0.4), bypass=True)]
    [5.84, 3.401]
    """
    front_gain, rear_gain, knee, slope = brakes
    front_only = (front_gain, 0.0, float("inf"), 1.0)
    rear_only = (0.0, rear_gain, float("inf"), 1.0) if bypass else (0.0, rear_gain, knee, slope)
    return (stop_deceleration(pressure, car, front_only, grip), stop_deceleration(pressure, car, rear_only, grip))


def stopping_distance(deceleration: float, speed: float = SPEED) -> float:
    """Distance to a stop, m: 0.36*v + v^2/(2*a), a deceleration, m/s2, v speed, m/s.

    Raises ValueError for a deceleration of 0 or less. Source: FMVSS 135 S7.5.3 (b): 0.10*V + 0.0060*V^2, V in km/h
    (from memory), whose first term is 0.36 s at speed.

    >>> round(stopping_distance(7.286), 2)
    62.95
    """
    if not deceleration > 0 or not isfinite(deceleration):
        raise ValueError("without deceleration the car does not stop")
    return TIME_LOST * speed + speed * speed / (2 * deceleration)


def fluid_volume(pistons: tuple[tuple[float, float], ...], expansion: float = 1.2) -> float:
    """Fluid that a full application takes, m3.

    V = 1.2*sum(A*e): pairs of piston area A, m2, and its movement e, m, of every piston on the car; 1.2 for swelling
    hoses, bending calipers and shoes. Source: derived; 1.2 common practice.

    >>> round(fluid_volume(((2 * 2.82743e-3, 0.5e-3), (4 * 3.33292e-4, 2.0e-3))) * 1e6, 3)
    6.593
    """
    return expansion * sum(area * movement for area, movement in pistons)

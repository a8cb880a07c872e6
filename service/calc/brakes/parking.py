"""Parking brake: what the cables hold and what the rear tires hold."""

from __future__ import annotations

from math import asin, atan, sin, tan

from service.calc.brakes.balance import STANDARD_GRAVITY

#: Grade that a parking brake has to hold, 1. Source: FMVSS 135 S7.12 (compared with a public teaching text).
GRADE = 0.20
#: Friction of tires on the grade. Common practice.
ROAD_GRIP = 0.8


def cable_force(force: float, lever_ratio: float, efficiency: float) -> float:
    """Force of each of the two cables behind the equalizer, N: F*i*eta/2.

    F hand or foot force, N; i lever ratio, 1; eta efficiency of the cables, 1. Source: derived.

    >>> cable_force(400, 6, 0.85)
    1020.0
    """
    return force * lever_ratio * efficiency / 2


def drum_holding_torque(cable: float, brake_factor: float, shoe_lever_ratio: float, drum_radius: float) -> float:
    """Torque of both rear drums, N*m: 2*C*F_c*i_s*r_d.

    F_c force of each cable, N; C brake factor, 1; i_s shoe lever ratio, 1; r_d drum radius, m. Source: derived.

    >>> round(drum_holding_torque(1020, 2.0, 3.5, 0.1143))
    1632
    """
    return 2 * brake_factor * cable * shoe_lever_ratio * drum_radius


def caliper_holding_torque(cable: float, clamp_ratio: float, pad_friction: float, effective_radius: float) -> float:
    """Torque of both rear calipers, N*m: 2*2*mu*(k*F_c)*r_e, two pads each.

    F_c force of each cable, N; k clamp force over cable force, 1; mu pad friction, 1; r_e effective radius, m.
    Source: derived.

    >>> round(caliper_holding_torque(1020, 14, 0.38, 0.118))
    2561
    """
    return 2 * 2 * pad_friction * clamp_ratio * cable * effective_radius


def force_on_grade(mass: float, grade: float = GRADE) -> float:
    """Force along the road that a standing car needs, N: m*g*sin(atan(s)), m mass, kg; s grade, 1. Source: derived.

    >>> round(force_on_grade(1550))
    2981
    """
    return mass * STANDARD_GRAVITY * sin(atan(grade))


def grade_held(force: float, mass: float) -> float:
    """Grade that a holding force is enough for, 1: tan(asin(min(1, F/(m*g)))), beyond all roads when it would hang the car.

    F holding force, N; m mass, kg. Source: derived.

    >>> round(grade_held(5182, 1550), 4)
    0.3626
    """
    return tan(asin(min(1.0, force / (mass * STANDARD_GRAVITY))))


def rear_adhesion_grade(rear_share: float, height_over_wheelbase: float, grip: float = ROAD_GRIP) -> float:
    """Steepest grade, facing downhill, on which two locked rear wheels stand, 1: mu*w_r/(1 + mu*h/L).

    w_r share of the mass on the rear axle, 1; h/L height of the center of gravity over the wheelbase, 1.
    Source: derived (moments about the front contact, facing downhill the rear is unloaded).

    >>> round(rear_adhesion_grade(1.24 / 2.75, 0.52 / 2.75), 4)
    0.3133
    """
    return grip * rear_share / (1 + grip * height_over_wheelbase)

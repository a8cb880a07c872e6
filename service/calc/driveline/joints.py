"""Joints: axes in space, working angles, what the joints leave of uneven rotation.

SI in and out. A slope is positive when the axis falls toward the rear, a plan angle when its rear end lies to the
right. Sources: Seherr-Thoss, Schmelz & Aucktor, Universal Joints and Driveshafts, chapter on Hooke's joints; SAE AE-7,
Universal Joint and Driveshaft Design Manual.
"""

from __future__ import annotations

import itertools
from cmath import exp
from collections.abc import Sequence
from functools import lru_cache
from math import asin, cos, hypot, pi, sin, sqrt

#: Angular acceleration in rad/s2 that a joint's inertial shake may reach. Source: SAE AE-7 (from memory).
INERTIAL_LIMIT = 1000.0
#: Working angle in rad above which the small-angle sum is no longer used. Derived: within 0.6 % below 10 deg.
LARGEST_ANGLE = 15 * pi / 180

Axis = tuple[float, float]


def direction(slope: float, plan_angle: float) -> tuple[float, float, float]:
    """Unit vector of an axis, u = (cos s cos p, cos s sin p, -sin s): rearward, right, up. s slope, p plan angle in rad.

    Source: derived.

    >>> direction(0.0, 0.0)
    (1.0, 0.0, -0.0)
    """
    return cos(slope) * cos(plan_angle), cos(slope) * sin(plan_angle), -sin(slope)


@lru_cache(maxsize=1024)
def working_angle(first: Axis, second: Axis) -> float:
    """Angle between two axes, each (slope s, plan angle p) in rad: beta = arccos(u_1 . u_2), in rad.

    Worked as sin^2(beta/2) = sin^2(ds/2) + cos s_1 cos s_2 sin^2(dp/2), which keeps its figures at small angles.
    Source: derived (spherical trigonometry).

    >>> round(working_angle((0.0523599, 0.0), (0.0907571, 0.0174533)), 5)
    0.04216
    """
    square = sin((second[0] - first[0]) / 2) ** 2 + cos(first[0]) * cos(second[0]) * sin((second[1] - first[1]) / 2) ** 2
    return 2 * asin(min(1.0, sqrt(square)))


def working_angles(axes: Sequence[Axis]) -> tuple[float, ...]:
    """Working angle of every joint of a line of axes, front to rear, in rad. Source as `working_angle`.

    >>> [round(angle, 5) for angle in working_angles([(0.0523599, 0), (0.0907571, 0.0174533), (0.0436332, 0)])]
    [0.04216, 0.05024]
    """
    return tuple(working_angle(first, second) for first, second in itertools.pairwise(axes))


def _joint_vector(first: Axis, second: Axis) -> complex:
    slope = second[0] - first[0]
    plan = (second[1] - first[1]) * cos((first[0] + second[0]) / 2)
    size = hypot(slope, plan)
    return 0j if size == 0 else working_angle(first, second) * complex(slope, plan) / size


def residual_angle(axes: Sequence[Axis], cardan: Sequence[bool], yoke_phases: Sequence[float]) -> float:
    """Angle of the single cardan joint that would turn as unevenly as the whole line, in rad.

    w_i = ds_i + j dp_i cos((s_i + s_{i+1})/2), z_i = beta_i w_i/|w_i|; theta^2 = |sum conj(z_i)^2 exp(2 j alpha_i)| over
    the cardan joints; alpha_1 = 0 and alpha_{i+1} = alpha_i + psi_i + pi/2 behind a cardan joint, without the quarter
    turn behind a constant-velocity joint (a double cardan joint makes two of them). axes: (slope s, plan angle p) front
    to rear; cardan: whether each joint is one; yoke_phases psi_i of the shafts between joints, in rad.
    In line and in phase: theta^2 = |beta_1^2 - beta_2^2|, two-piece |beta_1^2 - beta_2^2 + beta_3^2|.
    ValueError unless there is one joint fewer than axes and one shaft fewer than joints. Small angles: below 10 deg
    within 0.6 % of the exact spatial motion. Source: kinematics of Hooke's joint, Seherr-Thoss, Schmelz & Aucktor;
    SAE AE-7, section 3.1.1.

    >>> axes = [(0.0523599, 0.0), (0.0907571, 0.0174533), (0.0436332, 0.0)]
    >>> round(residual_angle(axes, [True, True], [0.0]), 5)
    0.02839
    """
    if len(cardan) != len(axes) - 1 or len(yoke_phases) != len(cardan) - 1:
        raise ValueError("a line of n axes has n - 1 joints and n - 2 shafts between them")
    total, phase = 0j, 0.0
    for joint, is_cardan in enumerate(cardan):
        if is_cardan:
            total += _joint_vector(axes[joint], axes[joint + 1]).conjugate() ** 2 * exp(2j * phase)
            phase += pi / 2
        if joint < len(yoke_phases):
            phase += yoke_phases[joint]
    return sqrt(abs(total))


def angle_limit(shaft_speed: float, acceleration: float = INERTIAL_LIMIT) -> float:
    """Working angle whose shake reaches an angular acceleration, beta = sqrt(alpha)/omega, in rad.

    omega shaft speed in rad/s, positive (ValueError), alpha in rad/s2. Source: derived from `angular_acceleration`.

    >>> round(angle_limit(323.96), 5)
    0.09761
    """
    if shaft_speed <= 0:
        raise ValueError("the shaft speed must be positive")
    return sqrt(acceleration) / shaft_speed


def angular_acceleration(angle: float, shaft_speed: float) -> float:
    """Peak angular acceleration behind a joint, alpha = theta^2 omega^2, in rad/s2.

    theta working (or residual) angle in rad, omega shaft speed in rad/s. From omega_out/omega_in =
    cos b/(1 - sin^2 b cos^2 phi), about 1 + b^2 cos(2 phi)/2. Source: Seherr-Thoss, Schmelz & Aucktor.

    >>> round(angular_acceleration(0.02839, 323.96), 1)
    84.6
    """
    return (angle * shaft_speed) ** 2

"""Which axle locks first: braking forces of both axles against the load they carry while the car slows.

A car is `(W, w_f, chi)`: weight m*g, N; share of it on the front axle at rest, 1; height of the center of gravity over
the wheelbase, 1. Its brakes are `(g_f, g_r, p_k, s)`: braking force over pressure before the valve, front and rear,
m2 (torque gain over rolling radius); knee pressure of the valve, Pa (infinite without one) and its slope, 1.
Every relation is linear in pressure on either side of the knee, so all answers are in closed form.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, isfinite, sqrt

Car = tuple[float, float, float]
Brakes = tuple[float, float, float, float]

#: Standard gravity, m/s2. Source: CGPM 1901; ISO 80000-3.
STANDARD_GRAVITY = 9.80665
#: Decelerations over g between which the front axle has to use more grip than the rear.
#: Source: UN Regulation No. 13-H, Annex 5, paragraph 3.1 (A): adhesion curves, 0.15 to 0.80 (compared with Directive 71/320/EEC).
FRONT_FIRST_FROM, FRONT_FIRST_TO = 0.15, 0.80
#: z >= 0.1 + 0.7*(k - 0.2) for k 0.2 to 0.8. Source: UN Regulation No. 13-H, Annex 5, paragraph 3.1 (B) (from memory).
UTILIZATION_AT_START, UTILIZATION_SLOPE = 0.1, 0.7
GRIP_FROM, GRIP_TO = 0.2, 0.8
#: Highest deceleration over g that a critical deceleration is looked for. Common practice: no road tire does more.
HIGHEST_DECELERATION = 1.2
#: Keeps rounding from losing a lock that falls on the knee itself.
ALMOST = 1 - 1e-12


def _segments(brakes: Brakes) -> tuple[tuple[float, float, float, float], ...]:
    """Rear force as `offset + gain*p` on each side of the knee: (lowest p, highest p, offset, gain)."""
    _, rear_gain, knee, slope = brakes
    if not isfinite(knee):
        return ((0.0, inf, 0.0, rear_gain),)
    return ((0.0, knee, 0.0, rear_gain), (knee, inf, rear_gain * knee * (1 - slope), rear_gain * slope))


def braking_forces(pressure: float, brakes: Brakes) -> tuple[float, float]:
    """Braking forces front and rear, N, at a pressure before the valve, Pa. Source: derived.

    >>> [round(force) for force in braking_forces(5e6, (1.61e-3, 4.84e-4, 2.5e6, 0.4))]
    [8050, 1694]
    """
    front_gain, rear_gain, knee, slope = brakes
    rear = pressure if pressure <= knee else knee + slope * (pressure - knee)
    return front_gain * pressure, rear_gain * rear


def pressure_for(deceleration: float, car: Car, brakes: Brakes) -> float:
    """Pressure before the valve, Pa, that slows the car at z; infinite when the brakes cannot.

    Solves F_f(p) + F_r(p) = z*W: z deceleration over g, 1. Source: derived.

    >>> round(pressure_for(0.8, (15200.3, 0.5491, 0.18909), (1.60994e-3, 4.83734e-4, 2.5e6, 0.4)) / 1e6, 3)
    6.34
    """
    wanted = deceleration * car[0]
    for low, high, offset, gain in _segments(brakes):
        total = brakes[0] + gain
        if total > 0:
            pressure = (wanted - offset) / total
            if pressure <= high:
                return max(pressure, low)
    return inf


def adhesion_used(deceleration: float, car: Car, brakes: Brakes) -> tuple[float, float]:
    """Grip that each axle uses at z: k_f = F_f/(W*(w_f + z*chi)), k_r = F_r/(W*(1 - w_f - z*chi)).

    z deceleration over g, 1; loads include the transfer z*chi*W from rear to front. An axle without load uses an
    infinite share. Raises ValueError when the brakes cannot slow the car so much.
    Source: derived; Limpert, Brake Design and Safety, braking dynamics; Gillespie, Fundamentals of Vehicle Dynamics.

    >>> [round(k, 4) for k in adhesion_used(0.8, (15200.3075, 0.549091, 0.1890909), (1.609938e-3, 4.837351e-4, 2.5e6, 0.4))]
    [0.9589, 0.4287]
    """
    weight, front_share, transfer = car
    pressure = pressure_for(deceleration, car, brakes)
    if not isfinite(pressure):
        raise ValueError(f"the brakes cannot slow the car at {deceleration:g} g")
    front, rear = braking_forces(pressure, brakes)
    front_load = weight * (front_share + deceleration * transfer)
    rear_load = weight * (1 - front_share - deceleration * transfer)
    return (front / front_load if front_load > 0 else inf, rear / rear_load if rear_load > 0 else inf)


def _front_lock(grip: float, car: Car, brakes: Brakes) -> float:
    weight, front_share, transfer = car
    front_gain = brakes[0]
    for low, high, offset, gain in _segments(brakes):
        rise = front_gain - grip * transfer * (front_gain + gain)
        if rise > 0:
            pressure = grip * (weight * front_share + transfer * offset) / rise
            if low * ALMOST <= pressure <= high / ALMOST:
                return pressure
    return inf


def _rear_lock(grip: float, car: Car, brakes: Brakes) -> float:
    weight, front_share, transfer = car
    for low, high, offset, gain in _segments(brakes):
        rise = gain + grip * transfer * (brakes[0] + gain)
        if rise > 0:
            pressure = (grip * weight * (1 - front_share) - offset * (1 + grip * transfer)) / rise
            if low * ALMOST <= pressure <= high / ALMOST:
                return pressure
    return inf


def first_lock(grip: float, car: Car, brakes: Brakes) -> tuple[float, float, bool]:
    """First axle to lock on a road of friction mu: (pressure Pa, deceleration over g, whether it is the front axle).

    Front: F_f = mu*W*(w_f + z*chi); rear: F_r = mu*W*(1 - w_f - z*chi); z = (F_f + F_r)/W; the lower pressure wins.
    Raises ValueError when neither axle can lock. Source: derived.

    >>> p, z, front = first_lock(0.8, (15200.3075, 0.549091, 0.1890909), (1.609938e-3, 4.837351e-4, 2.5e6, 0.4))
    >>> round(p / 1e6, 3), round(z, 4), front
    (5.076, 0.6499, True)
    """
    front, rear = _front_lock(grip, car, brakes), _rear_lock(grip, car, brakes)
    pressure = min(front, rear)
    if not isfinite(pressure):
        raise ValueError("neither axle can lock: the brakes give no force")
    return pressure, sum(braking_forces(pressure, brakes)) / car[0], front <= rear


def _rear_excess(deceleration: float, car: Car, brakes: Brakes) -> float:
    """Rear force above the one at which both axles use the same grip, N: above 0 the rear locks first."""
    weight, front_share, transfer = car
    pressure = pressure_for(deceleration, car, brakes)
    if not isfinite(pressure):
        return -inf
    ideal = deceleration * weight * (1 - front_share - deceleration * transfer)
    return braking_forces(pressure, brakes)[1] - ideal


def _knee_deceleration(car: Car, brakes: Brakes) -> float:
    knee = brakes[2]
    return sum(braking_forces(knee, brakes)) / car[0] if isfinite(knee) else inf


def rear_locks_first_between(low: float, high: float, car: Car, brakes: Brakes) -> bool:
    """Whether the rear axle uses more grip than the front at any deceleration (over g) from low to high.

    F_r(z) - z*W*(1 - w_f - z*chi) is convex in z on either side of the knee, so its largest value is at an end or at
    the knee: three trials are exact. Equal use counts as front first. Source: derived.

    >>> rear_locks_first_between(0.15, 0.8, (15200.3, 0.5491, 0.18909), (1.60994e-3, 4.83734e-4, 2.5e6, 0.4))
    False
    """
    trials = (low, min(max(_knee_deceleration(car, brakes), low), high), high)
    return any(_rear_excess(z, car, brakes) > 1e-9 * car[0] for z in trials)


def _crossings(car: Car, brakes: Brakes) -> Iterator[float]:
    """Decelerations over g at which both axles use the same grip, on the segment where each is valid."""
    weight, front_share, transfer = car
    knee = _knee_deceleration(car, brakes)
    for index, (_, _, offset, gain) in enumerate(_segments(brakes)):
        total = brakes[0] + gain
        if total <= 0:
            continue
        constant = offset * (1 - gain / total)
        linear = weight * gain / total - weight * (1 - front_share)
        yield from (z for z in _quadratic(weight * transfer, linear, constant) if (z <= knee if index == 0 else z > knee))


def _quadratic(a: float, b: float, c: float) -> list[float]:
    """Real roots of a*z^2 + b*z + c, of the straight line where a is 0."""
    if a == 0:
        return [-c / b] if b else []
    discriminant = b * b - 4 * a * c
    if discriminant < 0:
        return []
    half = -(b + (sqrt(discriminant) if b >= 0 else -sqrt(discriminant))) / 2
    return [half / a, c / half if half else 0.0]


def critical_decelerations(car: Car, brakes: Brakes, highest: float = HIGHEST_DECELERATION) -> tuple[float, ...]:
    """Decelerations over g, above 0 up to `highest`, at which both axles use the same grip; lowest first.

    Without a valve the one is z* = (phi - w_f)/chi, phi = F_f/(F_f + F_r); above the knee the roots of
    F_r(z) = z*W*(1 - w_f - z*chi). Empty when one axle always locks first. Source: derived.

    >>> [round(z, 4) for z in critical_decelerations((15000.0, 0.55, 0.2), (1.4e-3, 6e-4, float("inf"), 1.0))]
    [0.75]
    """
    front_share, transfer = car[1], car[2]
    return tuple(sorted(z for z in _crossings(car, brakes) if 1e-9 < z <= highest and front_share + z * transfer < 1))


def lowest_utilization(car: Car, brakes: Brakes) -> tuple[float, float]:
    """Smallest excess of first-lock deceleration over 0.1 + 0.7*(mu - 0.2) for mu 0.2 to 0.8: (excess over g, its mu).

    Below 0 grip is wasted. On either side of the knee the deceleration of front lock is convex in mu and that of rear
    lock concave, so the smallest excess is at an end, at a knee or where the front's curve runs parallel to the line.
    Raises ValueError when neither axle can lock.
    Source: UN Regulation No. 13-H, Annex 5, paragraph 3.1 (B) (from memory).

    >>> [round(x, 3) for x in lowest_utilization((15200.3, 0.5491, 0.18909), (1.60994e-3, 4.83734e-4, 2.5e6, 0.4))]
    [0.05, 0.2]
    """
    grips = {GRIP_FROM, GRIP_TO}
    grips.update(mu for mu in _telling_grips(car, brakes) if GRIP_FROM < mu < GRIP_TO)
    return min((first_lock(mu, car, brakes)[1] - utilization_line(mu), mu) for mu in grips)


def _telling_grips(car: Car, brakes: Brakes) -> Iterator[float]:
    """Road frictions at which an axle locks on the knee, and where the front's curve runs parallel to the line."""
    weight, front_share, transfer = car
    front_gain = brakes[0]
    if isfinite(brakes[2]):
        front, rear = braking_forces(brakes[2], brakes)
        shift = transfer * (front + rear)
        yield front / (weight * front_share + shift)
        if weight * (1 - front_share) > shift:
            yield rear / (weight * (1 - front_share) - shift)
    for _, _, offset, gain in _segments(brakes):
        total = front_gain + gain
        if total > 0 and transfer > 0:
            parallel = total * front_gain * (weight * front_share + transfer * offset) / (UTILIZATION_SLOPE * weight)
            yield (front_gain - sqrt(parallel)) / (transfer * total)


def utilization_line(grip: float) -> float:
    """Deceleration over g that has to be reached on a road of friction mu before an axle locks: 0.1 + 0.7*(mu - 0.2).

    Valid for mu 0.2 to 0.8. Source: UN Regulation No. 13-H, Annex 5, paragraph 3.1 (B) (from memory).

    >>> round(utilization_line(0.8), 2)
    0.52
    """
    return UTILIZATION_AT_START + UTILIZATION_SLOPE * (grip - GRIP_FROM)

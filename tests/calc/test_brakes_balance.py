"""Which axle locks first, judged by integrating wheel spin, by root finding on the raw equations and by the regulation."""

from __future__ import annotations

from math import inf, isfinite, pi

import numpy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from service.calc.brakes import balance

G = 9.80665
CAR = (1550 * G, 1 - 1.24 / 2.75, 0.52 / 2.75)
FRONT_GAIN = 4 * 0.38 * pi / 4 * 0.060**2 * 0.118
REAR_GAIN = 2 * 2.0 * pi / 4 * 0.0206**2 * 0.1143


def brakes(front_radius: float = 0.315, rear_radius: float = 0.315, knee: float = 2.5e6, slope: float = 0.4) -> balance.Brakes:
    return FRONT_GAIN / front_radius, REAR_GAIN / rear_radius, knee, slope


cars = st.tuples(st.floats(6e3, 4e4), st.floats(0.35, 0.68), st.floats(0.08, 0.35))
hydraulics = st.tuples(st.floats(4e-4, 6e-3), st.floats(1e-4, 4e-3), st.floats(0.5e6, 8e6), st.floats(0.0, 1.0))


def raw_forces(p: float, b: balance.Brakes) -> tuple[float, float]:
    """The page's own words, written once more: the rear rises with the slope above the knee."""
    return b[0] * p, b[1] * (p if p <= b[2] else b[2] + b[3] * (p - b[2]))


def raw_adhesion(z: float, car: balance.Car, b: balance.Brakes) -> tuple[float, float]:
    weight, share, transfer = car
    p = brentq(lambda p: sum(raw_forces(p, b)) - z * weight, 0, 1e10, xtol=1e-3, rtol=1e-14)
    front, rear = raw_forces(p, b)
    return front / (weight * (share + z * transfer)), rear / (weight * (1 - share - z * transfer))


@settings(max_examples=60, deadline=None)
@given(cars, hydraulics, st.floats(0.05, 0.9))
def test_adhesion_agrees_with_a_root_found_in_the_raw_equations(car: balance.Car, b: balance.Brakes, z: float) -> None:
    # Judge: scipy's brentq on F_f + F_r = z*W.
    if z * car[2] >= 1 - car[1]:
        return
    assert balance.adhesion_used(z, car, b) == pytest.approx(raw_adhesion(z, car, b), rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(cars, hydraulics, st.floats(0.2, 0.9))
def test_first_lock_agrees_with_stepping_the_pressure_up(car: balance.Car, b: balance.Brakes, grip: float) -> None:
    # Judge: brentq on the grip of each axle minus the road's, pressure stepped up from 0 as the pedal would.
    def excess(p: float) -> float:
        front, rear = raw_forces(p, b)
        z = (front + rear) / car[0]
        return max(front - grip * car[0] * (car[1] + z * car[2]), rear - grip * car[0] * (1 - car[1] - z * car[2]))

    pressures = numpy.linspace(0, 6e7, 4001)[1:]
    crossed = next((p for p in pressures if excess(p) > 0), None)
    if crossed is None:
        return
    expected = brentq(excess, 0, crossed, xtol=1e-3)
    pressure, z, _ = balance.first_lock(grip, car, b)
    assert pressure == pytest.approx(expected, rel=1e-6)
    assert z == pytest.approx(sum(raw_forces(expected, b)) / car[0], rel=1e-6)


@settings(max_examples=50, deadline=None)
@given(cars, hydraulics)
def test_order_over_the_whole_band_agrees_with_a_dense_scan(car: balance.Car, b: balance.Brakes) -> None:
    # Judge: the regulation's own criterion, k_r against k_f at 400 decelerations (UN Regulation No. 13-H, Annex 5).
    worst = max(rear - front for front, rear in (balance.adhesion_used(z, car, b) for z in numpy.linspace(0.15, 0.80, 400)))
    if abs(worst) < 1e-3:
        return
    assert balance.rear_locks_first_between(0.15, 0.80, car, b) == (worst > 0)


@settings(max_examples=50, deadline=None)
@given(cars, hydraulics)
def test_at_a_critical_deceleration_both_axles_use_the_same_grip(car: balance.Car, b: balance.Brakes) -> None:
    for z in balance.critical_decelerations(car, b):
        front, rear = balance.adhesion_used(z, car, b)
        assert front == pytest.approx(rear, rel=1e-6)


@settings(max_examples=50, deadline=None)
@given(cars, hydraulics)
def test_no_crossing_is_overlooked(car: balance.Car, b: balance.Brakes) -> None:
    # Judge: sign changes of k_r - k_f along a dense scan.
    top = min(1.2, (1 - car[1]) / car[2] - 1e-3)
    grid = numpy.linspace(0.02, top, 600)
    signs = numpy.sign([rear - front for front, rear in (balance.adhesion_used(z, car, b) for z in grid)])
    changes = int(numpy.count_nonzero(numpy.diff(signs)))
    found = [z for z in balance.critical_decelerations(car, b) if 0.02 < z < top]
    assert len(found) >= changes


def test_without_valve_the_crossing_is_the_textbook_one() -> None:
    # z* = (phi - w_f)/chi: Limpert, Brake Design and Safety, fixed braking ratio.
    b = (1.4e-3, 6e-4, inf, 1.0)
    expected = (b[0] / (b[0] + b[1]) - CAR[1]) / CAR[2]
    assert balance.critical_decelerations(CAR, b) == pytest.approx((expected,))


def locked_by_integration(b: balance.Brakes, ramp: float, grip: float) -> tuple[float, bool]:
    """Pressure and axle at which a wheel first stops turning: wheel spin integrated on a road moving under the car.

    Brakes ramp up; each wheel: J*dw/dt = F_x*r - T; tire force mu(s)*N with a curve that peaks at `grip` at 12 % slip
    and stays there; loads follow the car's deceleration. The road keeps moving at 20 m/s, as on a roller bed; a wheel
    at half the road's speed is locking.
    """
    radius, inertia, speed = 0.315, 1.0, 20.0

    def tire(slip: float) -> float:
        return grip * numpy.tanh(slip / 0.04)

    def motion(time: float, state: numpy.ndarray) -> list[float]:
        front_force, rear_force = raw_forces(ramp * time, b)
        spins = numpy.maximum(state[:2], 0.0)
        z = state[2]
        loads = CAR[0] * (CAR[1] + z * CAR[2]), CAR[0] * (1 - CAR[1] - z * CAR[2])
        grips = [tire(1 - spin * radius / speed) * load for spin, load in zip(spins, loads, strict=True)]
        lag = 50.0
        return [(grips[0] - front_force) * radius / (2 * inertia), (grips[1] - rear_force) * radius / (2 * inertia),
                lag * (sum(grips) / CAR[0] - z)]

    def locks(index: int):  # type: ignore[no-untyped-def]
        def event(time: float, state: numpy.ndarray) -> float:
            return float(state[index] - 0.5 * speed / radius)
        event.terminal = True  # type: ignore[attr-defined]
        return event

    result = solve_ivp(motion, (0, 200), [speed / radius, speed / radius, 0.0], events=[locks(0), locks(1)], rtol=1e-6, max_step=0.1)
    front = len(result.t_events[0]) > 0
    return ramp * float(result.t[-1]), front


@pytest.mark.parametrize(("front_radius", "rear_radius", "knee", "slope"), [
    (0.315, 0.315, 2.5e6, 0.4), (0.305, 0.335, 2.5e6, 0.4), (0.315, 0.200, inf, 1.0), (0.600, 0.315, 6e6, 0.5),
])
def test_the_axle_that_locks_first_is_the_one_that_stops_turning_first(front_radius: float, rear_radius: float, knee: float, slope: float) -> None:
    # Judge: wheel spin integrated by scipy's solve_ivp while pressure ramps at 0.1 MPa/s; it overshoots by a few percent.
    b = brakes(front_radius, rear_radius, knee, slope)
    pressure, _, front = balance.first_lock(0.8, CAR, b)
    integrated, integrated_front = locked_by_integration(b, 0.1e6, 0.8)
    assert integrated_front == front
    assert pressure <= integrated * 1.002
    assert integrated == pytest.approx(pressure, rel=0.04)


def test_worked_example() -> None:
    # The page's worked example, with all its digits.
    b = brakes()
    pressure, z, front = balance.first_lock(0.8, CAR, b)
    assert (pressure / 1e6, z, z * G, front) == (pytest.approx(5.076, rel=1e-3), pytest.approx(0.6499, rel=1e-3), pytest.approx(6.374, rel=1e-3), True)
    assert balance.adhesion_used(0.8, CAR, b) == pytest.approx((0.9589, 0.4287), rel=1e-3)
    staggered = brakes(0.305, 0.335)
    pressure, z, front = balance.first_lock(0.8, CAR, staggered)
    assert (pressure / 1e6, z * G, front) == (pytest.approx(4.900, rel=1e-3), pytest.approx(6.272, rel=1e-3), True)
    assert balance.adhesion_used(0.8, CAR, staggered) == pytest.approx((0.9718, 0.3984), rel=1e-3)


def test_utilization_line_has_the_regulations_ends() -> None:
    # z >= 0.1 + 0.7*(k - 0.2), k 0.2 to 0.8: UN Regulation No. 13-H, Annex 5 (from memory).
    assert balance.utilization_line(0.2) == pytest.approx(0.1)
    assert balance.utilization_line(0.8) == pytest.approx(0.52)


@settings(max_examples=60, deadline=None)
@given(cars, hydraulics)
def test_lowest_utilization_is_the_lowest_of_a_dense_scan(car: balance.Car, b: balance.Brakes) -> None:
    scan = min(balance.first_lock(mu, car, b)[1] - (0.1 + 0.7 * (mu - 0.2)) for mu in numpy.linspace(0.2, 0.8, 301))
    found, grip = balance.lowest_utilization(car, b)
    assert found <= scan + 1e-9
    assert found == pytest.approx(scan, abs=5e-4)
    assert found == pytest.approx(balance.first_lock(grip, car, b)[1] - (0.1 + 0.7 * (grip - 0.2)), abs=1e-12)


def test_brakes_that_give_no_force_lock_nothing() -> None:
    with pytest.raises(ValueError, match="neither axle can lock"):
        balance.first_lock(0.8, CAR, (0.0, 0.0, inf, 1.0))
    assert not isfinite(balance.pressure_for(0.5, CAR, (0.0, 0.0, inf, 1.0)))
    with pytest.raises(ValueError, match="cannot slow"):
        balance.adhesion_used(0.5, CAR, (0.0, 0.0, inf, 1.0))

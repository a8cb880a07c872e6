"""Hydraulics, stopping, heat and parking brake, judged by statics, time integration and published figures."""

from __future__ import annotations

from math import asin, atan, inf, pi, sin, sqrt, tan

import numpy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from service.calc.brakes import balance, heat, hydraulics, parking, stopping

G = 9.80665
CAR = (1550 * G, 1 - 1.24 / 2.75, 0.52 / 2.75)
FRONT = hydraulics.disc_gain(hydraulics.caliper_area(1, 0.060, True), 0.38, 0.118)
REAR = hydraulics.drum_gain(2.0, 0.0206, 0.1143)
BRAKES = (FRONT / 0.315, REAR / 0.315, 2.5e6, 0.4)


def test_pedal_to_torque_worked_example() -> None:
    pushrod = hydraulics.boosted_force(hydraulics.rod_force(334, 4.2), 3.2)
    front = hydraulics.line_pressure(pushrod, 0.0254)
    rear = hydraulics.rear_pressure(front, 2.5e6, 0.4)
    assert (pushrod, front, rear) == pytest.approx((4040, 7.973e6, 4.689e6), rel=1e-3)
    assert (FRONT * front, REAR * rear) == pytest.approx((4043, 714.6), rel=1e-3)


@given(st.integers(1, 8), st.floats(0.02, 0.08), st.floats(1e5, 1.5e7))
def test_both_kinds_of_caliper_balance_as_free_bodies(count: int, diameter: float, pressure: float) -> None:
    # Judge: equilibrium. A floating body carries the reaction of all pistons to the far pad; in a fixed one each side
    # presses its own pad. Either way the disc is squeezed by equal and opposite forces.
    single = pressure * pi / 4 * diameter**2
    assert hydraulics.caliper_area(count, diameter, True) * pressure == pytest.approx(count * single)
    assert hydraulics.caliper_area(2 * count, diameter, False) * pressure == pytest.approx(count * single)


@given(st.floats(1.0, 1.2e4), st.floats(1.0, 8.0), st.floats(200, 8000))
def test_booster_is_continuous_and_never_helps_less_than_the_foot(force: float, ratio: float, runout: float) -> None:
    knee = runout / ratio
    assert hydraulics.boosted_force(knee, ratio, runout) == pytest.approx(runout)
    assert hydraulics.boosted_force(force, ratio, runout) >= force * (1 - 1e-12)
    step = (hydraulics.boosted_force(force * 1.01, ratio, runout) - hydraulics.boosted_force(force, ratio, runout)) / (0.01 * force)
    assert 1 - 1e-6 <= step <= ratio + 1e-6


@pytest.mark.parametrize("speed", [30.0, 50.0, 80.0, 100.0, 120.0])
def test_stopping_distance_is_the_standards_formula(speed: float) -> None:
    # 49 CFR 571.135 S7.5.3 (b): S <= 0.10*V + 0.0060*V^2, V in km/h (from memory); 70 m at 100 km/h is confirmed by an
    # NHTSA letter of interpretation on the cold effectiveness test (11409.MLS), which also names 500 N.
    deceleration = 1 / (2 * 0.0060 * 3.6**2)
    assert stopping.stopping_distance(deceleration, speed / 3.6) == pytest.approx(0.10 * speed + 0.0060 * speed**2, rel=1e-9)


def test_seventy_meters_from_a_hundred() -> None:
    deceleration = brentq(lambda a: stopping.stopping_distance(a) - 70.0, 1, 12)
    assert deceleration == pytest.approx(6.43, rel=1e-3)  # mean fully developed deceleration of UN Regulation No. 13-H, from memory
    assert stopping.PEDAL_FORCE == 500.0


def test_stop_distance_by_marching_the_car() -> None:
    # Judge: the car moved in time steps, 0.36 s at speed and then braked.
    step, speed, gone, braking = 1e-4, 100 / 3.6, 0.0, 7.286
    gone += 0.36 * speed
    while speed > 0:
        gone += max(speed - braking * step / 2, 0) * step
        speed -= braking * step
    assert stopping.stopping_distance(braking) == pytest.approx(gone, rel=1e-4)


def test_stop_worked_example() -> None:
    pressure = hydraulics.line_pressure(hydraulics.boosted_force(hydraulics.rod_force(500, 4.2), 3.2), 0.0254)
    unboosted = hydraulics.line_pressure(hydraulics.rod_force(500, 4.2), 0.0254)
    whole = stopping.stop_deceleration(pressure, CAR, BRAKES)
    assert (whole, stopping.stopping_distance(whole)) == pytest.approx((7.286, 62.95), rel=1e-3)
    assert stopping.stop_deceleration(unboosted, CAR, BRAKES) == pytest.approx(4.808, rel=1e-3)
    with_bypass = min(stopping.one_circuit_decelerations(pressure, CAR, BRAKES, True))
    assert (with_bypass, stopping.stopping_distance(with_bypass)) == pytest.approx((3.401, 123.4), rel=1e-3)
    without = min(stopping.one_circuit_decelerations(pressure, CAR, BRAKES, False))
    assert (without, stopping.stopping_distance(without)) == pytest.approx((1.958, 207), rel=2e-3)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.3, 2.0), st.floats(0.5, 8.0))
def test_one_circuit_is_held_back_to_its_own_lock(front: float, rear: float) -> None:
    # Judge: brentq on the grip of the one braked axle.
    b = (BRAKES[0] * front, BRAKES[1] * rear, inf, 1.0)
    pressure = 30e6
    found = stopping.one_circuit_decelerations(pressure, CAR, b)
    for index in (0, 1):
        def excess(z: float, index: int = index) -> float:
            load = CAR[1] + z * CAR[2] if index == 0 else 1 - CAR[1] - z * CAR[2]
            return z - 0.9 * load
        locked = brentq(excess, 0, 1.5)
        assert found[index] / G == pytest.approx(min(locked, b[index] * pressure / CAR[0]), rel=1e-9)


def test_fluid_volume_worked_example() -> None:
    volume = stopping.fluid_volume(((2 * hydraulics.bore_area(0.060), 0.5e-3), (4 * hydraulics.bore_area(0.0206), 2e-3)))
    stroke = volume / hydraulics.bore_area(0.0254)
    assert (volume * 1e6, stroke * 1e3, stroke / 0.032, stroke * 4.2 * 1e3) == pytest.approx((6.593, 13.01, 0.4066, 54.64), rel=1e-3)


def integrated_peak(mass: float, start: float, end: float, share: float, rotor: float, diameter: float, ventilated: bool,
                    stops: int, interval: float, radiating: bool) -> float:
    """The same rotor marched in time: h at the instantaneous speed, stops at 6 m/s2, fourth-power radiation.

    After each stop the car takes up its first speed again at 2 m/s2 and holds it until the interval is over.
    """
    area = heat.swept_area(diameter)
    cooled = area * (2 if ventilated else 1)
    capacity = rotor * heat.SPECIFIC_HEAT
    energy = 0.5 * mass * (start**2 - end**2) * share / 2 * 0.95
    braking = (start - end) / 6.0

    def loss(temperature: float, speed: float) -> float:
        h = max(20.0, (60.0 if ventilated else 40.0) * (max(speed, 0.0) / 15) ** 0.8)
        radiation = 0.55 * 5.670374419e-8 * area * (temperature**4 - 293.15**4) if radiating else 0.0
        return h * cooled * (temperature - 293.15) + radiation

    temperature = highest = 293.15
    for _ in range(stops):
        def stop(time: float, state: numpy.ndarray) -> list[float]:
            speed = start - 6.0 * time
            return [(energy * 2 * speed / (braking * (start + end)) - loss(state[0], speed)) / capacity]
        hot = solve_ivp(stop, (0, braking), [temperature], rtol=1e-7).y[0]
        highest = max(highest, float(hot.max()))

        def rest(time: float, state: numpy.ndarray) -> list[float]:
            return [-loss(state[0], end + (start - end) * time / (interval - braking)) / capacity]
        temperature = float(solve_ivp(rest, (0, interval - braking), [float(hot[-1])], rtol=1e-7).y[0][-1])
    return highest


def closed_peak(mass: float, start: float, end: float, share: float, rotor: float, diameter: float, ventilated: bool,
                stops: int, interval: float, radiating: bool) -> float:
    rise = heat.temperature_rise(heat.stop_energy_per_rotor(mass, start, end, share), rotor)
    area = heat.swept_area(diameter)
    convection = heat.heat_transfer((start + end) / 2, ventilated) * area * (2 if ventilated else 1)
    return heat.peak_temperature(rise, stops, interval, rotor * heat.SPECIFIC_HEAT, convection, area if radiating else 0.0)


@pytest.mark.parametrize(("case", "share_of_rise"), [
    ((1550, 100 / 3.6, 50 / 3.6, 0.72, 6.5, 0.260, True, 10, 45, False), 0.03),
    ((1350, 0.9 * 58.12, 0.5 * 58.12, 0.68, 9.5, 0.330, True, 20, 30, True), 0.03),
    ((1100, 80 / 3.6, 30 / 3.6, 0.72, 5.0, 0.250, False, 8, 20, True), 0.03),
])
def test_rotor_temperature_agrees_with_time_integration(case: tuple[float, ...], share_of_rise: float) -> None:
    # Judge: scipy's solve_ivp with heat transfer at the instantaneous speed and fourth-power radiation.
    closed, marched = closed_peak(*case), integrated_peak(*case)  # type: ignore[arg-type]
    assert closed - 293.15 == pytest.approx(marched - 293.15, rel=share_of_rise)


def test_repeated_stops_are_limperts_series() -> None:
    # Limpert, Brake Design and Safety, repeated braking: T0 + dT*(1 - exp(-n*beta))/(1 - exp(-beta)).
    rise, capacity, convection, interval = 62.93, 3250.0, 8.36, 60.0
    beta = convection * interval / capacity
    for stops in (1, 3, 10):
        expected = 293.15 + rise * (1 - numpy.exp(-stops * beta)) / (1 - numpy.exp(-beta))
        assert heat.peak_temperature(rise, stops, interval, capacity, convection) == pytest.approx(expected, rel=1e-9)


def test_heat_worked_examples() -> None:
    energy = heat.stop_energy_per_rotor(1550, 100 / 3.6, 0, 0.72)
    assert (energy, heat.temperature_rise(energy, 6.5)) == pytest.approx((204500, 62.93), rel=1e-3)
    assert closed_peak(1550, 100 / 3.6, 0, 0.72, 6.5, 0.260, True, 3, 60, False) == pytest.approx(456.2, rel=1e-3)
    energy = heat.stop_energy_per_rotor(1350, 0.9 * 58.12, 0.5 * 58.12, 0.68)
    assert (energy, heat.temperature_rise(energy, 9.5)) == pytest.approx((412400, 86.81), rel=1e-3)
    assert closed_peak(1350, 0.9 * 58.12, 0.5 * 58.12, 0.68, 9.5, 0.330, True, 20, 30, True) == pytest.approx(738.4, rel=1e-3)


def test_parking_worked_examples() -> None:
    cable = parking.cable_force(400, 6, 0.85)
    drums = parking.drum_holding_torque(cable, 2.0, 3.5, 0.1143) / 0.315
    assert (drums, parking.force_on_grade(1550), parking.grade_held(drums, 1550)) == pytest.approx((5182, 2981, 0.3626), rel=1e-3)
    torque = parking.caliper_holding_torque(cable, 14, 0.38, 0.118)
    assert (cable, torque, torque / 0.315, parking.grade_held(torque / 0.315, 1550)) == pytest.approx((1020, 2561, 8131, 0.6331), rel=1e-3)


@given(st.floats(0.3, 0.7), st.floats(0.1, 0.4), st.floats(0.3, 1.0))
def test_rear_adhesion_on_the_grade_is_in_equilibrium(rear_share: float, height: float, grip: float) -> None:
    # Judge: statics solved by numpy; facing downhill, only the rear wheels hold, and they just slip.
    grade = parking.rear_adhesion_grade(rear_share, height, grip)
    theta = atan(grade)
    # unknowns: front load, rear load, holding force (weight 1, wheelbase 1); the force acts at the ground under the rear.
    # Sum across the road, sum along it, moments about the rear contact (front lies downhill and is loaded more).
    system = numpy.array([[1, 1, 0], [0, 0, 1], [1, 0, 0]], dtype=float)
    right = numpy.array([numpy.cos(theta), sin(theta), numpy.cos(theta) * (1 - rear_share) + sin(theta) * height])
    front, rear, hold = numpy.linalg.solve(system, right)
    assert hold == pytest.approx(grip * rear, rel=1e-9)


def test_grade_is_capped_where_the_brake_would_hang_the_car() -> None:
    assert parking.grade_held(2 * 1000 * G, 1000) > 1e6
    assert tan(asin(0.5)) == pytest.approx(parking.grade_held(0.5 * 1000 * G, 1000))
    assert parking.force_on_grade(1000) == pytest.approx(1000 * G * 0.2 / sqrt(1.04))


@pytest.mark.parametrize(("call", "words"), [
    (lambda: hydraulics.bore_area(0), "larger than 0"),
    (lambda: hydraulics.boosted_force(100, 0.5), "at least 1"),
    (lambda: hydraulics.caliper_area(0, 0.04, True), "at least one piston"),
    (lambda: stopping.stopping_distance(0), "does not stop"),
    (lambda: heat.stop_energy_per_rotor(1000, 10, 20, 0.5), "ends slower"),
])
def test_meaningless_input_is_refused(call: object, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        call()  # type: ignore[operator]


def test_stop_without_a_reachable_lock_uses_the_whole_pressure() -> None:
    weak = (1e-5, 0.0, inf, 1.0)
    assert stopping.stop_deceleration(1e6, CAR, weak) == pytest.approx(10 * G / CAR[0])
    assert balance.first_lock(0.9, CAR, weak)[2] is True

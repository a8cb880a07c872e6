"""Engine formulas judged from outside: numerical kinematics, integrated cycles, published constants."""

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from service.calc import engine

HORSEPOWER = 745.6998715822702  # 550 ft*lbf/s, NIST SP 811
POUND_FOOT = 1.3558179483314004  # lbf*ft in N*m, NIST SP 811
RPM = np.pi / 30


def piston_position(angle: np.ndarray, stroke: float, rod: float) -> np.ndarray:
    """Wrist pin above the crank's center, from the triangle crank, rod, cylinder axis."""
    throw = stroke / 2
    return throw * np.cos(angle) + np.sqrt(rod**2 - (throw * np.sin(angle)) ** 2)


@pytest.mark.parametrize(("stroke", "rod"), [(0.08839, 0.14478), (0.09525, 0.1524), (0.1016, 0.1524), (0.060, 0.110)])
def test_peak_acceleration_is_the_largest_of_the_exact_slider_crank(stroke: float, rod: float) -> None:
    speed, step = 628.3, 1e-4
    angle = np.arange(0, 2 * np.pi, step)
    second = (piston_position(angle + step, stroke, rod) - 2 * piston_position(angle, stroke, rod)
              + piston_position(angle - step, stroke, rod)) / step**2
    assert engine.peak_piston_acceleration(stroke, rod, speed) == pytest.approx(np.abs(second).max() * speed**2, rel=1e-5)


def test_mean_piston_speed_is_the_mean_of_the_exact_slider_crank() -> None:
    stroke, rod, speed = 0.09525, 0.1524, 628.3
    angle = np.linspace(0, 2 * np.pi, 200_001)
    path = np.abs(np.diff(piston_position(angle, stroke, rod))).sum()
    assert engine.mean_piston_speed(stroke, speed) == pytest.approx(path / (2 * np.pi / speed), rel=1e-8)


def test_swept_volume_is_the_integral_over_the_bore() -> None:
    volume, _ = quad(lambda r: 2 * np.pi * r * 0.09525, 0, 0.104775 / 2)
    assert engine.displacement(0.104775, 0.09525, 8) == pytest.approx(8 * volume, rel=1e-12)


def test_torque_and_power_cross_at_5252_rpm() -> None:
    """Trade's constant 33,000/(2 pi): one pound-foot makes one horsepower there (33,000 ft*lbf/min, NIST SP 811)."""
    assert engine.power_from_torque(POUND_FOOT, 33000 / (2 * np.pi) * RPM) == pytest.approx(HORSEPOWER, rel=1e-12)
    assert engine.torque_from_power(HORSEPOWER, 5252.1131 * RPM) == pytest.approx(POUND_FOOT, rel=1e-8)


@pytest.mark.parametrize(("cycle", "revolutions"), [("four_stroke", 2), ("two_stroke", 1)])
def test_mean_effective_pressure_times_displacement_is_the_work_of_a_cycle(cycle: str, revolutions: int) -> None:
    work, _ = quad(lambda angle: 540.0, 0, revolutions * 2 * np.pi)
    assert engine.mean_effective_pressure(540.0, 0.0057, cycle) * 0.0057 == pytest.approx(work, rel=1e-12)


@pytest.mark.parametrize("boost", [0.0, 40e3, 100e3, 200e3])
def test_equivalent_ratio_ends_at_the_same_pressure(boost: float) -> None:
    """Both compressions integrated, dp/dV = -n p/V, from ambient and from boosted manifold pressure."""
    def end_pressure(ratio: float, start: float) -> float:
        path = solve_ivp(lambda volume, pressure: -1.3 * pressure / volume, (ratio, 1.0), [start], rtol=1e-10, atol=1e-6)
        return float(path.y[0, -1])

    equivalent = engine.pressure_equivalent_ratio(8.5, boost)
    assert end_pressure(equivalent, 101325.0) == pytest.approx(end_pressure(8.5, 101325.0 + boost), rel=1e-6)


def test_compression_ratio_by_pouring_thin_layers() -> None:
    """Volume over the piston summed in slices of its travel, bottom center over top center."""
    bore, stroke, deck = 0.102362, 0.09525, 0.000254
    over = 64e-6 + 18e-6 + np.pi / 4 * 0.10414**2 * 0.001016
    layers = np.full(100_000, np.pi / 4 * bore**2 * (stroke + deck) / 100_000)
    top = over + np.pi / 4 * bore**2 * deck
    clearance = engine.clearance_volume(bore, 64e-6, 18e-6, 0.10414, 0.001016, deck)
    ratio = engine.compression_ratio(engine.cylinder_displacement(bore, stroke), clearance)
    assert ratio == pytest.approx((over + layers.sum()) / top, rel=1e-9)


@pytest.mark.parametrize("call", [
    lambda: engine.cylinder_displacement(0, 0.1),
    lambda: engine.displacement(0.1, 0.1, 0),
    lambda: engine.clearance_volume(0.1, 20e-6, -40e-6, 0.1, 0.0005, 0.0),
    lambda: engine.compression_ratio(1e-4, 0.0),
    lambda: engine.pressure_equivalent_ratio(0.9, 1e5),
    lambda: engine.torque_from_power(1e5, 0.0),
    lambda: engine.mean_effective_pressure(500, 0.0),
    lambda: engine.peak_piston_acceleration(0.2, 0.1, 500),
])
def test_meaningless_input_is_refused(call) -> None:
    with pytest.raises(ValueError, match=r"\w+ \w+"):
        call()

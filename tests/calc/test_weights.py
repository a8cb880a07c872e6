"""Weights, judged by statics in the plane and by published definitions."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from service.calc.weights import axle_capacity, center_of_gravity, distribution, stability_factor


def _reading(wheelbase: float, radii: tuple[float, float], mass: float, rear_share: float, height: float, lift: float) -> float:
    """Front reading in kg with the rear axle lifted: a rigid car on two wheels turned until the rear axle is `lift` higher.

    Coordinates of the level car: front axle at (0, r_f), rear at (L, r_r), center of gravity at (a, h).
    """
    front, rear = np.array([0.0, radii[0]]), np.array([wheelbase, radii[1]])
    center = np.array([rear_share * wheelbase, height])

    def turned(angle: float, point: np.ndarray) -> np.ndarray:
        c, s = math.cos(angle), math.sin(angle)
        return front + np.array([[c, -s], [s, c]]) @ (point - front)

    angle = brentq(lambda tilt: turned(tilt, rear)[1] - rear[1] - lift, -0.2, 1.2, xtol=1e-14)
    x_rear, x_center = turned(angle, rear)[0], turned(angle, center)[0]
    return mass * (x_rear - x_center) / x_rear


@pytest.mark.parametrize("height", [0.40, 0.52, 0.75])
@pytest.mark.parametrize("lift", [0.35, 0.60])
def test_height_comes_back_from_a_car_turned_in_the_plane(height: float, lift: float) -> None:
    """Judge: statics of a rigid car turned about its front axle; wheels free to roll, equal radii."""
    mass, wheelbase, rear_share = 1550.0, 2.75, 0.45
    raised = _reading(wheelbase, (0.315, 0.315), mass, rear_share, height, lift)
    found = center_of_gravity(wheelbase, lift, mass * (1 - rear_share), raised, mass * rear_share, 0.315, 0.315)
    assert found.height == pytest.approx(height, rel=1e-9)


def test_unequal_wheels_err_by_a_third_of_a_percent_at_most() -> None:
    """Judge: the same statics with wheels of different size; the formula's stated error."""
    mass, wheelbase, rear_share = 1550.0, 2.75, 0.45
    raised = _reading(wheelbase, (0.300, 0.340), mass, rear_share, 0.52, 0.60)
    found = center_of_gravity(wheelbase, 0.60, mass * (1 - rear_share), raised, mass * rear_share, 0.300, 0.340)
    assert found.height == pytest.approx(0.52, rel=0.003)


def test_height_agrees_with_the_published_textbook_form() -> None:
    """Judge: a published course text: h = [b − L·(R/W)]·cot θ + r with R the reading of the end that is lifted,
    b the distance from the center of gravity to the end on the scales (sin θ = lift/wheelbase)."""
    wheelbase, lift, front, raised, rear, radius = 2.75, 0.60, 851.1, 876.9, 698.9, 0.315
    mass = front + rear
    b = wheelbase * rear / mass
    lifted_end = mass - raised
    published = (b - wheelbase * lifted_end / mass) / math.tan(math.asin(lift / wheelbase)) + radius
    found = center_of_gravity(wheelbase, lift, front, raised, rear, radius, radius)
    assert found.height == pytest.approx(published, rel=1e-12)


def test_error_of_the_reading() -> None:
    """Judge: numerical differentiation against δh = L·δM/(m·tan θ)."""
    def height(raised: float) -> float:
        return center_of_gravity(2.75, 0.60, 851.1, raised, 698.9, 0.315, 0.315).height

    slope = (height(877.4) - height(876.4)) / 1.0
    assert slope == pytest.approx(2.75 / (1550 * math.tan(math.asin(0.60 / 2.75))), rel=1e-9)


def test_stability_factor_is_the_published_definition() -> None:
    """Judge: NHTSA's rulemaking on rollover: one half the track width divided by the height of the center of gravity;
    passenger cars 1.3 to 1.5."""
    assert stability_factor(1.5, 0.52) == pytest.approx((1.5 / 2) / 0.52)
    assert 1.3 < stability_factor(1.5, 0.52) < 1.5


def test_cross_share_tells_a_twisted_car() -> None:
    """Judge: the definition of diagonal weight: right front plus left rear over the total."""
    found = distribution(500, 490, 400, 390)
    assert found.cross == pytest.approx((490 + 400) / 1780)
    twisted = distribution(510, 480, 390, 400)
    assert twisted.front == pytest.approx(found.front)
    assert twisted.left == pytest.approx(found.left)
    assert twisted.cross == pytest.approx(found.cross - 20 / 1780)


def test_smallest_wheel_counts_twice() -> None:
    assert axle_capacity(1000.0, (450.0, 520.0)) == 900.0
    assert axle_capacity(1000.0, (650.0, 620.0)) == 1000.0
    assert axle_capacity(1000.0) == 1000.0


@pytest.mark.parametrize("lift", [0.0, -0.1, 2.75, 3.0])
def test_a_lift_that_is_none_is_refused(lift: float) -> None:
    with pytest.raises(ValueError, match="lift"):
        center_of_gravity(2.75, lift, 851.1, 876.9, 698.9, 0.315, 0.315)


def test_an_empty_scale_is_refused() -> None:
    with pytest.raises(ValueError, match="zero"):
        distribution(0, 0, 0, 0)

"""Column joints, tie-rod threads and toe, judged by a joint turned in space, published threads and published conversions."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from service.calc.alignment import thrust_angle, toe_angle
from service.calc.steering import engagement_ratio, speed_ripple


def _ratio_span(angle: float) -> float:
    """Highest over lowest speed ratio of one cross joint, from its cross turned in space and differenced numerically."""
    out_axis = Rotation.from_euler("z", angle).apply([1.0, 0.0, 0.0])
    side = np.array([0.0, 0.0, 1.0])
    level = np.cross(out_axis, side)
    turns = np.linspace(0, 2 * math.pi, 7201)
    driving = Rotation.from_rotvec(np.outer(turns, [1.0, 0.0, 0.0])).apply([0.0, 1.0, 0.0])
    # The driven pin stands square to the driving pin and to the driven shaft.
    driven = np.cross(driving, out_axis)
    output = np.unwrap(np.arctan2(driven @ level, driven @ side))
    ratio = np.abs(np.gradient(output, turns, edge_order=2))
    return float(ratio.max() / ratio.min())


@pytest.mark.parametrize("degrees", [5, 15, 30, 35])
def test_ripple_of_a_joint_turned_in_space(degrees: float) -> None:
    """Judge: a cross joint modeled by its pins in space and differenced numerically."""
    assert speed_ripple(math.radians(degrees)) == pytest.approx(_ratio_span(math.radians(degrees)) - 1, rel=2e-4)


def test_ripple_agrees_with_the_published_speed_range() -> None:
    """Judge: published joint-maker's text: the driven shaft swings between cos β and 1/cos β times the driving speed."""
    beta = math.radians(25)
    assert speed_ripple(beta) == pytest.approx((1 / math.cos(beta)) / math.cos(beta) - 1)


@pytest.mark.parametrize("degrees", [-1, 90, 120])
def test_an_angle_that_is_no_joint_is_refused(degrees: float) -> None:
    with pytest.raises(ValueError, match="90 degrees"):
        speed_ripple(math.radians(degrees))


def test_engagement_counts_diameters() -> None:
    """Judge: ASME B1.1 basic major diameter of 5/8 in (0.6250 in)."""
    assert engagement_ratio(0.0254, 0.6250 * 0.0254) == pytest.approx(1.6)


def test_toe_agrees_with_published_conversions() -> None:
    """Judge: two published worked conversions: 0.15 degrees on a 24 in tire is 0.062832 in;
    1/16 in a side on a 26 in tire is 0.138 degrees."""
    assert math.degrees(toe_angle(0.062832 * 0.0254, 24 * 0.0254)) == pytest.approx(0.15, abs=1e-5)
    assert math.degrees(toe_angle(0.0625 * 0.0254, 26 * 0.0254)) == pytest.approx(0.138, abs=5e-4)


def test_thrust_angle_is_where_the_rear_wheels_point() -> None:
    """Judge: mean heading of two wheels drawn from above, x forward and y to the left.

    Toe-in turns the left wheel's front to the right and the right wheel's front to the left.
    """
    left, right = math.radians(0.30), math.radians(-0.10)
    headings = [math.atan2(-math.sin(left), math.cos(left)), math.atan2(math.sin(right), math.cos(right))]
    assert thrust_angle(left, right) == pytest.approx(-sum(headings) / 2)
    assert thrust_angle(0.002, 0.002) == 0


def test_toe_longer_than_its_diameter_is_refused() -> None:
    with pytest.raises(ValueError, match="smaller"):
        toe_angle(0.7, 0.6)

"""Travel and ground clearance, judged by moving the parts step by step and by drawn circles."""

from __future__ import annotations

import math

import numpy as np
import pytest

from service.calc.suspension import (
    bump_travel,
    clearance_at_full_bump,
    clearance_with_flat_tire,
    damper_margin,
    damper_position,
    droop_travel,
    section_height,
)


def test_wheel_lifted_until_the_stop_touches() -> None:
    """Judge: the wheel lifted in steps of 0.01 mm until the stop's gap is used up; damper length read off on the way."""
    gap, stop_ratio, ride, extended, compressed, ratio = 0.045, 0.65, 0.330, 0.430, 0.250, 0.6
    lift = np.arange(0, 0.2, 1e-5)
    touches = int(np.argmax(gap - stop_ratio * lift <= 0))
    bump = bump_travel(gap, stop_ratio)
    assert bump == pytest.approx(lift[touches], abs=1.1e-5)
    assert damper_margin(ride, compressed, bump, ratio) == pytest.approx(ride - ratio * lift[touches] - compressed, abs=1.1e-5)
    hangs = int(np.argmax(ride + ratio * lift >= extended))
    assert droop_travel(ride, extended, ratio) == pytest.approx(lift[hangs], abs=1.1e-5)
    assert damper_position(ride, extended, compressed) == pytest.approx(np.interp(ride, [compressed, extended], [0, 1]))


def test_a_wheel_on_its_rim_flange() -> None:
    """Judge: two circles drawn. The axle sinks from the tire's radius to the flange's radius; the floor sinks with it.

    The loaded radius is taken as the drawn radius, as the scrub line does.
    """
    diameter, rim, flange, clearance = 0.663, 0.381, 0.0175, 0.155
    drop = diameter / 2 - (rim / 2 + flange)
    found = clearance_with_flat_tire(clearance, section_height(diameter, rim))
    assert found == pytest.approx(clearance - drop)


def test_bar_that_rises_with_the_wheel_meets_the_axle() -> None:
    assert clearance_at_full_bump(0.060, 1.0, 0.060) == pytest.approx(0.0)
    assert clearance_at_full_bump(0.060, 0.5, 0.060) == pytest.approx(0.030)


@pytest.mark.parametrize("lengths", [(0.25, 0.43, 0.25), (0.43, 0.43, 0.25), (0.20, 0.43, 0.25), (0.33, 0.25, 0.43)])
def test_a_damper_outside_its_ends_is_refused(lengths: tuple[float, float, float]) -> None:
    at_ride, extended, compressed = lengths
    with pytest.raises(ValueError, match="between"):
        damper_position(at_ride, extended, compressed)


def test_a_tire_smaller_than_its_rim_is_refused() -> None:
    with pytest.raises(ValueError, match="larger"):
        section_height(0.38, math.nextafter(0.38, 1))

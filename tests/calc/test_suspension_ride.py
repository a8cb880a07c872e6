"""Ride figures, judged by eigenvalues of a two-mass model and by a car driven over a step."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.linalg import eigh

from service.calc.suspension import (
    flat_ride_speed,
    frequency,
    ride_rate,
    sprung_corner_mass,
    static_deflection,
    wheel_rate,
)
from service.calc.suspension.constants import STANDARD_GRAVITY

POUND_PER_INCH, POUND = 4.4482216152605 / 0.0254, 0.45359237


def test_worked_front_end() -> None:
    """Judge: definitions worked by hand in US units: k_w = 400·0.62², f = (1/2π)·√(386.09·k/W) with W in lb."""
    wheel = wheel_rate(400 * POUND_PER_INCH, 0.62)
    assert wheel == pytest.approx(153.76 * POUND_PER_INCH, rel=1e-12)
    by_hand = math.sqrt(386.0886 * 153.76 / 885.0) / (2 * math.pi)
    assert frequency(wheel, sprung_corner_mass(2000 * POUND, 230 * POUND)) == pytest.approx(by_hand, rel=1e-5)


def test_frequency_is_the_body_mode_of_two_masses() -> None:
    """Judge: eigenvalues (scipy) of body and wheel on spring and tire. The light wheel shifts the body mode by under 1 %."""
    sprung, unsprung, spring, tire = 400.0, 45.0, 27000.0, 200000.0
    stiffness = np.array([[spring, -spring], [-spring, spring + tire]])
    slow = math.sqrt(eigh(stiffness, np.diag([sprung, unsprung]), eigvals_only=True)[0]) / (2 * math.pi)
    assert frequency(ride_rate(spring, tire), sprung) == pytest.approx(slow, rel=0.01)


def test_static_deflection_is_the_rule_of_thumb_for_one_hertz() -> None:
    """Judge: the published rule that a static deflection of 9.8 in (249 mm) goes with 1 Hz (x = g/(2πf)²)."""
    rate = 400.0 * (2 * math.pi * 1.0) ** 2
    assert static_deflection(rate, 400.0) == pytest.approx(0.249, abs=0.001)
    assert static_deflection(rate, 400.0) == pytest.approx(STANDARD_GRAVITY / (2 * math.pi) ** 2, rel=1e-12)


def test_rear_has_caught_up_after_one_cycle_at_flat_ride_speed() -> None:
    """Judge: two undamped ends driven over a step one after the other (scipy): after the front's first cycle both are at rest together."""
    front, rear, wheelbase = 1.20, 1.45, 2.85
    speed = flat_ride_speed(front, rear, wheelbase)
    assert speed is not None
    delay = wheelbase / speed

    def body(hertz: float, start: float, until: float) -> float:
        omega = 2 * math.pi * hertz
        found = solve_ivp(lambda t, y: [y[1], -(omega**2) * (y[0] - 1.0)], (start, until), [0.0, 0.0], rtol=1e-10, atol=1e-12)
        return float(found.y[0, -1])

    end = 1 / front
    assert body(front, 0.0, end) == pytest.approx(0.0, abs=1e-6)
    assert body(rear, delay, end) == pytest.approx(0.0, abs=1e-6)


def test_a_slower_rear_never_catches_up() -> None:
    assert flat_ride_speed(1.4, 1.3, 2.85) is None
    assert flat_ride_speed(1.4, 1.4, 2.85) is None


@pytest.mark.parametrize("call", [
    lambda: wheel_rate(0.0, 0.6), lambda: wheel_rate(1e4, 0.0), lambda: ride_rate(1e4, 0.0),
    lambda: sprung_corner_mass(100.0, 100.0), lambda: frequency(1e4, 0.0),
], ids=["no spring", "no motion ratio", "no tire", "all unsprung", "no mass"])
def test_meaningless_figures_are_refused(call: object) -> None:
    with pytest.raises(ValueError, match=r"above zero|as large"):
        call()  # type: ignore[operator]

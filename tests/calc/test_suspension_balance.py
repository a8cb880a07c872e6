"""Roll and balance, judged by free bodies solved as linear equations and by minimum energy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from service.calc.suspension import Axle, corner_balance, spring_roll_stiffness
from service.calc.suspension.constants import STANDARD_GRAVITY as G

MASS, HEIGHT = 1700.0, 0.54
FRONT = Axle(935.0, 95.0, 1.52, 0.04, 67710.0, 0.33)
REAR = Axle(765.0, 140.0, 1.50, 0.28, 12590.0, 0.32)
CARS = {
    "front bar": (FRONT, REAR),
    "stiff rear": (FRONT._replace(roll_stiffness=30000.0), REAR._replace(roll_stiffness=45000.0, track=1.46)),
    "roll center below ground": (FRONT._replace(roll_center_height=-0.05), REAR),
}


def _sprung(front: Axle, rear: Axle) -> tuple[float, float, float]:
    sprung = MASS - front.unsprung_mass - rear.unsprung_mass
    height = (MASS * HEIGHT - sum(axle.unsprung_mass * axle.unsprung_height for axle in (front, rear))) / sprung
    return sprung, height, (rear.mass - rear.unsprung_mass) / sprung


@pytest.mark.parametrize("axles", CARS.values(), ids=CARS)
def test_free_bodies_in_equilibrium(axles: tuple[Axle, Axle]) -> None:
    """Judge: numpy solves moments of the body about the roll axis and of each axle about its contact line.

    Unknowns: roll, the two roll couples, the two load transfers. Side force of the sprung mass reaches each axle at its
    roll center in the shares of the sprung masses; each axle's own mass acts at its own height.
    """
    front, rear = axles
    sprung, height, rear_share = _sprung(front, rear)
    arm = height - (front.roll_center_height + (rear.roll_center_height - front.roll_center_height) * rear_share)
    weight = sprung * G
    matrix = np.array([
        [-weight * arm, 1, 1, 0, 0],
        [front.roll_stiffness, -1, 0, 0, 0],
        [rear.roll_stiffness, 0, -1, 0, 0],
        [0, 1, 0, -front.track, 0],
        [0, 0, 1, 0, -rear.track],
    ])
    pushed = [
        -((axle.mass - axle.unsprung_mass) * axle.roll_center_height + axle.unsprung_mass * axle.unsprung_height) * G for axle in axles
    ]
    roll, _, _, transfer_front, transfer_rear = np.linalg.solve(matrix, [weight * arm, 0, 0, *pushed])
    found = corner_balance(MASS, HEIGHT, front, rear)
    assert found.roll == pytest.approx(roll, rel=1e-12)
    assert found.front_load_transfer_share == pytest.approx(transfer_front / (transfer_front + transfer_rear), rel=1e-12)


@pytest.mark.parametrize("axles", CARS.values(), ids=CARS)
def test_roll_is_where_the_energy_is_least(axles: tuple[Axle, Axle]) -> None:
    """Judge: minimum of spring energy − work of side force − drop of the sprung mass, small angles (scipy)."""
    front, rear = axles
    sprung, height, rear_share = _sprung(front, rear)
    arm = height - (front.roll_center_height + (rear.roll_center_height - front.roll_center_height) * rear_share)
    stiffness = front.roll_stiffness + rear.roll_stiffness
    least = minimize_scalar(lambda roll: 0.5 * stiffness * roll**2 - sprung * G * arm * roll - 0.5 * sprung * G * arm * roll**2,
                            bounds=(0, 0.5), method="bounded", options={"xatol": 1e-10})
    assert corner_balance(MASS, HEIGHT, front, rear).roll == pytest.approx(least.x, rel=1e-6)


def test_whole_car_is_balanced_about_the_ground() -> None:
    """Judge: statics of the whole car: load transfers times tracks = m·g·h + shift of the rolled sprung mass."""
    found = corner_balance(MASS, HEIGHT, FRONT, REAR)
    sprung, _, _ = _sprung(FRONT, REAR)
    transfers = [
        (axle.roll_stiffness * found.roll + ((axle.mass - axle.unsprung_mass) * axle.roll_center_height
                                             + axle.unsprung_mass * axle.unsprung_height) * G)
        for axle in (FRONT, REAR)
    ]
    assert sum(transfers) == pytest.approx(MASS * G * HEIGHT + sprung * G * found.roll_arm * found.roll, rel=1e-9)


def test_published_worked_example() -> None:
    """Judge: worked example in Barton & Fieldhouse, Automotive Chassis Engineering (Springer), ch. 3, p. 174.

    Sprung mass 1280 kg, 54 % on the front, 0.365 m over the roll axis; roll centers 0.07 and 0.32 m; tracks 1.46 m;
    unsprung 140 kg at 0.280 m and 180 kg at 0.300 m; 28,650 N·m/rad in all. Roll 10.9 deg/g. At 0.6 g the front takes
    1556 + 195 + 158 N and the rear 671 + 760 + 218 N: springs, roll centers, unsprung masses.
    """
    stiffness, spring_share = 28650.0, 1556 / (1556 + 671)
    front = Axle(1280 * 0.54 + 140, 140.0, 1.46, 0.07, stiffness * spring_share, 0.280)
    rear = Axle(1280 * 0.46 + 180, 180.0, 1.46, 0.32, stiffness * (1 - spring_share), 0.300)
    sprung_height = 0.07 + (0.32 - 0.07) * 0.46 + 0.365
    height = (1280 * sprung_height + 140 * 0.280 + 180 * 0.300) / 1600
    found = corner_balance(1600.0, height, front, rear)
    assert found.roll_arm == pytest.approx(0.365)
    assert np.degrees(found.roll) == pytest.approx(10.9, abs=0.05)
    front_total, rear_total = 1556 + 195 + 158, 671 + 760 + 218
    assert found.front_load_transfer_share == pytest.approx(front_total / (front_total + rear_total), rel=0.005)


def test_equal_ends_share_equally() -> None:
    axle = Axle(850.0, 100.0, 1.5, 0.1, 30000.0, 0.32)
    found = corner_balance(MASS, HEIGHT, axle, axle)
    assert found.front_load_transfer_share == pytest.approx(0.5)
    assert found.balance_index == pytest.approx(0.0)


def test_springs_of_a_live_axle_act_at_their_spacing() -> None:
    """Judge: work. Rolled by φ, springs at ±s/2 change by φ·s/2 each: 2·½k(φs/2)² = ½Kφ²."""
    rate, spacing, roll = 22000.0, 1.07, 0.02
    stored = 2 * 0.5 * rate * (roll * spacing / 2) ** 2
    assert 0.5 * spring_roll_stiffness(rate, 1.0, spacing) * roll**2 == pytest.approx(stored, rel=1e-12)


@pytest.mark.parametrize(("front", "says"), [
    (FRONT._replace(roll_stiffness=0.0), "roll over"),
    (FRONT._replace(roll_center_height=0.9), "roll axis"),
    (FRONT._replace(unsprung_mass=935.0), "no sprung mass"),
])
def test_cars_that_cannot_stand_are_refused(front: Axle, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        corner_balance(MASS, HEIGHT, front, REAR._replace(roll_stiffness=2000.0))

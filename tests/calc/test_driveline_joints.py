"""Joint formulas judged by the exact motion of crosses in space: vectors, no small angles, differentiated numerically."""

import numpy as np
import pytest

from service.calc import driveline
from service.calc.driveline.joints import direction

DEGREE = np.pi / 180
TURN = np.linspace(0, 2 * np.pi, 721)


def around(axis: np.ndarray, vector: np.ndarray, angle: float) -> np.ndarray:
    """Rotate vectors (rows) about a unit axis, Rodrigues' formula."""
    return (vector * np.cos(angle) + np.cross(axis, vector) * np.sin(angle)
            + np.outer(vector @ axis, axis) * (1 - np.cos(angle)))


def through_cardan(pins: np.ndarray, second: np.ndarray) -> np.ndarray:
    """The cross's second pin, square to the first pin and to the axis it turns about."""
    other = np.cross(second, pins)
    return other / np.linalg.norm(other, axis=1, keepdims=True)


def through_constant_velocity(pins: np.ndarray, first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """Turned over by the smallest rotation that takes one axis into the other: equal angles about both."""
    normal = np.cross(first, second)
    size = np.linalg.norm(normal)
    return pins if size == 0 else around(normal / size, pins, np.arctan2(size, first @ second))


def through_double_cardan(pins: np.ndarray, first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """Two crosses in one coupling that halves the angle, the coupling's yokes in line."""
    middle = (first + second) / np.linalg.norm(first + second)
    return through_cardan(through_cardan(pins, middle), second)


def uneven_rotation(axes, joints, phases) -> np.ndarray:
    """Angle of the last shaft less that of the first, turned evenly over one turn."""
    units = [np.array(direction(*axis)) for axis in axes]
    side = np.cross(units[0], [0.0, 0.0, 1.0])
    side /= np.linalg.norm(side)
    pins = np.cos(TURN)[:, None] * side + np.sin(TURN)[:, None] * np.cross(units[0], side)
    for index, joint in enumerate(joints):
        first, second = units[index], units[index + 1]
        pins = {"cardan": lambda p, f, s: through_cardan(p, s), "constant_velocity": through_constant_velocity,
                "double_cardan": through_double_cardan}[joint](pins, first, second)
        if index < len(phases):
            pins = around(second, pins, phases[index])
    start = pins[0]
    turned = np.unwrap(np.arctan2(pins @ np.cross(units[-1], start), pins @ start))
    return turned - TURN


def peak_acceleration(axes, joints, phases) -> float:
    """Largest angular acceleration of the last shaft at 1 rad/s of the first, by central differences."""
    lag, step = uneven_rotation(axes, joints, phases)[:-1], TURN[1]
    return float(np.abs(np.roll(lag, -1) - 2 * lag + np.roll(lag, 1)).max() / step**2)


def test_one_joint_turns_by_the_textbook_formula() -> None:
    """Speed ratio cos b/(1 - sin^2 b cos^2 phi): the vectors against the formula of Seherr-Thoss, Schmelz & Aucktor."""
    beta = 10 * DEGREE
    lag, step = uneven_rotation([(0, 0), (beta, 0)], ["cardan"], [])[:-1], TURN[1]
    ratio = 1 + (np.roll(lag, -1) - np.roll(lag, 1)) / (2 * step)
    book = np.cos(beta) / (1 - np.sin(beta) ** 2 * np.cos(TURN[:-1]) ** 2)
    shifted = np.cos(beta) / (1 - np.sin(beta) ** 2 * np.sin(TURN[:-1]) ** 2)
    assert min(np.abs(ratio - book).max(), np.abs(ratio - shifted).max()) < 1e-5


@pytest.mark.parametrize("degrees", [1, 3, 6, 10])
def test_acceleration_of_one_joint(degrees: float) -> None:
    """Within 0.6 % below 10 deg, as the page of driveline.joint_vibration claims (finite differences add 0.05 %)."""
    beta = degrees * DEGREE
    assert driveline.angular_acceleration(beta, 1.0) == pytest.approx(peak_acceleration([(0, 0), (beta, 0)], ["cardan"], []), rel=0.0065)


LINES = {
    "in line": ([(3, 0), (5.2, 0), (2.5, 0)], ["cardan"] * 2, [0]),
    "worked example, offset from above": ([(3, 0), (5.2, 1), (2.5, 0)], ["cardan"] * 2, [0]),
    "broken back": ([(3, 0), (6, 0), (8, 0)], ["cardan"] * 2, [0]),
    "offset from above and compound": ([(2, -1), (4, 2), (6, 1)], ["cardan"] * 2, [0]),
    "yokes 30 deg out of phase": ([(3, 0), (6, 0), (3, 1)], ["cardan"] * 2, [30]),
    "yokes crossed": ([(3, 0), (6, 0), (3, 0)], ["cardan"] * 2, [90]),
    "two-piece": ([(3, 0), (4, 0), (6.5, 0), (4.5, 0)], ["cardan"] * 3, [0, 0]),
    "two-piece, compound and out of phase": ([(3, 1), (4, -1), (7, 1), (4.5, 0)], ["cardan"] * 3, [20, -35]),
    "constant velocity at the center": ([(0, 0), (3, 0), (5, 1), (1, 0)], ["cardan", "constant_velocity", "cardan"], [0, 0]),
    "double cardan at the center": ([(0, 0), (3, 0), (5, 1), (1, 0)], ["cardan", "double_cardan", "cardan"], [0, 0]),
    "double cardan at the front": ([(0, 0), (6, 0), (4, 1)], ["double_cardan", "cardan"], [0]),
}


@pytest.mark.parametrize("name", LINES)
def test_residual_angle_against_crosses_in_space(name: str) -> None:
    degrees, joints, phases = LINES[name]
    axes = [(slope * DEGREE, plan * DEGREE) for slope, plan in degrees]
    turned = [phase * DEGREE for phase in phases]
    theta = driveline.residual_angle(axes, [joint == "cardan" for joint in joints], turned)
    exact = peak_acceleration(axes, joints, turned)
    largest = sum(angle**2 for angle in driveline.working_angles(axes))
    assert theta**2 == pytest.approx(exact, abs=0.012 * largest)


@pytest.mark.parametrize(("first", "second"), [((3, 0), (5.2, 1)), ((-8, 4), (12, -7)), ((0, 0), (0.01, 0))])
def test_working_angle_by_the_arc_cosine_and_by_rotation_matrices(first, second) -> None:
    """Scalar product of the axes; judged by turning the rear axis by yaw and pitch matrices."""
    def turned(slope: float, plan: float) -> np.ndarray:
        s, p = slope * DEGREE, plan * DEGREE
        yaw = np.array([[np.cos(p), -np.sin(p), 0], [np.sin(p), np.cos(p), 0], [0, 0, 1]])
        pitch = np.array([[np.cos(s), 0, np.sin(s)], [0, 1, 0], [-np.sin(s), 0, np.cos(s)]])
        return yaw @ pitch @ [1.0, 0.0, 0.0]
    expected = np.arctan2(np.linalg.norm(np.cross(turned(*first), turned(*second))), turned(*first) @ turned(*second))
    angle = driveline.working_angle(tuple(np.radians(first)), tuple(np.radians(second)))
    assert angle == pytest.approx(float(expected), rel=1e-9)


@pytest.mark.parametrize(("rpm", "limit", "degrees"), [
    (1500, 400, 7.3), (1600, 400, 6.9), (1700, 400, 6.5),
])
def test_angle_limit_against_the_published_two_joint_chart(rpm: float, limit: float, degrees: float) -> None:
    """Chart of a public engineering reference page after SAE AE-7: angle of one joint beside 0 deg; printed to 0.1 deg."""
    assert driveline.angle_limit(rpm * np.pi / 30, limit) / DEGREE == pytest.approx(degrees, abs=0.07)


@pytest.mark.parametrize("call", [
    lambda: driveline.angle_limit(0.0),
    lambda: driveline.residual_angle([(0, 0), (0.1, 0)], [True, True], [0.0]),
    lambda: driveline.residual_angle([(0, 0), (0.1, 0), (0, 0)], [True, True], []),
])
def test_meaningless_input_is_refused(call) -> None:
    with pytest.raises(ValueError, match=r"\w+ \w+"):
        call()

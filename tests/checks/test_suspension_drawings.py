"""What suspension checks hand to the drawings agrees with their own figures and with plane geometry."""

from __future__ import annotations

from typing import Any

import pytest

from tests.checks.cases import cases, result


def _result(check: str, name: str) -> dict[str, Any]:
    found = result(next(case for case in cases() if case.check == check and case.name == name))
    assert found is not None
    return found


def _roll_center(side: dict[str, Any]) -> float:
    """Height at which the line from the tire's contact to the instant center crosses the centerline, drawn by two points."""
    y, z = side["instant_center"]
    contact = side["contact_y"]
    return z * contact / (contact - y)


@pytest.mark.parametrize("arm", ["worked example", "the arm with the spring"])
def test_front_view_before_and_after_is_drawn_from_the_ground(arm: str) -> None:
    """The wheel stands on the ground before and after; the lines drawn meet where the roll center is said to be."""
    found = _result("suspension.ball_joint_relocation", arm)
    view, curve = found["series"]
    before, after = view["before"], view["after"]
    assert after["wheel_center"][1] == pytest.approx(before["wheel_center"][1], abs=1e-9)
    outward = after["wheel_center"][0] - before["wheel_center"][0]
    for side, contact, name in ((before, view["track"] / 2, "before"), (after, view["track"] / 2 + outward, "after")):
        assert _roll_center({**side, "contact_y": contact}) == pytest.approx(found["values"][f"roll_center_height_{name}"]["si"], rel=1e-9)
    drop = after["lower_pivot"][1] - before["lower_pivot"][1]
    assert drop == pytest.approx(found["values"]["ride_height_change"]["si"], abs=5e-5)
    assert curve["after"][-1] - curve["after"][5] == pytest.approx(found["values"]["camber_change_in_bump_after"]["si"], rel=1e-9)


def test_camber_curve_passes_through_the_figures() -> None:
    found = _result("suspension.camber_curve", "worked example")
    curve = found["series"][1]
    middle = len(curve["travel"]) // 2
    assert curve["travel"][middle] == 0
    assert curve["before"][-1] - curve["before"][middle] == pytest.approx(found["values"]["camber_change_in_bump"]["si"])
    assert curve["before"][0] - curve["before"][middle] == pytest.approx(found["values"]["camber_change_in_droop"]["si"])


def test_bar_beside_the_one_it_replaces() -> None:
    """The table's roll with the original bar is what the check itself gives when that bar is fitted."""
    name = "with the roll figures of the whole car"
    case = next(case for case in cases() if case.check == "suspension.bar_against_use" and case.name == name)
    found = result(case)
    original = result(case, {**case.body["facts"], "anti_roll_bar.diameter@front": "15/16 in"})
    assert found is not None and original is not None
    assert found["series"]["roll_at_one_g_before"] == pytest.approx(original["values"]["roll_at_one_g"]["si"], rel=1e-12)
    assert [row[0] for row in found["table"]["rows"]] == ["diameter", "stiffness", "roll in a 1 g corner", "front share of the roll stiffness"]


def test_corner_weights_drawn_as_weighed() -> None:
    found = _result("weights.distribution", "worked example")
    assert found["series"]["mass"] == {"front_left": 500.0, "front_right": 490.0, "rear_left": 400.0, "rear_right": 390.0}

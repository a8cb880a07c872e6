"""The figures behind the cooling drawings agree with the results they illustrate."""

from __future__ import annotations

import itertools

import numpy
import pytest

from tests.checks.cases import cases, result


def _found(check: str, name: str) -> dict:
    found = result(next(case for case in cases() if case.check == check and case.name == name))
    assert found is not None
    return found


@pytest.mark.parametrize(("name", "use"), [("worked example", "carries"), ("track", "does not carry")])
def test_heat_curve_lies_above_the_heat_exactly_when_the_coolant_stays_below_its_limit(name: str, use: str):
    series = _found("cooling.heat_rejection", name)["series"]
    curve = series["curve"]
    for state in series["states"]:
        carried = numpy.interp(state["face_velocity"], curve["face_velocity"], curve["heat_carried"])
        assert (carried > state["heat"]) == (state["coolant_temperature"] < series["highest_temperature"])
    assert any(state["coolant_temperature"] > series["highest_temperature"] for state in series["states"]) == (use == "does not carry")


def test_more_air_carries_more_heat():
    carried = _found("cooling.heat_rejection", "worked example")["series"]["curve"]["heat_carried"]
    assert all(more > less > 0 for less, more in itertools.pairwise(carried))


def test_slot_drawing_holds_the_window():
    found = _found("cooling.radiator_height", "worked example")
    series = found["series"]
    assert series["highest_height"] - series["lowest_height"] == pytest.approx(found["values"]["window"]["si"])
    assert series["highest_height"] + series["top_above_mount"] + series["hood_gap"] <= series["hood_height"] + 1e-12

"""Remedies of cooling stop where another check would no longer pass."""

from __future__ import annotations

import pytest

from service.quantities import read
from tests.checks.cases import Case, cases, result


def _case(check: str, name: str) -> Case:
    return next(case for case in cases() if case.check == check and case.name == name)


def _remedies(check: str, name: str) -> dict[str, dict]:
    found = result(_case(check, name))
    assert found is not None
    return {entry["fact"]: entry for entry in found["remedies"] if entry["fact"]}


def test_a_hotter_limit_is_offered_where_nothing_is_known_of_the_coolant():
    assert "coolant.highest_temperature" in _remedies("cooling.heat_rejection", "condenser ahead")


def test_a_hotter_limit_is_not_offered_where_the_coolant_would_boil():
    assert "coolant.highest_temperature" not in _remedies("cooling.heat_rejection", "a hotter limit is no way out where the coolant would boil")


def test_a_richer_mix_is_offered_up_to_sixty_percent():
    offered = _remedies("cooling.boiling_margin", "plain water under a weak cap")["coolant.glycol_fraction"]
    assert read(offered["at_most"], "dimensionless").si == pytest.approx(0.60, rel=1e-3)


def test_a_richer_mix_is_not_offered_where_sixty_percent_is_not_enough():
    assert "coolant.glycol_fraction" not in _remedies("cooling.boiling_margin", "little in hand")


def test_a_cap_is_offered_up_to_what_the_radiator_holds():
    offered = _remedies("cooling.boiling_margin", "cap stronger than the radiator")["radiator.cap_pressure"]
    assert read(offered["at_most"], "pressure").si == pytest.approx(read("13 psi", "pressure").si, rel=1e-3)

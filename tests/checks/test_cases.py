"""Every case of every check gives what it says."""

from __future__ import annotations

import pytest

from service.document.address import resolve
from service.quantities import read
from tests.checks.cases import Case, cases, result

KEYS = {"verdict", "values", "no_values", "missing", "assumed", "remedies", "says", "safety", "margin", "cap"}


@pytest.mark.parametrize("case", [pytest.param(case, id=f"{case.check}: {case.name}") for case in cases()])
def test_case(case: Case) -> None:
    found = result(case)
    if case.expect == "none":
        assert found is None
        return
    assert found is not None, "the check gave no result"
    expect = case.expect
    assert set(expect) <= KEYS, f"unknown expectations {set(expect) - KEYS}"
    assert found["verdict"] == expect["verdict"], found["summary"]
    assert found["summary"].strip()
    for name, si in expect.get("values", {}).items():
        assert name in found["values"], f"no value {name}; there are {sorted(found['values'])}"
        assert found["values"][name]["si"] == pytest.approx(si, rel=1e-3, abs=1e-9), name
    for name in expect.get("no_values", ()):
        assert name not in found["values"]
    if "missing" in expect:
        assert found["missing"] == expect["missing"]
    if "safety" in expect:
        assert found["safety"] is expect["safety"]
    if "margin" in expect:
        assert found["margin"] == (expect["margin"] if expect["margin"] is None else pytest.approx(expect["margin"], rel=2e-3, abs=1e-6))
    if "cap" in expect:
        assert (found["cap"] or {}).get("lifted_by") == expect["cap"]
    assumed = {entry.get("fact") or entry.get("name") for entry in found["assumed"]}
    assert set(expect.get("assumed", ())) <= assumed
    for text in expect.get("says", ()):
        assert text in found["summary"]
    _remedies(expect.get("remedies", {}), found)


def _remedies(expected: dict[str, dict[str, object]], found: dict) -> None:
    given = {entry["fact"]: entry for entry in found["remedies"] if entry["fact"]}
    for fact, wanted in expected.items():
        assert fact in given, f"no remedy in {fact}; there are {sorted(given)}"
        for key, value in wanted.items():
            if key in ("at_least", "at_most"):
                dimension = resolve(fact)[3].dimension
                if dimension == "integer":
                    assert given[fact][key] == str(value)
                else:
                    assert read(str(given[fact][key]), dimension).si == pytest.approx(read(str(value), dimension).si, rel=2e-3), given[fact]
            else:
                assert given[fact][key] == value

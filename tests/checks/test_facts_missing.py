"""A finding that stands by what is known is said in whole words, whatever other fact is taken away."""

from __future__ import annotations

import re

import pytest

from tests.checks.cases import Case, cases, results

#: "Bolt circle … is 0.026 in, at most": a figure held against a limit.
BOUNDS = re.compile(r"([A-Z][^.]* is [^,]+), (?:at most|at least|between)")
FAILS = [pytest.param(case, id=f"{case.check}: {case.name}") for case in cases()
         if case.expect != "none" and case.expect["verdict"] == "fail" and not case.check.startswith(("readiness", "records"))]


@pytest.mark.parametrize("case", FAILS)
def test_each_fact_taken_away(case: Case) -> None:
    facts = case.body.get("facts") or {}
    for gone in facts:
        for found in results(case, {fact: value for fact, value in facts.items() if fact != gone}).values():
            summary = found["summary"]
            assert summary, gone
            assert "None" not in summary, gone
            assert "  " not in summary, gone
            named = BOUNDS.findall(summary)
            assert len(named) == len(set(named)), f"{gone}: one figure is told twice"

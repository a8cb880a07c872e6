"""What holds for every check, tried on its worked example."""

from __future__ import annotations

from typing import Any

import pytest

from service.checks.answer import answer
from service.checks.bind import Car
from service.checks.plan import field_at
from service.checks.registry import checks
from service.document.facts import Facts
from service.quantities import exact, units_of
from service.vocabulary.core import Field
from tests.checks.cases import Case, cases, document, result, results_for, worked_example

CHECKED = sorted({case.check for case in cases()})
EXAMPLES = [pytest.param(worked_example(check), id=check) for check in CHECKED]


def test_every_check_has_cases() -> None:
    assert sorted(checks()) == CHECKED


@pytest.mark.parametrize("check", CHECKED)
def test_cases_cover_the_verdicts(check: str) -> None:
    """A check shows each verdict it can give; `readiness`, `records` and rules have fewer."""
    verdicts = {case.expect["verdict"] for case in cases() if case.check == check and case.expect != "none"}
    assert "pass" in verdicts
    assert verdicts & {"caution", "fail"}, "no case in which it finds anything"


@pytest.mark.parametrize("case", EXAMPLES)
def test_required_facts_missing_in_turn(case: Case) -> None:
    """Without a required fact the verdict is unknown and names it, or fail by a limit that does not need it."""
    facts = dict(case.body.get("facts") or {})
    car = Car(Facts(document(case.body)))
    plan = car.plan(case.check, case.position)
    for item in checks()[case.check].inputs:
        address = plan.addresses.get(item.name)
        if not item.required or address not in facts or item.when is not None or address == "build.use":
            continue
        left = {key: value for key, value in facts.items() if key != address}
        found = result(case, left)
        if found is None or address not in found["missing"]:
            # The fact may have come back by a derivation or decide whether the check applies at all.
            assert found is None or any(entry["fact"] == address for entry in found["inputs"]), f"{address} is gone and nobody says so"
            continue
        assert found["verdict"] in ("unknown", "fail"), address


@pytest.mark.parametrize("case", [pytest.param(case, id=f"{case.check}: {case.name}") for case in cases()])
def test_remedies_make_it_pass(case: Case) -> None:
    """Each remedy, applied alone, makes the whole check pass."""
    found = result(case) if case.expect != "none" else None
    if found is None or found["cap"] is not None:
        return
    for remedy in found["remedies"]:
        if remedy["fact"] is None:
            continue
        for wire in [remedy[key] for key in ("at_least", "at_most", "stock") if remedy.get(key)] + list(remedy.get("one_of", ())):
            after = _with(case, remedy["fact"], wire)
            assert after["verdict"] == "pass", f"{remedy['fact']} = {wire}: {after['verdict']}, {after['summary']}"


def _with(case: Case, fact: str, wire: Any) -> dict[str, Any]:
    facts = Facts(document(case.body)).with_changes({fact: int(wire) if _is_integer(fact) else wire})
    return results_for(case.check, facts)[case.position]


def _is_integer(fact: str) -> bool:
    field = field_at(fact)
    return isinstance(field, Field) and field.dimension == "integer"


@pytest.mark.parametrize("case", EXAMPLES)
def test_both_unit_systems_agree(case: Case) -> None:
    """The answer is the same whichever system the shop reads."""
    us, metric = result(case, units="us"), result(case, units="metric")
    assert us is not None and metric is not None
    assert us["verdict"] == metric["verdict"]
    for name, value in us["values"].items():
        assert metric["values"][name]["si"] == pytest.approx(value["si"], rel=1e-12)


@pytest.mark.parametrize("case", EXAMPLES)
def test_absurd_inputs_never_raise(case: Case) -> None:
    """Each numeric input at both ends of what is possible, and at zero: an answer every time, with a reason if unknown."""
    facts = dict(case.body.get("facts") or {})
    for address in facts:
        field = field_at(address)
        if not isinstance(field, Field) or not field.is_quantity or field.hard_range is None:
            continue
        unit = units_of(field.dimension)[0] if field.dimension != "wire_size" else "mm2"
        for si in (field.hard_range.low, field.hard_range.high, 0.0):
            if si not in field.hard_range:
                continue
            found = result(case, {**facts, address: exact(si, field.dimension, unit)}, full=False)
            if found is not None:
                assert found["verdict"] in ("pass", "caution", "fail", "unknown")
                assert found["verdict"] != "unknown" or found["missing"] or found["reason"]


def test_an_empty_car_gets_an_answer() -> None:
    whole = answer(document({}))
    assert whole["ready"]["for_road"] is False

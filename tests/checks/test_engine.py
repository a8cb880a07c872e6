"""The engine's own rules, tried on small checks made for the purpose."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from service.checks import answer as answers
from service.checks import bind, binder, compare, registry, run
from service.checks.companions import Rule, companions
from service.checks.core import Check, Fix, Outcome, Shown, Unknown, constant, derived, need, on_car, option
from service.checks.speak import say_value
from service.document import load

HEAD = {"format": "as-fitted/build/1", "car": {"make": "Example", "model": "One", "year": 1962}, "build": {"use": "street"}}


def document(facts: Mapping[str, Any] | None = None, **more: Any) -> dict[str, Any]:
    specs = [{"id": f"s{index}", "fact": fact, "value": value} for index, (fact, value) in enumerate((facts or {}).items())]
    return load({**HEAD, **more, "specs": specs})


def small(**given: Any) -> Check:
    """A check on the axle's ratio unless told otherwise."""
    usual: dict[str, Any] = {
        "title": "A small check",
        "system": "driveline",
        "safety": True,
        "inputs": [need("axle.ratio")],
        "values": {"ratio": Shown("ratio", "dimensionless"), "other": Shown("other", "dimensionless")},
        "judge": lambda x, out: (out.value("ratio", x.ratio), out.at_most("ratio", 4.0, 3.5, why="made up"))[0] and None,
        "say": lambda s: f"The ratio is {s.ratio}.",
        "formula": "none",
        "basis": [derived("made up")],
    }
    return Check(**{**usual, **given})


@pytest.fixture
def only(monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    """Let the engine know only the given checks."""

    def install(provides: Mapping[tuple[str, str], tuple[str, str, str]] | None = None, **found: Check) -> None:
        named = {f"driveline.{name}": check for name, check in found.items()}
        for module in (registry, bind, binder, compare, run, answers):
            if hasattr(module, "checks"):
                monkeypatch.setattr(module, "checks", lambda: named)
            if hasattr(module, "providers"):
                monkeypatch.setattr(module, "providers", lambda: provides or {})
            if hasattr(module, "derivations"):
                monkeypatch.setattr(module, "derivations", dict)

    return install


def one(found: dict[str, Any], name: str = "small") -> dict[str, Any]:
    return next(item for item in found["results"] if item["check"] == f"driveline.{name}")


@pytest.mark.parametrize(
    ("ratio", "verdict", "margin"),
    [
        (3.2, "pass", 0.2),
        (3.5, "pass", 0.125),
        (3.8, "caution", 0.05),
        (4.0, "caution", 0.0),
        (4.4, "fail", -0.1),
        ("3.4 ± 0.2", "pass", 0.15),
        ("3.4 ± 0.7", "caution", 0.15),
        ("3.8 ± 0.01", "caution", 0.05),
    ],
)
def test_verdict_and_margin(only: Any, ratio: Any, verdict: str, margin: float) -> None:
    only(small=small())
    found = one(answers.answer(document({"axle.ratio": ratio})))
    assert found["verdict"] == verdict
    assert found["margin"] == pytest.approx(margin)


def test_the_worst_corner_is_said(only: Any) -> None:
    only(small=small())
    found = one(answers.answer(document({"axle.ratio": "3.4 ± 0.7"})))
    assert "worst corner" in found["summary"]
    assert found["values"]["ratio"]["low"] == pytest.approx(2.7)
    assert found["values"]["ratio"]["high"] == pytest.approx(4.1)


def test_bands_and_zero_limits(only: Any) -> None:
    def judge(x: Any, out: Outcome) -> None:
        out.value("ratio", x.ratio)
        out.within("ratio", (3.0, 3.5), (2.5, 4.5))

    only(small=small(judge=judge))
    found = one(answers.answer(document({"axle.ratio": 3.0})))
    assert found["margin"] == pytest.approx(0.25)
    assert [limit["kind"] for limit in found["limits"]] == ["between", "between"]
    only(small=small(judge=lambda x, out: out.at_least("ratio", 0.0, value=x.ratio)))
    assert one(answers.answer(document({"axle.ratio": 3.0})))["margin"] is None


def test_a_missing_fact_is_unknown_and_named(only: Any) -> None:
    only(small=small(inputs=[need("axle.ratio"), need("engine.redline")]))
    found = one(answers.answer(document({"engine.redline": "6000 rpm"})))
    assert found["verdict"] == "unknown"
    assert found["missing"] == ["axle.ratio"]


def test_a_limit_that_needs_less_already_fails(only: Any) -> None:
    def judge(x: Any, out: Outcome) -> None:
        out.at_most("ratio", 4.0, value=out.value("ratio", x.ratio))
        out.value("other", x.redline)

    only(small=small(inputs=[need("axle.ratio"), need("engine.redline")], judge=judge))
    found = one(answers.answer(document({"axle.ratio": 5})))
    assert (found["verdict"], found["missing"]) == ("fail", ["engine.redline"])
    assert one(answers.answer(document({"axle.ratio": 3})))["verdict"] == "unknown"


def test_alternatives_name_what_lacks_from_the_first(only: Any) -> None:
    def judge(x: Any, out: Outcome) -> None:
        out.value("ratio", x.ratio if x.has("ratio") else x.pinion)

    check = small(
        inputs=[option("axle.ratio"), option("axle.pinion_torque_rating", "pinion"), option("axle.torque_rating")],
        judge=judge,
        either=[(("ratio",), ("pinion", "torque_rating"))],
        applies=on_car("axle"),
    )
    only(small=check)
    assert one(answers.answer(document({"axle.pinion_torque_rating": "900 lb-ft"})))["missing"] == ["axle.ratio"]
    assert one(answers.answer(document({"axle.ratio": 4.1})))["missing"] == []


def test_defaults_are_assumed_and_can_carry_a_spread(only: Any) -> None:
    check = small(
        inputs=[need("axle.ratio"), option("transmission.low_range_ratio", "low", default=1.0, tolerance=0.5, why="usual")],
        judge=lambda x, out: out.at_most("ratio", 4.0, value=out.value("ratio", x.ratio * x.low)),
    )
    only(small=check)
    found = one(answers.answer(document({"axle.ratio": 3})))
    assert found["verdict"] == "caution"
    assert found["assumed"] == [{"fact": "transmission.low_range_ratio", "value": "1 ± 0.5", "si": 1.0, "tolerance_si": 0.5, "why": "usual"}]
    assert one(answers.answer(document({"axle.ratio": 3, "transmission.low_range_ratio": 1})))["verdict"] == "pass"


def test_constants_of_the_method_take_part(only: Any) -> None:
    check = small(
        inputs=[need("axle.ratio"), constant("share", 1.0, 0.5)], judge=lambda x, out: out.at_most("ratio", 4.0, value=out.value("ratio", x.ratio * x.share))
    )
    only(small=check)
    found = one(answers.answer(document({"axle.ratio": 3})))
    assert found["verdict"] == "caution"
    assert [entry["name"] for entry in found["assumed"]] == ["share"]


@pytest.mark.parametrize(("ratio", "verdict", "capped"), [(3.0, "caution", True), (3.8, "caution", False), (4.5, "fail", False)])
def test_at_best_caution(only: Any, ratio: float, verdict: str, capped: bool) -> None:
    def judge(x: Any, out: Outcome) -> None:
        out.at_most("ratio", 4.0, 3.5, value=out.value("ratio", x.ratio))
        out.at_best_caution("the redline is not known", "redline")

    only(small=small(inputs=[need("axle.ratio"), option("engine.redline")], judge=judge, remedies=[Fix("axle.ratio")]))
    found = one(answers.answer(document({"axle.ratio": ratio})))
    assert found["verdict"] == verdict
    assert (found["cap"] is not None) is capped
    if capped:
        assert found["cap"]["lifted_by"] == "engine.redline"
        assert [entry["fact"] for entry in found["remedies"]] == ["engine.redline"]


def test_an_assumption_softens_a_fail(only: Any) -> None:
    def judge(x: Any, out: Outcome) -> None:
        out.at_most("ratio", 4.0, value=out.value("ratio", x.ratio))
        out.not_a_fail("only assumed", "ratio")

    only(small=small(judge=judge))
    assert one(answers.answer(document({"axle.ratio": 5})))["verdict"] == "caution"
    assert one(answers.answer(document({"axle.ratio": 3})))["verdict"] == "pass"


def test_a_softened_fail_is_unknown_while_facts_are_missing(only: Any) -> None:
    def judge(x: Any, out: Outcome) -> None:
        out.at_most("ratio", 4.0, value=out.value("ratio", x.ratio))
        out.not_a_fail("only assumed", "ratio")
        out.value("other", x.redline)

    only(small=small(inputs=[need("axle.ratio"), need("engine.redline")], judge=judge))
    assert one(answers.answer(document({"axle.ratio": 5})))["verdict"] == "unknown"
    assert one(answers.answer(document({"axle.ratio": 5, "engine.redline": "6000 rpm"})))["verdict"] == "caution"


def test_meaningless_figures_are_unknown_with_the_reason(only: Any) -> None:
    def judge(x: Any, out: Outcome) -> None:
        raise ValueError("the wall is thicker than the tube")

    only(small=small(judge=judge))
    found = one(answers.answer(document({"axle.ratio": 3})))
    assert found["verdict"] == "unknown"
    assert "the wall is thicker than the tube" in found["summary"]


@pytest.mark.parametrize("count", [8, 9])
def test_corners_all_of_them_and_the_pointed_ones(only: Any, count: int) -> None:
    """Up to eight toleranced facts every corner, beyond that by sign of effect: for a monotone function the same."""
    facts = [
        "engine.bore",
        "engine.stroke",
        "engine.rod_length",
        "engine.gasket_bore",
        "engine.gasket_thickness",
        "engine.deck_clearance",
        "flexplate.thickness",
        "flexplate_spacer.thickness",
        "driveshaft.wall",
    ][:count]
    check = small(
        inputs=[need(fact, f"in{index}") for index, fact in enumerate(facts)],
        judge=lambda x, out: out.value("ratio", sum((1 if index % 2 else -1) * getattr(x, f"in{index}") for index in range(count))),
    )
    only(small=check)
    given = {fact: "0.5 mm ± 0.1 mm" if "thickness" in fact or "deck" in fact or "wall" in fact else "100 mm ± 0.1 mm" for fact in facts}
    value = one(answers.answer(document(given)))["values"]["ratio"]
    assert value["high"] - value["si"] == pytest.approx(count * 1e-4)
    assert value["si"] - value["low"] == pytest.approx(count * 1e-4)


def test_one_fact_that_feeds_two_inputs_moves_both(only: Any) -> None:
    """A tolerance belongs to the recorded fact: its difference with itself has none."""
    check = small(
        inputs=[need("tire.pressure@front_left", "left"), need("tire.pressure@front_right", "right")], judge=lambda x, out: out.value("ratio", x.left - x.right)
    )
    only(small=check)
    value = one(answers.answer(document({"tire.pressure@front": "32 psi ± 2 psi"})))["values"]["ratio"]
    assert value["low"] == value["high"] == 0


def test_an_axle_reads_the_mean_of_its_corners(only: Any) -> None:
    check = small(inputs=[need("tire.rolling_radius@rear", "radius")], judge=lambda x, out: out.value("ratio", x.radius))
    only(small=check)
    found = one(answers.answer(document({"tire.rolling_radius@rear_left": "330 mm", "tire.rolling_radius@rear_right": "340 mm ± 2 mm"})))
    assert found["values"]["ratio"]["si"] == pytest.approx(0.335)
    assert found["values"]["ratio"]["high"] == pytest.approx(0.336)
    assert found["inputs"][-1]["from"] == {"facts": ["tire.rolling_radius@rear_left", "tire.rolling_radius@rear_right"]}


def provided() -> dict[str, Check]:
    giver = small(inputs=[need("weights.lift_height")], judge=lambda x, out: out.value("ratio", 2 * x.lift_height), applies=on_car("weights"))
    taker = small(inputs=[need("car.cg_height")], judge=lambda x, out: out.value("other", x.cg_height), applies=on_car("weights"))
    return {"giver": giver, "taker": taker}


PROVIDES = {("car", "cg_height"): ("driveline.giver", "ratio", "car.cg_height")}


def test_a_fact_from_another_check_carries_its_tolerance(only: Any) -> None:
    only(PROVIDES, **provided())
    found = one(answers.answer(document({"weights.lift_height": "300 mm ± 10 mm"})), "taker")
    assert found["values"]["other"]["si"] == pytest.approx(0.6)
    assert found["values"]["other"]["high"] == pytest.approx(0.62)
    assert {"fact": "car.cg_height", "from": {"check": "driveline.giver"}}.items() <= next(
        {key: entry[key] for key in ("fact", "from")} for entry in found["inputs"] if entry["fact"] == "car.cg_height"
    ).items()


def test_when_the_giver_is_unknown_both_are_asked_for(only: Any) -> None:
    only(PROVIDES, **provided())
    found = answers.answer(document({"weights.raised_axle": "front"}))
    assert one(found, "taker")["missing"] == ["car.cg_height"]
    assert {"car.cg_height", "weights.lift_height"} == {entry["fact"] for entry in found["measure_next"]}


def test_recorded_and_computed_disagree(only: Any) -> None:
    only(PROVIDES, **provided())
    near = one(answers.answer(document({"weights.lift_height": "300 mm", "car.cg_height": "610 mm"})), "taker")
    far = one(answers.answer(document({"weights.lift_height": "300 mm", "car.cg_height": "700 mm"})), "taker")
    assert "measure again" not in near["summary"]
    assert "measure again" in far["summary"]
    assert far["values"]["other"]["si"] == pytest.approx(0.7)


def test_remedies_both_sides_stock_and_choices(only: Any) -> None:
    def judge(x: Any, out: Outcome) -> None:
        out.within("ratio", (3.0, 3.5), value=out.value("ratio", x.ratio))

    only(small=small(judge=judge, remedies=[Fix("axle.ratio", "stock {stock}", stock=(2.5, 3.25, 4.0))]))
    remedy = one(answers.answer(document({"axle.ratio": 4.1})))["remedies"]
    assert remedy == [{"fact": "axle.ratio", "at_least": "3", "at_most": "3.5", "stock": "3.25", "note": "stock 3.25"}]


def test_a_narrow_passing_stretch_is_found(only: Any) -> None:
    def judge(x: Any, out: Outcome) -> None:
        out.within("ratio", (5.123, 5.124), value=out.value("ratio", x.ratio))

    only(small=small(judge=judge, remedies=[Fix("axle.ratio")]))
    remedy = one(answers.answer(document({"axle.ratio": 3.0})))["remedies"][0]
    assert 5.123 <= float(remedy["at_least"]) <= float(remedy["at_most"]) <= 5.124


def test_a_stock_size_at_the_very_edge_is_offered(only: Any) -> None:
    def judge(x: Any, out: Outcome) -> None:
        out.at_most("ratio", 3.7, value=out.value("ratio", x.ratio))

    only(small=small(judge=judge, remedies=[Fix("axle.ratio", stock=(3.1, 3.7, 4.1))]))
    for recorded in (3.71, 3.9, 4.56, 7.3):
        assert one(answers.answer(document({"axle.ratio": recorded})))["remedies"][0]["stock"] == "3.7"


def test_a_remedy_that_cannot_reach_a_pass_is_not_offered(only: Any) -> None:
    def judge(x: Any, out: Outcome) -> None:
        out.at_most("ratio", 4.0, value=out.value("ratio", x.ratio))
        out.must(False, "something else is wrong")

    only(small=small(judge=judge, remedies=[Fix("axle.ratio"), "put the other thing right"]))
    assert one(answers.answer(document({"axle.ratio": 5})))["remedies"] == [{"fact": None, "note": "put the other thing right"}]


def test_the_others_keep_their_tolerance_in_a_remedy(only: Any) -> None:
    check = small(
        inputs=[need("axle.ratio"), option("transmission.low_range_ratio", "low", default=1.0)],
        judge=lambda x, out: out.at_most("ratio", 4.0, value=out.value("ratio", x.ratio * x.low)),
        remedies=[Fix("axle.ratio")],
    )
    only(small=check)
    remedy = one(answers.answer(document({"axle.ratio": 5, "transmission.low_range_ratio": "1 ± 0.25"})))["remedies"][0]
    assert float(remedy["at_most"]) == pytest.approx(3.2, rel=1e-3)


def test_a_remedy_may_aim_narrower_than_what_passes(only: Any) -> None:
    """The aim cuts the passing stretch, also where stock is chosen; an aim that nowhere passes is left aside."""
    check = small(remedies=[Fix("axle.ratio", stock=(2.0, 2.7, 3.2), within=lambda x: (2.5, 3.0001))])
    only(small=check)
    assert one(answers.answer(document({"axle.ratio": 3.8})))["remedies"] == [{"fact": "axle.ratio", "at_least": "2.5", "at_most": "3", "stock": "2.7"}]
    only(small=small(remedies=[Fix("axle.ratio", within=lambda x: (4.0, 5.0))]))
    assert one(answers.answer(document({"axle.ratio": 3.8})))["remedies"] == [{"fact": "axle.ratio", "at_most": "3.5"}]


def test_a_remedy_outside_the_usual_figures_says_so_and_comes_last(only: Any) -> None:
    """Usual axle ratios are 2.5 to 5.5, usual redlines 4500 to 8500 rpm."""
    def judge(x: Any, out: Outcome) -> None:
        out.at_least("ratio", 6.0, value=out.value("ratio", x.ratio * x.redline / 523))

    fixes = [Fix("axle.ratio", "shorter gears"), Fix("engine.redline")]
    only(small=small(inputs=[need("axle.ratio"), need("engine.redline")], judge=judge, remedies=fixes))
    found = one(answers.answer(document({"axle.ratio": 5, "engine.redline": "5000 rpm"})))["remedies"]
    assert [entry["fact"] for entry in found] == ["engine.redline", "axle.ratio"]
    assert "note" not in found[0]
    assert found[1]["note"] == "shorter gears; outside the usual 2.5 to 5.5, so look for another way first"
    already = one(answers.answer(document({"axle.ratio": 5.8, "engine.redline": "5000 rpm"})))["remedies"]
    assert already[0]["note"] == "shorter gears"


@pytest.mark.parametrize(("typed", "units", "said"), [
    ("60 N*m", "metric", "60 N·m"), ("60 Nm ± 2 Nm", "metric", "60 N·m"), ("44 ft-lbs", "us", "44 lb·ft"), ("1,250 lb-ft", "us", "1,250 lb·ft"), ("60 N*m", "us", "44.25 lb·ft"),
])
def test_a_typed_unit_is_said_in_its_own_spelling_and_kept_as_typed(only: Any, typed: str, units: str, said: str) -> None:
    only(small=small(inputs=[need("engine.peak_torque", "ratio")], say=lambda s: f"The torque is {s.ratio}.", judge=lambda x, out: None))
    found = one(answers.answer(document({"engine.peak_torque": typed}, build={"use": "street", "units": units})))
    assert found["summary"] == f"The torque is {said}."
    assert found["inputs"][0]["value"] == typed


@pytest.mark.parametrize(("typed", "said"), [("51-1/8\"", "51-1/8 in"), ("5'10\"", "5'10\""), ("52 3/4 in ± 0.1 in", "52 3/4 in"), ("51⅛ in", "51⅛ in")])
def test_fractions_and_feet_are_said_as_typed(only: Any, typed: str, said: str) -> None:
    only(small=small(inputs=[need("driveshaft.length", "ratio")], say=lambda s: f"It is {s.ratio} long.", judge=lambda x, out: None, applies=on_car("driveshaft")))
    assert one(answers.answer(document({"driveshaft.length": typed})))["summary"] == f"It is {said} long."


def test_order_of_results_and_what_to_measure_next(only: Any) -> None:
    asks = small(inputs=[need("axle.ratio"), need("engine.redline")], applies=lambda car, position: True)
    mild = small(inputs=[need("engine.stroke", "ratio")], safety=False, applies=lambda car, position: True)
    fails = small(judge=lambda x, out: out.must(False, "no"), inputs=[], applies=lambda car, position: True)
    only(asks=asks, mild=mild, fails=fails, other=small(inputs=[need("engine.redline", "ratio")], applies=lambda car, position: True))
    found = answers.answer(document())
    assert [item["check"].split(".")[1] for item in found["results"]] == ["fails", "asks", "other", "mild"]
    assert [(entry["fact"], entry["safety"]) for entry in found["measure_next"]] == [("engine.redline", 2), ("axle.ratio", 1), ("engine.stroke", 0)]
    assert found["measure_next"][0]["unlocks"] == ["driveline.asks", "driveline.other"]


@pytest.mark.parametrize("label", ["left", "Right", "axle", "driven"])
def test_a_label_that_is_also_a_word_of_addresses(only: Any, label: str) -> None:
    """Somebody may call a circuit `left`; checks of corners write @left for a side of the axle."""
    rule = Rule("fuse", "a circuit", "a fuse", "note", "it burns", lambda car: any(car.exists(f"circuit.current@{place}") for place in car.labels("circuit")))
    check = small(at=("label", "circuit"), inputs=[need("circuit.current@here", "ratio")], applies=on_car("circuit@here"))
    only(small=check, companions=companions("driveline", [rule]))
    found = answers.answer(document({f"circuit.current@{label}": "3 A"}))
    assert one(found)["position"] == label.lower()
    assert one(found)["values"]["ratio"]["si"] == 3.0
    assert one(found, "companions")["missing"] == ["companion.fitted@fuse"]


RELAYS = (
    Rule("fan_relay", "a fan", "a relay", "safety", "it stops", lambda car: True, parts=("relay",), serving=("fan",)),
    Rule("cooler", "a gearbox", "a cooler", "stop", "it burns", lambda car: True, parts=("transmission_cooler", "expansion_tank")),
    Rule("fuse", "a circuit", "a fuse", "note", "it burns", lambda car: True, without=("fuse",)),
)


@pytest.mark.parametrize(("more", "broken", "asked"), [
    ({}, 0, ["fan_relay", "cooler", "fuse"]),
    ({"absent": ["relay"]}, 1, ["cooler", "fuse"]),
    ({"absent": ["relay@horn"]}, 0, ["fan_relay", "cooler", "fuse"]),
    ({"absent": ["relay@Cooling fan"]}, 1, ["cooler", "fuse"]),
    ({"absent": ["transmission_cooler"]}, 0, ["fan_relay", "cooler", "fuse"]),
    ({"absent": ["transmission_cooler", "expansion_tank", "fuse"]}, 2, ["fan_relay"]),
    ({"parts": [{"id": "p", "kind": "relay", "position": "horn"}]}, 0, ["fan_relay", "cooler", "fuse"]),
    ({"parts": [{"id": "p", "kind": "relay", "position": "Fan, left"}, {"id": "q", "kind": "fuse"}, {"id": "r", "kind": "expansion_tank"}]}, 0, ["fuse"]),
    ({"parts": [{"id": "p", "kind": "relay", "name": "Relay of the fan"}]}, 0, ["cooler", "fuse"]),
    ({"parts": [{"id": "p", "kind": "relay", "position": "fan", "status": "removed"}]}, 0, ["fan_relay", "cooler", "fuse"]),
])
def test_parts_and_what_is_absent_answer_the_rules(only: Any, more: dict[str, Any], broken: int, asked: list[str]) -> None:
    only(companions=companions("driveline", RELAYS))
    found = one(answers.answer(document(**more)), "companions")
    assert found["values"]["missing_count"]["si"] == broken
    assert found["missing"] == [f"companion.fitted@{rule}" for rule in asked]
    assert found["safety"] is ("fan_relay" not in asked and broken > 0)


def test_an_absent_part_outranks_an_answer_given_by_hand(only: Any) -> None:
    only(companions=companions("driveline", RELAYS[:1]))
    facts = {"companion.fitted@fan_relay": True}
    assert one(answers.answer(document(facts)), "companions")["verdict"] == "pass"
    assert one(answers.answer(document(facts, absent=["relay"])), "companions")["verdict"] == "fail"


def test_questions_come_after_facts_that_unlock_checks(only: Any) -> None:
    """Also where the rules' own check is a safety check because one of them is broken."""
    mild = small(inputs=[need("axle.ratio"), need("engine.redline"), need("engine.stroke")], safety=False, applies=lambda car, position: True)
    only(companions=companions("driveline", RELAYS), mild=mild)
    found = answers.answer(document(absent=["relay"]))
    assert one(found, "companions")["safety"] is True
    assert [entry["fact"] for entry in found["measure_next"]] == [
        "axle.ratio", "engine.redline", "engine.stroke", "companion.fitted@cooler", "companion.fitted@fuse"]
    assert [entry["safety"] for entry in found["measure_next"]] == [0] * 5
    assert found["measure_next"][3]["unlocks"] == ["driveline.companions"]
    assert found["measure_next"][3]["title"] == "a gearbox: a cooler?"


def test_no_result_where_nothing_applies(only: Any) -> None:
    only(small=small())
    assert answers.answer(document())["results"] == []


def test_a_part_not_fitted_is_said(only: Any) -> None:
    only(small=small())
    found = one(answers.answer(document(parts=[{"id": "a", "kind": "axle", "status": "ordered", "specs": {"ratio": 3.2}}])))
    assert "is ordered, not fitted yet" in found["summary"]
    assert found["inputs"][0]["status"] == "ordered"


def test_a_part_not_fitted_is_said_with_its_place(only: Any) -> None:
    only(small=small(inputs=[need("spring.rate@front", "ratio")], applies=on_car("spring")))
    found = one(answers.answer(document(parts=[{"id": "a", "kind": "spring", "position": "front", "status": "received", "specs": {"rate": "3 N/mm"}}])))
    assert "The front spring is received, not fitted yet." in found["summary"]


def test_what_if_lists_what_changed_and_touches_nothing(only: Any) -> None:
    only(small=small())
    given = document({"axle.ratio": 4.5})
    found = answers.what_if(given, {"axle.ratio": 3.2})
    assert [(item["before"]["verdict"], item["after"]["verdict"]) for item in found["changed"]] == [("fail", "pass")]
    assert answers.what_if(given, {"axle.ratio": 4.5})["changed"] == []
    gone = answers.what_if(given, {"axle.ratio": None})["changed"]
    assert gone[0]["after"] is None
    assert one(answers.answer(given))["verdict"] == "fail"


def test_drawings_and_safety_that_cannot_be_worked_out_are_left_out(only: Any) -> None:
    """What a drawing or the question of safety finds meaningless never stops the answer."""
    def unable(*_: Any) -> Any:
        raise Unknown("the wire is of another metal")

    only(small=small(extras=unable, safety=unable))
    found = one(answers.answer(document({"axle.ratio": 5})))
    assert (found["verdict"], found["safety"], found["series"], found["table"]) == ("fail", False, None, None)


def test_a_value_that_is_not_declared_is_a_programming_error(only: Any) -> None:
    only(small=small(judge=lambda x, out: out.value("undeclared", 1.0)))
    with pytest.raises(ValueError, match="does not declare"):
        answers.answer(document({"axle.ratio": 3}))


def test_values_by_pattern(only: Any) -> None:
    check = small(values={"drop_{i}_{j}": Shown("drop from {i} to {j}", "dimensionless")}, judge=lambda x, out: out.value("drop_1_2", 0.4))
    only(small=check)
    assert one(answers.answer(document({"axle.ratio": 3})))["values"]["drop_1_2"]["title"] == "drop from 1 to 2"


def test_a_check_without_basis_cannot_be_made() -> None:
    with pytest.raises(ValueError, match="basis"):
        small(basis=[])
    with pytest.raises(ValueError, match="share the names"):
        small(inputs=[need("axle.ratio"), need("transmission.reverse_ratio", "ratio")])


def test_a_default_that_cannot_be_worked_out_is_not_what_is_missing(only: Any) -> None:
    inputs = [need("axle.ratio"), option("transmission.low_range_ratio", "low", default=lambda x: 2 * x.ratio)]
    only(small=small(inputs=inputs, judge=lambda x, out: out.value("ratio", x.low * x.ratio), applies=lambda car, position: True))
    assert one(answers.answer(document()))["missing"] == ["axle.ratio"]


def test_a_fail_is_said_even_where_the_sentence_needs_what_is_missing(only: Any) -> None:
    def judge(x: Any, out: Outcome) -> None:
        out.at_most("ratio", 4.0, why="made up", value=out.value("ratio", x.ratio))
        out.value("other", x.redline)

    only(small=small(inputs=[need("axle.ratio"), need("engine.redline")], judge=judge, say=lambda s: f"{s.v['other']:.0f} turns."))
    found = one(answers.answer(document({"axle.ratio": 5})))
    assert found["verdict"] == "fail"
    assert found["summary"].startswith("Ratio is 5, at most 4: made up. Not yet recorded:")
    only(small=small(say=lambda s: f"{s.v['other']:.0f} turns."))
    complete = document({"axle.ratio": 5})
    with pytest.raises(KeyError):
        answers.answer(complete)


def test_what_is_only_assumed_is_called_so(only: Any) -> None:
    check = small(inputs=[need("axle.ratio"), constant("share", 1.0, 0.5)], judge=lambda x, out: out.at_most("ratio", 4.0, value=out.value("ratio", x.ratio * x.share)))
    only(small=check)
    assert "worst corner of what is assumed" in one(answers.answer(document({"axle.ratio": 3})))["summary"]
    assert "worst corner of their tolerances" in one(answers.answer(document({"axle.ratio": "3 ± 0.1"})))["summary"]


def test_a_limit_of_zero_forgives_the_dust_of_adding_up(only: Any) -> None:
    """0.3 less 0.1 and 0.2 is not negative."""
    only(small=small(judge=lambda x, out: (out.value("ratio", 0.3 - (0.1 + 0.2)), out.at_least("ratio", 0.0, why="made up"))[0] and None))
    assert one(answers.answer(document({"axle.ratio": 3.0})))["verdict"] == "pass"


def test_stock_may_depend_on_the_inputs_and_is_named_as_sold(only: Any) -> None:
    only(small=small(remedies=[Fix("axle.ratio", stock=lambda x: {3.25: "13 to 4"})]))
    found = one(answers.answer(document({"axle.ratio": 3.8})))["remedies"]
    assert found == [{"fact": "axle.ratio", "at_most": "3.5", "stock": "13 to 4"}]


@pytest.mark.parametrize(("si", "said"), [(0.004, "0.157 in"), (0.0001143, "0.0045 in"), (1.0, "39.37 in")])
def test_inches_are_said_to_thousandths(si: float, said: str) -> None:
    assert say_value(si, "length", "us", "mm") == said

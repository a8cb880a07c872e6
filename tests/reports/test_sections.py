"""A section without content is left out; one with content holds every record."""

from __future__ import annotations

from typing import Any

import pytest

from reports import context
from reports.answer import Answer
from reports.document import Document
from reports.source import Source
from reports.vocabulary import Vocabulary
from tests.reports import sample
from tests.reports.reading import squeeze, text_of_page

#: Every text of a record that the book must hold, as (list, key).
TEXTS = [("parts", "name"), ("parts", "notes"), ("parts", "order_as"), ("parts", "part_number"), ("parts", "supplier"), ("parts", "maker"),
         ("fixes", "title"), ("fixes", "problem"), ("fixes", "cause"), ("fixes", "remedy"), ("fixes", "next_mechanic"), ("fasteners", "joint"),
         ("fasteners", "thread"), ("fasteners", "by"), ("fasteners", "recheck_after"), ("tasks", "title"), ("tasks", "by"), ("drives", "observations"),
         ("drives", "distance"), ("signoffs", "by"), ("signoffs", "statement"), ("photos", "caption"), ("measurements", "instrument"),
         ("measurements", "condition"), ("specs", "basis")]


def sections(document: dict[str, Any], answer: dict[str, Any]) -> dict[str, context.Section]:
    source = Source(Document.of(document), Answer.of(answer), Vocabulary(sample.VOCABULARY))
    return {section.key: section for section in context.build(source).sections}


def test_a_bare_document_has_only_its_glance_and_cautions() -> None:
    bare = {"format": "as-fitted/build/1", "car": {"make": "Quellmark", "model": "Brant", "year": 1963}, "build": {"use": "street"}}
    assert list(sections(bare, {})) == ["glance", "cautions"]


@pytest.mark.parametrize(("name", "key"), [("fixes", "fixes"), ("fasteners", "tightening"), ("tasks", "work"), ("drives", "road-test"),
                                           ("signoffs", "signatures")])
def test_a_section_goes_with_its_records(name: str, key: str) -> None:
    assert key in sections(sample.document(), sample.ANSWER)
    assert key not in sections(sample.document(**{name: []}), sample.ANSWER)


def test_no_results_no_findings() -> None:
    assert "findings" not in sections(sample.document(), {**sample.ANSWER, "results": []})


@pytest.mark.parametrize(("name", "key"), TEXTS)
def test_every_record_is_in_the_pdf_and_on_the_site(name: str, key: str, pages: dict[str, str], pdf_text: str) -> None:
    site = squeeze(" ".join(text_of_page(page) + page for page in pages.values()))
    for record in sample.DOCUMENT[name]:
        if record.get(key):
            text = squeeze(str(record[key]))
            assert text in pdf_text
            assert text in site


def test_every_finding_tells_its_numbers_limits_and_sources(pages: dict[str, str], pdf_text: str) -> None:
    site = squeeze(text_of_page(pages["check-driveline-joint-angles.html"] + pages["check-suspension-bar-rate.html"]))
    for text in ("The joints work at 2.4° and 2.9°.", "angle of joint 1 2.41°", "at most 5.59°", "spatial kinematics", "Links of the line",
                 "rise of the pinion nose 0° (default)", "lever, front", "slope of the pinion axis at least 1.2°", "shim the saddle"):
        assert squeeze(text) in site
        assert squeeze(text) in pdf_text


def test_before_and_after_stand_side_by_side(pages: dict[str, str]) -> None:
    assert squeeze("slope of the shaft tube 5.1° → 2.4° ± 0.1°") in squeeze(text_of_page(pages["fixes.html"]))


def test_an_accepted_finding_names_who_and_why(pages: dict[str, str]) -> None:
    text = squeeze(text_of_page(pages["check-driveline-joint-angles.html"]))
    assert squeeze("Accepted by Vesper Lund, May 3, 2026: Smooth on the road test.") in text


def test_a_fail_cannot_be_accepted() -> None:
    failed = {**sample.ANSWER, "results": [{**sample.ANSWER["results"][0], "verdict": "fail"}]}
    content = sections(sample.document(), failed)["findings"].content
    assert content.systems[0][1][0].findings[0].accepted is None


@pytest.mark.parametrize(("change", "counts", "void"), [
    ({}, True, ""), ({"item": " Accept: driveline.joint_angles "}, True, ""),
    ({"statement": " "}, False, "Does not count without name and reason."), ({"by": ""}, False, "Does not count without name and reason."),
])
def test_an_acceptance_counts_with_name_and_reason(change: dict[str, str], counts: bool, void: str) -> None:
    brakes, acceptance = sample.DOCUMENT["signoffs"]
    made = sections(sample.document(signoffs=[brakes, {**acceptance, **change}]), sample.ANSWER)
    assert (made["findings"].content.systems[0][1][0].findings[0].accepted is not None) is counts
    assert [signature.void for signature in made["signatures"].content.accepted] == [void]


def test_an_acceptance_of_a_fail_says_that_it_does_not_count() -> None:
    failed = {**sample.ANSWER, "results": [{**sample.ANSWER["results"][0], "verdict": "fail"}]}
    assert [signature.void for signature in sections(sample.document(), failed)["signatures"].content.accepted] == ["Does not count: the finding fails."]


@pytest.mark.parametrize(("violated", "told"), [(True, True), (False, False)])
def test_a_rule_without_a_number_is_told_where_it_is_broken(violated: bool, told: bool) -> None:
    rule = {"of": "", "kind": "must", "verdict": "fail", "value": None, "unit": None, "si": None, "why": "there is no fuse", "violated": violated}
    changed = {**sample.ANSWER, "results": [{**sample.ANSWER["results"][0], "limits": [rule]}]}
    content = sections(sample.document(), changed)["findings"].content
    assert ("there is no fuse" in content.systems[0][1][0].findings[0].limits) is told


def test_an_accepted_check_without_result_is_named_like_a_title() -> None:
    brakes, acceptance = sample.DOCUMENT["signoffs"]
    made = sections(sample.document(signoffs=[brakes, {**acceptance, "item": "accept:brakes.hydraulic_proof"}]), sample.ANSWER)
    assert [signature.item for signature in made["signatures"].content.accepted] == ["Hydraulic proof"]


def test_removed_parts_are_not_ordered(pages: dict[str, str]) -> None:
    assert "Thin original bar" in pages["system-suspension.html"]
    asked = [order.name for counter in sections(sample.document(), sample.ANSWER)["ordering"].content.counters for order in (*counter.special, *counter.usual)]
    assert asked == ["Front bar, solid", "Four tires"]
    assert squeeze("Not Thin original bar, which it replaced") in squeeze(text_of_page(pages["ordering.html"]))


def test_papers_of_the_shop_are_named_so(pages: dict[str, str], pdf_text: str) -> None:
    assert squeeze("Weigh slip of the coast road scale weight slip") in pdf_text
    assert squeeze("Bill nobody else should read receipt, for the shop") in pdf_text


def test_the_service_plan_is_derived_from_what_is_fitted(pages: dict[str, str]) -> None:
    text = squeeze(text_of_page(pages["service.html"]))
    assert squeeze("Grease: anti-roll bar, front") in text
    assert squeeze("After 500 mi Check the torque of bar link 33.2 lb·ft (45 N·m)") in text
    # ISO 8601: week 23 of 2019 begins on June 3, 2019; the first day of the year plus 22 weeks is June 4.
    assert squeeze("June 4, 2029 Tires: replace") in text


def test_cautions_follow_the_systems_present() -> None:
    titles = [group.title for group in sections(sample.document(), sample.ANSWER)["cautions"].content]
    assert "Driveline" in titles
    assert "Cooling" not in titles


def test_the_cover_is_the_car_and_no_picture_is_shown_twice(pages: dict[str, str]) -> None:
    assert 'alt="The car outside."' in pages["index.html"]
    of_the_book = {file: page for file, page in pages.items() if file != "timeline.html" and not file.startswith("fix-")}
    shown = [file for file, page in of_the_book.items() for _ in range(page.count('alt="The new bar under the sump."'))]
    assert shown == ["system-suspension.html"]
    assert 'alt="The dash as it came."' in pages["photographs.html"]


def test_the_work_as_it_ran_names_the_chain_that_decided() -> None:
    tasks = [{"id": "a", "title": "First", "done_at": "2026-03-02", "estimate": "8 h"}, {"id": "b", "title": "Aside", "done_at": "2026-03-05"},
             {"id": "c", "title": "Last", "done_at": "2026-04-01", "after": ["a"], "estimate": "a while"}]
    (drawn,) = sections(sample.document(tasks=tasks), sample.ANSWER)["work"].content.ran
    assert "The chain that decided: First, Last." in str(drawn.svg)
    assert drawn.numbers == (("First", "March 2, 2026"), ("Aside", "March 5, 2026"), ("Last", "April 1, 2026"))


@pytest.mark.parametrize(("remedy", "told"), [
    ({"at_least": "25 A", "at_most": "30 A", "stock": "25 A"}, "at least 25 A and at most 30 A; sold as 25 A"),
    ({"at_least": "3.4 in", "stock": "3.5 in", "note": "next stock size 3.5 in"}, "at least 3.4 in; next stock size 3.5 in"),
    ({"one_of": ["10 AWG", "8 AWG"], "note": "next larger size"}, "one of 10 AWG, 8 AWG; next larger size"),
])
def test_a_remedy_is_told_once(remedy: dict[str, Any], told: str) -> None:
    results = [{**result, "remedies": [{"fact": "driveline.pinion_slope", **remedy}]} if result["check"] == "driveline.joint_angles" else result
               for result in sample.ANSWER["results"]]
    content = sections(sample.document(), {**sample.ANSWER, "results": results})["findings"].content
    assert any(told in text and text.endswith(told) for _, groups in content.systems for group in groups for found in group.findings for text in found.remedies)


def test_a_question_about_a_companion_is_asked_in_its_own_words() -> None:
    asked = {"fact": "companion.fitted@fan_relay", "title": "An electric fan: a relay?", "unlocks": ["suspension.bar_rate@front"], "safety": 0}
    content = sections(sample.document(), {**sample.ANSWER, "measure_next": [asked]})["findings"].content
    assert content.measure_next[0].title == "An electric fan: a relay?"

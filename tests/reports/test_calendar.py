"""The service plan as dates: derived from the parts, and an iCalendar file that an independent library reads."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import icalendar
import pytest

from reports.book import Book, make
from reports.calendar import calendar
from reports.document import Document
from reports.sections.service import Plan, Step
from tests.reports import sample
from tests.reports.test_sections import sections

PARTS = [{"id": "p-1", "kind": "engine"}, {"id": "p-2", "kind": "coolant", "fitted_on": "2026-03-10", "name": "Coolant"},
         {"id": "p-3", "kind": "brake_hose", "fitted_on": "2024-02-29", "name": "Front hoses"}, {"id": "p-4", "kind": "fuel_filter", "name": "Fuel filter"},
         {"id": "p-5", "kind": "seat_belt", "status": "ordered"}]


def plan(**changes: Any) -> Plan:
    content = sections(sample.document(**changes), sample.ANSWER)["service"].content
    assert isinstance(content, Plan)
    return content


def test_standing_service_follows_what_is_fitted() -> None:
    steps = {step.key: step for step in plan(parts=PARTS).service}
    assert set(steps) == {"grease", "engine-oil", "filters"}
    assert steps["filters"].what == "Filters: Fuel filter"
    assert steps["engine-oil"].when == "after 500 mi (800 km), then every 5,000 mi (8,000 km) or once a year"
    assert steps["engine-oil"].day == date(2027, 5, 9)
    metric = plan(parts=PARTS, build={**sample.DOCUMENT["build"], "units": "metric"}).service
    assert {step.key: step.when for step in metric}["filters"] == "every 20,000 km (12,000 mi) or every two years"


def test_without_a_day_of_handing_over_yearly_service_counts_from_the_last_drive() -> None:
    undelivered = {key: value for key, value in sample.DOCUMENT["build"].items() if key != "delivered_on"}
    assert {step.key: step.day for step in plan(parts=PARTS, build=undelivered).service}["engine-oil"] == date(2027, 5, 1)
    assert all(step.day is None for step in plan(parts=PARTS, build=undelivered, drives=[]).service)


def test_age_counts_from_the_day_of_fitting() -> None:
    days = {step.key: step.day for step in plan(parts=PARTS).by_date}
    assert days["part-p-2"] == date(2029, 3, 10)
    assert days["part-p-3"] == date(2029, 2, 28)


@pytest.mark.parametrize(("after", "expected"), [("90 day", date(2026, 6, 8)), ("2 weeks", date(2026, 3, 24)), ("500 mi", None), ("a while", None)])
def test_a_recheck_after_a_time_has_its_day(after: str, expected: date | None) -> None:
    made = plan(fasteners=[{**sample.DOCUMENT["fasteners"][0], "recheck_after": after}])
    assert next((step.day for step in made.by_date if step.key == "joint-b-1"), None) == expected
    assert any(after in step.when for step in made.first_miles) == (expected is None)


def test_a_year_beyond_the_calendar_is_no_trouble() -> None:
    assert plan(parts=[{"id": "p", "kind": "hose", "fitted_on": "9999-12-31"}], build={"use": "street", "delivered_on": "9999-01-01"})


def test_the_calendar_is_read_by_an_independent_library(book: Book) -> None:
    """Judge: the library icalendar, which follows RFC 5545."""
    assert book.site
    raw = (book.site.parent / "service.ics").read_bytes()
    events = icalendar.Calendar.from_ical(raw).walk("VEVENT")
    tires = next(event for event in events if "Tires: replace" in str(event["SUMMARY"]))
    assert tires["DTSTART"].dt == date(2029, 6, 4)
    assert tires["DTEND"].dt == date(2029, 6, 5)
    assert "RRULE" not in tires
    grease = next(event for event in events if "Grease" in str(event["SUMMARY"]))
    assert grease["RRULE"] == {"FREQ": ["YEARLY"], "INTERVAL": [1]}
    assert len({str(event["UID"]) for event in events}) == len(events)
    assert all(not event.errors for event in events)


def test_lines_are_folded_at_75_octets_between_characters() -> None:
    """RFC 5545, section 3.1: lines of at most 75 octets, ended by CR and LF, carried over with a blank; 3.3.11: escapes of text."""
    step = Step("once", "Grüße, ½ 👀; back\\slash\nsecond line " * 12, "why", date(2027, 1, 1), 0, "k")
    text = calendar(Document.of(sample.document()), Plan((), (step,), (), ""))
    lines = text.encode().split(b"\r\n")
    assert lines.pop() == b""
    assert all(len(line) <= 75 and b"\n" not in line for line in lines)
    assert all(line.decode() for line in lines)
    (event,) = icalendar.Calendar.from_ical(text).walk("VEVENT")
    assert str(event["SUMMARY"]) == f"1963 Quellmark Brant: {step.what}"


def test_the_same_document_gives_the_same_calendar(tmp_path: Path) -> None:
    files = []
    for name in ("one", "two"):
        made = make(sample.document(photos=[]), sample.ANSWER, sample.VOCABULARY, tmp_path, tmp_path / name, pdf=False)
        assert made.site
        files.append((made.site.parent / "service.ics").read_bytes())
    assert files[0] == files[1]

"""The section of earlier visits: the visits in order, what came between and came due, the courses drawn and told."""

from __future__ import annotations

import copy
import re
from typing import Any

import pytest

from reports.answer import Answer
from reports.charts import over_time
from reports.document import Document
from reports.edition import view
from reports.sections import visits
from reports.source import Source
from reports.vocabulary import Vocabulary
from service.checks.answer import answer
from service.document import load
from service.vocabulary import describe
from tests.document.visits import FIRST, second

READ = [{"fact": "tire.pressure@front", "value": "24 psi", "taken_at": "2026-10-06"},
        {"fact": "car.odometer", "value": "60,000 mi", "taken_at": "2026-10-05"}]


def source(document: dict[str, Any]) -> Source:
    loaded = load(document)
    return Source(Document.of(loaded), Answer.of(answer(loaded)), Vocabulary(describe()))


def returned(**lists: Any) -> Source:
    document = second(**lists)
    document["visits"][0]["facts"].append({"fact": "car.odometer", "value": "50,000 mi", "at": "2018-06-20"})
    return source(document)


def test_without_a_past_there_is_no_section() -> None:
    first = copy.deepcopy(FIRST)
    assert visits.build(source(first)) is None


def test_a_fact_read_on_three_days_is_told_without_a_past_too() -> None:
    readings = [{"fact": "tire.pressure@front", "value": f"{value} psi", "taken_at": f"2018-06-0{day}"} for day, value in ((1, 26), (3, 27), (7, 30))]
    found = source({**copy.deepcopy(FIRST), "measurements": readings, "fixes": []})
    told = visits.build(found)
    assert told and told.stays == () and visits.title(found) == "Measured over time"
    assert [course.title for course in told.courses] == ["Tire: pressure, cold, front"]


def test_the_visits_stand_in_order_with_this_one_last() -> None:
    found = visits.build(returned(measurements=READ))
    assert found and [(stay.title, stay.days) for stay in found.stays] == [
        ("Made sound", "February 12, 2018 to June 20, 2018"), ("Back again", "from October 5, 2026")]
    assert found.stays[0].driven == "50 mi" and found.stays[0].fixes == ("Hose rubbed through", "Radio hums")
    assert [stay.odometer for stay in found.stays] == ["50,000 mi (80,470 km)", "60,000 mi (96,560 km)"]


def test_what_came_between_is_counted_from_the_record() -> None:
    found = visits.build(returned(measurements=READ))
    assert found and found.between == (("away", "8 years 3 months"), ("driven by the odometer", "10,000 mi (16,093 km)"))


def test_what_came_due_is_of_parts_that_were_on_the_car() -> None:
    found = visits.build(returned(measurements=READ))
    assert found
    due = dict(found.due)
    assert "Engine oil and filter" in due
    assert due["Torque of shaft flange"] == "after 500 mi, not noted as done"
    assert "Transmission fluid" not in due, "30,000 mi, and 10,000 were driven"
    document = second(measurements=READ)
    for part in document["parts"]:
        if part["kind"] == "engine":
            part["fitted_on"] = "2026-10-20"
    assert "Engine oil and filter" not in dict((visits.build(source(document)) or found).due)


def test_what_was_not_measured_since_is_named() -> None:
    found = visits.build(returned(measurements=READ))
    assert found
    told = " ".join(facts for _, facts in found.carried)
    assert "driveshaft: length" in told and "pressure" not in told


def test_readings_of_all_visits_are_drawn_and_told() -> None:
    found = visits.build(returned(measurements=READ))
    assert found
    courses = {course.title: course for course in found.courses}
    assert set(courses) == {"Tire: pressure, cold, front", "Tire age"}
    drawing = courses["Tire: pressure, cold, front"].drawing
    assert drawing
    assert drawing.numbers == (("June 1, 2018", "26 psi (179.3 kPa)"), ("June 19, 2018", "28 psi (193.1 kPa)"), ("October 6, 2026", "24 psi (165.5 kPa)"))
    assert drawing.svg.count("<circle") == 3 and drawing.svg.count('class="accent-fill"') == 1
    age = courses["Tire age"].drawing
    assert age and [value for _, value in age.numbers] == ["0.3 years", "8.6 years"]


def test_points_stand_at_their_dates_and_values() -> None:
    """Read back from the drawing: distances between points are in proportion to days and values."""
    points = [{"at": "2018-01-01", "value": 10.0}, {"at": "2022-01-01", "value": 30.0}, {"at": "2026-01-01", "value": 20.0}]
    drawn = over_time.draw({"title": "x", "unit": "mm", "rows": [{"name": "", "points": points}]}, "k", "us")
    assert drawn
    (ax, ay), (bx, by), (cx, cy) = [(float(x), float(y)) for x, y in re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"', drawn.svg)]
    assert (bx - ax) / (cx - bx) == pytest.approx(1.0, abs=0.01)
    assert (ay - by) / (cy - by) == pytest.approx(2.0, rel=0.01)


def test_one_day_is_no_course() -> None:
    points = [{"at": "2018-01-01", "value": 10.0}, {"at": "2018-01-01T10:00", "value": 30.0}]
    assert over_time.draw({"title": "x", "unit": "mm", "rows": [{"name": "", "points": points}]}, "k", "us") is None


@pytest.mark.parametrize(("low", "high", "labels"), [
    ("2018-06-01", "2026-12-01", ["2019", "2020", "2021", "2022", "2023", "2024", "2025", "2026"]),
    ("1990-06-01", "2026-12-01", ["1995", "2000", "2005", "2010", "2015", "2020", "2025"]),
    ("2026-01-20", "2026-05-10", ["Feb 2026", "Mar 2026", "Apr 2026", "May 2026"]),
])
def test_dates_of_the_axis_are_round(low: str, high: str, labels: list[str]) -> None:
    assert [label for _, label in over_time.dates(over_time.day(low), over_time.day(high))] == labels


def test_the_owner_is_shown_it_but_for_lines_of_the_shop() -> None:
    document = second()
    document["visits"][0]["notes"] = "Came by trailer\nShop: paid late"
    shown = view(document, "owner")
    assert shown["visits"][0]["notes"] == "Came by trailer"
    assert shown["visits"][0]["facts"] == document["visits"][0]["facts"]
    assert visits.build(source(shown)) == visits.build(source({**document, "visits": shown["visits"]}))

"""Earlier visits: when the car was here and what was done, what came between, what was read more than once and how it went.

What is due by time or distance is common practice (`reports.service_rules`). Readings are those of the record; nothing is computed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from reports import charts, typography
from reports.answer import Course, Point
from reports.charts import Drawing
from reports.document import Visit
from reports.service_rules import RULES, Rule, interval
from reports.source import Source
from reports.vocabulary import place

TITLE, TITLE_WITHOUT = "Earlier visits", "Measured over time"
#: Days on which a fact was read from which its course is told though the car was never here before.
DAYS_WITHOUT = 3
#: Columns of a table of readings; older ones are in the drawing.
COLUMNS = 4
#: Days whose readings of several places fit beside a drawing.
DAYS_BESIDE = 2
_ODOMETER = "car.odometer"
_METERS = 1609.344
_MONTHS_A_YEAR = 12


@dataclass(frozen=True, slots=True)
class Stay:
    """One visit as printed; `key` is the record's id, empty for this build."""

    key: str
    title: str
    days: str
    use: str
    driven: str
    odometer: str
    fixes: tuple[str, ...]
    notes: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """A fact's course: its drawing, and where it has several places its days and its readings by place, a cell for each day."""

    title: str
    drawing: Drawing | None
    days: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class Visits:
    """Content of the section."""

    stays: tuple[Stay, ...]
    between: tuple[tuple[str, str], ...]
    due: tuple[tuple[str, str], ...]
    carried: tuple[tuple[str, str], ...]
    courses: tuple[Told, ...]


def title(source: Source) -> str:
    """What the section is called."""
    return TITLE if source.document.visits else TITLE_WITHOUT


def build(source: Source) -> Visits | None:
    """The visits in order of time, this one last; None where there is neither an earlier visit nor a fact read on several days."""
    earlier = sorted(source.document.visits, key=lambda visit: visit.opened_on or visit.delivered_on)
    courses = tuple(_courses(source))
    if not earlier:
        return Visits((), (), (), (), courses) if courses else None
    last, opened = earlier[-1], source.document.build.opened_on
    return Visits((*(_stay(source, visit) for visit in earlier), _this(source)), _between(source, last, opened), _due(source, last, opened),
                  _carried(source), courses)


def _stay(source: Source, visit: Visit) -> Stay:
    return Stay(visit.id, visit.title or "Visit", _days(visit.opened_on, visit.delivered_on), typography.words(visit.use), typography.typed(visit.distance),
                _odometer(source, visit.id), visit.fixes, visit.notes)


def _this(source: Source) -> Stay:
    build = source.document.build
    fixes = tuple(fix.title for fix in sorted(source.document.fixes, key=lambda fix: not fix.safety) if fix.status != "open")
    return Stay("", build.title or "This visit", _days(build.opened_on, build.delivered_on), typography.words(build.use), "", _odometer(source, ""), fixes)


def _days(opened: str, left: str) -> str:
    if opened and left:
        return f"{typography.date(opened)} to {typography.date(left)}"
    return f"from {typography.date(opened)}" if opened else typography.date(left)


def _odometer(source: Source, visit: str) -> str:
    found = _reading(source, visit)
    return _both(found) if found else ""


def _reading(source: Source, visit: str) -> Point | None:
    """The last odometer reading of a visit."""
    course = next((course for course in source.answer.over_time if course.fact == _ODOMETER), None)
    return next((point for point in reversed(course.points) if point.visit == visit), None) if course else None


def _between(source: Source, last: Visit, opened: str) -> tuple[tuple[str, str], ...]:
    """How long the car was away and how far it went."""
    left, came = _day(last.delivered_on or last.opened_on), _day(opened)
    pairs = [("away", _span(left, came))] if left and came and came > left else []
    meters = _driven(source, last)
    if meters is not None:
        shown = f"{meters / _METERS:,.0f} mi", f"{meters / 1000:,.0f} km"
        own, other = shown if source.units == "us" else shown[::-1]
        pairs.append(("driven by the odometer", f"{own} ({other})"))
    return tuple(pairs)


def _driven(source: Source, last: Visit) -> float | None:
    then, now = _reading(source, last.id), _reading(source, "")
    return now.si - then.si if then and now and now.si >= then.si else None


def _span(start: date, end: date) -> str:
    """`8 years 3 months`."""
    months = (end.year - start.year) * _MONTHS_A_YEAR + end.month - start.month - (end.day < start.day)
    told = ((months // _MONTHS_A_YEAR, "year"), (months % _MONTHS_A_YEAR, "month"))
    return " ".join(f"{count} {word}{'s' if count != 1 else ''}" for count, word in told if count) or "less than a month"


def _due(source: Source, last: Visit, opened: str) -> tuple[tuple[str, str], ...]:
    """Service that came due while the car was away, by what was fitted when it left: (what, how often)."""
    left, came = _day(last.delivered_on or last.opened_on), _day(opened)
    years = (came - left).days / 365.25 if left and came else 0.0
    meters = _driven(source, last) or 0.0
    there = [part for part in source.document.parts if part.status == "fitted" and (not part.fitted_on or not left or part.fitted_on[:10] <= left.isoformat())]
    due = []
    for rule in RULES:
        names = [source.part_name(part) for part in there if part.kind in rule.kinds]
        if names and _is_due(rule, years, meters):
            due.append((rule.what.replace("{parts}", ", ".join(names)), interval(rule, source.units)))
    joints = [entry for entry in source.document.fasteners if entry.came_from and entry.recheck_after and not entry.rechecked_at]
    due += [(f"Torque of {place(entry.joint)}", f"after {typography.typed(entry.recheck_after)}, not noted as done") for entry in joints]
    return tuple(due)


def _is_due(rule: Rule, years: float, meters: float) -> bool:
    return bool((rule.years and years >= rule.years) or (rule.every and meters >= rule.every[0] * _METERS))


def _carried(source: Source) -> tuple[tuple[str, str], ...]:
    """What still stands as it was read on an earlier visit: the facts by system."""
    systems: dict[str, list[str]] = {}
    for fact in source.answer.facts:
        if "carried" in fact.source:
            systems.setdefault(source.system_of_fact(fact), []).append(f"{source.vocabulary.fact_title(fact.fact)} {fact.text}")
    return tuple((source.vocabulary.system_title(system) if system else "The car", "; ".join(facts)) for system, facts in systems.items())


def _courses(source: Source) -> Iterator[Told]:
    """The facts that were read again: on another visit, or on several days of this one; places of one fact together."""
    fields: dict[tuple[str, str], list[Course]] = {}
    for course in source.answer.over_time:
        if course.fact != _ODOMETER and _worth_telling(course):
            fields.setdefault((course.subject, course.field), []).append(course)
    for (subject, name), courses in fields.items():
        yield _told(source, f"{subject}-{name}", courses)


def _worth_telling(course: Course) -> bool:
    return len({point.visit for point in course.points}) > 1 or len({point.at[:10] for point in course.points}) >= DAYS_WITHOUT


def _told(source: Source, key: str, courses: Sequence[Course]) -> Told:
    first = courses[0]
    kind = source.vocabulary.kind(first.subject).title
    called = first.title if first.title.lower().startswith(kind.lower()) else f"{kind}: {first.title}"
    alike = _alike(courses)
    if len(alike) == 1:
        called, alike = ", ".join(filter(None, (called, place(first.position) if len(courses) == 1 else ""))), [("", first)]
    rows = [{"name": name, "points": [{"at": point.at, "value": point.value} for point in course.points]} for name, course in alike]
    drawing = charts.draw({"kind": "over_time", "title": called, "unit": first.unit, "rows": rows}, f"over-time-{typography.slug(key)}", source.units)
    days = sorted({point.at[:10] for course in courses for point in course.points})
    shown = days[-COLUMNS:]
    cells = tuple((name, tuple(_cell(course, day) for day in shown)) for name, course in alike)
    beside = _beside(alike, cells, days)
    if drawing and beside:
        return Told(drawing.title, replace(drawing, caption=beside[0], numbers=beside[1]), (), ())
    return Told(typography.sentence(called), drawing, tuple(typography.date(day) for day in shown), cells)


def _beside(alike: Sequence[tuple[str, Course]], cells: Sequence[tuple[str, tuple[str, ...]]],
            days: Sequence[str]) -> tuple[str, tuple[tuple[str, str], ...]] | None:
    """Caption and readings where they fit beside the drawing: of one place by day, of several that were all read on the same few days by place."""
    if len(alike) == 1:
        return "", tuple((typography.date(point.at), _both(point)) for point in alike[0][1].points)
    if len(days) <= DAYS_BESIDE and all(all(readings) for _, readings in cells):
        return f"Read on {', then '.join(typography.date(day) for day in days)}.", tuple((name, ", ".join(readings)) for name, readings in cells)
    return None


def _alike(courses: Sequence[Course]) -> list[tuple[str, Course]]:
    """Places with the same readings on one line, under the names of all."""
    names: dict[tuple[Point, ...], list[str]] = {}
    for course in courses:
        names.setdefault(course.points, []).append(place(course.position))
    first = {course.points: course for course in reversed(courses)}
    return [("all" if 1 < len(courses) == len(places) else ", ".join(filter(None, places)), first[points]) for points, places in names.items()]


def _cell(course: Course, day: str) -> str:
    """The readings of a day, in the order in which they were taken."""
    return ", then ".join(_both(point) for point in course.points if point.at[:10] == day)


def _both(point: Point) -> str:
    return f"{point.printed} ({point.also})" if point.also else point.printed


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text[:10])
    except ValueError:
        return None

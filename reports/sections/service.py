"""First miles and service plan, derived from what is on the car. Intervals are `common practice`; a maker's own come first."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import MAXYEAR, date, timedelta

from reports import typography
from reports.answer import Fact
from reports.document import Fastener
from reports.service_rules import BRAKE_FLUID_YEARS, COOLANT_YEARS, RUBBER, RUBBER_YEARS, RULES, TIRE_LIFE_YEARS, TIRE_LOOK_YEARS, Rule, interval, said
from reports.source import Source, texts
from reports.vocabulary import place

TITLE = "First miles and service plan"
_RECHECK_DAYS = re.compile(r"([\d,]{1,6}(?:\.\d+)?) ?(day|week)s?\Z")
#: No joint is to be looked at again later than this: common practice.
MOST_DAYS = 3650
_DOT_CODE = re.compile(r"(\d{2})(\d{2})\s*\Z")


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the plan; `day` is when it is next due where that is known, `years` how often it comes again (0: once)."""

    when: str
    what: str
    why: str = ""
    day: date | None = None
    years: int = 0
    key: str = ""

    @property
    def next(self) -> str:
        """The day it is due, written out; empty where only the distance tells."""
        return typography.date(self.day.isoformat()) if self.day else ""


@dataclass(frozen=True, slots=True)
class Plan:
    """Content of the section: the first miles, then the standing service, then what is due by date; from which day dates were counted."""

    first_miles: tuple[Step, ...]
    service: tuple[Step, ...]
    by_date: tuple[Step, ...]
    counted_from: str

    @property
    def dated(self) -> tuple[Step, ...]:
        """Every step with a day, the earliest first: what a calendar can hold."""
        return tuple(sorted((step for step in (*self.service, *self.by_date) if step.day), key=lambda step: (step.day, step.key)))


def build(source: Source) -> Plan | None:
    """The plan; None for a document without parts, fasteners or facts."""
    start = started(source)
    first, service, dated = _first_miles(source), _service(source, start), _by_date(source)
    if not (first or service or dated):
        return None
    first.sort(key=lambda step: _miles(step.when))
    return Plan(tuple(first), tuple(service), tuple(sorted(dated, key=lambda step: (step.day, step.key))),
                typography.date(start.isoformat()) if start else "")


def started(source: Source) -> date | None:
    """The day from which yearly service counts: the handing over, else the last drive."""
    days = [_day(source.document.build.delivered_on)] if source.document.build.delivered_on else [_day(drive.at) for drive in source.document.drives]
    return max((day for day in days if day), default=None)


def _first_miles(source: Source) -> list[Step]:
    steps = _rechecks(source)
    present = set(source.systems_present())
    listed = " ".join(step.what for step in steps).lower()
    if "wheels" in present and not ("wheel" in listed and "50 mi" in " ".join(step.when for step in steps)):
        steps.append(Step(f"after {said((50, 80), source.units)}", "Wheel nuts: torque again, wheels on the ground",
                          "paint and plating settle under the seats"))
    for system, what in (("steering", "Steering joints"), ("suspension", "Suspension joints"), ("driveline", "Driveline fasteners: shaft, flanges, mounts")):
        if system in present and not _rechecked(source, system):
            steps.append(Step(f"after the first drive and at {said((500, 800), source.units)}", f"{what}: check the torque of every joint"))
    if any(part.kind == "engine" and part.status == "fitted" for part in source.document.parts):
        steps.append(Step("after the first drive", "Look for leaks cold, hot, and an hour after stopping; top up all fluids"))
    return steps


def _rechecked(source: Source, system: str) -> bool:
    return any(fastener.recheck_after for fastener in source.document.fasteners if fastener.system == system)


def _rechecks(source: Source) -> list[Step]:
    """Joints with a recheck of their own that is still to come, those due together on one line with their torques."""
    due: dict[str, list[str]] = {}
    for fastener in source.document.fasteners:
        if fastener.recheck_after and not fastener.rechecked_at and not _days(fastener):
            fact = source.facts.get(f"fastener.applied_torque@{fastener.joint}")
            torque = fact.text if fact else typography.typed(fastener.applied_torque or fastener.specified_torque)
            joint = f"{place(fastener.joint)} {torque}".strip()
            due.setdefault(typography.typed(fastener.recheck_after), []).append(joint)
    return [Step(f"after {when}", f"Check the torque of {', '.join(joints)}") for when, joints in due.items()]


def _days(fastener: Fastener) -> int:
    """The days after which a joint is to be looked at again, 0 where a distance is given or nothing."""
    found = _RECHECK_DAYS.match(typography.typed(fastener.recheck_after))
    return min(int(float(found[1].replace(",", "")) * (7 if found[2].startswith("w") else 1)), MOST_DAYS) if found and _day(fastener.at) else 0


def _rechecks_by_date(source: Source) -> list[Step]:
    """Joints to be looked at again after a time, counted from the day they were tightened."""
    steps = []
    for fastener in source.document.fasteners:
        days, start = _days(fastener), _day(fastener.at)
        if days and start and not fastener.rechecked_at and start.year < MAXYEAR - MOST_DAYS // 365:
            day = start + timedelta(days=days)
            steps.append(Step(typography.date(day.isoformat()), f"Check the torque of {place(fastener.joint)}", f"tightened {typography.date(fastener.at)}",
                              day, 0, f"joint-{fastener.id}"))
    return steps


def _miles(text: str) -> float:
    """The first distance named in a line, in miles; 0 where none is."""
    found = re.search(r"(\d[\d.,]*) ?(km)?", text)
    number = float(found[1].replace(",", "").rstrip(".")) if found else 0.0
    return number / 1.609344 if found and found[2] else number


def _service(source: Source, start: date | None) -> list[Step]:
    points = grease_points(source)
    grease = Rule("grease", frozenset(), f"Grease: {', '.join(points)}", None, (3000, 5000), 1)
    steps = [_standing(grease, [], source.units, start)] if points else []
    for rule in RULES:
        fitted = [source.part_name(part) for part in source.document.parts if part.kind in rule.kinds and part.status == "fitted"]
        if fitted or (rule.key in ("brakes", "fuel") and rule.key in source.systems_present()):
            steps.append(_standing(rule, fitted, source.units, start))
    return steps


def _standing(rule: Rule, parts: list[str], units: str, start: date | None) -> Step:
    day = _later(start, rule.years) if start and rule.years else None
    return Step(interval(rule, units), rule.what.replace("{parts}", ", ".join(parts)), "", day, rule.years if day else 0, rule.key)


def grease_points(source: Source) -> list[str]:
    """Everything recorded as having a grease fitting."""
    facts = [fact for fact in source.answer.facts if fact.field == "greasable" and typography.typed(fact.typed or fact.printed) == "yes"]
    return [f"{source.vocabulary.kind(fact.subject).title}{', ' + place(fact.position) if fact.position else ''}" for fact in facts]


def _by_date(source: Source) -> list[Step]:
    due = _tires(source) + _rechecks_by_date(source)
    fluid = source.facts.get("brake_fluid.filled_on")
    filled = _day(typography.typed(fluid.typed)) if fluid else None
    if filled:
        grade = source.facts.get("brake_fluid.grade")
        name = f"Brake fluid, {grade.text}" if grade else "Brake fluid"
        due.append(_due(filled, BRAKE_FLUID_YEARS, f"{name}: change", f"filled {typography.date(filled.isoformat())}", BRAKE_FLUID_YEARS, "brake-fluid"))
    for part in source.document.parts:
        fitted = _day(part.fitted_on)
        years = COOLANT_YEARS if part.kind == "coolant" else RUBBER_YEARS if part.kind in RUBBER else 0
        if fitted and years and part.status == "fitted":
            what = "change" if part.kind == "coolant" else "look for cracks and soft spots, replace if in doubt"
            due.append(_due(fitted, years, f"{source.part_name(part)}: {what}", f"fitted {typography.date(part.fitted_on)}", years, f"part-{part.id}"))
    return due


def _due(start: date, years: int, what: str, why: str, again: int, key: str) -> Step:
    day = _later(start, years)
    return Step(typography.date(day.isoformat()), what, why, day, again, key)


def _later(start: date, years: int) -> date:
    """The same day so many years on; the end of February has one day less."""
    year = min(start.year + years, MAXYEAR)
    return start.replace(year=year, day=28 if (start.month, start.day) == (2, 29) else start.day)


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text[:10])
    except ValueError:
        return None


def _tires(source: Source) -> list[Step]:
    """Tires by their date code: week and year made, the last four figures."""
    made: dict[date, list[Fact]] = {}
    for fact in source.answer.facts:
        found = _DOT_CODE.search(typography.typed(fact.typed)) if fact.subject == "tire" and fact.field == "date_code" else None
        if found and 1 <= int(found[1]) <= 53:
            made.setdefault(date(2000 + int(found[2]), 1, 1) + timedelta(weeks=int(found[1]) - 1), []).append(fact)
    steps = []
    for start, facts in made.items():
        where = ", ".join(texts(*dict.fromkeys(place(fact.position) for fact in facts)))
        tires, why = f"Tires{', ' + where if where else ''}", f"made in week {start.isocalendar().week} of {start.year}"
        key = f"tires-{start.isoformat()}-{typography.slug(where)}"
        steps.append(_due(start, TIRE_LIFE_YEARS, f"{tires}: replace, whatever their tread", why, 0, key))
        steps.append(_due(start, TIRE_LOOK_YEARS, f"{tires}: from now on look every year for cracks and hard rubber", why, 1, f"{key}-look"))
    return steps

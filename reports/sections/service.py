"""First miles and service plan, derived from what is on the car. Intervals are `common practice`; a maker's own come first."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta

from reports import typography
from reports.answer import Fact
from reports.source import Source, texts
from reports.vocabulary import place

TITLE = "First miles and service plan"
TIRE_LIFE_YEARS = 10
BRAKE_FLUID_YEARS = 2
COOLANT_YEARS = 3
RUBBER_YEARS = 5
_DOT_CODE = re.compile(r"(\d{2})(\d{2})\s*\Z")
#: Kinds of rubber and filter parts looked at by age.
_RUBBER = frozenset({"hose", "belt", "brake_hose", "fuel_hose", "fuel_line", "coolant_hose", "radiator_hose", "accessory_belt", "timing_belt"})
_FILTERS = frozenset({"fuel_filter", "oil_filter", "air_filter", "filter", "air_cleaner"})


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the plan."""

    when: str
    what: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """Content of the section: the first miles, then the standing service, then what is due by date."""

    first_miles: tuple[Step, ...]
    service: tuple[Step, ...]
    by_date: tuple[Step, ...]


def build(source: Source) -> Plan | None:
    """The plan; None for a document without parts, fasteners or facts."""
    first, service, dated = _first_miles(source), _service(source), _by_date(source)
    if not (first or service or dated):
        return None
    first.sort(key=lambda step: _miles(step.when))
    return Plan(tuple(first), tuple(service), tuple(step for _, step in sorted(dated, key=lambda pair: pair[0])))


def _first_miles(source: Source) -> list[Step]:
    steps = _rechecks(source)
    present = set(source.systems_present())
    listed = " ".join(step.what for step in steps).lower()
    if "wheels" in present and not ("wheel" in listed and "50 mi" in " ".join(step.when for step in steps)):
        steps.append(Step("after 50 mi (80 km)", "Wheel nuts: torque again, wheels on the ground", "paint and plating settle under the seats"))
    for system, what in (("steering", "Steering joints"), ("suspension", "Suspension joints"), ("driveline", "Driveline fasteners: shaft, flanges, mounts")):
        if system in present and not _rechecked(source, system):
            steps.append(Step("after the first drive and at 500 mi (800 km)", f"{what}: check the torque of every joint"))
    if any(part.kind == "engine" and part.status == "fitted" for part in source.document.parts):
        steps.append(Step("after the first drive", "Look for leaks cold, hot, and an hour after stopping; top up all fluids"))
    return steps


def _rechecked(source: Source, system: str) -> bool:
    return any(fastener.recheck_after for fastener in source.document.fasteners if fastener.system == system)


def _rechecks(source: Source) -> list[Step]:
    """Joints with a recheck of their own that is still to come, those due together on one line with their torques."""
    due: dict[str, list[str]] = {}
    for fastener in source.document.fasteners:
        if fastener.recheck_after and not fastener.rechecked_at:
            fact = source.facts.get(f"fastener.applied_torque@{fastener.joint}")
            torque = fact.text if fact else typography.typed(fastener.applied_torque or fastener.specified_torque)
            joint = f"{place(fastener.joint)} {torque}".strip()
            due.setdefault(typography.typed(fastener.recheck_after), []).append(joint)
    return [Step(f"after {when}", f"Check the torque of {', '.join(joints)}") for when, joints in due.items()]


def _miles(text: str) -> float:
    """The first distance named in a line, in miles; 0 where none is."""
    found = re.search(r"\d[\d.,]*", text)
    number = float(found.group().replace(",", "").rstrip(".")) if found else 0.0
    return number / 1.609344 if "km" in text else number


def _service(source: Source) -> list[Step]:
    steps = [Step("every 3,000 mi (5,000 km) or once a year", f"Grease: {', '.join(points)}")] if (points := _grease_points(source)) else []
    kinds = {part.kind for part in source.document.parts if part.status == "fitted"}
    if "engine" in kinds:
        steps.append(Step("after 500 mi (800 km), then every 5,000 mi (8,000 km) or once a year", "Engine oil and filter"))
    if filters := [source.part_name(part) for part in source.document.parts if part.kind in _FILTERS and part.status == "fitted"]:
        steps.append(Step("every 12,000 mi (20,000 km)", f"Filters: {', '.join(filters)}"))
    if "transmission" in kinds:
        steps.append(Step("every 30,000 mi (50,000 km); half that when towing or racing", "Transmission fluid"))
    if "axle" in kinds:
        steps.append(Step("after 500 mi (800 km), then every 30,000 mi (50,000 km)", "Axle oil"))
    if "brakes" in source.systems_present():
        steps.append(Step("every 6,000 mi (10,000 km) or once a year", "Brakes: lining thickness, hoses, leaks, pedal; wheels off"))
    if kinds & {"driveshaft", "universal_joint", "steering_joint", "ball_joint", "tie_rod"}:
        steps.append(Step("every 6,000 mi (10,000 km) or once a year", "Joints of driveline, steering and suspension: play, boots, locking"))
    return steps


def _grease_points(source: Source) -> list[str]:
    """Everything recorded as having a grease fitting."""
    facts = [fact for fact in source.answer.facts if fact.field == "greasable" and typography.typed(fact.typed or fact.printed) == "yes"]
    return [f"{source.vocabulary.kind(fact.subject).title}{', ' + place(fact.position) if fact.position else ''}" for fact in facts]


def _by_date(source: Source) -> list[tuple[date, Step]]:
    due = _tires(source)
    fluid = source.facts.get("brake_fluid.filled_on")
    filled = _day(typography.typed(fluid.typed)) if fluid else None
    if filled:
        grade = source.facts.get("brake_fluid.grade")
        name = f"Brake fluid, {grade.text}" if grade else "Brake fluid"
        due.append(_due(filled, BRAKE_FLUID_YEARS, f"{name}: change", f"filled {typography.date(filled.isoformat())}"))
    for part in source.document.parts:
        fitted = _day(part.fitted_on)
        years = COOLANT_YEARS if part.kind == "coolant" else RUBBER_YEARS if part.kind in _RUBBER else 0
        if fitted and years and part.status == "fitted":
            what = "change" if part.kind == "coolant" else "look for cracks and soft spots, replace if in doubt"
            due.append(_due(fitted, years, f"{source.part_name(part)}: {what}", f"fitted {typography.date(part.fitted_on)}"))
    return due


def _due(start: date, years: int, what: str, why: str) -> tuple[date, Step]:
    day = start.replace(year=start.year + years, day=min(start.day, 28))
    return day, Step(typography.date(day.isoformat()), what, why)


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text[:10])
    except ValueError:
        return None


def _tires(source: Source) -> list[tuple[date, Step]]:
    """Tires by their date code: week and year made, the last four figures."""
    made: dict[date, list[Fact]] = {}
    for fact in source.answer.facts:
        found = _DOT_CODE.search(typography.typed(fact.typed)) if fact.subject == "tire" and fact.field == "date_code" else None
        if found and 1 <= int(found[1]) <= 53:
            made.setdefault(date(2000 + int(found[2]), 1, 1) + timedelta(weeks=int(found[1]) - 1), []).append(fact)
    out = []
    for start, facts in made.items():
        where = ", ".join(texts(*dict.fromkeys(place(fact.position) for fact in facts)))
        out.append(_due(start, TIRE_LIFE_YEARS, f"Tires{', ' + where if where else ''}: replace, whatever their tread",
                        f"made in week {start.isocalendar().week} of {start.year}"))
    return out


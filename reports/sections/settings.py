"""Settings as delivered: what a wrench or a screwdriver can change, as it was when the car left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from reports.answer import Fact
from reports.source import Source
from reports.vocabulary import place

TITLE = "Settings as delivered"
CORNERS = ("front_left", "front_right", "rear_left", "rear_right")

#: Subjects whose every field is a setting, and single fields that are.
SUBJECTS = frozenset({"alignment"})
FIELDS = frozenset({
    "tire.pressure", "weights.corner_mass", "weights.ride_height", "suspension.ride_height", "engine.idle_speed", "engine.redline",
    "engine.boost_pressure", "suspension.bump_stop_gap", "proportioning_valve.knee_pressure", "proportioning_valve.bypass",
    "parking_brake.force", "brake_system.held_pedal_drop", "radiator_mount.mount_height", "driveline.engine_slope",
    "driveline.pinion_slope", "driveline.converter_gap", "coolant.glycol_fraction", "coolant.cap_pressure", "cooling.cap_pressure",
    "radiator.cap_pressure", "coolant.freeze_point", "battery.rest_voltage", "electrical.charging_voltage", "alternator.charging_voltage",
    "fuel_system.pressure", "fuel_system.static_pressure", "fuel_system.rail_pressure", "clutch_release.free_play",
    "clutch_release.pedal_free_play", "speedometer.teeth", "damper.length_at_ride", "steering.toe_total",
})


@dataclass(frozen=True, slots=True)
class CornerRow:
    """One setting at the corners, in the order of `CORNERS`; an axle's value stands for both of its wheels."""

    title: str
    values: tuple[str, str, str, str]


@dataclass(frozen=True, slots=True)
class Settings:
    """Content of the section."""

    corners: tuple[CornerRow, ...]
    systems: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]


def is_setting(fact: Fact) -> bool:
    """Whether the book prints this fact among the settings."""
    return fact.subject in SUBJECTS or f"{fact.subject}.{fact.field}" in FIELDS


def build(source: Source) -> Settings | None:
    """Corner settings as a table, the rest by system; None when nothing of the kind was recorded."""
    facts = [fact for fact in source.answer.facts if is_setting(fact)]
    if not facts:
        return None
    by_field: dict[str, list[Fact]] = {}
    for fact in facts:
        by_field.setdefault(f"{fact.subject}.{fact.field}", []).append(fact)
    cornered = {name: group for name, group in by_field.items() if any(fact.position in CORNERS for fact in group)}
    rows = tuple(CornerRow(source.vocabulary.fact_title(name), _corners(group)) for name, group in cornered.items())
    others: dict[str, list[tuple[str, str]]] = {}
    for name, group in by_field.items():
        if name not in cornered:
            for fact in group:
                title = source.vocabulary.fact_title(name)
                where = f"{title}, {place(fact.position)}" if fact.position else title
                others.setdefault(source.system_of_fact(fact), []).append((where, fact.text))
    return Settings(rows, tuple((source.vocabulary.system_title(system), tuple(pairs)) for system, pairs in others.items()))


def _corners(group: Sequence[Fact]) -> tuple[str, str, str, str]:
    known = {fact.position: fact.printed for fact in group}
    front_left, front_right, rear_left, rear_right = (known.get(corner, known.get(corner.partition("_")[0], "")) for corner in CORNERS)
    return front_left, front_right, rear_left, rear_right

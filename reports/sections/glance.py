"""The car at a glance: what it is, its main figures, whether it is ready for the road, what is deliberately left off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from reports import typography
from reports.source import Source

TITLE = "The car at a glance"

#: The figures an owner is asked for first, by name and address.
MAIN_FIGURES = (
    ("displacement", "engine.displacement"), ("peak power", "engine.peak_power"), ("peak torque", "engine.peak_torque"),
    ("redline", "engine.redline"), ("fuel", "engine.fuel"), ("transmission", "transmission.type"),
    ("forward ratios", "transmission.forward_ratios"), ("axle ratio", "axle.ratio"), ("driven wheels", "car.drive_layout"),
    ("mass", "car.mass"), ("wheelbase", "car.wheelbase"), ("track, front", "suspension.track@front"),
    ("track, rear", "suspension.track@rear"), ("tires", "tire.size"), ("tires, front", "tire.size@front"),
    ("tires, rear", "tire.size@rear"), ("brakes, front", "brake.type@front"), ("brakes, rear", "brake.type@rear"),
    ("brake booster", "brake_booster.type"), ("fuel tank", "fuel_tank.capacity"), ("battery", "battery.capacity"),
)


@dataclass(frozen=True, slots=True)
class Glance:
    """Content of the section; `papers` and `figures` are pairs of name and value."""

    papers: tuple[tuple[str, str], ...]
    figures: tuple[tuple[str, str], ...]
    notes: str
    counts: Mapping[str, int]
    for_road: bool
    because: tuple[str, ...]
    absent: tuple[str, ...]


def build(source: Source) -> Glance:
    """The car's papers, main figures and state."""
    car, build_ = source.document.car, source.document.build
    papers = [("make and model", f"{car.make} {car.model}".strip()), ("year", car.year), ("body", car.body), ("color", car.color),
              ("serial number", car.serial), ("identification number", car.vin), ("owner", car.owner.get("name")),
              ("the job", build_.title), ("built for", typography.words(build_.use)), ("work begun", typography.date(build_.opened_on)),
              ("promised", "" if build_.delivered_on else typography.date(build_.promised_on)),
              ("handed over", typography.date(build_.delivered_on))]
    return Glance(tuple((name, str(value)) for name, value in papers if value), _figures(source), build_.notes,
                  source.answer.counts, source.answer.for_road, source.answer.because,
                  tuple(source.vocabulary.fact_title(name) if "." in name else _absent(source, name) for name in source.document.absent))


def _figures(source: Source) -> tuple[tuple[str, str], ...]:
    return tuple((name, source.facts[address].text) for name, address in MAIN_FIGURES if address in source.facts)


def _absent(source: Source, name: str) -> str:
    subject, _, position = name.partition("@")
    title = source.vocabulary.kind(subject).title
    return f"{title}, {typography.words(position)}" if position else title

"""The tightening record: every joint with its thread, torque, who tightened it with what, and when to look again."""

from __future__ import annotations

from dataclasses import dataclass

from reports import typography
from reports.document import Fastener
from reports.source import Source

TITLE = "Tightening record"


@dataclass(frozen=True, slots=True)
class Joint:
    """One joint as printed."""

    fastener: Fastener
    thread: str
    torque: str
    specified: str
    by: str
    recheck: str
    rechecked: str


@dataclass(frozen=True, slots=True)
class Record:
    """The joints of one system."""

    title: str
    joints: tuple[Joint, ...]


def build(source: Source) -> tuple[Record, ...] | None:
    """The record by system, in the vocabulary's order."""
    systems: dict[str, list[Joint]] = {}
    for fastener in source.document.fasteners:
        systems.setdefault(fastener.system, []).append(_joint(source, fastener))
    order = [system for system in source.systems_present() if system in systems] + (["  "] if "" in systems else [])
    records = tuple(Record(source.vocabulary.system_title(system) if system.strip() else "Other joints",
                           tuple(systems[system.strip()])) for system in order)
    return records or None


def _joint(source: Source, fastener: Fastener) -> Joint:
    class_ = typography.typed(fastener.class_)
    counted = f"{fastener.count} × " if fastener.count else ""
    length = f" × {_printed(source, fastener, 'length', fastener.length)}" if fastener.length else ""
    applied = _printed(source, fastener, "applied_torque", fastener.applied_torque)
    specified = _printed(source, fastener, "specified_torque", fastener.specified_torque)
    angle = f" + {typography.typed(fastener.extra_angle)}" if fastener.extra_angle else ""
    torque = f"{applied}{angle}" if applied else "not tightened yet"
    said = f"specified {specified}" if specified and specified != applied else ""
    signed = ", ".join(word for word in (fastener.by, typography.date(fastener.at)) if word)
    return Joint(fastener, f"{counted}{fastener.thread}{length}" + (f", class {class_}" if class_ else ""), torque, said, signed,
                 typography.typed(fastener.recheck_after), typography.date(fastener.rechecked_at))


def _printed(source: Source, fastener: Fastener, field: str, value: object) -> str:
    """The fact's pair of units where the answer has it, else as typed."""
    fact = source.facts.get(f"fastener.{field}@{fastener.joint}")
    return fact.text if fact else typography.typed(value)

"""Typed views of the build document: every record with all its keys, absent ones empty."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any, TypeVar

from reports import typography

Record = TypeVar("Record")


def view(kind: type[Record], record: Mapping[str, Any]) -> Record:
    """A record as its dataclass: unknown keys and nulls are left to the defaults, lists become tuples."""
    known = {f.name for f in fields(kind)}  # type: ignore[arg-type]
    renamed = {"class_" if key == "class" else key: value for key, value in record.items()}
    return kind(**{key: tuple(value) if isinstance(value, list) else value
                   for key, value in renamed.items() if key in known and value is not None})


@dataclass(frozen=True, slots=True)
class Car:
    """The car: what its papers say."""

    id: str = ""
    make: str = ""
    model: str = ""
    year: Any = ""
    body: str = ""
    serial: str = ""
    vin: str = ""
    color: str = ""
    owner: dict[str, Any] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """`1961 Make Model`."""
        return " ".join(str(word) for word in (self.year, self.make, self.model) if word)


@dataclass(frozen=True, slots=True)
class Build:
    """The job: title, use, dates."""

    id: str = ""
    title: str = ""
    use: str = ""
    units: str = "us"
    opened_on: str = ""
    promised_on: str = ""
    delivered_on: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """A part that is, was or will be on the car."""

    id: str = ""
    kind: str = "other"
    position: str = ""
    name: str = ""
    maker: str = ""
    system: str = ""
    part_number: str = ""
    serial: str = ""
    supplier: str = ""
    quantity: Any = 1
    status: str = "fitted"
    specs: dict[str, Any] = field(default_factory=dict)
    fitted_on: str = ""
    fitted_by: str = ""
    replaces: str = ""
    order_as: str = ""
    notes: str = ""
    photos: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Specification:
    """A fact stated, not measured."""

    id: str = ""
    fact: str = ""
    value: Any = ""
    tolerance: Any = ""
    basis: str = ""
    at: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True)
class Measurement:
    """A fact measured: with what, how, when and by whom."""

    id: str = ""
    fact: str = ""
    value: Any = ""
    tolerance: Any = ""
    instrument: str = ""
    condition: str = ""
    taken_at: str = ""
    taken_by: str = ""
    supersedes: str = ""
    notes: str = ""
    photos: tuple[str, ...] = ()

    @property
    def printed(self) -> str:
        """The value as typed, its tolerance behind it."""
        text = typography.typed(self.value)
        return f"{text} ± {typography.typed(self.tolerance)}" if self.tolerance else text


@dataclass(frozen=True, slots=True)
class Fix:
    """A trouble found, its cause, and what was done."""

    id: str = ""
    system: str = ""
    title: str = ""
    found_at: str = ""
    problem: str = ""
    cause: str = ""
    remedy: str = ""
    status: str = ""
    safety: bool = False
    resolved_at: str = ""
    parts_added: tuple[str, ...] = ()
    before: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    next_mechanic: str = ""
    photos: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Fastener:
    """A joint of the tightening record."""

    id: str = ""
    joint: str = ""
    system: str = ""
    thread: str = ""
    class_: str = ""
    count: Any = ""
    length: Any = ""
    lubricant: str = ""
    specified_torque: Any = ""
    applied_torque: Any = ""
    extra_angle: Any = ""
    tool: str = ""
    by: str = ""
    at: str = ""
    recheck_after: Any = ""
    rechecked_at: str = ""
    notes: str = ""
    came_from: str = ""


@dataclass(frozen=True, slots=True)
class Task:
    """A step of the work."""

    id: str = ""
    title: str = ""
    system: str = ""
    after: tuple[str, ...] = ()
    needs_parts: tuple[str, ...] = ()
    estimate: Any = ""
    done_at: str = ""
    by: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True)
class Drive:
    """A road test."""

    id: str = ""
    at: str = ""
    distance: Any = ""
    by: str = ""
    observations: str = ""


@dataclass(frozen=True, slots=True)
class Signoff:
    """A signature for one item."""

    id: str = ""
    item: str = ""
    by: str = ""
    role: str = ""
    at: str = ""
    statement: str = ""

    @property
    def accepts(self) -> str:
        """The finding it accepts (`check` or `check@position`, small letters); empty for the signature of an item."""
        word, colon, finding = self.item.partition(":")
        if not colon or word.strip().casefold() != "accept":
            return ""
        return "@".join(part.strip().casefold() for part in finding.split("@", 1))

    @property
    def reasoned(self) -> bool:
        """Whether it says who and why, without which an acceptance does not count."""
        return bool(self.by.strip() and self.statement.strip())


@dataclass(frozen=True, slots=True)
class Photo:
    """A photograph and what to see in it."""

    id: str = ""
    file: str = ""
    sha256: str = ""
    caption: str = ""
    taken_at: str = ""
    of: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper kept with the car."""

    id: str = ""
    file: str = ""
    title: str = ""
    kind: str = ""
    edition: str = "shop"
    of: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Visit:
    """An earlier build of the car."""

    id: str = ""
    build: str = ""
    title: str = ""
    use: str = ""
    opened_on: str = ""
    delivered_on: str = ""
    distance: Any = ""
    fixes: tuple[str, ...] = ()
    notes: str = ""


@dataclass(frozen=True, slots=True)
class Document:
    """One build: every list of the build document as typed records, in the document's order."""

    car: Car
    build: Build
    parts: tuple[Part, ...] = ()
    specs: tuple[Specification, ...] = ()
    measurements: tuple[Measurement, ...] = ()
    fixes: tuple[Fix, ...] = ()
    fasteners: tuple[Fastener, ...] = ()
    tasks: tuple[Task, ...] = ()
    drives: tuple[Drive, ...] = ()
    signoffs: tuple[Signoff, ...] = ()
    photos: tuple[Photo, ...] = ()
    papers: tuple[Paper, ...] = ()
    visits: tuple[Visit, ...] = ()
    absent: tuple[str, ...] = ()

    @classmethod
    def of(cls, document: Mapping[str, Any]) -> Document:
        """The typed view of a valid build document (contract: `as-fitted/build/1`)."""
        lists = {"parts": Part, "specs": Specification, "measurements": Measurement, "fixes": Fix, "fasteners": Fastener,
                 "tasks": Task, "drives": Drive, "signoffs": Signoff, "photos": Photo, "papers": Paper,
                 "visits": Visit}
        records: dict[str, Any] = {name: tuple(view(kind, record) for record in document.get(name) or ()) for name, kind in lists.items()}
        return cls(view(Car, document.get("car") or {}), view(Build, document.get("build") or {}), **records,
                   absent=tuple(document.get("absent") or ()))

"""As-fitted facts: what is known of the car, at every address, and where each value came from.

As-fitted value: the newest measurement that is not superseded; else the newest spec; else the specs of the newest
part of that kind and position whose status is fitted (else received, ordered, wanted). Newest is the latest date;
undated is older than dated; ties go to the later entry.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from service.document.address import axle_of, corners_of, normal, resolve, written
from service.vocabulary import KINDS
from service.vocabulary.core import NOWHERE, FieldError, Value

PART_STATUSES = ("fitted", "received", "ordered", "wanted")
_STATUS_RANK = {status: len(PART_STATUSES) - rank for rank, status in enumerate(PART_STATUSES)}
_MEASUREMENT, _SPEC, _PART, _HEADER = 3, 2, 1, 0


@dataclass(slots=True, eq=False)
class Fact:
    """One recorded value: SI (or plain) value, absolute tolerance, what was typed, and the record it stands in.

    Nobody changes one; it is not frozen because hundreds are made for every car, and freezing triples the time that takes.
    """

    subject: str
    field: str
    position: str | None
    value: Any
    tolerance: float | None
    typed: Any
    source: Mapping[str, Any]
    status: str | None = None
    unusual: bool = False
    at: str = ""

    @property
    def address(self) -> str:
        """The address the value was recorded at."""
        return written(self.subject, self.field, self.position)


class Facts:
    """The as-fitted facts of one document. Cheap to copy with changes (`with_changes`)."""

    def __init__(self, document: Mapping[str, Any]) -> None:
        self.document = document
        self.places: dict[tuple[str, str], dict[str | None, Fact]] = {}
        self.parts: dict[str, set[str | None]] = {}
        self.subjects: dict[str, set[str | None]] = {}
        self.absent = {_absent_key(entry) for entry in document.get("absent") or ()}
        self._ranks: dict[tuple[str, str, str | None], tuple[Any, ...]] = {}
        self._gather()

    def _gather(self) -> None:
        self._from_parts()
        self._from_specs()
        self._from_measurements()
        self._from_fasteners()
        self._from_header()
        self._ranks.clear()
        self._stand_for_the_kind()

    def _stand_for_the_kind(self) -> None:
        """The only part of a kind that has no positions is the car's own, whatever label it was given (`axle` at `rear`)."""
        for subject, labels in self.subjects.items():
            kind = KINDS[subject]
            if kind.area or kind.positions != NOWHERE or len(labels) != 1 or None in labels:
                continue
            (label,) = labels
            labels.add(None)
            for places in (places for (name, _), places in self.places.items() if name == subject):
                places[None] = places[label]
            if label in self.parts.get(subject, ()):
                self.parts[subject].add(None)

    def _offer(self, fact: Fact, rank: tuple[Any, ...]) -> None:
        """Keep `fact` if nothing of higher rank stands at its address; equal ranks go to the later entry."""
        key = (fact.subject, fact.field, fact.position)
        if key in self._ranks and self._ranks[key] > rank:
            return
        self._ranks[key] = rank
        self.places.setdefault((fact.subject, fact.field), {})[fact.position] = fact
        self.subjects.setdefault(fact.subject, set()).add(fact.position)

    def _from_parts(self) -> None:
        for part in self.document.get("parts") or ():
            status = part.get("status", "fitted")
            if status == "removed":
                continue
            kind = KINDS.get(part["kind"])
            if kind is None:
                continue
            position = normal(part.get("position"))
            self.parts.setdefault(kind.name, set()).add(position)
            self.subjects.setdefault(kind.name, set()).add(position)
            rank = (_PART, _STATUS_RANK.get(status, 0), moment(part.get("fitted_on")))
            for name, raw in (part.get("specs") or {}).items():
                read = _read(kind.name, name, raw)
                fact = Fact(kind.name, name, position, read.value, read.tolerance, raw,
                            {"list": "parts", "id": part["id"]}, status, read.unusual, rank[2])
                self._offer(fact, rank)

    def _from_specs(self) -> None:
        for spec in self.document.get("specs") or ():
            if not spec.get("came_from") or self._still_there(spec["fact"]):
                self._offer_value(spec, "specs", (_SPEC, 0, moment(spec.get("at"))))

    def _still_there(self, address: str) -> bool:
        """Whether what came along from an earlier visit still tells of what is on the car: it goes when the part it tells of went."""
        subject, _, position, _ = resolve(address)
        around = {position, axle_of(position), *corners_of(position), None}
        here = [part for part in self.document.get("parts") or () if part["kind"] == subject and (position is None or normal(part.get("position")) in around)]
        return not here or any(part.get("came_from") and part.get("status", "fitted") != "removed" for part in here)

    def _from_measurements(self) -> None:
        measurements = self.document.get("measurements") or ()
        superseded = {entry["supersedes"] for entry in measurements if entry.get("supersedes")}
        for entry in measurements:
            if entry["id"] not in superseded:
                self._offer_value(entry, "measurements", (_MEASUREMENT, 0, moment(entry.get("taken_at"))))

    def _offer_value(self, record: Mapping[str, Any], list_name: str, rank: tuple[Any, ...]) -> None:
        subject, name, position, _ = resolve(record["fact"])
        read = _read(subject, name, record["value"], record.get("tolerance"))
        source = {"list": list_name, "id": record["id"]}
        if "/measurements/" in (record.get("came_from") or ""):
            day = (record.get("at") or "")[:10]
            source["carried"] = f"measured{f' {day}' if day else ''} at an earlier visit"
        fact = Fact(subject, name, position, read.value, read.tolerance, _typed(record), source, None, read.unusual, rank[2])
        self._offer(fact, rank)

    def _from_fasteners(self) -> None:
        kind = KINDS.get("fastener")
        for entry in self.document.get("fasteners") or ():
            joint = normal(entry.get("joint"))
            if kind is None or joint is None:
                continue
            self.subjects.setdefault("fastener", set()).add(joint)
            for field in kind.fields:
                raw = entry.get(field.name)
                if raw is not None and raw != "":
                    read = field.read(as_typed(raw) if field.dimension == "text" else raw)
                    self._offer(Fact("fastener", field.name, joint, read.value, read.tolerance, raw,
                                     {"list": "fasteners", "id": entry["id"]}, None, read.unusual), (_HEADER,))

    def _from_header(self) -> None:
        for subject in ("car", "build"):
            kind = KINDS.get(subject)
            for name, raw in (self.document.get(subject) or {}).items():
                field = kind.by_name.get(name) if kind else None
                if field is None or raw is None or (isinstance(raw, str) and not raw.strip()):
                    continue
                try:
                    read = field.read(raw)
                except FieldError:
                    # A body spelled outside the list counts as "other".
                    if field.dimension != "choice" or "other" not in field.choices:
                        raise
                    read = field.read("other")
                self._offer(Fact(subject, name, None, read.value, read.tolerance, raw, {"list": subject, "id": None}), (_HEADER,))


    def own(self, subject: str, field: str, position: str | None) -> Fact | None:
        """The fact recorded at exactly this address, if any."""
        places = self.places.get((subject, field))
        return places.get(position) if places else None

    def find(self, subject: str, field: str, position: str | None) -> Fact | None:
        """The one recorded fact that holds here: own, then a corner's axle, then an unpositioned part's.

        The mean of an axle's corners and derived values are the engine's to make (they have several sources).
        """
        places = self.places.get((subject, field))
        if not places:
            return None
        fact = places.get(position)
        if fact is not None or position is None or ":" in position:
            return fact
        axle = axle_of(position)
        if axle and axle in places:
            return places[axle]
        # An axle of which a corner is recorded reads the mean of its corners before a part that stands for all of them.
        return None if any(corner in places for corner in corners_of(position)) else self._fed(subject, position, places)

    def _fed(self, subject: str, position: str, places: Mapping[str | None, Fact]) -> Fact | None:
        """What a part without position says here, where no part stands at the position itself."""
        fact = places.get(None)
        return fact if fact is not None and fact.source["list"] == "parts" and self._feeds(subject, position, axle_of(position)) else None

    def _feeds(self, subject: str, position: str, axle: str | None) -> bool:
        """Whether a part without position stands for this one: four equal tires do, a one-piece driveshaft is no front one."""
        positioned = bool(axle or corners_of(position)) and not KINDS[subject].positions.bare
        return positioned and not any(place in self.parts.get(subject, ()) for place in (position, axle) if place)

    def corners(self, subject: str, field: str, position: str | None) -> list[Fact]:
        """The recorded facts of an axle's corners, left first (an axle reads their mean when it has none of its own).

        A corner without a fact of its own has that of a part that stands for every corner.
        """
        places = self.places.get((subject, field)) or {}
        names = corners_of(position)
        if not any(corner in places for corner in names):
            return []
        found = [places.get(corner) or self._fed(subject, corner, places) for corner in names]
        return [fact for fact in found if fact is not None]

    def labels(self, subject: str) -> list[str]:
        """Every label at which `subject` is recorded, in order of the alphabet."""
        return sorted(position for position in self.subjects.get(subject, ()) if position)

    def value(self, address: str) -> Any:
        """The as-fitted value at an address in SI, or None."""
        subject, field, position, _ = resolve(address)
        fact = self.find(subject, field, position)
        return fact.value if fact else None

    def on_car(self, subject: str, position: str | None = None) -> bool:
        """Whether a part of it that is not removed, or any fact of it, exists at `position` (anywhere when None)."""
        if self.is_absent(subject, position):
            return False
        places = self.subjects.get(subject)
        if not places:
            return False
        if position is None:
            return True
        around = {position, axle_of(position), *corners_of(position)} - {None}
        return bool(around & places) or (None in self.parts.get(subject, ()) and not KINDS[subject].positions.bare)

    def is_absent(self, subject: str, position: str | None = None) -> bool:
        """Whether the document says that it is deliberately not fitted."""
        return (subject, None) in self.absent or (position is not None and (
            (subject, position) in self.absent or ((subject, axle_of(position)) in self.absent and axle_of(position) is not None)))

    def __iter__(self) -> Iterator[Fact]:
        for places in self.places.values():
            yield from dict.fromkeys(places.values())


    def with_changes(self, changes: Mapping[str, Any]) -> Facts:
        """The same facts with some replaced: any wire value of a fact; None removes it.

        Raises AddressError or FieldError for a change that names nothing or cannot be read.
        """
        changed = self._copy()
        for address, raw in changes.items():
            changed._change(address, raw)
        return changed

    def _copy(self) -> Facts:
        copy = object.__new__(Facts)
        copy.document = self.document
        copy.places = {key: dict(places) for key, places in self.places.items()}
        copy.parts = self.parts
        copy.subjects = {key: set(places) for key, places in self.subjects.items()}
        copy.absent = self.absent
        copy._ranks = {}
        return copy

    def _change(self, address: str, raw: Any) -> None:
        subject, name, position, field = resolve(address)
        self.document = _rewritten(self.document, subject, name, position, raw)
        places = self.places.setdefault((subject, name), {})
        if raw is None:
            places.pop(position, None)
            self._forget(subject, position)
            return
        value = field.read(raw)
        places[position] = Fact(subject, name, position, value.value, value.tolerance, raw, {"list": "changes", "id": address},
                                None, value.unusual)
        self.subjects.setdefault(subject, set()).add(position)

    def _forget(self, subject: str, position: str | None) -> None:
        """A subject of which neither a part nor a fact is left at a position is no longer there."""
        joints = {normal(entry.get("joint")) for entry in self.document.get("fasteners") or ()} if subject == "fastener" else ()
        left = position in self.parts.get(subject, ()) or position in joints or any(
            position in places for (owner, _), places in self.places.items() if owner == subject)
        if not left:
            self.subjects.get(subject, set()).discard(position)


def _rewritten(document: Mapping[str, Any], subject: str, name: str, position: str | None, raw: Any) -> Mapping[str, Any]:
    """The document with a changed fact also where checks read it as a record: the car, the build, a fastener's entry."""
    if subject in ("car", "build"):
        return {**document, subject: _with(document.get(subject) or {}, name, raw)}
    if subject == "fastener":
        return {**document, "fasteners": [_with(entry, name, raw) if normal(entry.get("joint")) == position else entry
                                          for entry in document.get("fasteners") or ()]}
    return document


def _with(record: Mapping[str, Any], name: str, raw: Any) -> dict[str, Any]:
    """A record with one key replaced; None takes it out."""
    return {key: value for key, value in {**record, name: raw}.items() if key != name or raw is not None}


_SHORT = 64


def _read(subject: str, name: str, raw: Any, tolerance: Any = None) -> Value:
    """A field's value as read from the wire. Cars of one fleet have many texts in common; each is read once."""
    if type(raw) is str and len(raw) <= _SHORT and (tolerance is None or (type(tolerance) is str and len(tolerance) <= _SHORT)):
        return _read_text(subject, name, raw, tolerance)
    return KINDS[subject].by_name[name].read(raw, tolerance)


@lru_cache(maxsize=1 << 14)
def _read_text(subject: str, name: str, raw: str, tolerance: str | None) -> Value:
    return KINDS[subject].by_name[name].read(raw, tolerance)


def _typed(record: Mapping[str, Any]) -> Any:
    if record.get("tolerance") is None:
        return record["value"]
    return f"{as_typed(record['value'])} ± {as_typed(record['tolerance'])}"


def as_typed(raw: Any) -> str:
    """A wire value as one piece of text, unchanged in its numbers."""
    if isinstance(raw, dict):
        text = f"{raw.get('value')} {raw.get('unit', '')}".strip()
        return f"{text} ± {as_typed(raw['tolerance'])}" if raw.get("tolerance") is not None else text
    if isinstance(raw, bool):
        return "yes" if raw else "no"
    if isinstance(raw, (list, tuple)):
        return ", ".join(as_typed(item) for item in raw)
    return str(raw)


def _absent_key(entry: str) -> tuple[str, str | None]:
    subject, _, position = entry.partition("@")
    return subject.strip(), normal(position)


@lru_cache(maxsize=4096)
def moment(text: str | None) -> str:
    """A date or time stamp as text that sorts by time (UTC); undated sorts first."""
    if not text:
        return ""
    try:
        stamp = dt.datetime.fromisoformat(text)
    except ValueError:
        return ""
    if stamp.tzinfo is not None:
        stamp = stamp.astimezone(dt.UTC).replace(tzinfo=None)
    return stamp.isoformat()

"""Addresses of facts: `subject.field` or `subject.field@position`."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from service.vocabulary import KINDS, elsewhere, nearest
from service.vocabulary.core import AXLE_NAMES, Field, FieldError, Kind, Positions, Value


class AddressError(ValueError):
    """An address that names nothing in the vocabulary; the message offers the nearest names."""


def normal(position: str | None) -> str | None:
    """A position as it is compared: outer blanks dropped, case folded, `None` for an empty one."""
    return (position.strip().casefold() or None) if position else None


def written(subject: str, field: str, position: str | None) -> str:
    """The address of a fact."""
    return f"{subject}.{field}@{position}" if position else f"{subject}.{field}"


@lru_cache(maxsize=16384)
def split(address: str) -> tuple[str, str, str | None]:
    """`(subject, field, position)` of an address as written; `wheel.offset@front_left`. Raises AddressError."""
    name, at, position = address.partition("@")
    subject, dot, field = name.strip().partition(".")
    if not dot or not subject or not field or (at and not position.strip()):
        raise AddressError(f"{address[:80]!r} is no fact; write subject.field or subject.field@position, for example wheel.offset@front_left")
    return subject, field, position.strip() if at else None


def known_kind(subject: str) -> Kind:
    """The kind called `subject`. Raises AddressError with the nearest names."""
    kind = KINDS.get(subject)
    if kind is None:
        raise AddressError(f"no part or area of the car is called {subject[:60]!r}{nearest(subject, KINDS)}")
    return kind


def known_field(subject: str, field: str) -> Field:
    """The field `subject.field`. Raises AddressError with the nearest names."""
    kind = known_kind(subject)
    found = kind.by_name.get(field)
    if found is None:
        raise AddressError(f"{subject} has no field {field[:60]!r}{_advice(kind, field)}")
    return found


def read_value(subject: str, field: Field, raw: Any, tolerance: Any = None) -> Value:
    """Read a value of a field; one that another field of that name takes (a toe in inches: `toe_length`) is told of it. Raises FieldError."""
    try:
        return field.read(raw, tolerance)
    except FieldError as error:
        others = (one for one in KINDS[subject].fields if one.is_quantity and one.dimension != field.dimension and one.name.startswith(f"{field.name}_"))
        fitting = next((one for one in others if _takes(one, raw, tolerance)), None)
        if fitting is None:
            raise
        raise FieldError(f"{error}; or record it as {subject}.{fitting.name} ({fitting.title})") from error


def _takes(field: Field, raw: Any, tolerance: Any) -> bool:
    try:
        field.read(raw, tolerance)
    except FieldError:
        return False
    return True


def _advice(kind: Kind, field: str) -> str:
    """What would have been right in place of a field that `kind` does not have."""
    place = elsewhere(kind.name, field)
    if place:
        return f"; it stands at {place}"
    return nearest(field, kind.by_name) or (f"; its fields are {', '.join(kind.by_name)}" if kind.fields else "; it has no fields")


@lru_cache(maxsize=16384)
def resolve(address: str) -> tuple[str, str, str | None, Field]:
    """Split and check an address against the vocabulary; the position comes back as it is compared.

    Raises AddressError: unknown subject, unknown field, or a position the field cannot have.
    """
    subject, name, position = split(address)
    field = known_field(subject, name)
    kind = KINDS[subject]
    place = normal(position)
    positions = kind.positions_of(field)
    if not positions.accepts(place) and not _labelled_part(kind, place):
        raise AddressError(f"{subject}.{name} cannot be at {position!r}; {choices(positions)}" if position
                           else f"{subject}.{name} needs a position; {choices(positions)}")
    return subject, name, place, field


def _labelled_part(kind: Kind, place: str | None) -> bool:
    """A second part of a kind without positions is told apart by a label (`battery.capacity@camper`)."""
    return place is not None and not kind.area and kind.positions.bare


def choices(positions: Positions) -> str:
    """In words, where a field can be."""
    if positions.label:
        return "it is at a label of your own, for example @cooling fan"
    if not positions.names:
        return "it has no position"
    return f"it is at {', '.join(positions.names)}" + (" or without position" if positions.bare else "")


def axle_of(position: str | None) -> str | None:
    """The axle of a corner (`front` of `front_left`), else None."""
    return _AXLE_OF.get(position)


def corners_of(position: str | None) -> tuple[str, ...]:
    """The two corners of an axle, left first, else none."""
    return _CORNERS_OF.get(position, ())


_CORNERS_OF: dict[str | None, tuple[str, ...]] = {axle: (f"{axle}_left", f"{axle}_right") for axle in AXLE_NAMES}
_AXLE_OF: dict[str | None, str] = {f"{axle}_{side}": axle for axle in AXLE_NAMES for side in ("left", "right")}

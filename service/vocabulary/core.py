"""What can be said about a car: kinds of part (or areas of the car), their fields, and where each field can be.

A field is declared once, here in the system modules beside this one. Wire validation, the phone's forms, the JSON
Schema, the checks' inputs, the book's tables and the reference pages are all derived from that declaration.
A field without title, dimension and how-measured text cannot be constructed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from dataclasses import field as dataclass_field
from typing import Any, NamedTuple

from service import notation
from service.quantities import DIMENSIONS, QuantityError, System, preferred, read, show, units_of

#: Systems of the car. Checks, kinds, fixes, fasteners and tasks name one of these.
SYSTEMS: Mapping[str, str] = {
    "engine": "Engine",
    "driveline": "Driveline",
    "suspension": "Suspension",
    "steering": "Steering",
    "alignment": "Alignment",
    "wheels": "Wheels and tires",
    "brakes": "Brakes",
    "weights": "Weights",
    "cooling": "Cooling",
    "fuel": "Fuel",
    "electrical": "Electrical",
    "exhaust": "Exhaust",
    "fasteners": "Fasteners",
    "interior": "Interior",
    "body": "Body",
    "identity": "Identity",
    "schedule": "Schedule",
    "records": "Records",
    "readiness": "Readiness",
}

#: Value types that are not measured quantities.
PLAIN_TYPES = frozenset({"text", "integer", "choice", "ratios", "yes_no"})
#: Lengths up to this many meters are read in mm or inches, as a builder does; longer ones in m or feet.
_CAR_SIZED = 4.0
_NAME = re.compile(r"[a-z][a-z0-9_]*\Z")


@dataclass(frozen=True, slots=True)
class Positions:
    """Where a field can be: fixed names, a free label, or nowhere in particular (`bare`)."""

    names: tuple[str, ...] = ()
    label: bool = False
    bare: bool = True

    def accepts(self, position: str | None) -> bool:
        """Whether a fact of this field may stand at `position` (`front:helper` is a labelled `front`)."""
        if position is None:
            return self.bare
        return self.label or position.partition(":")[0] in self.names


NOWHERE = Positions()
CORNER_NAMES = ("front_left", "front_right", "rear_left", "rear_right")
AXLE_NAMES = ("front", "rear")
AXLES = Positions(AXLE_NAMES, bare=False)
CORNERS = Positions(CORNER_NAMES + AXLE_NAMES, bare=False)
LABEL = Positions(label=True, bare=False)


@dataclass(frozen=True, slots=True)
class Range:
    """A closed interval in SI with the text it was declared by (`65..120 mm`)."""

    low: float
    high: float
    text: str
    unit: str

    @classmethod
    def of(cls, text: str, dimension: str) -> Range:
        """Read `low..high unit` (`1.7..2.5`, `65..120 mm`, `-10..15 deg`, `20..8 AWG`)."""
        numbers, _, unit = text.strip().partition(" ")
        low_text, dots, high_text = numbers.partition("..")
        if not dots:
            raise ValueError(f"range {text!r} is not written low..high unit")
        suffix = f" {unit}" if unit else ""
        if dimension in PLAIN_TYPES:
            return cls(float(low_text), float(high_text), text, "")
        ends = (read_si(low_text + suffix, dimension), read_si(high_text + suffix, dimension))
        return cls(min(ends), max(ends), text, unit)

    def spoken(self, dimension: str, unit: str) -> str:
        """The interval for people, in the unit they used."""
        if unit in ("", "1", self.unit) or dimension == "wire_size":
            return self.text.replace("..", " to ")
        return f"{show(self.low, dimension, unit)} to {show(self.high, dimension, unit)}"

    def __contains__(self, value: float) -> bool:
        slack = 1e-9 * max(abs(self.low), abs(self.high), 1e-9)
        return self.low - slack <= value <= self.high + slack


def read_si(raw: Any, dimension: str) -> float:
    """SI value of a wire quantity; a bare number is read as dimensionless text for `dimensionless` fields."""
    if dimension == "dimensionless":
        return read(str(raw), dimension).si
    return read(raw, dimension).si


class FieldError(ValueError):
    """A wire value that the field cannot take; the message says what would be right."""


class Value(NamedTuple):
    """A field's value as read from the wire: SI (or plain), its absolute tolerance in SI, and what was typed."""

    value: Any
    tolerance: float | None
    typed: Any
    unusual: bool = False


@dataclass(frozen=True, slots=True)
class Field:
    """One thing that can be said about a kind of part or an area of the car.

    `dimension` is a quantity's dimension or one of text, integer, choice, ratios, yes_no. `usual` and `hard` are
    written `low..high unit`: outside `usual` is accepted and flagged, outside `hard` is refused. `notation` names the
    written form of a text (thread, tire_size, date, date_code, speed_symbol). `suits` is a unit whose scale suits the
    field where that of its usual range does not (an engine's displacement is read in cubic inches, not gallons).
    """

    name: str
    title: str
    dimension: str
    usual: str | None = None
    hard: str | None = None
    choosable: bool = False
    how: str = ""
    choices: tuple[str, ...] = ()
    positions: Positions | None = None
    notation: str | None = None
    suits: str | None = None
    usual_range: Range | None = dataclass_field(init=False, default=None)
    hard_range: Range | None = dataclass_field(init=False, default=None)

    def __post_init__(self) -> None:
        if not _NAME.match(self.name):
            raise ValueError(f"field name {self.name!r} is not snake_case")
        if not self.title or not self.how:
            raise ValueError(f"field {self.name}: title and how-measured text are required")
        if self.dimension not in PLAIN_TYPES and self.dimension not in DIMENSIONS:
            raise ValueError(f"field {self.name}: no dimension {self.dimension!r}")
        if (self.dimension == "choice") != bool(self.choices):
            raise ValueError(f"field {self.name}: choices belong to a choice field, and only to it")
        if self.notation is not None and self.notation not in notation.READERS:
            raise ValueError(f"field {self.name}: no notation {self.notation!r}")
        for which in ("usual", "hard"):
            text = getattr(self, which)
            if text is not None:
                kind = "dimensionless" if self.dimension in ("ratios", "integer") else self.dimension
                object.__setattr__(self, f"{which}_range", Range.of(text, kind))

    @property
    def is_quantity(self) -> bool:
        """Whether values are numbers with a dimension (and so can carry a tolerance)."""
        return self.dimension not in PLAIN_TYPES

    def unit(self, system: System) -> str:
        """The unit in which a shop using `system` (us or metric) reads this field."""
        return preferred(self.dimension, system, self.like)

    @property
    def like(self) -> str | None:
        """The unit whose scale suits the field: that of its usual range; car-sized lengths are read in mm or inches."""
        found = self.usual_range or self.hard_range
        if self.suits or found is None or not found.unit:
            return self.suits
        return "mm" if self.dimension == "length" and found.unit == "m" and found.high <= _CAR_SIZED else found.unit

    def read(self, raw: Any, tolerance: Any = None) -> Value:
        """Read a wire value. Raises FieldError naming what was wrong and what would be right."""
        if self.is_quantity:
            return self._read_quantity(raw, tolerance)
        if tolerance is not None:
            raise FieldError(f"{self.title}: a {self.dimension} value takes no tolerance")
        value = _PLAIN_READERS[self.dimension](self, raw)
        unusual = isinstance(value, int) and not isinstance(value, bool) and self.usual_range is not None and value not in self.usual_range
        return Value(value, None, raw, unusual)

    def _read_quantity(self, raw: Any, tolerance: Any) -> Value:
        try:
            quantity = read(raw, self.dimension, tolerance)
        except QuantityError as error:
            raise FieldError(f"{self.title}: {error}") from error
        if self.hard_range is not None and quantity.si not in self.hard_range:
            raise FieldError(f"{self.title}: {quantity.text} is outside what is physically possible "
                             f"({self.hard_range.spoken(self.dimension, quantity.unit)})")
        unusual = self.usual_range is not None and quantity.si not in self.usual_range
        return Value(quantity.si, quantity.tolerance, raw, unusual)

    def describe(self, positions: Positions) -> dict[str, Any]:
        """The field as JSON for forms, reference pages and the book."""
        usual, hard = self.usual_range, self.hard_range
        return {
            "name": self.name,
            "title": self.title,
            "dimension": self.dimension,
            "units": units_of(self.dimension) if self.is_quantity else [],
            "us_unit": self.unit("us") if self.is_quantity else None,
            "metric_unit": self.unit("metric") if self.is_quantity else None,
            "choices": list(self.choices),
            "notation": self.notation,
            "usual": usual and {"text": usual.text, "low": usual.low, "high": usual.high},
            "hard": hard and {"text": hard.text, "low": hard.low, "high": hard.high},
            "choosable": self.choosable,
            "how": self.how,
            "positions": {"names": list(positions.names), "label": positions.label, "none": positions.bare},
        }


def _read_text(field: Field, raw: Any) -> str:
    if not isinstance(raw, str) or not raw.strip():
        raise FieldError(f"{field.title}: write it as text, for example {notation.EXAMPLES.get(field.notation or '', 'as printed on the part')!r}")
    if field.notation is not None:
        try:
            notation.READERS[field.notation](raw)
        except notation.NotationError as error:
            raise FieldError(f"{field.title}: {error}") from error
    return raw


def _read_integer(field: Field, raw: Any) -> int:
    if isinstance(raw, bool) or not isinstance(raw, (int, float, str)):
        raise FieldError(f"{field.title}: a whole number is wanted, not {raw!r}")
    try:
        value = int(raw) if not isinstance(raw, float) else int(raw) if raw.is_integer() else None
    except (ValueError, OverflowError):
        value = None
    if value is None:
        raise FieldError(f"{field.title}: a whole number is wanted, not {raw!r}")
    if field.hard_range is not None and value not in field.hard_range:
        raise FieldError(f"{field.title}: {value} is outside what is possible ({field.hard_range.text.replace('..', ' to ')})")
    return value


def _read_choice(field: Field, raw: Any) -> str:
    text = str(raw) if isinstance(raw, (str, int, float)) and not isinstance(raw, bool) else ""
    if text not in field.choices:
        raise FieldError(f"{field.title}: {raw!r} is none of {', '.join(field.choices)}")
    return text


def _read_yes_no(field: Field, raw: Any) -> bool:
    if isinstance(raw, bool):
        return raw
    if isinstance(raw, str) and raw.strip().lower() in ("yes", "no"):
        return raw.strip().lower() == "yes"
    raise FieldError(f"{field.title}: answer yes or no, not {raw!r}")


def _read_ratios(field: Field, raw: Any) -> tuple[float, ...]:
    if not isinstance(raw, (list, tuple)) or not raw:
        raise FieldError(f"{field.title}: a list of ratios is wanted, first to top, for example [2.48, 1.48, 1.0, 0.75]")
    try:
        values = tuple(read(item, "dimensionless").si for item in raw)
    except QuantityError as error:
        raise FieldError(f"{field.title}: {error}") from error
    for value in values:
        if field.hard_range is not None and value not in field.hard_range:
            raise FieldError(f"{field.title}: {value:g} is outside what is possible ({field.hard_range.text.replace('..', ' to ')})")
    return values


_PLAIN_READERS = {
    "text": _read_text,
    "integer": _read_integer,
    "choice": _read_choice,
    "yes_no": _read_yes_no,
    "ratios": _read_ratios,
}


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of part (`transmission`, `tire`) or, with `area=True`, an area of the car (`driveline`, `weights`)."""

    name: str
    title: str
    system: str
    fields: tuple[Field, ...] = ()
    positions: Positions = NOWHERE
    area: bool = False
    by_name: Mapping[str, Field] = dataclass_field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        if not _NAME.match(self.name) or not self.title:
            raise ValueError(f"kind {self.name!r} needs a snake_case name and a title")
        if self.system not in SYSTEMS:
            raise ValueError(f"kind {self.name}: no system {self.system!r}")
        names = [item.name for item in self.fields]
        if len(set(names)) != len(names):
            raise ValueError(f"kind {self.name}: a field is declared twice")
        object.__setattr__(self, "by_name", {item.name: item for item in self.fields})

    def positions_of(self, field: Field) -> Positions:
        """Where `field` of this kind can be: its own positions, else the kind's."""
        return field.positions or self.positions

    def describe(self) -> dict[str, Any]:
        """The kind as JSON."""
        return {
            "name": self.name,
            "title": self.title,
            "system": self.system,
            "area": self.area,
            "positions": {"names": list(self.positions.names), "label": self.positions.label, "none": self.positions.bare},
            "fields": [item.describe(self.positions_of(item)) for item in self.fields],
        }


def index(kinds: Iterable[Kind]) -> dict[str, Kind]:
    """Kinds by name; a name declared twice is a programming error."""
    found: dict[str, Kind] = {}
    for kind in kinds:
        if kind.name in found:
            raise ValueError(f"kind {kind.name} is declared twice")
        found[kind.name] = kind
    return found

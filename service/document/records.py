"""The shapes of the records of a build document, as marshmallow schemas: one class per list.

Shapes only: which keys there are and of which type. What a value means (facts, units, references between records)
is judged in `load`. Unknown keys are errors, so that nothing typed is silently dropped.
"""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields, validate, validates_schema

from service.document.facts import PART_STATUSES

FORMAT = "as-fitted/build/1"
USES = ("street", "touring", "towing", "autocross", "track", "drag")
UNITS = ("us", "metric")
PAPER_KINDS = ("power run", "alignment printout", "receipt", "manual", "warranty", "wiring diagram", "weight slip", "inspection", "other")
EDITIONS = ("owner", "shop")
FIX_STATUSES = ("open", "resolved")
FIXES_OPEN = FIX_STATUSES[0]


#: Years, months and days with dashes; week dates and the basic form are not read.
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}(?:[T ]\d{2}:\d{2}.*)?\Z")


class Text(fields.String):
    """A JSON string; numbers are not taken for text."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise ValidationError(f"text is wanted, in quotes, not {_short(value)}")
        return value


class Whole(fields.Field[int]):
    """A JSON whole number; text is refused with an example."""

    def __init__(self, low: int, high: int, example: int, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.low, self.high, self.example = low, high, example

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, (int, float)) or (isinstance(value, float) and not value.is_integer()):
            raise ValidationError(f"a whole number is wanted without quotes, for example {self.example}, not {_short(value)}")
        if not self.low <= value <= self.high:
            raise ValidationError(f"{value} is outside {self.low} to {self.high}")
        return int(value)


class Moment(fields.Field[str]):
    """An ISO 8601 date or an RFC 3339 time; kept as typed."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        try:
            dt.datetime.fromisoformat(value if isinstance(value, str) and _DATE.match(value) else "")
        except ValueError as error:
            raise ValidationError(f"a date or time is wanted, for example 2026-03-02 or 2026-03-02T14:30:00+00:00, not {_short(value)}") from error
        return str(value)


class Anything(fields.Field[Any]):
    """A wire value whose meaning depends on its fact."""


class YesNo(fields.Field[bool]):
    """A JSON boolean, or yes / no in words."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> bool:
        if isinstance(value, bool):
            return value
        if isinstance(value, str) and value.lower() in ("yes", "no"):
            return value.lower() == "yes"
        raise ValidationError(f"answer true or false, not {_short(value)}")


def _short(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _written(value: str) -> None:
    if not value.strip():
        raise ValidationError("must not be empty")


def text(required: bool = False, **kwargs: Any) -> Text:
    """An optional text, null allowed; a required one must be there and not be empty."""
    if required:
        return Text(required=True, validate=_written, **kwargs)
    return Text(allow_none=True, **kwargs)


def texts() -> Any:
    """A list of texts, mostly ids."""
    return fields.List(Text(), allow_none=True)


def one_of(*choices: str, **kwargs: Any) -> Text:
    """A text out of a fixed list."""
    return Text(validate=validate.OneOf(choices, error="{input!r} is none of {choices}"), **kwargs)


class Strict(Schema):
    """A shape in which an unknown key is an error."""

    class Meta:
        unknown = RAISE

    error_messages = {"unknown": "unknown key", "type": "an object { } is wanted"}


class Record(Strict):
    """What every record has: its id, and when and by whom the shop's service last touched it."""

    id = Text(validate=validate.Length(min=1, max=200))


class OwnerShape(Strict):
    name = text()
    contact = text()


class CarShape(Strict):
    id = text()
    make = text(required=True)
    model = text(required=True)
    year = Whole(1885, 2100, 1961, required=True)
    body = text()
    serial = text()
    vin = text()
    color = text()
    owner = fields.Nested(OwnerShape, allow_none=True)


class BuildShape(Strict):
    id = text()
    title = text()
    use = one_of(*USES, required=True)
    units = one_of(*UNITS, load_default="us")
    opened_on = Moment(allow_none=True)
    promised_on = Moment(allow_none=True)
    delivered_on = Moment(allow_none=True)
    continues = text()
    notes = text()


class Part(Record):
    kind = text(required=True)
    position = text()
    name = text()
    maker = text()
    system = text()
    part_number = text()
    serial = text()
    supplier = text()
    quantity = Whole(1, 100000, 1, allow_none=True)
    status = one_of(*PART_STATUSES, "removed", load_default="fitted")
    specs = fields.Dict(keys=Text(), values=Anything(allow_none=True), allow_none=True)
    fitted_on = Moment(allow_none=True)
    fitted_by = text()
    replaces = text()
    order_as = text()
    notes = text()
    photos = texts()
    came_from = text()


class Spec(Record):
    fact = text(required=True)
    value = Anything(required=True)
    basis = text()
    at = Moment(allow_none=True)
    notes = text()
    came_from = text()


class Measurement(Record):
    fact = text(required=True)
    value = Anything(required=True)
    tolerance = Anything(allow_none=True)
    instrument = text()
    condition = text()
    taken_at = Moment(allow_none=True)
    taken_by = text()
    supersedes = text()
    notes = text()
    photos = texts()


class Fix(Record):
    system = text()
    title = text(required=True)
    found_at = Moment(allow_none=True)
    problem = text()
    cause = text()
    remedy = text()
    status = one_of(*FIX_STATUSES, load_default="open")
    safety = YesNo(load_default=False)
    resolved_at = Moment(allow_none=True)
    parts_added = texts()
    before = texts()
    after = texts()
    next_mechanic = text()
    photos = texts()
    came_from = text()


class Fastener(Record):
    joint = text(required=True)
    system = text()
    thread = Anything(allow_none=True)
    klass = Anything(allow_none=True, data_key="class")
    count = Anything(allow_none=True)
    length = Anything(allow_none=True)
    lubricant = Anything(allow_none=True)
    specified_torque = Anything(allow_none=True)
    applied_torque = Anything(allow_none=True)
    extra_angle = Anything(allow_none=True)
    tool = text()
    by = text()
    at = Moment(allow_none=True)
    recheck_after = Anything(allow_none=True)
    rechecked_at = Moment(allow_none=True)
    notes = text()
    photos = texts()
    came_from = text()


class Task(Record):
    title = text(required=True)
    system = text()
    after = texts()
    needs_parts = texts()
    estimate = Anything(allow_none=True)
    done_at = Moment(allow_none=True)
    by = text()
    notes = text()


class Drive(Record):
    at = Moment(allow_none=True)
    distance = Anything(allow_none=True)
    by = text()
    observations = text()


class Signoff(Record):
    item = text(required=True)
    by = text()
    role = text()
    at = Moment(allow_none=True)
    statement = text()


class Photo(Record):
    file = text(required=True)
    sha256 = text()
    caption = text()
    taken_at = Moment(allow_none=True)
    of = texts()


class Paper(Record):
    file = text(required=True)
    sha256 = text()
    title = text()
    kind = one_of(*PAPER_KINDS, load_default="other")
    edition = one_of(*EDITIONS, load_default="shop")
    of = texts()


class Reading(Strict):
    """What a fact was on a day of an earlier visit."""

    fact = text(required=True)
    value = Anything(required=True)
    tolerance = Anything(allow_none=True)
    condition = text()
    at = Moment(required=True)


class Visit(Record):
    """An earlier build of the car: what a later one tells of it."""

    build = text()
    title = text()
    use = text()
    opened_on = Moment(allow_none=True)
    delivered_on = Moment(allow_none=True)
    distance = Anything(allow_none=True)
    fixes = texts()
    facts = fields.List(fields.Nested(Reading), allow_none=True)
    notes = text()


#: Record lists of a document and their shapes, in the order of the document.
LISTS: dict[str, type[Record]] = {
    "parts": Part,
    "specs": Spec,
    "measurements": Measurement,
    "fixes": Fix,
    "fasteners": Fastener,
    "tasks": Task,
    "drives": Drive,
    "signoffs": Signoff,
    "photos": Photo,
    "papers": Paper,
    "visits": Visit,
}


class BuildDocument(Strict):
    """The whole document; the lists are judged record by record so that one bad record hides no other."""

    format = Text(required=True, error_messages={"required": f"this is required: {FORMAT!r}"}, validate=validate.Equal(FORMAT, error=f"must be {FORMAT!r}"))
    car = fields.Nested(CarShape, required=True)
    build = fields.Nested(BuildShape, required=True)
    absent = texts()

    @validates_schema(skip_on_field_errors=False)
    def _lists_are_lists(self, data: Any, **kwargs: Any) -> None:
        for name in LISTS:
            if data.get(name) is not None and not isinstance(data[name], list):
                raise ValidationError("a list [ ] is wanted", name)


for _name in LISTS:
    BuildDocument._declared_fields[_name] = fields.Raw(allow_none=True)

#: One loaded instance of each shape; they hold no state between calls.
SHAPES: dict[str, Record] = {name: shape() for name, shape in LISTS.items()}
DOCUMENT = BuildDocument()
KEYS: dict[str, tuple[str, ...]] = {
    name: tuple(item.data_key or key for key, item in shape.fields.items()) for name, shape in SHAPES.items()
}
#: Keys without which a record means nothing.
REQUIRED: dict[str, tuple[str, ...]] = {
    name: tuple(item.data_key or key for key, item in shape.fields.items() if item.required) for name, shape in SHAPES.items()
}
__all__ = ["DOCUMENT", "FORMAT", "KEYS", "LISTS", "REQUIRED", "SHAPES", "USES"]

"""JSON Schema (2020-12) of a build document, made from the record shapes and the vocabulary."""

from __future__ import annotations

from functools import cache
from typing import Any

from marshmallow import Schema, fields, validate

from service.document.records import DOCUMENT, FORMAT, SHAPES, Anything, Moment, Whole, YesNo
from service.vocabulary import KINDS
from service.vocabulary.core import SYSTEMS, Field

_QUANTITY = {
    "description": 'a quantity: text such as "1 1/8 in" or "52 3/4 in ± 0.1 in", an object, or a plain number where the field has no unit',
    "anyOf": [
        {"type": "string", "minLength": 1, "maxLength": 200},
        {"type": "number"},
        {
            "type": "object",
            "required": ["value"],
            "additionalProperties": False,
            "properties": {"value": {"type": ["number", "string"]}, "unit": {"type": "string"}, "tolerance": {"$ref": "#/$defs/quantity"}},
        },
    ],
}
_ANY_VALUE = {"anyOf": [{"$ref": "#/$defs/quantity"}, {"type": "boolean"}, {"type": "array"}]}


@cache
def build_schema() -> dict[str, Any]:
    """The schema of `as-fitted/build/1`. Relations between records (ids, joints, positions) are judged beyond it."""
    properties = {name: _of(field) for name, field in DOCUMENT.fields.items() if name not in SHAPES}
    properties["format"] = {"const": FORMAT}
    for name, shape in SHAPES.items():
        properties[name] = {"type": ["array", "null"], "items": {"$ref": f"#/$defs/{name}"}}
    definitions = {name: _object(shape) for name, shape in SHAPES.items()}
    definitions["parts"] = _parts(definitions["parts"])
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "as-fitted/build/1",
        "title": "As Fitted build document",
        "type": "object",
        "required": ["format", "car", "build"],
        "additionalProperties": False,
        "properties": properties,
        "$defs": {
            "quantity": _QUANTITY,
            "value": _ANY_VALUE,
            **definitions,
            **{f"specs_{kind.name}": _specs(kind.name) for kind in KINDS.values() if kind.fields},
        },
    }


def _object(shape: Schema) -> dict[str, Any]:
    required = [field.data_key or name for name, field in shape.fields.items() if field.required]
    found: dict[str, Any] = {
        "type": "object",
        "additionalProperties": False,
        "properties": {field.data_key or name: _of(field) for name, field in shape.fields.items()},
    }
    return {**found, "required": required} if required else found


def _of(field: Any) -> dict[str, Any]:
    found = _plain(field)
    if field.allow_none and "type" in found:
        kinds = found["type"] if isinstance(found["type"], list) else [found["type"]]
        found["type"] = [*kinds, "null"]
        if "enum" in found:
            found["enum"] = [*found["enum"], None]
    elif field.allow_none and "anyOf" in found:
        found["anyOf"] = [*found["anyOf"], {"type": "null"}]
    return found


def _plain(field: Any) -> dict[str, Any]:
    if isinstance(field, fields.Nested):
        return _object(field.schema)
    if isinstance(field, fields.List):
        return {"type": "array", "items": _of(field.inner)}
    if isinstance(field, fields.Dict):
        return {"type": "object"}
    if isinstance(field, Whole):
        return {"type": "integer", "minimum": field.low, "maximum": field.high}
    if isinstance(field, YesNo):
        return {"anyOf": [{"type": "boolean"}, {"enum": ["yes", "no"]}]}
    if isinstance(field, Moment):
        return {"type": "string", "description": "ISO 8601 date or RFC 3339 time", "examples": ["2026-03-02", "2026-03-02T14:30:00+00:00"]}
    if isinstance(field, Anything):
        return {"anyOf": list(_ANY_VALUE["anyOf"])}
    for rule in field.validators:
        if isinstance(rule, validate.OneOf):
            return {"type": "string", "enum": list(rule.choices)}
    return {"type": "string", "minLength": 1} if field.required else {"type": "string"}


def _parts(schema: dict[str, Any]) -> dict[str, Any]:
    kinds = sorted(name for name, kind in KINDS.items() if not kind.area)
    rules = [
        {"if": {"properties": {"kind": {"const": name}}, "required": ["kind"]}, "then": {"properties": {"specs": {"$ref": f"#/$defs/specs_{name}"}}}}
        for name in kinds
        if KINDS[name].fields
    ]
    schema["properties"]["kind"] = {"enum": [*kinds, "other"]}
    return {
        **schema,
        "allOf": [
            *rules,
            {
                "if": {"properties": {"kind": {"const": "other"}}, "required": ["kind"]},
                "then": {"required": ["system"], "properties": {"system": {"enum": list(SYSTEMS)}}},
            },
        ],
    }


def _specs(kind: str) -> dict[str, Any]:
    return {
        "type": ["object", "null"],
        "additionalProperties": False,
        "properties": {field.name: {"title": field.title, **_value(field)} for field in KINDS[kind].fields},
    }


def _value(field: Field) -> dict[str, Any]:
    if field.is_quantity:
        return {"$ref": "#/$defs/quantity"}
    plain: dict[str, dict[str, Any]] = {
        "choice": {"enum": list(field.choices)},
        "yes_no": {"anyOf": [{"type": "boolean"}, {"enum": ["yes", "no", "Yes", "No"]}]},
        "integer": {"type": ["integer", "string"]},
        "ratios": {"type": "array", "minItems": 1, "items": {"type": ["number", "string"]}},
        "text": {"type": "string", "minLength": 1},
    }
    return plain[field.dimension]

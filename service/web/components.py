"""The schemas that the interface's description names: the document's own, and those of answers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.document.json_schema import build_schema
from service.web.examples import ONE_OF

_TEXT = {"type": "string"}
_TEXT_OR_NULL = {"type": ["string", "null"]}
_NUMBER_OR_NULL = {"type": ["number", "null"]}
_MOMENT = {"type": "string", "format": "date-time"}
_VERDICT = {"enum": ["fail", "caution", "unknown", "pass"]}


def components() -> dict[str, Any]:
    """Every named schema."""
    return {**_of_documents(), **_ANSWERS}


def _of_documents() -> dict[str, Any]:
    """The build document's schemas, one entry of a list under the name of one."""
    schema = build_schema()
    names = {f"#/$defs/{name}": f"#/components/schemas/{ONE_OF.get(name, name)}" for name in schema["$defs"]}
    found = {ONE_OF.get(name, name): _pointed(value, names) for name, value in schema["$defs"].items()}
    whole = {key: value for key, value in schema.items() if key not in ("$schema", "$id", "$defs")}
    properties = _pointed(schema["properties"], names)
    build = {**properties["build"], "properties": {**properties["build"]["properties"], "car": _TEXT, "absent": properties["absent"]}}
    build["anyOf"] = [{"required": ["use"]}, {"required": ["continues"]}]
    build["description"] = "one build; one that `continues` another of the car begins as that one ended"
    del build["required"]
    part = {key: value for key, value in found["part"].items() if key != "allOf"}
    part["description"] = "one part; what its `specs` may say is the schema specs_<kind>, and build.json has the rule for each kind"
    return {**found, "part": part, "car": properties["car"], "build": build, "document": {**whole, "properties": properties}}


def _pointed(value: Any, names: Mapping[str, str]) -> Any:
    if isinstance(value, Mapping):
        return {key: names.get(item, item) if key == "$ref" and isinstance(item, str) else _pointed(item, names) for key, item in value.items()}
    return [_pointed(item, names) for item in value] if isinstance(value, list) else value


def _object(required: Mapping[str, Any], **more: Any) -> dict[str, Any]:
    return {"type": "object", "required": list(required), "properties": {**required, **more}}


def _list(item: Any) -> dict[str, Any]:
    return {"type": "array", "items": item}


_RESULT = _object(
    {"check": _TEXT, "position": _TEXT_OR_NULL, "title": _TEXT, "system": _TEXT, "safety": {"type": "boolean"}, "verdict": _VERDICT, "summary": _TEXT,
     "values": {"type": "object", "additionalProperties": {"type": "object"}}, "limits": _list({"type": "object"}), "margin": _NUMBER_OR_NULL,
     "inputs": _list({"type": "object"}), "assumed": _list({"type": "object"}), "missing": _list(_TEXT), "remedies": _list({"type": "object"}),
     "basis": _list(_object({"kind": {"enum": ["published", "derived", "common_practice", "from_memory"]}, "text": _TEXT}))},
    cap={"type": ["object", "null"]}, formula=_TEXT_OR_NULL, table={"type": ["object", "array", "null"]}, series={"type": ["object", "array", "null"]},
)
_ANSWER = _object(
    {"format": {"const": "as-fitted/answer/1"}, "results": _list({"$ref": "#/components/schemas/result"}),
     "counts": {"type": "object", "additionalProperties": {"type": "integer"}},
     "measure_next": _list(_object({"fact": _TEXT, "unlocks": _list(_TEXT), "safety": {"type": "integer"}})),
     "ready": _object({"for_road": {"type": "boolean"}, "because": _list(_TEXT)})},
)
_HASH = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
_COUNT = {"type": "integer", "minimum": 1}
_TITLED = _object({"id": _TEXT, "title": _TEXT})
_TITLED_OR_NULL = {"anyOf": [_TITLED, {"type": "null"}]}
_EVENT = _object(
    {"event": _COUNT, "car": _TEXT, "at": _MOMENT, "by": _TEXT, "device": _TEXT, "action": {"enum": ["created", "changed", "retracted"]},
     "what": _TEXT, "revision": _COUNT, "place": {"type": "integer"},
     "reason": _TEXT_OR_NULL, "record": _HASH, "previous": _HASH, "hash": _HASH, "title": _TEXT},
)
_FOUND = _object(
    {"list": _TEXT, "id": _TEXT, "title": _TEXT, "near": {"type": "boolean"}, "in": _TEXT_OR_NULL, "snippet": _TEXT, "car": _TITLED,
     "build": _TITLED_OR_NULL, "address": _TEXT, "at": _MOMENT},
)
_CARRIED = _object(
    {"car": _TITLED, "owner": {"type": "object"}, "build": _TITLED, "part": {"$ref": "#/components/schemas/part"}, "unknown": _list(_TEXT),
     "later": {"anyOf": [_object({"build": _TEXT, "id": _TEXT, "title": _TEXT}), {"type": "null"}]}, "address": _TEXT, "book": _TEXT},
)
_NAME = {"type": "string", "minLength": 1, "maxLength": 80}
_SEEN = {"last_seen": {"type": ["string", "null"]}, "revoked_at": {"type": ["string", "null"]}}
_DEVICE = _object({"name": _TEXT, "by": _TEXT, "role": {"enum": ["owner", "builder", "reader"]}},
                  id=_TEXT, car=_TEXT, paired_at=_MOMENT, paired_by=_TEXT, expires_at=_MOMENT, revoked_by=_TEXT, **_SEEN)
_SHARE = _object({"id": _TEXT, "name": _TEXT, "car": _TEXT, "made_at": _MOMENT, "made_by": _TEXT, "expires_at": _MOMENT, **_SEEN})
_ANSWERS: dict[str, Any] = {
    "carried": _CARRIED,
    "event": _EVENT,
    "found": _FOUND,
    "problem": _object({"type": _TEXT, "title": _TEXT, "status": {"type": "integer"}, "detail": _TEXT},
                       errors=_list(_object({"pointer": _TEXT, "detail": _TEXT}))),
    "result": _RESULT,
    "answer": _ANSWER,
    "what_if_answer": {"allOf": [{"$ref": "#/components/schemas/answer"}, _object({"changed": _list({"type": "object"})})]},
    "what_if_document": {**_object({"document": {"$ref": "#/components/schemas/document"}}, changes={"type": "object"}), "additionalProperties": False},
    "changes": {**_object({"changes": {"type": "object"}}), "additionalProperties": False},
    "taken": _object({"car": _TEXT, "build": _TEXT, "new": {"type": "boolean"}}),
    "revision": _object({"revision": {"type": "integer"}, "action": {"enum": ["created", "changed", "retracted"]}, "at": _MOMENT,
                         "by": _TEXT, "device": _TEXT, "reason": _TEXT_OR_NULL, "record": {"type": "object"}}),
    "state": _object({"status": _TEXT}),
    "book": _object({"id": _TEXT, "build": _TEXT, "theme": _TEXT, "edition": {"enum": ["owner", "shop"]}, "paper": {"enum": ["letter", "a4"]},
                     "state": {"enum": ["queued", "running", "done", "failed", "canceled"]}, "fraction": {"type": "number", "minimum": 0, "maximum": 1},
                     "step": _TEXT, "why": _TEXT_OR_NULL, "asked_at": _MOMENT, "started_at": _TEXT_OR_NULL, "finished_at": _TEXT_OR_NULL,
                     "handed_over": {"type": "boolean"}, "left_out": {"type": "integer"},
                     "pages": {"type": ["integer", "null"]}, "pdf": _TEXT_OR_NULL, "site": _TEXT_OR_NULL, "packet": _TEXT_OR_NULL}),
    "pairing": {**_object({"code": _TEXT, "by": _NAME, "name": _NAME}, keep={"enum": ["token", "cookie"], "default": "token"}), "additionalProperties": False},
    "device": _DEVICE,
    "paired": {"allOf": [{"$ref": "#/components/schemas/device"}, {"type": "object", "properties": {"token": _TEXT}}]},
    "code_wanted": {**_object({}, role={"enum": ["owner", "builder"], "default": "builder"}), "additionalProperties": False},
    "pairing_code": _object({"code": _TEXT, "role": _TEXT, "expires_at": _MOMENT, "link": _TEXT, "qr": _TEXT}),
    "share_wanted": {**_object({"car": _TEXT}, name=_NAME, days={"type": "integer", "minimum": 1, "maximum": 400, "default": 90}),
                     "additionalProperties": False},
    "share": _SHARE,
    "shared": {"allOf": [{"$ref": "#/components/schemas/share"}, _object({"link": _TEXT, "token": _TEXT, "qr": _TEXT})]},
}

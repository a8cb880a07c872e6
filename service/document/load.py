"""Load a build document: parse, judge its shape, then judge what every record says. All errors at once, as JSON pointers."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from typing import Any

from marshmallow import ValidationError

from service.document.address import AddressError, known_field, known_kind, normal, read_value, resolve
from service.document.broken_json import explain
from service.document.facts import as_typed
from service.document.records import DOCUMENT, KEYS, LISTS, REQUIRED, SHAPES
from service.quantities import QuantityError, read
from service.vocabulary import KINDS, nearest
from service.vocabulary.core import SYSTEMS, FieldError, Kind

#: Deeper nesting than this is refused: no record of the format needs it.
MAX_DEPTH = 40
MAX_PROBLEMS = 500
#: Nor has any of its objects so many keys: the facts of a what-if, the largest, are far fewer.
MAX_KEYS = 5000
#: JSON may spell a character beyond the first plane as two escapes; one of them alone is no character.
_SURROGATE = re.compile(r"\\u[dD][89a-fA-F]")


@dataclass(frozen=True, slots=True)
class Problem:
    """One error of a document: where (JSON pointer, RFC 6901) and what would be right."""

    pointer: str
    detail: str


class DocumentError(ValueError):
    """A document that cannot be taken. `unreadable` tells broken JSON from a document with errors in it."""

    def __init__(self, problems: list[Problem], unreadable: bool = False) -> None:
        super().__init__("; ".join(f"{item.pointer or '(document)'}: {item.detail}" for item in problems[:5]))
        self.problems = problems
        self.unreadable = unreadable


def parse(raw: bytes | str) -> Any:
    """JSON to Python. Raises DocumentError(unreadable) for broken JSON, NaN, doubled keys or absurd nesting."""
    try:
        text = raw.decode("utf-8-sig") if isinstance(raw, bytes) else raw
        value = json.loads(text, parse_constant=_no_constant, object_pairs_hook=_no_doubled_keys)
    except UnicodeDecodeError as error:
        raise _unreadable(f"the text is not UTF-8 (byte {error.start})") from error
    except json.JSONDecodeError as error:
        raise _unreadable(explain(text, error)) from error
    except RecursionError as error:
        raise _unreadable(f"nested deeper than {MAX_DEPTH} levels") from error
    except ValueError as error:
        raise _unreadable(str(error)) from error
    if _deeper_than(value, MAX_DEPTH):
        raise _unreadable(f"nested deeper than {MAX_DEPTH} levels")
    if _SURROGATE.search(text):
        _must_be_characters(value)
    return value


def _must_be_characters(value: Any) -> None:
    try:
        json.dumps(value, ensure_ascii=False).encode()
    except UnicodeEncodeError as error:
        raise _unreadable("a text holds half a character (a lone surrogate such as \\ud800), which nothing can print") from error


def _unreadable(detail: str) -> DocumentError:
    return DocumentError([Problem("", detail)], unreadable=True)


def _no_constant(name: str) -> Any:
    raise ValueError(f"{name} is no number that can be measured")


def _no_doubled_keys(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    if len(pairs) > MAX_KEYS:
        raise ValueError(f"an object has {len(pairs)} keys; up to {MAX_KEYS} are taken")
    found = dict(pairs)
    if len(found) != len(pairs):
        doubled = min(name for name, times in Counter(name for name, _ in pairs).items() if times > 1)
        raise ValueError(f"the key {doubled[:60]!r} stands twice in one object")
    return found


def _deeper_than(value: Any, depth: int) -> bool:
    level = [value]
    while level and depth >= 0:
        level = [item for holder in level if isinstance(holder, (dict, list)) for item in (holder.values() if isinstance(holder, dict) else holder)]
        depth -= 1
    return bool(level)


def load(raw: Any, references_of: Collection[str] = LISTS) -> dict[str, Any]:
    """A parsed document, judged. Returns it with defaults filled in (status, units, missing ids).

    `references_of` are the lists whose references to other records are judged. Raises DocumentError with every problem
    found (up to MAX_PROBLEMS), each at its JSON pointer.
    """
    if not isinstance(raw, dict):
        raise DocumentError([Problem("", "a build document is a JSON object { }")])
    problems: list[Problem] = []
    document = _shape(raw, problems)
    _note(problems, _judged(document, references_of))
    if problems:
        raise DocumentError(problems)
    return {key: value for key, value in document.items() if not isinstance(value, _Records)} | {
        name: [record for _, record in value] for name, value in document.items() if isinstance(value, _Records)
    }


def load_record(name: str, raw: Any, others: Iterable[tuple[str, Mapping[str, Any]]] = ()) -> dict[str, Any]:
    """One record of the list `name`, judged exactly as it would be in a document that also holds `others`, (list, record) pairs.

    Returns it with defaults filled in. Raises DocumentError with the record's own problems, at JSON pointers inside it.
    """
    document: dict[str, Any] = {name: _Records()}
    for list_name, other in others:
        document.setdefault(list_name, _Records()).append((other["id"], dict(other)))
    problems: list[Problem] = []
    inside = f"/{name}/0"
    record = _load_shape(SHAPES[name], raw, inside, KEYS[name], problems)
    if record and all(key in record for key in REQUIRED[name]):
        record.setdefault("id", "")
        document[name].append((0, record))
        _note(problems, (item for item in _judged(document) if item.pointer == inside or item.pointer.startswith(f"{inside}/")))
    if problems:
        raise DocumentError([Problem(item.pointer[len(inside):], item.detail) for item in problems])
    return record


def _note(problems: list[Problem], found: Iterator[Problem]) -> None:
    """Add what is found, up to as many as are told: advice on each costs more than what was sent."""
    problems.extend(islice(found, max(0, MAX_PROBLEMS - len(problems))))


def _judged(document: Mapping[str, Any], references_of: Collection[str] = LISTS) -> Iterator[Problem]:
    for judge in (_judge_ids, _judge_parts, _judge_values, _judge_fasteners, _judge_numbers, _judge_absent, _judge_systems):
        yield from judge(document)
    yield from _judge_references(document, references_of)


class _Records(list[tuple[int | str, dict[str, Any]]]):
    """Records of a list that have what is required, with the index (or id) each had; other errors of theirs are already noted."""


def _shape(raw: Mapping[str, Any], problems: list[Problem]) -> dict[str, Any]:
    document = _load_shape(DOCUMENT, raw, "", tuple(DOCUMENT.fields), problems)
    for name in LISTS:
        entries = document.get(name)
        if not isinstance(entries, list):
            document.pop(name, None)
            continue
        good = _Records()
        for index, entry in enumerate(entries):
            if len(problems) >= MAX_PROBLEMS:
                break
            record = _load_shape(SHAPES[name], entry, f"/{name}/{index}", KEYS[name], problems)
            if record and all(key in record for key in REQUIRED[name]):
                record.setdefault("id", f"{name}-{index + 1}")
                good.append((index, record))
        document[name] = good
    return document


def load_shape(shape: Any, raw: Any) -> dict[str, Any]:
    """An object judged by a marshmallow schema alone. Raises DocumentError with every problem found."""
    problems: list[Problem] = []
    loaded = _load_shape(shape, raw, "", tuple(shape.fields), problems)
    if problems:
        raise DocumentError(problems)
    return loaded


def _load_shape(shape: Any, raw: Any, pointer: str, keys: tuple[str, ...], problems: list[Problem]) -> dict[str, Any]:
    if not isinstance(raw, dict):
        problems.append(Problem(pointer, f"an object {{ }} is wanted, not {as_typed(raw)[:60]}"))
        return {}
    try:
        loaded = shape.load(raw)
    except ValidationError as error:
        _note(problems, _flatten(error.messages, pointer, keys))
        loaded = error.valid_data if isinstance(error.valid_data, dict) else {}
    return {("class" if key == "klass" else key): value for key, value in loaded.items()}


def _flatten(messages: Any, pointer: str, keys: tuple[str, ...] = ()) -> Iterator[Problem]:
    if isinstance(messages, dict):
        for key, inner in messages.items():
            place = pointer if key == "_schema" else f"{pointer}/{_escape(str(key))}"
            if inner == ["unknown key"]:
                yield Problem(place, f"unknown key {str(key)[:60]!r}{nearest(str(key), keys)}")
            else:
                yield from _flatten(inner, place)
    else:
        for message in messages if isinstance(messages, list) else [messages]:
            yield Problem(
                pointer,
                "this is required"
                if message == "Missing data for required field."
                else "this must not be null"
                if message == "Field may not be null."
                else str(message),
            )


def _escape(key: str) -> str:
    return key.replace("~", "~0").replace("/", "~1")


def _records(document: Mapping[str, Any], name: str) -> Iterator[tuple[str, dict[str, Any]]]:
    for index, record in document.get(name) or ():
        yield f"/{name}/{index}", record


def _judge_ids(document: Mapping[str, Any]) -> Iterator[Problem]:
    seen: dict[str, str] = {}
    for name in LISTS:
        for pointer, record in _records(document, name):
            if record["id"] in seen:
                yield Problem(f"{pointer}/id", f"the id {record['id'][:60]!r} is already that of {seen[record['id']]}; ids are unique in a document")
            seen.setdefault(record["id"], pointer)


def _problem_of(pointer: str, attempt: Callable[[], Any]) -> Iterator[Problem]:
    try:
        attempt()
    except (AddressError, FieldError, QuantityError) as error:
        yield Problem(pointer, str(error))


def _judge_parts(document: Mapping[str, Any]) -> Iterator[Problem]:
    places: dict[tuple[str, str | None, str], str] = {}
    for pointer, part in _records(document, "parts"):
        if part["kind"] == "other":
            yield from _judge_other(pointer, part)
            continue
        try:
            kind = known_kind(part["kind"])
        except AddressError as error:
            advice = "" if "did you mean" in str(error) else "; a part of no listed kind is of kind 'other' with its system"
            yield Problem(f"{pointer}/kind", f"{error}{advice}")
            continue
        yield from _judge_position(pointer, part, kind)
        for name, raw in (part.get("specs") or {}).items():
            place = f"{pointer}/specs/{_escape(name)}"
            yield from _problem_of(place, lambda kind=kind, name=name, raw=raw: read_value(kind.name, known_field(kind.name, name), raw))  # type: ignore[misc]
        yield from _judge_twins(pointer, part, places)


def _judge_position(pointer: str, part: Mapping[str, Any], kind: Kind) -> Iterator[Problem]:
    """Whether a part of this kind can be where it is said to be."""
    position = normal(part.get("position"))
    if kind.area:
        yield Problem(f"{pointer}/kind", f"{kind.name} is an area of the car, not a part; record its fields as measurements or specs")
    if position and kind.positions.names and not kind.positions.label and not kind.positions.accepts(position):
        yield Problem(f"{pointer}/position", f"a {kind.name} is at {', '.join(kind.positions.names)}, not at {part['position'][:60]!r}")
    if kind.positions.label and not kind.positions.bare and not position:
        yield Problem(f"{pointer}/position", f"which {kind.name} is it? Its position is a name of your own, for example \"front\" or \"left outer\"")


def _judge_twins(pointer: str, part: Mapping[str, Any], places: dict[tuple[str, str | None, str], str]) -> Iterator[Problem]:
    """Two parts of one kind and status at one position; `places` remembers the parts seen."""
    kind, position, status = part["kind"], normal(part.get("position")), part.get("status", "fitted")
    first = places.setdefault((kind, position, status), pointer)
    if status != "removed" and first != pointer:
        yield Problem(
            f"{pointer}/position",
            f"two {kind} parts, both {status}, are at {position or 'no position'} ({first} is the other); "
            "give one the status removed, or tell them apart by a label, for example front:helper",
        )


def _judge_other(pointer: str, part: Mapping[str, Any]) -> Iterator[Problem]:
    if part.get("system") not in SYSTEMS:
        yield Problem(f"{pointer}/system", f"a part of kind 'other' names its system, one of {', '.join(SYSTEMS)}")
    if part.get("specs"):
        yield Problem(f"{pointer}/specs", "a part of kind 'other' has no specs; describe it in its name and notes")


def _judge_values(document: Mapping[str, Any]) -> Iterator[Problem]:
    stated = [item for name in ("specs", "measurements") for item in _records(document, name)]
    told = [(f"{pointer}/facts/{index}", fact) for pointer, visit in _records(document, "visits") for index, fact in enumerate(visit.get("facts") or ())]
    for pointer, record in (*stated, *told):
        if "fact" in record and "value" in record:
            try:
                subject, *_, field = resolve(record["fact"])
            except AddressError as error:
                yield Problem(f"{pointer}/fact", str(error))
                continue
            yield from _problem_of(f"{pointer}/value", lambda subject=subject, field=field, record=record:  # type: ignore[misc]
                                   read_value(subject, field, record["value"], record.get("tolerance")))


def _judge_fasteners(document: Mapping[str, Any]) -> Iterator[Problem]:
    kind = KINDS["fastener"]
    joints: dict[str | None, str] = {}
    for pointer, entry in _records(document, "fasteners"):
        joint = normal(entry["joint"])
        if joint in joints:
            yield Problem(
                f"{pointer}/joint", f"the joint {entry['joint'][:60]!r} is already that of {joints[joint]}; a retightening is a revision of that record"
            )
        joints.setdefault(joint, pointer)
        for field in kind.fields:
            if entry.get(field.name) not in (None, ""):
                raw = as_typed(entry[field.name]) if field.dimension == "text" else entry[field.name]
                yield from _problem_of(f"{pointer}/{field.name}", lambda field=field, raw=raw: field.read(raw))  # type: ignore[misc]


def read_recheck(raw: Any) -> tuple[str, float]:
    """A recheck interval: ("length", m) or ("time", s). Raises QuantityError when it is neither."""
    try:
        return "length", read(raw, "length").si
    except QuantityError:
        return "time", read(raw, "time").si


def _judge_numbers(document: Mapping[str, Any]) -> Iterator[Problem]:
    for name, key, dimension in (("drives", "distance", "length"), ("visits", "distance", "length"), ("tasks", "estimate", "time")):
        for pointer, record in _records(document, name):
            if record.get(key) is not None:
                yield from _problem_of(f"{pointer}/{key}", lambda raw=record[key], dimension=dimension: _at_least_zero(read(raw, dimension).si))  # type: ignore[misc]
    for pointer, record in _records(document, "fasteners"):
        if record.get("recheck_after") is not None:
            yield from _problem_of(f"{pointer}/recheck_after", lambda raw=record["recheck_after"]: read_recheck(raw))  # type: ignore[misc]


def _at_least_zero(value: float) -> None:
    if value < 0:
        raise QuantityError("must not be negative")


def _judge_absent(document: Mapping[str, Any]) -> Iterator[Problem]:
    for index, entry in enumerate(document.get("absent") or ()):
        subject, _, position = entry.partition("@")
        try:
            kind = known_kind(subject.strip())
        except AddressError as error:
            yield Problem(f"/absent/{index}", str(error))
            continue
        if position and not kind.positions.accepts(normal(position)):
            yield Problem(f"/absent/{index}", f"a {kind.name} cannot be at {position!r}")


#: Keys that name other records: list, key, lists they may name (empty: any).
_REFERENCES = (
    ("parts", "photos", ("photos",)),
    ("measurements", "supersedes", ("measurements",)),
    ("measurements", "photos", ("photos",)),
    ("fixes", "parts_added", ("parts",)),
    ("fixes", "before", ("measurements",)),
    ("fixes", "after", ("measurements",)),
    ("fixes", "photos", ("photos",)),
    ("fasteners", "photos", ("photos",)),
    ("photos", "of", ()),
    ("papers", "of", ()),
)


def _judge_references(document: Mapping[str, Any], wanted: Collection[str]) -> Iterator[Problem]:
    ids = {name: {record["id"] for _, record in document.get(name) or ()} for name in LISTS}
    everything = set().union(*ids.values())
    for name, key, targets in (entry for entry in _REFERENCES if entry[0] in wanted):
        known = set().union(*(ids[target] for target in targets)) if targets else everything
        for pointer, record in _records(document, name):
            named = record.get(key)
            for index, target in enumerate(named if isinstance(named, list) else [named] if named else []):
                if key == "supersedes" and target == record["id"]:
                    yield Problem(f"{pointer}/supersedes", "a measurement cannot supersede itself")
                elif target not in known:
                    place = f"{pointer}/{key}" + (f"/{index}" if isinstance(named, list) else "")
                    what = " or ".join(targets) or "records"
                    yield Problem(place, f"no {what} entry has the id {target[:60]!r}{nearest(target, known)}")


def _judge_systems(document: Mapping[str, Any]) -> Iterator[Problem]:
    for name in ("parts", "fixes", "fasteners", "tasks"):
        for pointer, record in _records(document, name):
            system = record.get("system")
            if system is not None and system not in SYSTEMS and record.get("kind") != "other":
                yield Problem(f"{pointer}/system", f"no system is called {system[:60]!r}{nearest(system, SYSTEMS)}; systems are {', '.join(SYSTEMS)}")

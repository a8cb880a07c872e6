"""Pieces of a document that are kept one by one: what a record names, what may stand in its way, a header alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.document.load import DocumentError, Problem, load
from service.document.records import FORMAT

_HEADER: dict[str, Any] = {"format": FORMAT, "car": {"make": "-", "model": "-", "year": 2000}, "build": {"use": "street"}}
#: Keys of each list that name other records.
_NAMING: dict[str, tuple[str, ...]] = {
    "parts": ("photos",), "measurements": ("supersedes", "photos"), "fixes": ("parts_added", "before", "after", "photos"),
    "fasteners": ("photos",), "photos": ("of",), "papers": ("of",),
}
#: Lists in which entries can stand in each other's way: two parts at one position, two fasteners of one joint.
CROWDED = frozenset({"parts", "fasteners"})


def judge_header(car: Any = None, build: Any = None) -> None:
    """Judge the car or the build of a document alone (`build` may carry `absent`). Raises DocumentError with pointers inside it."""
    wanted, given = ("car", car) if build is None else ("build", build)
    document = {**_HEADER, wanted: {key: value for key, value in given.items() if key != "absent"} if isinstance(given, dict) else given}
    if wanted == "build" and isinstance(given, dict) and "absent" in given:
        document["absent"] = given["absent"]
    try:
        load(document)
    except DocumentError as error:
        raise DocumentError([Problem(item.pointer.removeprefix(f"/{wanted}"), item.detail) for item in error.problems]) from error


def names_of(name: str, record: Mapping[str, Any]) -> set[str]:
    """The ids of other records that a record names."""
    return set(_named(name, record))


def _named(name: str, record: Mapping[str, Any]) -> Iterator[str]:
    for key in _NAMING.get(name, ()):
        value = record.get(key)
        if isinstance(value, str):
            yield value
        elif isinstance(value, list):
            yield from (item for item in value if isinstance(item, str))


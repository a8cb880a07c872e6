"""Changes of a what-if: facts replaced by wire values, removed by null, lists replaced whole."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.document.address import AddressError, resolve
from service.document.load import DocumentError, Problem, load
from service.document.records import KEYS
from service.vocabulary import nearest
from service.vocabulary.core import FieldError


def judge_changes(document: Mapping[str, Any], changes: Any) -> Iterator[Problem]:
    """Every problem of `changes`, at a pointer inside it. Lists are judged within the document they go into."""
    if not isinstance(changes, dict):
        yield Problem("", 'an object of facts and their values is wanted, for example {"wheel.offset@front_left": "35 mm"}')
        return
    for address, raw in changes.items():
        place = "/" + address.replace("~", "~0").replace("/", "~1")
        if "." not in address:
            yield from _judge_list(document, address, raw, place)
            continue
        try:
            *_, field = resolve(address)
            if raw is not None:
                value, tolerance = (({key: item for key, item in raw.items() if key != "tolerance"}, raw.get("tolerance"))
                                    if isinstance(raw, dict) else (raw, None))
                field.read(value, tolerance)
        except (AddressError, FieldError) as error:
            yield Problem(place, str(error))


def _judge_list(document: Mapping[str, Any], name: str, raw: Any, place: str) -> Iterator[Problem]:
    if name not in KEYS and name != "absent":
        yield Problem(place, f"no fact or list is called {name[:60]!r}{nearest(name, [*KEYS, 'absent'])}")
        return
    if not document:
        return
    try:
        load({**document, name: raw})
    except DocumentError as error:
        yield from (Problem(place + item.pointer.removeprefix(f"/{name}"), item.detail) for item in error.problems)

"""Changes of a what-if: facts replaced by wire values, removed by null, lists replaced whole."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.document.address import AddressError, resolve
from service.document.facts import Facts
from service.document.load import DocumentError, Problem, load
from service.document.records import KEYS
from service.vocabulary import nearest
from service.vocabulary.core import FieldError

LISTS = (*KEYS, "absent")


def facts_with(document: Mapping[str, Any], changes: Mapping[str, Any]) -> Facts:
    """The facts of a loaded document with `changes` made. Raises DocumentError, AddressError or FieldError for bad ones."""
    lists = _lists(changes)
    facts = Facts(load({**document, **lists}, lists) if lists else document)
    return facts.with_changes({address: raw for address, raw in changes.items() if address not in lists})


def judge_changes(document: Mapping[str, Any], changes: Any) -> Iterator[Problem]:
    """Every problem of `changes`, at a pointer inside it. Lists are judged together, within the document they go into."""
    if not isinstance(changes, dict):
        yield Problem("", 'an object of facts and their values is wanted, for example {"wheel.offset@front_left": "35 mm"}')
        return
    for address, raw in changes.items():
        if address not in LISTS:
            yield from _judge_fact(address, raw)
    lists = _lists(changes)
    if document and lists:
        yield from _judge_lists(document, lists)


def _lists(changes: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in changes.items() if name in LISTS}


def _judge_fact(address: str, raw: Any) -> Iterator[Problem]:
    place = "/" + address.replace("~", "~0").replace("/", "~1")
    if "." not in address:
        yield Problem(place, f"no fact or list is called {address[:60]!r}{nearest(address, LISTS)}")
        return
    try:
        *_, field = resolve(address)
        if raw is not None:
            field.read(raw)
    except (AddressError, FieldError) as error:
        yield Problem(place, str(error))


def _judge_lists(document: Mapping[str, Any], lists: Mapping[str, Any]) -> Iterator[Problem]:
    try:
        load({**document, **lists}, lists)
    except DocumentError as error:
        for item in error.problems:
            inside = item.pointer.split("/")[1] in lists if item.pointer else False
            yield Problem(item.pointer if inside else f"/{next(iter(lists))}", item.detail if inside else f"with this list, {item.pointer}: {item.detail}")

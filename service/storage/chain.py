"""The chain of a car's events: who did what when, each line sealed by its SHA-256 in the line after it.

An event is kept and handed out as one line of JSON, its keys in the order of `Event`, and ends in a newline:

    {"event":2,"car":"c","at":"…","by":"…","device":"…","action":"created","what":"builds/b/parts/p","revision":1,
     "place":1764,"reason":null,"record":"<SHA-256>","previous":"<SHA-256>"}          (in one line, no blanks)

* `previous` is the SHA-256 of the line before it, newline included; of the first event sixty-four zeros.
* `record` is the SHA-256 of the record's line as it then stood, newline included: its JSON without blanks, as it is answered.

So a chain in a file of lines needs nothing but `sed -n 1p events.jsonl | sha256sum`, which is what line 2 names as `previous`.
Who is given a car's book in the owner's edition is given the shape of its history and no more: for each event an `OwnersEvent`, which
says on what day something of which list was made, changed or taken back, and names the sealed line itself by its hash alone. That
is enough to hold the owner's lines against the shop's, and they are sealed one in the next as the shop's are. Left out are people
and devices, reasons, ids, the time of day, and the records' own hashes: with the rest of a record known, its hash would tell whether
a guess of what was withheld (where a part was bought) is right.

Everything here works on values alone: it needs no database.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any, TypeVar

#: What stands as `previous` of a car's first event.
BEGINNING = "0" * 64


@dataclass(frozen=True, slots=True)
class Event:
    """One change of one thing of a car. `event` counts a car's events from 1, `revision` those of the thing.

    `what` is where the thing stands (`cars/c`, `builds/b`, `builds/b/parts/p`), `place` orders its list, `action` is
    `created`, `changed` or `retracted`, `at` RFC 3339, `reason` why it was retracted.
    """

    event: int
    car: str
    at: str
    by: str
    device: str
    action: str
    what: str
    revision: int
    place: int
    reason: str | None
    record: str
    previous: str


@dataclass(frozen=True, slots=True)
class OwnersEvent:
    """What an owner's edition holds of an event: `sealed` is the SHA-256 of the shop's line of it, `previous` of the owner's line before."""

    event: int
    car: str
    on: str
    action: str
    list: str
    sealed: str
    previous: str


_Kind = TypeVar("_Kind", Event, OwnersEvent)
_NAMES = {kind: tuple(item.name for item in fields(kind)) for kind in (Event, OwnersEvent)}


@dataclass(frozen=True, slots=True)
class Break:
    """Where a chain does not hold: the number of the event, and what is wrong there."""

    event: int
    why: str


def line(event: Event | OwnersEvent) -> str:
    """An event as its line, newline included."""
    return json.dumps({name: getattr(event, name) for name in _NAMES[type(event)]}, ensure_ascii=False, separators=(",", ":")) + "\n"


def seal(text: str) -> str:
    """The SHA-256 of a line, newline included, as `sha256sum` prints it."""
    return hashlib.sha256(text.encode()).hexdigest()


def record_seal(body: str) -> str:
    """The SHA-256 of a record's line: its JSON as it is kept, and a newline."""
    return seal(f"{body}\n")


def what(scope: str, name: str, id: str) -> str:
    """Where a thing stands, as its address under the service's base.

    >>> what("b", "parts", "p"), what("/cars", "cars", "c")
    ('builds/b/parts/p', 'cars/c')
    """
    return f"{name}/{id}" if scope.startswith("/") else f"builds/{scope}/{name}/{id}"


def read(raw: Mapping[str, Any]) -> Event:
    """An event from its JSON object; further keys are left out. Raises ValueError when it is none."""
    return _read(raw, Event)


def read_line(text: str) -> Event | OwnersEvent:
    """An event from its line, newline included. Raises ValueError when it is none, or not as `line` writes it."""
    raw = json.loads(text)
    event: Event | OwnersEvent = _read(raw, OwnersEvent) if isinstance(raw, dict) and "sealed" in raw else _read(raw, Event)
    if line(event) != text:
        raise ValueError("it is not written as an event is")
    return event


def owners(events: Iterable[Event]) -> Iterator[OwnersEvent]:
    """A car's history, from its first event, as an owner's edition holds it."""
    previous = BEGINNING
    for event in events:
        shown = OwnersEvent(event.event, event.car, event.at[:10], event.action, event.what.split("/")[-2], seal(line(event)), previous)
        previous = seal(line(shown))
        yield shown


def _read(raw: Any, kind: type[_Kind]) -> _Kind:
    if not isinstance(raw, Mapping):
        raise ValueError("it is no object")
    wanted = {item.name: (int,) if item.type == "int" else (str, type(None)) if "None" in str(item.type) else (str,) for item in fields(kind)}
    for name, kinds in wanted.items():
        if name not in raw or isinstance(raw[name], bool) or not isinstance(raw[name], kinds):
            raise ValueError(f"{name} is missing or of another kind than an event has")
    return kind(**{name: raw[name] for name in wanted})


def breaks(events: Sequence[Event | OwnersEvent], hashes: Sequence[str] | None = None, bodies: Sequence[str] | None = None,
           head: str | None = None) -> Iterator[Break]:
    """Every place where a car's chain, from its first event, was cut or altered; nothing when it holds.

    `hashes` are the events' own SHA-256 as they were kept beside them, `bodies` the records' JSON. `head` is the SHA-256 of the last
    event's line, noted elsewhere: without it nobody can tell whether events at the end are missing, or were all written again.
    """
    seals = [seal(line(event)) for event in events]
    whole = [hashes is None or hashes[index:index + 1] == [seals[index]] for index in range(len(events))]
    for index, event in enumerate(events):
        yield from _out_of_line(event, events[index - 1] if index else None)
        if not whole[index]:
            yield Break(event.event, "it was altered: it is not what it was when it was recorded")
        elif index + 1 < len(events) and whole[index + 1] and _follows(events[index + 1], event) and events[index + 1].previous != seals[index]:
            yield Break(event.event, f"it is not what event {event.event + 1} names as the one before it: one of the two was altered")
        if bodies is not None and isinstance(event, Event):
            yield from _record_misfits(event, bodies[index] if index < len(bodies) else None)
    if head is not None and (seals[-1] if seals else BEGINNING) != head:
        yield Break(events[-1].event if events else 0, "the chain did not end with this event: it was altered, or those after it were cut off")


def _follows(event: Event | OwnersEvent, before: Event | OwnersEvent) -> bool:
    return event.event == before.event + 1 and event.car == before.car


def _out_of_line(event: Event | OwnersEvent, before: Event | OwnersEvent | None) -> Iterator[Break]:
    if before is None and (event.event != 1 or event.previous != BEGINNING):
        yield Break(event.event, "a history begins with event 1, which names none before it: events before it were cut off, or it was altered")
    elif before is not None and event.car != before.car:
        yield Break(event.event, f"it is of the car {event.car}, the one before it of {before.car}")
    elif before is not None and event.event != before.event + 1:
        yield Break(event.event, f"event {before.event + 1} was expected here: events were cut out, added or moved")


def _record_misfits(event: Event, body: str | None) -> Iterator[Break]:
    if body is None:
        yield Break(event.event, f"its record ({event.what}) is missing")
    elif record_seal(body) != event.record:
        yield Break(event.event, f"its record ({event.what}) was altered: it is not what was recorded")

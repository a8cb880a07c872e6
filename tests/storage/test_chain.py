"""The chain of a car's events: it holds, and every cut or alteration is named at its event."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest
from sqlalchemy import text

from service.storage import chain, things
from service.storage.chain import Event
from service.storage.database import Database
from service.storage.things import Author, Where

AUTHOR = Author("Oona", "bench tablet")


@pytest.fixture
def database(database_url: str) -> Iterator[Database]:
    database = Database(database_url)
    yield database
    database.close()


def kept(database: Database, car: str) -> tuple[list[Event], list[str], list[str]]:
    """A car's events, their hashes and their records' JSON."""
    with database.reading() as connection:
        rows = things.of_car(connection, car)
    return [things.event_of(row._mapping) for row in rows], [row.hash for row in rows], [row.body for row in rows]


def test_every_change_is_an_event_of_its_car_and_the_chain_holds(database: Database) -> None:
    with database.writing() as connection:
        things.create_all(connection, AUTHOR, [(Where("b", "parts", "p", "c"), {"id": "p", "name": "ä→"}), (Where("x", "parts", "p", "other"), {"id": "p"}),
                                               (Where("b", "parts", "q", "c"), {"id": "q"})])
    with database.writing() as connection:
        things.change(connection, AUTHOR, things.find(connection, "b", "p"), {"id": "p"})
        things.retract(connection, AUTHOR, things.find(connection, "b", "q"), "doubled")
    events, hashes, bodies = kept(database, "c")
    assert [(event.event, event.what, event.action, event.revision) for event in events] == [
        (1, "builds/b/parts/p", "created", 1), (2, "builds/b/parts/q", "created", 1), (3, "builds/b/parts/p", "changed", 2), (4, "builds/b/parts/q", "retracted", 2)]
    assert list(chain.breaks(events, hashes, bodies, hashes[-1])) == []
    events, hashes, bodies = kept(database, "other")
    assert len(events) == 1 and list(chain.breaks(events, hashes, bodies, hashes[-1])) == []


def test_writers_at_once_make_one_chain(database: Database) -> None:
    def add(number: int) -> None:
        with database.writing() as connection:
            things.create(connection, AUTHOR, Where(f"b{number % 3}", "drives", f"{number}", "c"), {"id": f"{number}"})

    with ThreadPoolExecutor(8) as pool:
        list(pool.map(add, range(60)))
    events, hashes, bodies = kept(database, "c")
    assert len(events) == 60
    assert list(chain.breaks(events, hashes, bodies, hashes[-1])) == []


def test_what_is_rewritten_in_the_database_is_named(database: Database) -> None:
    with database.writing() as connection:
        for number in range(4):
            things.create(connection, AUTHOR, Where("b", "drives", f"{number}", "c"), {"id": f"{number}", "observations": "brakes pull left"})
    with database.writing() as connection:
        connection.execute(text("DROP TRIGGER revision_unchanged" if database.is_sqlite else "ALTER TABLE revision DISABLE TRIGGER revision_unchanged"))
        connection.execute(text("UPDATE revision SET body = replace(body, 'left', 'away') WHERE event = 3"))
        if not database.is_sqlite:
            connection.execute(text("ALTER TABLE revision ENABLE TRIGGER revision_unchanged"))
    events, hashes, bodies = kept(database, "c")
    assert [found.event for found in chain.breaks(events, hashes, bodies)] == [3]


def sample() -> tuple[list[Event], list[str], list[str]]:
    events: list[Event] = []
    bodies = [f'{{"id":"{number}","observations":"a rattle"}}' for number in range(6)]
    previous = chain.BEGINNING
    for number, body in enumerate(bodies):
        events.append(Event(number + 1, "c", f"2026-03-02T14:30:0{number}+00:00", "Oona", "tablet", "created", f"builds/b/drives/{number}", 1, number, None,
                            chain.record_seal(body), previous))
        previous = chain.seal(chain.line(events[-1]))
    return events, [chain.seal(chain.line(event)) for event in events], bodies


@pytest.mark.parametrize("change", [
    {"by": "someone"}, {"at": "2026-03-02T14:31:00+00:00"}, {"device": "phone"}, {"action": "changed"}, {"what": "builds/b/drives/z"}, {"revision": 2},
    {"place": 77}, {"reason": "none"}, {"record": "0" * 64}, {"previous": "1" * 64}])
def test_an_altered_event_is_named(change: dict[str, object]) -> None:
    events, hashes, bodies = sample()
    events[3] = replace(events[3], **change)  # type: ignore[arg-type]
    assert {found.event for found in chain.breaks(events, hashes)} == {4}
    assert next(chain.breaks(events)).event in {3, 4}


def test_an_altered_event_whose_hash_was_made_to_fit_is_named() -> None:
    events, hashes, bodies = sample()
    events[3] = replace(events[3], by="someone")
    hashes[3] = chain.seal(chain.line(events[3]))
    found = list(chain.breaks(events, hashes))
    assert [item.event for item in found] == [4]
    assert "event 5" in found[0].why


@pytest.mark.parametrize(("cut", "named"), [
    (lambda events: events[1:], 2), (lambda events: events[:2] + events[3:], 4), (lambda events: [*events[:2], events[3], events[2], *events[4:]], 4),
    (lambda events: [*events[:3], events[2], *events[3:]], 3), (lambda events: events[:4], 4), (lambda events: [], 0)])
def test_a_cut_is_named(cut: Callable[[list[Event]], list[Event]], named: int) -> None:
    events, hashes, bodies = sample()
    assert next(chain.breaks(cut(events), head=hashes[-1])).event == named


def test_a_record_that_was_altered_or_lost_is_named() -> None:
    events, hashes, bodies = sample()
    assert [found.event for found in chain.breaks(events, hashes, [*bodies[:2], bodies[2].replace("a", "the"), *bodies[3:]])] == [3]
    assert [found.event for found in chain.breaks(events, hashes, bodies[:-1])] == [6]


def test_sha256sum_alone_verifies_the_lines() -> None:
    """GNU coreutils' sha256sum judges: the sum of each line is what the next line names."""
    events, hashes, bodies = sample()
    sums = [subprocess.run(["sha256sum"], input=chain.line(event).encode(), capture_output=True, check=True).stdout[:64].decode() for event in events]
    assert sums == hashes
    assert [event.previous for event in events[1:]] == sums[:-1]
    record = subprocess.run(["sha256sum"], input=f"{bodies[0]}\n".encode(), capture_output=True, check=True).stdout[:64].decode()
    assert record == events[0].record


def test_an_event_is_read_from_its_line() -> None:
    events, _, _ = sample()
    assert chain.read(json.loads(chain.line(events[0]))) == events[0]
    for spoiled in ({"event": "1"}, {"event": True}, {"by": None}, {"record": 5}):
        with pytest.raises(ValueError, match=next(iter(spoiled))):
            chain.read({**json.loads(chain.line(events[0])), **spoiled})

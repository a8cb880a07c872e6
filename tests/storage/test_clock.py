"""A clock that is set back an hour or forward a year, while the service runs and between two starts."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Iterator

import pytest

from service.storage import answers, chain, pairing, things
from service.storage.database import Database
from service.storage.things import Author, Where

AUTHOR = Author("Oona", "desk")
HOUR, YEAR = dt.timedelta(hours=1), dt.timedelta(days=365)


class Clock(dt.datetime):
    """The day and time as the machine believes them."""

    off = dt.timedelta(0)

    @classmethod
    def now(cls, tz: dt.tzinfo | None = None) -> Clock:  # type: ignore[override]
        """What the clock says."""
        return super().now(tz) + cls.off  # type: ignore[return-value]


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> type[Clock]:
    """A clock that can be set (`off`); everything that is kept asks it."""
    real = time.time_ns
    monkeypatch.setattr(Clock, "off", dt.timedelta(0))
    monkeypatch.setattr(dt, "datetime", Clock)
    monkeypatch.setattr(time, "time_ns", lambda: real() + int(Clock.off.total_seconds() * 1e9))
    return Clock


@pytest.fixture
def database(database_url: str) -> Iterator[Database]:
    found = Database(database_url)
    yield found
    found.close()


def add(database: Database, *ids: str, restarted: bool = False) -> None:
    if restarted:
        things._places = things._Places()
    for id in ids:
        with database.writing() as connection:
            things.create(connection, AUTHOR, Where("b", "drives", id, "c"), {"id": id})


@pytest.mark.parametrize("restarted", [False, True])
@pytest.mark.parametrize("jump", [-HOUR, YEAR])
def test_what_comes_later_stands_later_and_pages_join_up(database: Database, clock: type[Clock], jump: dt.timedelta, restarted: bool) -> None:
    add(database, "a", "b")
    with database.reading() as connection:
        first = things.listed(connection, "b", "drives", 2)
    clock.off = jump
    add(database, "c", restarted=restarted)
    clock.off = -jump
    add(database, "d", restarted=restarted)
    with database.reading() as connection:
        assert [row.id for row in things.listed(connection, "b", "drives")] == ["a", "b", "c", "d"]
        assert [row.id for row in things.listed(connection, "b", "drives", 9, (first[-1].place, first[-1].id))] == ["c", "d"]
        rows = things.of_car(connection, "c")
    assert [row.event for row in rows] == [1, 2, 3, 4]
    assert list(chain.breaks([things.event_of(row._mapping) for row in rows], [row.hash for row in rows], [row.body for row in rows])) == []


def test_a_code_lives_no_longer_when_the_clock_is_set_back(database: Database, clock: type[Clock]) -> None:
    with database.writing() as connection:
        before, after = (pairing.make_code(connection, "builder", "a test") for _ in range(2))
    clock.off = -HOUR
    with database.writing() as connection:
        assert pairing.pair(connection, before.text, name="phone", by="Oona") is None
        fresh = pairing.make_code(connection, "builder", "a test")
        assert pairing.pair(connection, fresh.text, name="phone", by="Oona") is not None
    clock.off = YEAR
    with database.writing() as connection:
        assert pairing.pair(connection, after.text, name="phone", by="Oona") is None


@pytest.mark.parametrize("jump", [HOUR, YEAR])
def test_wrong_codes_of_a_wrong_clock_lock_nobody_out(database: Database, clock: type[Clock], jump: dt.timedelta) -> None:
    clock.off = jump
    with database.writing() as connection:
        for _ in range(5):
            pairing.note_wrong(connection, "192.0.2.7/32")
        assert 0 < pairing.wait(connection, "192.0.2.7/32") <= 600
    clock.off = dt.timedelta(0)
    with database.writing() as connection:
        assert pairing.wait(connection, "192.0.2.7/32") == 0
        for _ in range(5):
            pairing.note_wrong(connection, "192.0.2.7/32")
        assert 0 < pairing.wait(connection, "192.0.2.7/32") <= 600


@pytest.mark.parametrize("jump", [YEAR, -YEAR])
def test_answers_are_not_forgotten_by_a_wrong_clock_at_a_start(database: Database, clock: type[Clock], jump: dt.timedelta) -> None:
    given = answers.Given("digest", 201, {}, "{}")
    with database.writing() as connection:
        answers.keep(connection, "phone", "key", given)
    clock.off = jump
    with database.writing() as connection:
        answers.forget_old(connection)
        assert answers.find(connection, "phone", "key") == given


def test_answers_are_kept_for_longer_than_a_phone_is_away(database: Database, clock: type[Clock]) -> None:
    given = answers.Given("digest", 201, {}, "{}")
    for days, key in ((61, "long ago"), (31, "a month ago"), (0, "now")):
        clock.off = dt.timedelta(days=-days)
        with database.writing() as connection:
            answers.keep(connection, "phone", key, given)
    with database.writing() as connection:
        answers.forget_old(connection)
        assert [answers.find(connection, "phone", key) is not None for key in ("long ago", "a month ago", "now")] == [False, True, True]

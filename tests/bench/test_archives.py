"""Generated cars archived, verified, restored, backed up: time per car, beside plainly reading, hashing and writing the same bytes.

Each car has 4 builds, 200 records and a photograph. To be reached on one core: a second to archive a car (four builds are computed for
it), a tenth to verify it, half of one to restore it. Nothing is asserted about time; everything is asserted to be whole.
Measured with 1,000 cars on two cores that others kept busy: 0.81, 0.10 and 0.29 s, which is 5.1, 3.9 and 1.9 times the floor; backed up
0.015 s a car, 0.005 s the second time.
Run: ASFITTED_LONG=1 pytest tests/bench/test_archives.py --benchmark-disable -s     (1,000 cars)
"""

from __future__ import annotations

import hashlib
import io
import os
import time
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from service import pictures
from service.archive.restoring import restore
from service.archive.verifying import bags, verify
from service.archive.writing import archive
from service.backup.generation import check, generations
from service.backup.writing import back_up
from service.storage import files, things
from service.storage.files import About
from service.storage.store import Store, open_store
from service.storage.things import Where
from tests.bench.fleet import AUTHOR, fill
from tests.pictures.made import noise
from tests.served import LONG

CARS = 1000 if LONG else 4


def photograph(store: Store, number: int) -> None:
    """A photograph of a car, of about a quarter of a megabyte."""
    content = noise(number, (450, 350))
    sha256, made = hashlib.sha256(content).hexdigest(), pictures.clean(io.BytesIO(content), "image/jpeg")
    store.files.keep(sha256, io.BytesIO(content), made.sizes)
    where = Where(f"car-{number}-b0", "photos", "p", f"car-{number}")
    body = {"id": "p", "file": "photos/p.jpg", "sha256": sha256, "caption": "as it came"}
    with store.database.writing() as connection:
        files.note(connection, About(sha256, "image/jpeg", len(content), made.width, made.height))
        things.create(connection, AUTHOR, where, body)
        files.attach(connection, [(where, body)])


def copied(bag: Path, to: Path) -> None:
    """The floor: every byte read, hashed twice as a bag wants, written, each file on the disk."""
    for path in (path for path in bag.rglob("*") if path.is_file()):
        content = path.read_bytes()
        hashlib.sha256(content), hashlib.sha512(content)
        place = to / bag.name / path.relative_to(bag)
        place.parent.mkdir(parents=True, exist_ok=True)
        with place.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())


def hashed(bag: Path) -> None:
    """The floor of verifying: every byte read and hashed twice."""
    for path in (path for path in bag.rglob("*") if path.is_file()):
        content = path.read_bytes()
        hashlib.sha256(content), hashlib.sha512(content)


def timed(work: Callable[[Any], Any], over: Iterable[Any]) -> tuple[float, list[Any]]:
    """Seconds for each, and what came of it."""
    start = time.perf_counter()
    made = [work(one) for one in over]
    return (time.perf_counter() - start) / len(made), made


def test_cars_archived_verified_restored(tmp_path: Path, benchmark: Any) -> None:
    store = open_store(tmp_path / "data")
    fill(store.database, CARS)
    for number in range(CARS):
        photograph(store, number)
    archive(store, "car-0", tmp_path / "warm")
    archiving, made = timed(lambda number: archive(store, f"car-{number}", tmp_path / "bags"), range(CARS))
    copying, _ = timed(lambda bag: copied(bag, tmp_path / "copies"), made)
    verifying, reports = timed(verify, bags(tmp_path / "bags"))
    hashing, _ = timed(hashed, made)
    assert len(reports) == CARS and all(report.findings == [] for report in reports)
    other = open_store(tmp_path / "other")
    (tmp_path / "data" / "keys").rename(tmp_path / "other" / "keys")
    restoring, restored = timed(lambda bag: restore(other, bag), made)
    assert {one.car: (one.new, one.before) for one in restored} == {report.car: (report.events, 0) for report in reports}
    again = archive(other, f"car-{CARS - 1}", tmp_path / "again")
    assert {path.name: path.read_bytes() for path in again.rglob("*") if path.is_file()} == {path.name: path.read_bytes() for path in made[-1].rglob("*") if path.is_file()}
    backing, _ = timed(lambda _: back_up(tmp_path / "other", tmp_path / "backups", keep=2), range(1))
    backing_again, _ = timed(lambda _: back_up(tmp_path / "other", tmp_path / "backups", keep=2), range(1))
    assert all(check(one) == [] for one in generations(tmp_path / "backups"))
    size = sum(path.stat().st_size for path in made[-1].rglob("*") if path.is_file())
    print(f"\n{CARS} cars, {size / 1e6:.2f} MB a bag")
    for called, seconds, floor in (("archive", archiving, copying), ("verify", verifying, hashing), ("restore", restoring, copying),
                                   ("back up, a car's share", backing / CARS, copying), ("back up again, a car's share", backing_again / CARS, copying)):
        benchmark.extra_info[called] = seconds / floor
        print(f"{called:30} {seconds * 1e3:8.1f} ms a car, {seconds / floor:6.2f}× of the floor ({floor * 1e3:.1f} ms)")
    benchmark.pedantic(lambda: verify(made[0]), rounds=1)
    for one in (store, other):
        one.database.close()

"""kill -9 at random moments of an archive, a restore, a backup: never a half-made thing under its final name, and the next time completes it.

A few kills of each by default; ASFITTED_LONG=1 makes it 50.
"""

from __future__ import annotations

import hashlib
import io
import multiprocessing
import random
import shutil
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from service.archive.verifying import verify
from service.archive.writing import archive
from service.backup.generation import check, generations
from service.backup.writing import back_up
from service.storage import books
from tests.archive.made import CAR, kept, live
from tests.kept import sqlite_url
from tests.pictures.made import noise
from tests.proofs import halfway
from tests.served import LONG

KILLS = 50 if LONG else 4
#: Seconds; what takes longer hangs.
PATIENCE = 120


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with a car, its photographs, and a book that went out with it; beside it the car's bag and a backup."""
    folder = tmp_path_factory.mktemp("halfway")
    with kept(folder / "data") as (client, store):
        live(client)
        for seed in range(3):
            sent = client.post("/v1/builds/b1/photos", data={"id": f"n{seed}", "file": (io.BytesIO(noise(seed)), "n.jpg")})
            assert sent.status_code == 201
        place = store.folder / "books" / "book"
        (place / "site").mkdir(parents=True)
        for number in range(30):
            (place / "site" / f"page-{number}.html").write_text(f"{number} " * 1000)
        row = {"id": "book", "build": "b1", "car": CAR, "theme": "notebook", "edition": "owner", "paper": "letter", "keeps": True, "left_out": 0, "attempt": 1,
               "starts": 1, "state": books.DONE, "fraction": 1.0, "step": "done", "asked_at": "2026-03-02T10:00:00+00:00"}
        with store.database.writing() as connection:
            books.take_back(connection, row)
        archive(store, CAR, folder / "bags")
    back_up(folder / "data", folder / "backups", keep=3)
    return folder


def bag_of(bags: Path) -> Path:
    [bag] = (path for path in bags.iterdir() if not path.name.startswith("."))
    return bag


class Killer:
    """Starts work in fresh processes and kills it, later and later."""

    def __init__(self, what: str) -> None:
        self.what, self.chance, self.killed = what, random.Random(what), 0
        self.context = multiprocessing.get_context("forkserver")
        self.context.set_forkserver_preload([halfway.__name__])

    def start(self, source: Path, out: Path) -> multiprocessing.process.BaseProcess:
        begun = self.context.Event()
        process = self.context.Process(target=halfway.work, args=(self.what, source, out, CAR, begun))
        process.start()
        assert begun.wait(PATIENCE)
        return process

    def takes(self, source: Path, out: Path) -> float:
        """How long it takes when nobody kills it."""
        process, start = self.start(source, out), time.perf_counter()
        process.join(PATIENCE)
        assert process.exitcode == 0
        return time.perf_counter() - start

    def kill(self, source: Path, out: Path, after: float) -> None:
        """Kill it within this time."""
        process = self.start(source, out)
        time.sleep(self.chance.uniform(0, after))
        process.kill()
        process.join(PATIENCE)
        self.killed += process.exitcode == -9


def keep_killing(what: str, source: Path, out: Callable[[str], Path], holds: Callable[[Path], bool]) -> None:
    """Kill it again and again, each time in the same place; `holds` judges what is there and says whether it was completed."""
    killer, completed = Killer(what), 0
    first, place = out("first"), out("killed 0")
    takes = killer.takes(source, first)
    assert holds(first)
    for number in range(KILLS):
        killer.kill(source, place, takes)
        if holds(place):
            completed += 1
            place = out(f"killed {number + 1}")
    killer.takes(source, place)
    assert holds(place), "after all kills it is completed"
    assert killer.killed > 0, "every kill came too late"
    print(f"\n{what}: {killer.killed} of {KILLS} killed within {takes:.2f} s, {completed} had completed")


def test_an_archive(shop: Path, tmp_path: Path) -> None:
    whole = bag_of(shop / "bags")

    def holds(bags: Path) -> bool:
        there = [path for path in bags.iterdir() if not path.name.startswith(".")] if bags.exists() else []
        assert [path.name for path in there] in ([], [whole.name])
        assert all(verify(path).findings == [] and same(path, whole) for path in there)
        return bool(there)

    keep_killing("archive", shop / "data", lambda name: tmp_path / name, holds)


def test_a_restore(shop: Path, tmp_path: Path) -> None:
    whole = bag_of(shop / "bags")

    def data(name: str) -> Path:
        sqlite_url(tmp_path / name)
        shutil.copytree(shop / "data" / "keys", tmp_path / name / "keys")
        return tmp_path / name

    def holds(folder: Path) -> bool:
        for path in (path for path in (folder / "files" / "original").rglob("*") if path.is_file() and len(path.name) == 64):
            assert hashlib.sha256(path.read_bytes()).hexdigest() == path.name
        assert not (folder / "books" / "book").exists() or same(folder / "books" / "book", shop / "data" / "books" / "book")
        with kept(folder) as (client, store):
            if client.get(f"/v1/cars/{CAR}").status_code == 404:
                assert client.get("/v1/cars").json == []
                return False
            again = archive(store, CAR, folder / "bags")
        assert same(again, whole)
        return True

    keep_killing("restore", whole, data, holds)


def test_a_backup(shop: Path, tmp_path: Path) -> None:
    def holds(root: Path) -> bool:
        there = generations(root)
        assert all(check(one) == [] for one in there)
        return bool(there)

    keep_killing("back up", shop / "data", lambda name: tmp_path / name, holds)


def test_a_backup_beside_others(shop: Path, tmp_path: Path) -> None:
    """The last whole backup stays, also while old ones are dropped."""
    root = Path(shutil.copytree(shop / "backups", tmp_path / "backups"))
    killer = Killer("back up")
    takes = killer.takes(shop / "data", root)
    for _ in range(KILLS):
        killer.kill(shop / "data", root, takes)
        assert generations(root)
        assert all(check(one) == [] for one in generations(root))
    assert killer.killed > 0
    for _ in range(3):
        killer.takes(shop / "data", root)
    assert len(generations(root)) == 3 and not [path for path in root.iterdir() if path.name.startswith(".") and path.name != ".lock"]


def test_a_restored_backup(shop: Path, tmp_path: Path) -> None:
    def holds(data: Path) -> bool:
        if not data.exists():
            return False
        for part in ("keys", "books"):
            assert same(data / part, shop / "data" / part)
        assert len(list((data / "files" / "original").rglob("?" * 64))) == 5
        with kept(data) as (client, _):
            assert len(client.get(f"/v1/cars/{CAR}/history").json) == 18
        return True

    keep_killing("restore a backup", shop / "backups", lambda name: tmp_path / name, holds)


def same(one: Path, other: Path) -> bool:
    """By diff, which reads every byte."""
    return subprocess.run(["diff", "-r", one, other], check=False, capture_output=True).returncode == 0

"""Backups: whole by others' judgment too, only what is new copied, found out when a byte changes, made into the same data folder again."""

from __future__ import annotations

import io
import json
import random
import shutil
import sqlite3
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from service.archive import sealing
from service.backup.generation import BadBackup, Generation, check, found_at, generations
from service.backup.restoring import restore_backup
from service.backup.writing import back_up
from service.lock import FolderLock
from service.storage import books, things
from service.storage.store import Store
from tests.archive.made import CAR, kept, live
from tests.pictures.made import picture

KEEP = 10


@pytest.fixture(scope="module")
def lived(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with a car, the shop's keys, its file and logo, and a finished book."""
    folder = tmp_path_factory.mktemp("lived")
    with kept(folder / "data") as (client, store):
        live(client)
        sealing.keys(store.folder / "keys")
        (store.folder / "shop.json").write_text('{"name": "Nettle & Quay", "logo": "logo.png"}')
        (store.folder / "logo.png").write_bytes(picture(size=(40, 40)))
        book(store, "b0")
    return folder / "data"


@pytest.fixture
def shop(lived: Path, tmp_path: Path) -> Iterator[tuple[Any, Store]]:
    """A service that is serving a copy of it."""
    shutil.copytree(lived, tmp_path / "data")
    with kept(tmp_path / "data") as (client, store):
        yield client, store


def book(store: Store, id: str) -> None:
    """A finished book, as the press leaves it."""
    (store.folder / "books" / id / "site").mkdir(parents=True)
    (store.folder / "books" / id / "book.pdf").write_bytes(b"%PDF " + id.encode())
    (store.folder / "books" / id / "site" / "index.html").write_text(id)
    row = {"id": id, "build": "b1", "car": CAR, "theme": "notebook", "edition": "owner", "paper": "letter", "keeps": True, "left_out": 0, "attempt": 1,
           "starts": 1, "state": books.DONE, "fraction": 1.0, "step": "done", "asked_at": "2026-03-02T10:00:00+00:00"}
    with store.database.writing() as connection:
        books.take_back(connection, row)


def rows(folder: Path) -> list[Any]:
    connection = sqlite3.connect(folder / "records.sqlite3")
    try:
        return connection.execute("SELECT * FROM revision ORDER BY seq").fetchall()
    finally:
        connection.close()


def tree(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_made_while_serving_and_restored_it_is_the_same(shop: tuple[Any, Store], tmp_path: Path) -> None:
    client, store = shop
    made = back_up(store.folder, tmp_path / "backups", keep=KEEP)
    assert made.not_there == [] and check(Generation(made.place)) == []
    client.post("/v1/builds/b1/drives", json={"id": "later", "distance": "3 mi"})
    done = restore_backup(tmp_path / "backups", tmp_path / "again")
    assert (done.backup, done.files) == (made.place, made.files)
    assert rows(tmp_path / "again") == rows(store.folder)[:-1]
    for part in ("keys", "books/b0", "files/original", "shop.json", "logo.png"):
        live, again = store.folder / part, tmp_path / "again" / part
        assert (tree(live) == tree(again)) if live.is_dir() else live.read_bytes() == again.read_bytes(), part
    assert (tmp_path / "again" / "keys" / "shop-1.key").stat().st_mode & 0o077 == 0
    assert (tmp_path / "again").stat().st_mode & 0o077 == 0
    with kept(tmp_path / "again") as (second, _):
        assert second.get("/v1/photos/p/small").status_code == 200
        assert second.get("/v1/books/b0/book.pdf").data == b"%PDF b0"
        assert second.post("/v1/builds/b1/drives", json={"id": "d"}).status_code == 201


def test_a_backup_is_checked_with_sha256sum_and_sqlite3(shop: tuple[Any, Store], tmp_path: Path) -> None:
    """The judges: coreutils' sha256sum, and SQLite's own shell, for whoever has nothing of ours."""
    place = back_up(shop[1].folder, tmp_path / "backups", keep=KEEP).place
    assert subprocess.run(["sha256sum", "-c", "--quiet", "--strict", "sha256sums.txt"], cwd=place, check=False).returncode == 0
    listed = {(place / line.split("  ", 1)[1]).resolve() for line in (place / "sha256sums.txt").read_text().splitlines()}
    there = {path for path in (tmp_path / "backups").rglob("*") if path.is_file()} - {place / "sha256sums.txt", tmp_path / "backups" / ".lock"}
    assert listed == there
    connection = sqlite3.connect(f"file:{place / 'records.sqlite3'}?mode=ro", uri=True)
    assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    connection.close()


def test_the_second_copies_only_what_is_new(shop: tuple[Any, Store], tmp_path: Path) -> None:
    client, store = shop
    first = back_up(store.folder, tmp_path / "backups", keep=KEEP)
    assert first.copied == 4, "a photograph, a paper, two files of a book"
    inodes = {path: path.stat().st_ino for path in (tmp_path / "backups" / "files").rglob("*") if path.is_file()}
    sent = client.post("/v1/builds/b1/photos", data={"id": "q", "file": (io.BytesIO(picture(size=(320, 200))), "y.jpg")})
    assert sent.status_code == 201
    second = back_up(store.folder, tmp_path / "backups", keep=KEEP)
    assert (second.copied, second.copied_bytes) == (1, len(picture(size=(320, 200))))
    assert all(path.stat().st_ino == inode and path.stat().st_nlink == 1 for path, inode in inodes.items())
    assert [one.place for one in generations(tmp_path / "backups")] == [first.place, second.place]
    assert all(check(one) == [] for one in generations(tmp_path / "backups"))


def test_a_clock_set_back_does_not_make_the_newest_the_oldest(shop: tuple[Any, Store], tmp_path: Path) -> None:
    _, store = shop
    root = tmp_path / "backups"
    for _ in range(2):
        last = back_up(store.folder, root, keep=2)
    ahead = root / "29990101T000000Z"
    last.place.rename(ahead)
    made = back_up(store.folder, root, keep=2)
    assert generations(root)[-1].place == made.place
    assert [one.place.name for one in generations(root)] == [ahead.name, f"{ahead.name}-1"]


def test_only_so_many_are_kept_with_what_they_name(shop: tuple[Any, Store], tmp_path: Path) -> None:
    client, store = shop
    for number in range(1, 5):
        back_up(store.folder, tmp_path / "backups", keep=2)
        assert client.delete(f"/v1/books/b{number - 1}").status_code in (200, 204)
        book(store, f"b{number}")
    there = generations(tmp_path / "backups")
    assert len(there) == 2 and all(check(one) == [] for one in there)
    assert sorted(path.name for path in (tmp_path / "backups" / "books").iterdir()) == ["b2", "b3"]
    assert sorted(path.name for path in (tmp_path / "backups").iterdir() if path.name.startswith(".")) == [".lock"]


def test_every_file_that_changes_goes_or_comes_is_found(shop: tuple[Any, Store], tmp_path: Path) -> None:
    root = tmp_path / "backups"
    place = back_up(shop[1].folder, root, keep=KEEP).place
    chance = random.Random(4)
    for path in sorted(path for path in root.rglob("*") if path.is_file() and path.name != ".lock"):
        content = path.read_bytes()
        for _ in range(5):
            spoiled = bytearray(content)
            spoiled[chance.randrange(len(content))] ^= 1 << chance.randrange(8)
            path.write_bytes(spoiled)
            assert check(Generation(place)), path
        path.unlink()
        assert check(Generation(place)), path
        path.write_bytes(content)
    lines = (place / "sha256sums.txt").read_text().splitlines(keepends=True)
    for number in range(len(lines)):
        (place / "sha256sums.txt").write_text("".join(lines[:number] + lines[number + 1:]))
        assert check(Generation(place)), lines[number]
    (place / "sha256sums.txt").write_text("".join(lines))
    (place / "keys" / "shop-2.key").write_text("x")
    assert [one.file for one in check(Generation(place))] == ["keys/shop-2.key"]


def test_a_spoiled_backup_is_not_restored(shop: tuple[Any, Store], tmp_path: Path) -> None:
    place = back_up(shop[1].folder, tmp_path / "backups", keep=KEEP).place
    next((place.parent / "files").rglob("*/*/??*")).write_bytes(b"x")
    with pytest.raises(BadBackup, match=r"not whole \(1 finding, the first: .*it is not what was written"):
        restore_backup(place, tmp_path / "again")
    assert {path.name for path in tmp_path.iterdir()} == {"data", "backups"}


def test_what_is_there_is_never_overwritten(shop: tuple[Any, Store], tmp_path: Path) -> None:
    back_up(shop[1].folder, tmp_path / "backups", keep=KEEP)
    (tmp_path / "again").mkdir()
    restore_backup(tmp_path / "backups", tmp_path / "again")
    before = tree(tmp_path / "again")
    for place in (tmp_path / "again", shop[1].folder):
        with pytest.raises(BadBackup, match="is not empty"):
            restore_backup(tmp_path / "backups", place)
    assert tree(tmp_path / "again") == before


@pytest.mark.parametrize("path", ["../../data/keys/shop-1.key", "/etc/hostname", "../keys/x", "../files/original/../../../x", "a/../../x", "..", "../books/./x"])
def test_a_list_that_leads_out_is_refused(path: str, shop: tuple[Any, Store], tmp_path: Path) -> None:
    place = back_up(shop[1].folder, tmp_path / "backups", keep=KEEP).place
    with (place / "sha256sums.txt").open("a") as sums:
        sums.write(f"{'0' * 64}  {path}\n")
    assert "a file of the backup" in check(Generation(place))[0].why
    with pytest.raises(BadBackup):
        restore_backup(place, tmp_path / "again")


def test_what_the_data_folder_lost_is_said_and_kept_when_it_was_backed_up_before(shop: tuple[Any, Store], tmp_path: Path) -> None:
    store = shop[1]
    first, second = sorted(path for path in (store.folder / "files" / "original").rglob("*") if path.is_file())
    second.write_bytes(second.read_bytes()[:-1])
    made = back_up(store.folder, tmp_path / "backups", keep=KEEP)
    assert made.not_there == [second.name]
    first.unlink()
    made = back_up(store.folder, tmp_path / "backups", keep=KEEP)
    assert made.not_there == [second.name], "the first is in the earlier backup"
    assert restore_backup(made.place, tmp_path / "again").not_there == (second.name,)
    assert (tmp_path / "again" / first.relative_to(store.folder)).is_file()


def test_an_original_cut_short_in_the_backup_is_copied_again(shop: tuple[Any, Store], tmp_path: Path) -> None:
    back_up(shop[1].folder, tmp_path / "backups", keep=KEEP)
    found = next(path for path in (tmp_path / "backups" / "files").rglob("*") if path.is_file())
    found.write_bytes(b"")
    made = back_up(shop[1].folder, tmp_path / "backups", keep=KEEP)
    assert made.copied == 1 and check(Generation(made.place)) == []


def test_a_book_that_is_removed_meanwhile_is_forgotten_in_the_copy(shop: tuple[Any, Store], tmp_path: Path) -> None:
    store = shop[1]
    book(store, "b1")
    shutil.rmtree(store.folder / "books" / "b1")
    made = back_up(store.folder, tmp_path / "backups", keep=KEEP)
    assert check(Generation(made.place)) == []
    restore_backup(made.place, tmp_path / "again")
    with kept(tmp_path / "again") as (client, _):
        assert client.get("/v1/books/b1").status_code == 404 and client.get("/v1/books/b0").status_code == 200


def test_originals_come_from_a_bucket_too(shop: tuple[Any, Store], tmp_path: Path) -> None:
    store = shop[1]
    elsewhere = shutil.move(store.folder / "files", tmp_path / "elsewhere")
    assert len(back_up(store.folder, tmp_path / "without", keep=KEEP).not_there) == 2
    made = back_up(store.folder, tmp_path / "backups", keep=KEEP, files=f"file://{elsewhere}")
    assert made.not_there == [] and check(Generation(made.place)) == []


def test_the_places_must_be_apart(shop: tuple[Any, Store], tmp_path: Path) -> None:
    for place in (shop[1].folder, shop[1].folder / "backups", tmp_path):
        with pytest.raises(BadBackup, match="stand in one another"):
            back_up(shop[1].folder, place, keep=KEEP)
    with pytest.raises(BadBackup, match="holds no records"):
        back_up(tmp_path / "nothing", tmp_path / "backups", keep=KEEP)
    with pytest.raises(BadBackup, match="holds none"):
        found_at(tmp_path / "nothing")
    assert not (tmp_path / "backups").exists()


def test_two_at_once_are_not_written(shop: tuple[Any, Store], tmp_path: Path) -> None:
    (tmp_path / "backups").mkdir()
    other = FolderLock(tmp_path / "backups" / ".lock")
    assert other.take()
    with pytest.raises(BadBackup, match="another backup"):
        back_up(shop[1].folder, tmp_path / "backups", keep=KEEP)
    other.give_back()
    back_up(shop[1].folder, tmp_path / "backups", keep=KEEP)


def test_a_damaged_database_is_said(shop: tuple[Any, Store], tmp_path: Path) -> None:
    made = back_up(shop[1].folder, tmp_path / "backups", keep=KEEP)
    (tmp_path / "broken").mkdir()
    content = bytearray((made.place / "records.sqlite3").read_bytes())
    content[4096:12288] = bytes(8192)
    (tmp_path / "broken" / "records.sqlite3").write_bytes(content)
    with pytest.raises(BadBackup, match=r"records\.sqlite3 (is damaged|cannot be read)"):
        back_up(tmp_path / "broken", tmp_path / "backups", keep=KEEP)
    (tmp_path / "broken" / "records.sqlite3").write_bytes(b"not a database at all" * 100)
    with pytest.raises(BadBackup, match="cannot be read as a database"):
        back_up(tmp_path / "broken", tmp_path / "backups", keep=KEEP)
    assert [one.place for one in generations(tmp_path / "backups")] == [made.place]


def test_the_chain_holds_in_what_is_restored(shop: tuple[Any, Store], tmp_path: Path) -> None:
    back_up(shop[1].folder, tmp_path / "backups", keep=KEEP)
    restore_backup(tmp_path / "backups", tmp_path / "again")
    with kept(tmp_path / "again") as (_, store), store.database.reading() as connection:
        assert len(things.of_car(connection, CAR)) == 15
    about = json.loads((generations(tmp_path / "backups")[0].place / "backup.json").read_text())
    assert about["format"] == "as-fitted/backup/1"

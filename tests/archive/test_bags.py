"""A car's bag: whole by another's judgment too, found out when a single byte changes, taken in without loss."""

from __future__ import annotations

import json
import os
import random
import shutil
import subprocess
import tarfile
import time
from collections.abc import Iterator
from pathlib import Path

import bagit
import pytest

from service.archive import sealing
from service.archive.bagit import BadBag
from service.archive.restoring import Conflict, restore
from service.archive.verifying import bags, verify
from service.archive.writing import NoCar, archive
from service.storage import things
from tests.archive.made import CAR, kept, live


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, Path]]:
    """A data folder with a car in it, and the car's bag."""
    folder = tmp_path_factory.mktemp("shop")
    with kept(folder / "data") as (client, store):
        live(client)
        yield folder / "data", archive(store, CAR, folder / "bags")


@pytest.fixture
def bag(shop: tuple[Path, Path], tmp_path: Path) -> Path:
    """A copy of the bag, to be spoiled."""
    return Path(shutil.copytree(shop[1], tmp_path / "bag"))


def found(place: Path) -> list[tuple[str, str]]:
    return [(item.what, item.file) for item in verify(place).findings]


def test_a_bag_is_whole_and_says_whose_it_is(shop: tuple[Path, Path]) -> None:
    data, place = shop
    report = verify(place)
    assert report.findings == []
    assert (report.car, report.events) == (CAR, 15)
    assert report.seal is not None and report.seal.key == sealing.public(sealing.keys(data / "keys")[-1])


def test_a_bag_is_valid_by_the_bagit_library(shop: tuple[Path, Path]) -> None:
    """The judge: the Library of Congress's bagit package, for RFC 8493."""
    judged = bagit.Bag(str(shop[1]))
    assert judged.validate()
    assert judged.version_info == (1, 0)
    assert set(judged.algorithms) == {"sha256", "sha512"}


def test_a_bag_is_read_with_a_text_editor_and_sha256sum(shop: tuple[Path, Path]) -> None:
    """What the bag's README says: the checksums and the chain, with nothing of ours."""
    place = shop[1]
    for manifest in ("manifest-sha256.txt", "tagmanifest-sha256.txt"):
        assert subprocess.run(["sha256sum", "-c", "--quiet", manifest], cwd=place, check=False).returncode == 0
    script = '''
      count=$(wc -l < data/events.jsonl); n=1; before=0000000000000000000000000000000000000000000000000000000000000000
      while [ $n -le $count ]; do
        line=$(sed -n ${n}p data/events.jsonl)
        echo "$line" | grep -q "\\"previous\\":\\"$before\\"" || exit 1
        echo "$line" | grep -q "\\"record\\":\\"$(sed -n ${n}p data/records.jsonl | sha256sum | cut -d' ' -f1)\\"" || exit 2
        before=$(sed -n ${n}p data/events.jsonl | sha256sum | cut -d' ' -f1); n=$((n + 1))
      done
      grep -q "History-Head: $before" bag-info.txt || exit 3'''
    assert subprocess.run(["sh", "-c", script], cwd=place, check=False).returncode == 0


def test_everything_is_in_it(shop: tuple[Path, Path]) -> None:
    data = shop[1] / "data"
    assert "sha256sum -c manifest-sha256.txt" in (data / "README.txt").read_text()
    for build in ("b1", "b2"):
        document = json.loads((data / "builds" / build / "document.json").read_text())
        assert document["measurements"][0]["notes"] == "read twice" and document["fixes"] == []
        assert json.loads((data / "builds" / build / "answer.json").read_text())["results"]
    assert sorted(path.suffix for path in (data / "files").iterdir()) == [".jpg", ".pdf"]
    assert json.loads((data / "schemas" / "build.json").read_text())["$id"] == "as-fitted/build/1"


def test_bytes_that_change_are_found(bag: Path) -> None:
    """One bit of some bytes of every file of a bag of ordinary size; every byte of a small one in `test_every_byte`."""
    chance = random.Random(8493)
    for path in sorted(path for path in bag.rglob("*") if path.is_file()):
        content = path.read_bytes()
        places = chance.sample(range(len(content)), min(3, len(content)))
        for place in places:
            spoiled = bytearray(content)
            spoiled[place] ^= 1 << chance.randrange(8)
            path.write_bytes(spoiled)
            assert verify(bag).findings, f"{path.relative_to(bag)}, byte {place}"
        path.write_bytes(content)
    assert verify(bag).findings == []


def test_what_is_changed_missing_or_added_is_named(bag: Path) -> None:
    (bag / "data" / "builds" / "b1" / "answer.json").write_text("{}")
    (bag / "data" / "extra.txt").write_text("x")
    (bag / "data" / "schemas" / "catalog.json").unlink()
    (bag / "note.txt").write_text("x")
    said = found(bag)
    for one in (("changed", "data/builds/b1/answer.json"), ("added", "data/extra.txt"), ("missing", "data/schemas/catalog.json"), ("added", "note.txt")):
        assert one in said


def test_a_history_cut_and_sealed_again_is_named_at_the_event(bag: Path, shop: tuple[Path, Path]) -> None:
    events = (bag / "data" / "events.jsonl").read_text().splitlines(keepends=True)
    (bag / "data" / "events.jsonl").write_text("".join(events[:4] + events[5:]))
    assert any("event 6" in item.why or "event 5" in item.why for item in verify(bag).findings)


def test_another_shop_cannot_pass_for_this_one(bag: Path, tmp_path: Path) -> None:
    """The same bag signed again by another key holds, and says so: whose key it is is what counts."""
    other = sealing.keys(tmp_path / "other")
    signed = {name: (bag / name).read_bytes() for name in ("tagmanifest-sha256.txt", "tagmanifest-sha512.txt")}
    before = verify(bag).seal
    (bag / "signature.txt").write_text(sealing.statement(other, signed))
    after = verify(bag)
    assert after.findings == []
    assert before is not None and after.seal is not None and after.seal.key == sealing.public(other[-1]) != before.key


def test_a_new_key_leads_back_to_the_old(tmp_path: Path) -> None:
    first = sealing.public(sealing.keys(tmp_path)[-1])
    second = sealing.rotate(tmp_path)
    third = sealing.rotate(tmp_path)
    seal = sealing.judged(sealing.statement(sealing.keys(tmp_path), {"a": b"x"}), {"a": b"x"})
    assert seal.holds and seal.line == (first, second, third)
    assert not sealing.judged(sealing.statement(sealing.keys(tmp_path), {"a": b"x"}), {"a": b"y"}).holds
    assert all(path.stat().st_mode & 0o077 == 0 for path in tmp_path.glob("*.key"))


def test_restored_it_is_the_same(shop: tuple[Path, Path], tmp_path: Path, database_url: str) -> None:
    with kept(tmp_path / "data", database_url) as (client, store):
        assert restore(store, shop[1]).new == 15
        again = restore(store, shop[1])
        assert (again.new, again.before) == (0, 15)
        (store.folder / "keys").mkdir(exist_ok=True)
        for key in (shop[0] / "keys").iterdir():
            shutil.copy(key, store.folder / "keys")
        second = archive(store, CAR, tmp_path / "bags")
        assert subprocess.run(["diff", "-r", shop[1], second], check=False).returncode == 0, "archived again it is the same bag"
        assert client.get("/v1/photos/p/small").status_code == 200
        assert client.get("/v1/search?q=stookman").json
        assert client.get("/v1/builds/b1/fixes/f").status_code == 410
        assert len(client.get("/v1/builds/b1/measurements/m/revisions").json) == 2
        assert client.patch("/v1/cars/c", json={"color": "green"}, headers={"If-Match": '"1"'}).status_code == 200, "life goes on"


def test_a_later_bag_continues_and_an_earlier_one_changes_nothing(shop: tuple[Path, Path], tmp_path: Path) -> None:
    with kept(tmp_path / "one") as (client, store):
        restore(store, shop[1])
        client.post("/v1/builds/b1/drives", json={"id": "d", "distance": "3 mi"})
        later = archive(store, CAR, tmp_path / "bags")
        assert (restore(store, shop[1]).new, restore(store, shop[1]).before) == (0, 16)
    with kept(tmp_path / "two") as (client, store):
        restore(store, shop[1])
        assert (restore(store, later).new, restore(store, later).new) == (1, 0)
        assert client.get("/v1/builds/b1/drives").json == [{"id": "d", "distance": "3 mi"}]


def test_a_conflict_is_told_and_changes_nothing(shop: tuple[Path, Path], tmp_path: Path) -> None:
    with kept(tmp_path / "data") as (client, store):
        client.post("/v1/cars", json={"id": CAR, "make": "Oskervik", "model": "Langtur", "year": 1966})
        with store.database.reading() as connection:
            before = things.of_car(connection, CAR)
        with pytest.raises(Conflict, match="part at event 1"):
            restore(store, shop[1])
        with store.database.reading() as connection:
            assert things.of_car(connection, CAR) == before


def test_a_bag_in_a_file_is_as_good(shop: tuple[Path, Path], tmp_path: Path) -> None:
    packed = [Path(shutil.make_archive(str(tmp_path / kind), kind, shop[1].parent, shop[1].name)) for kind in ("zip", "tar", "gztar")]
    for place in packed:
        assert verify(place).findings == []
    with kept(tmp_path / "data") as (_, store):
        assert restore(store, packed[0]).new == 15
    assert bags(tmp_path) != [tmp_path] and set(packed) <= set(bags(tmp_path))


def test_a_spoiled_bag_is_not_taken_in(bag: Path, tmp_path: Path) -> None:
    (bag / "data" / "records.jsonl").write_text("{}\n" * 15)
    with kept(tmp_path / "data") as (client, store):
        with pytest.raises(BadBag, match="findings"):
            restore(store, bag)
        assert client.get("/v1/cars").json == []


def test_nothing_half_made_stands_under_the_final_name(shop: tuple[Path, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with kept(tmp_path / "data") as (client, store):
        live(client)
        monkeypatch.setattr("service.archive.writing._books", lambda *_: (_ for _ in ()).throw(OSError(28, "No space left on device")))
        with pytest.raises(OSError, match="No space"):
            archive(store, CAR, tmp_path / "bags")
        assert list((tmp_path / "bags").iterdir()) == []
        with pytest.raises(NoCar):
            archive(store, "none", tmp_path / "bags")


def test_a_tar_of_one_with_links_is_refused(bag: Path, tmp_path: Path) -> None:
    (bag / "data" / "link").symlink_to("/etc/hostname")
    with tarfile.open(tmp_path / "l.tar", "w") as file:
        file.add(bag, "bag")
    for place in (tmp_path / "l.tar", bag):
        assert found(place)[0][0] == "refused" and "link" in verify(place).findings[0].why


def test_what_a_kill_left_is_removed_a_day_later(shop: tuple[Path, Path], tmp_path: Path) -> None:
    yesterday, today = tmp_path / ".c-000003.part-1", tmp_path / ".c-000003.part-2"
    for part in (yesterday, today):
        (part / "data").mkdir(parents=True)
    os.utime(yesterday, (time.time() - 90_000,) * 2)
    with kept(tmp_path / "data") as (_, store):
        restore(store, shop[1])
        archive(store, CAR, tmp_path)
    assert not yesterday.exists() and today.exists()

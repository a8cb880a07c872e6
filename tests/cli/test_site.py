"""The command for sites: of one car, and of the whole shop, made again only where something changed."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from flask.testing import FlaskClient

from service.cli import main
from service.lock import FolderLock
from tests.archive.made import kept
from tests.pictures.made import picture

CARS = {"stookman": ("Tarnock", "Stookman", 1957), "langtur": ("Oskervik", "Langtur", 1966), "ostrelle": ("Breyfell", "Ostrelle", 1973)}
BUILDS = {"s1": ("stookman", "2026-09-18"), "l1": ("langtur", "2018-06-20"), "l2": ("langtur", "2026-12-12"), "o1": ("ostrelle", None)}


def run(*arguments: object) -> tuple[int, Any]:
    ended = CliRunner().invoke(main, ["site", *[str(one) for one in arguments], "--json"])
    return ended.exit_code, json.loads(ended.stdout) if ended.exit_code < 2 else ended.output


def fill(client: FlaskClient) -> None:
    for car, (make, model, year) in CARS.items():
        owner = {"name": "Signe Havnqvist", "contact": "Ferry House"}
        client.post("/v1/cars", json={"id": car, "make": make, "model": model, "year": year, "vin": "VIN-7731", "serial": "OL-07731", "owner": owner})
    for build, (car, day) in BUILDS.items():
        client.post(f"/v1/cars/{car}/builds", json={"id": build, "title": f"Visit {build}", "use": "touring", "delivered_on": day})
        client.post(f"/v1/builds/{build}/parts", json={"id": "p", "kind": "engine", "name": "Inline six", "maker": "Halverstoke", "part_number": f"HS-{build}",
                                                        "supplier": "Merrow Street Parts", "status": "fitted", "specs": {"redline": "6000 rpm"}})
        client.post(f"/v1/builds/{build}/fixes", json={"id": "x", "title": "Shudder on take-off", "system": "driveline", "problem": "Shop: told nobody\nIt shook."})
    sent = client.post("/v1/builds/l2/photos", data={"id": "f", "file": (io.BytesIO(picture(size=(1200, 800))), "x.jpg"), "caption": "By the ferry"})
    assert sent.status_code == 201, sent.text


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    with kept(tmp_path / "data") as (client, _):
        fill(client)
    (tmp_path / "data" / "shop.json").write_text('{"name": "Nettle & Quay", "logo": "logo.png"}')
    (tmp_path / "data" / "logo.png").write_bytes(picture(size=(60, 40)))
    return tmp_path


def made(shop: Path, *more: object) -> dict[str, Any]:
    status, found = run("--all", "--data", shop / "data", "--out", shop / "site", *more)
    assert status == 0, found
    return dict(found)


def tree(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_only_what_changed_is_made_again(shop: Path) -> None:
    places = ["cars/langtur/l1", "cars/langtur/l2", "cars/stookman/s1"]
    first = made(shop)
    assert (sorted(first["made"]), first["kept"]) == (places, [])
    before = tree(shop / "site")
    second = made(shop)
    assert (second["made"], sorted(second["kept"])) == ([], places)
    assert tree(shop / "site") == before, "the same again, byte for byte"
    with kept(shop / "data") as (client, _):
        client.post("/v1/builds/l2/drives", json={"id": "d", "observations": "Flat and quiet."})
        client.patch("/v1/builds/o1", json={"delivered_on": "2027-01-08"}, headers={"If-Match": '"1"'})
    third = made(shop)
    assert sorted(third["made"]) == ["cars/langtur/l2", "cars/ostrelle/o1"] and len(third["kept"]) == 2
    after = tree(shop / "site")
    assert {name for name in before if name.startswith(("cars/langtur/l1", "cars/stookman")) and before[name] != after[name]} == set()
    assert "Flat and quiet." in (shop / "site" / "cars" / "langtur" / "l2" / "road-test.html").read_text()
    (shop / "data" / "shop.json").write_text('{"name": "Nettle & Quay, Cawdry Landing"}')
    assert len(made(shop)["made"]) == 4, "every book names the shop"


def test_a_car_that_is_gone_goes_and_what_is_not_ours_stays(shop: Path) -> None:
    made(shop)
    (shop / "site" / "cars" / "mine").mkdir()
    (shop / "site" / "cars" / "mine" / "page.html").write_text("mine")
    with kept(shop / "data") as (client, _):
        client.patch("/v1/builds/s1", json={"delivered_on": None}, headers={"If-Match": '"1"'})
        client.patch("/v1/builds/l1", json={"delivered_on": None}, headers={"If-Match": '"1"'})
    assert sorted(made(shop)["removed"]) == ["cars/langtur/l1", "cars/stookman/s1"]
    assert sorted(path.relative_to(shop / "site").as_posix() for path in (shop / "site" / "cars").glob("*/*")) == ["cars/langtur/l2", "cars/mine/page.html"]
    assert "Stookman" not in (shop / "site" / "index.html").read_text() + (shop / "site" / "search-index.js").read_text()


def test_anyone_may_see_it(shop: Path) -> None:
    """The public edition names neither owner nor VIN, and nothing that stays in the shop; the shop's own holds all of it."""
    made(shop)
    text = b"".join(tree(shop / "site").values())
    for word in (b"Havnqvist", b"Ferry House", b"VIN-7731", b"Merrow Street", b"told nobody"):
        assert word not in text, word
    assert b"OL-07731" in text and b"It shook." in text
    assert len(made(shop, "--edition", "shop")["made"]) == 3
    text = b"".join(tree(shop / "site").values())
    assert all(word in text for word in (b"Havnqvist", b"VIN-7731", b"Merrow Street", b"told nobody"))


def test_a_car_that_cannot_be_made_is_told_and_keeps_its_pages(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made(shop)
    with kept(shop / "data") as (client, _):
        client.post("/v1/builds/s1/drives", json={"id": "d"})
        client.post("/v1/builds/l1/drives", json={"id": "d"})
    from service import jobs, shop_site

    def broken(document: Any, *arguments: Any, **options: Any) -> Path:
        if document["build"]["id"] == "s1":
            raise jobs.BookError("the photograph is broken inside")
        return jobs.make_site(document, *arguments, **options)

    monkeypatch.setattr(shop_site, "make_site", broken)
    status, found = run("--all", "--data", shop / "data", "--out", shop / "site")
    assert status == 1 and found["failed"] == {"cars/stookman/s1": "the photograph is broken inside"} and found["made"] == ["cars/langtur/l1"]
    assert (shop / "site" / "cars" / "stookman" / "s1" / "index.html").is_file() and "Stookman" in (shop / "site" / "index.html").read_text()


def test_what_a_kill_left_is_removed(shop: Path) -> None:
    made(shop)
    before = tree(shop / "site")
    (shop / "site" / "cars" / "langtur" / "l1").rename(shop / "site" / "cars" / "langtur" / ".l1-0a1b2c3d-old")
    (shop / "site" / ".part").mkdir()
    assert made(shop)["made"] == ["cars/langtur/l1"]
    assert tree(shop / "site") == before


def test_usage_and_trouble_are_told(shop: Path) -> None:
    assert run("--out", shop / "site", "--data", shop / "data")[0] == 2
    assert run("l1", "--all", "--out", shop / "site", "--data", shop / "data")[0] == 2
    assert "holds no records" in run("--all", "--out", shop / "site", "--data", shop / "none")[1]
    assert "theme" in run("--all", "--out", shop / "site", "--data", shop / "data", "--theme", "none")[1]
    (shop / "other").mkdir()
    (shop / "other" / "index.html").write_text("another site")
    assert "holds another site" in run("--all", "--out", shop / "other", "--data", shop / "data")[1]
    (shop / "busy").mkdir()
    lock = FolderLock(shop / "busy" / ".lock")
    assert lock.take()
    assert "another site is being made" in run("--all", "--out", shop / "busy", "--data", shop / "data")[1]
    lock.give_back()


def test_a_shop_that_handed_nothing_over_yet(tmp_path: Path) -> None:
    with kept(tmp_path / "data"):
        pass
    made(tmp_path)
    assert "No car has been handed over yet." in (tmp_path / "site" / "index.html").read_text()


def test_the_site_of_one_build(shop: Path) -> None:
    status, found = run("l2", "--data", shop / "data", "--out", shop / "one")
    assert status == 0 and Path(found["site"]).is_file()
    assert not (shop / "one" / "card.json").exists() and "All cars" not in (shop / "one" / "glance.html").read_text()

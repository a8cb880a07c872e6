"""The fleet judged again: a changed limit is listed with before and after, a stopped recheck goes on, a bad bag stops nobody."""

from __future__ import annotations

import csv
import dataclasses
import io
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from flask.testing import FlaskClient

from service.checks import registry
from service.checks.core import Check, Outcome
from service.cli import main
from service.recheck import chunks, judging, running
from service.recheck.items import Item, of_place, of_store
from service.settings import ROOT
from tests.archive.made import kept
from tests.books.test_queues import redis_url as redis_url

SHAFT = "driveline.critical_speed"

#: A shaft that whips well above its highest speed (the second worked example of the check's cases).
FACTS = {"engine.redline": "6000 rpm", "transmission.forward_ratios": [2.48, 1.48, 1.0, 0.75], "axle.ratio": "3.55", "tire.rolling_radius@rear": "13.5 in",
         "car.top_speed": "140 mph"}
CARS = 40


def a_car(client: FlaskClient, number: int) -> None:
    client.post("/v1/cars", json={"id": f"car{number}", "make": "Tarnock", "model": "Stookman", "year": 1957})
    client.post(f"/v1/cars/car{number}/builds", json={"id": f"b{number}", "title": f"Visit {number}", "use": "street"})
    specs = {"length": "52 in", "outer_diameter": "4 in", "wall": "0.083 in", "material": "steel"}
    client.post(f"/v1/builds/b{number}/parts", json={"id": "shaft", "kind": "driveshaft", "specs": specs})
    for fact, value in FACTS.items():
        made = client.post(f"/v1/builds/b{number}/specs", json={"id": fact.partition("@")[0], "fact": fact, "value": value})
        assert made.status_code == 201, made.text


@pytest.fixture
def data(tmp_path: Path) -> Path:
    with kept(tmp_path / "data") as (client, _):
        for number in range(3):
            a_car(client, number)
    return tmp_path / "data"


def recheck(*arguments: str | Path, jobs: int = 1) -> tuple[int, str, str]:
    ended = CliRunner().invoke(main, ["recheck", *map(str, arguments), "--jobs", str(jobs)])
    assert ended.exception is None or isinstance(ended.exception, SystemExit), ended.exception
    return ended.exit_code, ended.stdout, ended.stderr


def report(*arguments: str | Path, jobs: int = 1) -> tuple[int, dict[str, Any]]:
    status, said, _ = recheck(*arguments, "--json", jobs=jobs)
    return status, json.loads(said)


@pytest.fixture
def stricter(monkeypatch: pytest.MonkeyPatch) -> Check:
    """The program of tomorrow: one check has a stricter limit."""
    check = registry.checks()[SHAFT]

    def judge(x: Any, out: Outcome) -> None:
        check.judge(x, out)
        out.at_most("highest_shaft_speed", 1.0, why="tomorrow's limit")

    changed = dataclasses.replace(check, judge=judge)
    known = {**registry.checks(), SHAFT: changed}
    for module in [module for name, module in sys.modules.items() if name.startswith("service.") and getattr(module, "checks", None) is registry.checks]:
        monkeypatch.setattr(module, "checks", lambda: known)
    return changed


def test_a_changed_limit_is_listed_with_before_and_after(data: Path, request: pytest.FixtureRequest) -> None:
    status, first = report("--data", data)
    assert (status, first["builds"], first["first"], first["changed"]) == (0, 3, 3, [])
    request.getfixturevalue("stricter")
    status, found = report("--data", data)
    assert status == 1 and found["worse"] and found["first"] == 0
    assert [(build["car"], build["build"], build["title"]) for build in found["changed"]] == [
        ("1957 Tarnock Stookman", f"b{number}", f"Visit {number}") for number in range(3)]
    for build in found["changed"]:
        change = next(change for change in build["safety"] if change["finding"] == SHAFT)
        assert (change["before"], change["after"], change["worse"]) == ("pass", "fail", True)
        assert change["says"].endswith(".") and "rpm" in change["says"]
        assert not build["record_changed"]


def test_nothing_changed_is_an_empty_list(data: Path, request: pytest.FixtureRequest) -> None:
    recheck("--data", data)
    assert report("--data", data) == (0, {**report("--data", data)[1], "changed": [], "others": 0, "first": 0, "worse": False})
    request.getfixturevalue("stricter")
    assert recheck("--data", data)[0] == 1
    assert report("--data", data)[1]["changed"] == [], "what was found last is what is compared with"


def test_what_got_better_ends_with_0(data: Path, stricter: Check, monkeypatch: pytest.MonkeyPatch) -> None:
    recheck("--data", data)
    monkeypatch.undo()
    status, said, _ = recheck("--data", data)
    assert status == 0 and f"better  {SHAFT}: fail → pass" in said and "3 with changed safety findings" in said


def test_a_record_that_changed_too_is_told(data: Path) -> None:
    recheck("--data", data)
    with kept(data) as (client, _):
        made = client.get("/v1/builds/b1/specs/car.top_speed")
        assert client.patch("/v1/builds/b1/specs/car.top_speed", json={"value": "180 mph"}, headers={"If-Match": made.headers["ETag"]}).status_code == 200
    status, found = report("--data", data)
    assert status == 1 and [(build["build"], build["record_changed"]) for build in found["changed"]] == [("b1", True)]
    assert "its record changed since" not in recheck("--data", data)[1]


def test_the_answer_given_with_a_book_is_what_is_compared_with(data: Path, request: pytest.FixtureRequest) -> None:
    with kept(data) as (client, _):
        assert client.post("/v1/builds/b2/books").status_code == 202
    request.getfixturevalue("stricter")
    found = report("--data", data)[1]
    assert [build["build"] for build in found["changed"]] == ["b2"] and found["first"] == 2


def test_bags_are_compared_with_the_answer_in_them(data: Path, tmp_path: Path, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    CliRunner().invoke(main, ["archive", "--all", "--out", str(tmp_path / "bags"), "--data", str(data)])
    first, second, _ = sorted((tmp_path / "bags").iterdir())
    status, found = report(tmp_path / "bags")
    assert (status, found["builds"], found["first"], found["changed"]) == (0, 3, 0, [])
    (second / "data" / "builds" / "b1" / "document.json").write_text("{")
    request.getfixturevalue("stricter")
    status, found = report(tmp_path / "bags")
    assert status == 2 and [(build["place"], build["build"]) for build in found["changed"]] == [
        (str(path), f"b{number}") for number, path in enumerate(sorted((tmp_path / "bags").iterdir())) if number != 1]
    [bad] = found["unreadable"]
    assert bad["place"] == str(second) and bad["unreadable"]
    assert first != second


def test_what_is_no_bag_is_named_and_the_rest_goes_on(data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    place = tmp_path / "many"
    CliRunner().invoke(main, ["archive", "--all", "--out", str(place), "--data", str(data)])
    (place / "torn.zip").write_bytes(b"no archive")
    (place / "typed.json").write_text(json.dumps({"format": "as-fitted/build/1", "car": {"make": "Tarnock", "model": "Stookman"}, "build": {"use": "street"}}))
    (place / "good.json").write_text(json.dumps({"format": "as-fitted/build/1", "car": {"make": "Tarnock", "model": "Stookman", "year": 1957},
                                                 "build": {"use": "street"}}))
    status, said, errors = recheck(place)
    assert status == 2 and "6 builds judged" in said and "2 could not be judged" in said and "1 for the first time" in said
    assert "torn.zip: not judged: torn.zip is neither a folder nor a ZIP or tar file" in errors
    assert "typed.json: not judged: /car/year" in errors
    status, _, errors = recheck(tmp_path / "nowhere.zip")
    assert status == 2 and "there is no" in errors


def test_a_killed_recheck_goes_on_where_it_was(data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(chunks.cut, "__defaults__", (1,))
    judged: list[str] = []
    judge = judging.judge

    def killed_at_the_third(item: Item, *rest: Any) -> dict[str, Any]:
        if len(judged) == 2:
            raise KeyboardInterrupt
        judged.append(item.name)
        return judge(item, *rest)

    monkeypatch.setattr(chunks, "judge", killed_at_the_third)
    ended = CliRunner().invoke(main, ["recheck", "--data", str(data), "--jobs", "1"])
    assert ended.exit_code == 1 and judged == ["b0", "b1"]
    monkeypatch.setattr(chunks, "judge", lambda item, *rest: judged.append(item.name) or judge(item, *rest))
    status, found = report("--data", data)
    assert judged == ["b0", "b1", "b2"], "none is judged twice"
    assert (status, found["builds"], found["first"]) == (0, 3, 3)
    assert not list((data / "recheck").rglob("*.json")), "what was reported is not kept"


def test_what_changed_meanwhile_is_judged_again(data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with kept(data) as (client, store):
        pieces = list(chunks.cut(of_store(store), 1))
        list(running.here(pieces, running.Kept(data, stored=True), store, 1))
        client.post("/v1/builds/b1/specs", json={"id": "more", "fact": "car.mass", "value": "3000 lb"})
        assert [chunks.Chunks(data).done(piece) for piece in chunks.cut(of_store(store), 1)] == [True, False, True]


def test_killed_for_good(tmp_path: Path) -> None:
    """A process that is killed outright, with another beside it: what both had done is there."""
    with kept(tmp_path) as (client, _):
        for number in range(CARS):
            a_car(client, number)
    command = [sys.executable, "-m", "service.cli", "recheck", "--data", str(tmp_path), "--jobs", "2", "--json"]
    with (tmp_path / "log").open("wb") as log:
        process = subprocess.Popen(command, cwd=ROOT, stdout=log, stderr=log, start_new_session=True)
    deadline = time.monotonic() + 120
    while not list((tmp_path / "recheck").rglob("[0-9a-f]*.json")) and process.poll() is None and time.monotonic() < deadline:
        time.sleep(0.01)
    os.killpg(process.pid, signal.SIGKILL)
    process.wait()
    done = len(list((tmp_path / "recheck").rglob("[0-9a-f]*.json")))
    assert done, (tmp_path / "log").read_text()
    ended = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stderr
    assert f"{min(done * chunks.SIZE, CARS)} of {CARS} builds were judged before" in ended.stderr
    assert (json.loads(ended.stdout)["builds"], json.loads(ended.stdout)["first"]) == (CARS, CARS)


def test_two_at_once_are_refused(data: Path) -> None:
    from service.lock import FolderLock

    lock = FolderLock(data / ".recheck")
    assert lock.take()
    status, _, errors = recheck("--data", data)
    lock.give_back()
    assert status == 1 and "is running already" in errors


def test_as_csv(data: Path, request: pytest.FixtureRequest) -> None:
    recheck("--data", data)
    request.getfixturevalue("stricter")
    rows = list(csv.DictReader(io.StringIO(recheck("--data", data, "--csv")[1])))
    assert [(row["build"], row["before"], row["after"], row["worse"]) for row in rows if row["finding"] == SHAFT] == [
        (f"b{number}", "pass", "fail", "yes") for number in range(3)]


@pytest.fixture
def store(data: Path) -> Iterator[Any]:
    with kept(data) as (_, store):
        yield store


def test_whoever_takes_from_the_queue_does_the_pieces(store: Any) -> None:
    from service.queues import Worker, open_queue

    pieces, queue = list(chunks.cut(of_store(store), 1)), open_queue(store.folder)
    task, worker = running.register(queue, store), Worker(queue)
    worker.start()
    counts = list(running.by_queue(pieces, running.Kept(store.folder, stored=True), store, task, patience=60))
    worker.stop()
    assert sum(counts) == 3 and all(chunks.Chunks(store.folder).done(piece) for piece in pieces)


def test_a_queue_that_nobody_takes_from_delays_and_loses_nothing(store: Any) -> None:
    asked: list[Any] = []
    pieces = list(chunks.cut(of_store(store), 1))
    counts = list(running.by_queue(pieces, running.Kept(store.folder, stored=True), store, lambda *piece: asked.append(piece), patience=0.05))
    assert sum(counts) == 3 and len(asked) == 3


def test_a_worker_of_another_version_does_nothing(store: Any) -> None:
    from service.queues import open_queue

    queue = open_queue(store.folder)
    [piece] = chunks.cut(of_store(store))
    running.register(queue, store)("of another version", [list(item) for item in piece])
    queue.execute(queue.dequeue())
    assert not chunks.Chunks(store.folder).done(piece)


def test_items_of_a_place(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_text("{}")
    (tmp_path / "b").mkdir()
    (tmp_path / "c").mkdir()
    (tmp_path / "c" / "bagit.txt").write_text("")
    assert [(Path(item.place).name, item.name) for item in of_place(tmp_path)] == [("a.json", ""), ("c", "")], "a folder beside them that is no bag is none"
    assert [(Path(item.place).name, item.name) for item in of_place(tmp_path / "b")] == [("b", "")]


def test_usage_is_told(tmp_path: Path) -> None:
    assert recheck("--data", tmp_path)[0] == 2
    assert "without it" in recheck(tmp_path, "--queue", "redis://127.0.0.1:1")[2]




def test_the_work_command_judges(data: Path, redis_url: str) -> None:
    with (data / "log").open("wb") as log:
        process = subprocess.Popen([sys.executable, "-m", "service.cli", "work", "--data", str(data), "--queue", redis_url], cwd=ROOT, stdout=log, stderr=log)
    try:
        deadline = time.monotonic() + 60
        while b"Making books" not in (data / "log").read_bytes() and time.monotonic() < deadline:
            time.sleep(0.05)
        status, said, errors = recheck("--data", data, "--queue", redis_url)
        assert status == 0 and "3 builds judged" in said and "piece is done here" not in errors, (errors, (data / "log").read_text())
    finally:
        process.terminate()
        assert process.wait(timeout=30) == 0

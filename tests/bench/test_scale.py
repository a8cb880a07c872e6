"""A large fleet against fifty cars: list, search and open-a-build, the same calls in turns.

To be reached with 5,000 cars, 20,000 builds and 1,000,000 records: within 3× of 50 cars. Nothing is asserted about time.
Run: ASFITTED_LONG=1 pytest tests/bench/test_scale.py --benchmark-disable -s     (about ten minutes, 3 GB of disk)
"""

from __future__ import annotations

import statistics
import time
from pathlib import Path
from typing import Any

from flask.testing import FlaskClient

from service.app import create_app
from service.settings import Settings
from tests.bench.fleet import fill
from tests.served import LONG

SMALL, LARGE = (50, 5000) if LONG else (5, 15)
TURNS = 31 if LONG else 1
#: Calls by what they are; `{n}` is a car's number, which moves on in every turn.
CALLS = {
    "list of cars, first page": "/v1/cars?limit=100",
    "list of cars, last page": "/v1/cars?limit=10&cursor={last}",
    "builds of a car": "/v1/cars/car-{n}/builds",
    "list of measurements": "/v1/builds/car-{n}-b1/measurements?limit=100",
    "open a build": "/v1/builds/car-{n}-b2/document",
    "history of a car": "/v1/cars/car-{n}/history?limit=100",
    "search: one car by serial": "/v1/search?q={n:06d}&limit=10",
    "search: common word": "/v1/search?q=radiator&limit=20",
    "search: two common words": "/v1/search?q=radiator+halverstoke&limit=20",
    "search: with a slip": "/v1/search?q=shudedr+shimmmed&limit=20",
    "search: nothing there": "/v1/search?q=zeppelin&limit=20",
    "cars by owner": "/v1/cars?q=havnqvist{o}&limit=20",
    "cars by owner, with a slip": "/v1/cars?q=havnqivst{o}&limit=20",
}


def client(folder: Path, cars: int) -> FlaskClient:
    app = create_app(Settings(data=folder, open=True))
    start = time.perf_counter()
    fill(app.extensions["asfitted"].database, cars)
    print(f"\n{cars} cars in {time.perf_counter() - start:.0f} s, {(folder / 'records.sqlite3').stat().st_size / 1e6:.0f} MB")
    return app.test_client()


def last_page(client: FlaskClient) -> str:
    """The cursor of the last but few cars."""
    where, link = "/v1/cars?limit=1000", ""
    while where:
        answer = client.get(where)
        where = answer.headers["Link"].split(">")[0][1:] if "Link" in answer.headers else ""
        link = where or link
    return link.partition("cursor=")[2]


def timed(client: FlaskClient, address: str) -> float:
    start = time.perf_counter()
    answer = client.get(address)
    taken = time.perf_counter() - start
    assert answer.status_code == 200, answer.text
    return taken


def test_large_against_small(tmp_path: Path, benchmark: Any) -> None:
    fleets = {SMALL: client(tmp_path / "small", SMALL), LARGE: client(tmp_path / "large", LARGE)}
    lasts = {cars: last_page(found) for cars, found in fleets.items()}
    for called, address in CALLS.items():
        if "{last}" in address and not all(lasts.values()):
            address = "/v1/cars?limit=10"
        times: dict[int, list[float]] = {SMALL: [], LARGE: []}
        for turn in range(TURNS):
            for cars, found in fleets.items():
                n = (turn * 7919 + 3) % cars
                times[cars].append(timed(found, address.format(n=n, o=n % 97, last=lasts[cars])))
        small, large = (statistics.median(times[cars]) * 1e3 for cars in (SMALL, LARGE))
        benchmark.extra_info[called] = large / small
        print(f"{called:32} {small:7.2f} ms with {SMALL} cars, {large:7.2f} ms with {LARGE}: {large / small:5.2f}×")
    benchmark.pedantic(lambda: timed(fleets[LARGE], CALLS["open a build"].format(n=1)), rounds=1)
    for found in fleets.values():
        found.application.extensions["asfitted"].database.close()

"""The served calls beside what they stand for, in one run, in turns: checks of a stored build, and posting while a book is made.

Short by default, to see that the calls agree; with `--benchmark-only -s` long enough to judge the ratios, which it then does.
"""

from __future__ import annotations

import json
import statistics
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import requests

from service.checks.answer import answer
from service.document import load
from service.settings import DEMO_BUILDS
from tests.serving import Server

LARGEST = max(DEMO_BUILDS.glob("*.json"), key=lambda path: path.stat().st_size)
#: Aimed at: the whole answer over HTTP, against the engine on the same document in this process.
MOST_CHECKS_RATIO = 2.5


@pytest.fixture
def long(request: Any) -> bool:
    return bool(request.config.getoption("benchmark_only"))


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    server = Server(tmp_path / "data")
    try:
        yield server
    finally:
        server.kill()


@pytest.fixture
def build(server: Server) -> str:
    taken = server.post("/v1/documents", json.loads(LARGEST.read_text(encoding="utf-8")))
    assert taken.status_code == 201, taken.text
    return f"/v1/builds/{taken.json()['build']}"


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    start = time.perf_counter()
    found = work()
    return time.perf_counter() - start, found


def test_checks_of_a_stored_build(server: Server, build: str, long: bool, benchmark: Any) -> None:
    session = requests.Session()
    ratios, again = [], []
    for number in range(12 if long else 2):
        # Something has changed each time: an answer that is still there would be no run of the engine.
        posted = session.post(f"{server.where}{build}/drives", json={"id": f"d{number}", "at": f"2026-06-{number + 1:02d}"}, timeout=60)
        assert posted.status_code == 201, posted.text
        document = session.get(f"{server.where}{build}/document", timeout=60).json()
        alone, expected = timed(lambda: answer(load(document)))  # noqa: B023
        served, found = timed(lambda: session.get(f"{server.where}{build}/checks", timeout=60))
        assert found.json() == json.loads(json.dumps(expected))
        ratios.append(served / alone)
        again.append(timed(lambda: session.get(f"{server.where}{build}/checks", timeout=60))[0] / alone)
    ratio = statistics.median(ratios)
    benchmark.extra_info.update(ratio=ratio, unchanged=statistics.median(again))
    print(f"\n{LARGEST.stem}: served {ratio:.2f}× the engine alone; unchanged, {statistics.median(again):.2f}×")
    benchmark.pedantic(lambda: session.get(f"{server.where}{build}/checks", timeout=60), rounds=1)
    if long:
        assert ratio < MOST_CHECKS_RATIO


def post_measurements(server: Server, build: str, most: int, stop: Callable[[], bool] = lambda: False) -> list[float]:
    """The seconds that each of up to `most` posted measurements took."""
    session, seconds = requests.Session(), []
    while len(seconds) < most and not stop():
        took, posted = timed(lambda: session.post(f"{server.where}{build}/measurements", timeout=60, json={
            "fact": "tire.pressure@front", "value": "32 psi ± 1 psi", "instrument": "dial gauge", "taken_at": "2026-03-02T10:00:00-06:00"}))
        assert posted.status_code == 201, posted.text
        seconds.append(took)
        time.sleep(0.005)
    return seconds


def percentile(seconds: list[float], share: float) -> float:
    return sorted(seconds)[min(len(seconds) - 1, int(share * len(seconds)))]


def test_posting_while_a_book_is_made(server: Server, build: str, long: bool, benchmark: Any) -> None:
    most = 1500 if long else 25
    idle = post_measurements(server, build, most)
    book = server.post(f"{build}/books", {}).headers["Location"]
    server.until(book, lambda found: found["state"] == "running")
    looked = [time.monotonic()]

    def over() -> bool:
        if time.monotonic() - looked[-1] < 1:
            return False
        looked.append(time.monotonic())
        return bool(requests.get(f"{server.where}{book}", timeout=60).json()["state"] not in ("queued", "running"))

    meanwhile = post_measurements(server, build, most, over)
    assert meanwhile
    rows = [f"{name}: {len(seconds)} posts, median {percentile(seconds, 0.5) * 1e3:.1f} ms, p99 {percentile(seconds, 0.99) * 1e3:.1f} ms"
            for name, seconds in (("idle", idle), ("while a book is made", meanwhile))]
    benchmark.extra_info["p99_ratio"] = percentile(meanwhile, 0.99) / percentile(idle, 0.99)
    print("\n" + "\n".join(rows))
    benchmark.pedantic(lambda: None, rounds=1)

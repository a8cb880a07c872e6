"""POST of one measurement, durable, against a bare Flask handler that commits the same JSON at `synchronous=FULL` under the same server.

In turns, so that a noisy moment of the machine meets both. To be reached: within 2.0× of the bare handler, the slowest hundredth
within 3×; nothing is asserted about time. Run: ASFITTED_LONG=1 pytest tests/bench/test_post_a_measurement.py --benchmark-only -s
"""

from __future__ import annotations

import os
import signal
import statistics
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from tests.bench.load import Measured, post
from tests.served import LONG, Server, add_build, free_port, wait_for

BODY = {"fact": "car.mass", "value": "3900 lb", "tolerance": "10 lb", "instrument": "corner scales", "condition": "full tank",
        "taken_at": "2026-03-02T14:30:00+00:00", "taken_by": "Oona"}
TURNS, SECONDS = (7, 2.0) if LONG else (1, 0.3)


@contextmanager
def bare(folder: Path) -> Iterator[int]:
    """The port of the bare handler, served with as many threads as the service."""
    port = free_port()
    process = subprocess.Popen([sys.executable, "-m", "granian", "tests.bench.bare:app", "--interface", "wsgi", "--workers", "1", "--blocking-threads", "8", "--port", str(port)],
                               env={**os.environ, "BARE_DATABASE": str(folder / "bare.sqlite3")}, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
    try:
        wait_for(f"http://127.0.0.1:{port}/readyz")
        yield port
    finally:
        os.killpg(process.pid, signal.SIGTERM)
        process.wait(timeout=30)


@pytest.mark.parametrize("connections", [1, 8] if LONG else [8])
def test_against_a_bare_handler(tmp_path: Path, benchmark: Any, connections: int) -> None:
    with Server(tmp_path / "data") as server, bare(tmp_path) as bare_port:
        add_build(server.where)

        def turn() -> tuple[Measured, Measured]:
            return (post(server.port, "/v1/builds/b/measurements", BODY, connections, SECONDS), post(bare_port, "/records", BODY, connections, SECONDS))

        turn()
        turns = [turn() for _ in range(TURNS)]
        benchmark.pedantic(turn, rounds=1)
    rates = statistics.median(floor.rate / ours.rate for ours, floor in turns)
    slowest = statistics.median(ours.at(0.99) / floor.at(0.99) for ours, floor in turns)
    benchmark.extra_info.update(ratio=rates, ratio_p99=slowest)
    ours, floor = (statistics.median(side.rate for side in sides) for sides in zip(*turns, strict=True))
    print(f"\n{connections} connections: {ours:.0f}/s against {floor:.0f}/s bare, ratio {rates:.2f}, p99 ratio {slowest:.2f}")

"""The server as a process: it keeps what it was given across a restart, and what it answered survives a kill."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import requests
from click.testing import CliRunner

from service.cli import main

CAR = {"id": "c", "make": "Tarnock", "model": "Stookman", "year": 1957}


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def serving(data: Path, ends_by: int = signal.SIGTERM) -> Iterator[str]:
    """The address of a server that keeps its records in `data`."""
    port = free_port()
    process = subprocess.Popen([sys.executable, "-m", "service.cli", "serve", "--open", "--port", str(port), "--data", str(data)],
                               stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
    try:
        wait_for(f"http://127.0.0.1:{port}/readyz")
        yield f"http://127.0.0.1:{port}/v1"
    finally:
        os.killpg(process.pid, ends_by)
        process.wait(timeout=20)


def wait_for(where: str) -> None:
    for _ in range(300):
        try:
            if requests.get(where, timeout=30).status_code == 200:
                return
        except requests.RequestException:
            time.sleep(0.1)
    raise TimeoutError(where)


def records(where: str) -> list[dict[str, Any]]:
    return list(requests.get(f"{where}/builds/b/drives", timeout=5).json())


def test_what_was_answered_survives_stop_and_kill(tmp_path: Path) -> None:
    data = tmp_path / "data"
    with serving(data) as where:
        assert requests.post(f"{where}/cars", json=CAR, timeout=5).status_code == 201
        assert requests.post(f"{where}/cars/c/builds", json={"id": "b", "use": "street"}, timeout=5).status_code == 201
        assert requests.post(f"{where}/builds/b/drives", json={"id": "one"}, timeout=5).status_code == 201
    with serving(data, ends_by=signal.SIGKILL) as where:
        assert [record["id"] for record in records(where)] == ["one"]
        assert requests.post(f"{where}/builds/b/drives", json={"id": "two"}, timeout=5).status_code == 201
    with serving(data) as where:
        assert [record["id"] for record in records(where)] == ["one", "two"]


@pytest.mark.parametrize(("options", "why"), [
    (("--host", "0.0.0.0"), "without TLS tokens could be read on the way"), (("--lan", "--open"), "does not go with --lan"),
    (("--lan", "--name", "example.com"), "vouches for no other"), (("--lan", "--name", "203.0.113.7"), "vouches for no other"),
    (("--name", "bench.local"), "--lan"), (("--lan", "--port", "65535"), "needs the next port"),
])
def test_what_would_not_be_safe_is_refused(tmp_path: Path, options: tuple[str, ...], why: str) -> None:
    done = CliRunner().invoke(main, ["serve", "--data", str(tmp_path), *options])
    assert (done.exit_code, why in done.output) == (2, True), done.output

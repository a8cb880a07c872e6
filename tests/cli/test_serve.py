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

import requests

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
            if requests.get(where, timeout=5).status_code == 200:
                return
        except requests.ConnectionError:
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


def test_other_machines_are_not_answered() -> None:
    done = subprocess.run([sys.executable, "-m", "service.cli", "serve", "--host", "0.0.0.0"], capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 2
    assert "this machine only" in done.stderr

"""The disk fills up: a clear 507, nothing corrupted, and it goes on when there is room again.

On a small tmpfs where this process may mount one; elsewhere the kernel refuses the service to write any file beyond a size
(RLIMIT_FSIZE), which both ways is tried where it can be.
"""

from __future__ import annotations

import os
import resource
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Protocol

import pytest
import requests

from tests.served import Phone, Server, add_build, integrity, kept_measurements

_MEGABYTE = 1024 * 1024


class Disk(Protocol):
    """A disk that can be filled and emptied while a service writes to it."""

    def fill(self, server: Server) -> None:
        """Leave next to no room."""

    def empty(self, server: Server) -> None:
        """Make room again."""


class Tmpfs:
    """A file system of 24 megabytes in memory."""

    def __init__(self, folder: Path) -> None:
        self.filler = folder / "filler"

    def fill(self, server: Server) -> None:
        with self.filler.open("wb", buffering=0) as file:
            for size in (64 * 1024, 4096):
                try:
                    while True:
                        file.write(b"x" * size)
                except OSError:
                    continue

    def empty(self, server: Server) -> None:
        self.filler.unlink()


class Limit:
    """The kernel's bound on the size of a file that the service's processes write."""

    def fill(self, server: Server) -> None:
        largest = max(path.stat().st_size for path in server.data.glob("records.sqlite3-wal"))
        self._set(server, largest)

    def empty(self, server: Server) -> None:
        self._set(server, resource.RLIM_INFINITY)

    @staticmethod
    def _set(server: Server, size: int) -> None:
        assert server.process is not None
        group = os.getpgid(server.process.pid)
        for folder in Path("/proc").glob("[0-9]*"):
            try:
                if os.getpgid(int(folder.name)) == group:
                    resource.prlimit(int(folder.name), resource.RLIMIT_FSIZE, (size, resource.RLIM_INFINITY))
            except ProcessLookupError:
                continue


@pytest.fixture(params=["tmpfs", "limit"])
def disk(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[tuple[Path, Disk]]:
    """A data folder and the disk that it is on."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mounted = request.param == "tmpfs" and subprocess.run(["mount", "-t", "tmpfs", "-o", "size=24m", "tmpfs", str(folder)], capture_output=True, check=False).returncode == 0
    try:
        yield folder / "data", Tmpfs(folder) if mounted else Limit()
    finally:
        if mounted:
            subprocess.run(["umount", "-l", str(folder)], check=True)


def test_a_full_disk_is_said_and_harms_nothing(disk: tuple[Path, Disk]) -> None:
    data, room = disk
    with Server(data) as server:
        add_build(server.where)
        phone = Phone(server.where)
        for _ in range(5):
            phone.post()
        room.fill(server)
        refused = _until_refused(phone, server)
        assert requests.get(f"{server.where}/builds/b/measurements", timeout=10).status_code == 200
        assert [requests.get(f"{server.where}/builds/b/drives/{id}", timeout=10).status_code for id in refused] == [404] * len(refused)
        assert integrity(data) == "ok"
        room.empty(server)
        assert requests.post(f"{server.where}/builds/b/drives", json={"id": refused[0]}, timeout=10).status_code == 201
        assert phone.post()
    assert integrity(data) == "ok"
    assert phone.problems == []
    assert sorted(kept_measurements(data)) == sorted(phone.acknowledged)


def _until_refused(phone: Phone, server: Server) -> list[str]:
    """Post until three records are refused; the ids of these."""
    refused: list[str] = []
    for number in range(4000):
        answer = requests.post(f"{server.where}/builds/b/drives", json={"id": f"d{number}", "observations": "rain " * 200}, timeout=10)
        if answer.status_code == 507:
            assert answer.headers["Content-Type"] == "application/problem+json"
            assert "full" in answer.json()["detail"] and "nothing was stored" in answer.json()["detail"]
            refused.append(f"d{number}")
            if len(refused) == 3:
                return refused
        else:
            assert answer.status_code == 201, answer.text
    raise AssertionError("the disk never filled up")

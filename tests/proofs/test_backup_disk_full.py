"""The disk of the backups fills up: it is said, nothing half made has a backup's name, the last whole one stays, and with room it goes on.

On a small tmpfs where this process may mount one; elsewhere the kernel refuses to write any file beyond a size (RLIMIT_FSIZE).
"""

from __future__ import annotations

import io
import json
import resource
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from service.backup.generation import check, generations
from tests.archive.made import kept, live
from tests.pictures.made import noise

SIZE = 2 * 1024 * 1024


@pytest.fixture(params=["tmpfs", "limit"])
def disk(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[tuple[Path, Callable[[], None] | None]]:
    """A folder with little room, and what to call in a process that writes to it."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mounted = request.param == "tmpfs" and subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={SIZE}", "tmpfs", str(folder)], capture_output=True, check=False).returncode == 0
    try:
        yield folder, None if mounted else lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (600_000, resource.RLIM_INFINITY))
    finally:
        if mounted:
            subprocess.run(["umount", "-l", str(folder)], check=True)


def run(*arguments: Any, limit: Callable[[], None] | None = None) -> tuple[int, Any]:
    command = [sys.executable, "-m", "service.cli", *map(str, arguments), "--json"]
    ended = subprocess.run(command, capture_output=True, text=True, check=False, preexec_fn=limit, timeout=120)
    assert "Traceback" not in ended.stderr, ended.stderr
    return ended.returncode, json.loads(ended.stdout)


def test_a_full_disk_is_said_and_the_last_whole_backup_stays(disk: tuple[Path, Callable[[], None] | None], tmp_path: Path) -> None:
    root, limit = disk[0] / "backups", disk[1]
    with kept(tmp_path / "data") as (client, _):
        live(client)
        assert run("backup", "--out", root, "--data", tmp_path / "data", limit=limit)[0] == 0
        for seed in range(6):
            client.post("/v1/builds/b1/photos", data={"id": f"n{seed}", "file": (io.BytesIO(noise(seed)), "n.jpg")})
        status, said = run("backup", "--out", root, "--data", tmp_path / "data", limit=limit)
        assert (status, said["status"]) == (2, 507) and "the disk is full, and nothing of it was kept" in said["detail"]
    [whole] = generations(root)
    assert check(whole) == []
    assert sorted(path.name for path in root.iterdir() if path.name.startswith(".")) == [".lock"]
    status, said = run("restore-backup", root, "--data", tmp_path / "again")
    assert status == 0
    done, made = run("backup", "--out", tmp_path / "roomy", "--data", tmp_path / "data")
    assert (done, made["not_there"]) == (0, [])
    status, said = run("restore-backup", tmp_path / "roomy", "--data", disk[0] / "restored", limit=limit)
    assert (status, said["status"]) == (2, 507) and "full" in said["detail"]
    assert not [path for path in disk[0].iterdir() if "restored" in path.name]

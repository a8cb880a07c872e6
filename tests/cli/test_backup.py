"""The commands for backups."""

from __future__ import annotations

import errno
import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from service.backup import writing
from service.cli import main
from tests.archive.made import kept, live


def run(*arguments: object) -> tuple[int, str]:
    ended = CliRunner().invoke(main, [str(one) for one in arguments])
    return ended.exit_code, ended.output


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("shop") / "data"
    with kept(folder) as (client, _):
        live(client)
    return folder


def test_backed_up_and_restored(data: Path, tmp_path: Path) -> None:
    status, said = run("backup", "--out", tmp_path / "backups", "--data", data)
    assert status == 0 and "4 files, of which 2 were new" in said and said.endswith("checked\n")
    status, said = run("backup", "--out", tmp_path / "backups", "--data", data, "--keep", 1, "--json")
    made = json.loads(said)
    assert (status, made["copied"], len(made["dropped"])) == (0, 0, 1)
    assert run("restore-backup", tmp_path / "backups", "--check") == (0, f"{made['place']}: whole\n")
    status, said = run("restore-backup", tmp_path / "backups", "--data", tmp_path / "again")
    assert status == 0 and f"asfitted serve --data {tmp_path / 'again'}" in said
    status, said = run("restore-backup", tmp_path / "backups", "--data", tmp_path / "again")
    assert status == 2 and "is not empty" in said
    status, said = run("restore-backup", tmp_path / "backups", "--data", tmp_path / "third", "--json")
    assert status == 0 and json.loads(said)["files"] == 4


def test_what_is_wrong_ends_with_1(data: Path, tmp_path: Path) -> None:
    run("backup", "--out", tmp_path / "backups", "--data", data)
    lost = next(path for path in (tmp_path / "backups" / "files").rglob("*") if path.is_file())
    lost.unlink()
    status, said = run("restore-backup", tmp_path / "backups", "--check", "--json")
    assert status == 1 and json.loads(said)["findings"] == [{"file": f"../files/original/{lost.name[:2]}/{lost.name}", "why": "it is missing"}]
    status, said = run("restore-backup", tmp_path / "backups", "--data", tmp_path / "again")
    assert status == 2 and "is not whole" in said and not (tmp_path / "again").exists()


def test_usage_is_told(data: Path, tmp_path: Path) -> None:
    assert run("backup", "--out", tmp_path / "x", "--data", tmp_path / "nothing") == (
        2, f"Error: {tmp_path / 'nothing'} holds no records; name with --data where they are kept (a PostgreSQL database is backed up by pg_dump)\n")
    assert run("restore-backup", tmp_path / "nothing", "--data", tmp_path / "again")[0] == 2
    status, said = run("restore-backup", tmp_path)
    assert status == 2 and "--data" in said
    assert run("backup", "--out", tmp_path / "x", "--data", data, "--keep", 0)[0] == 2


def test_a_full_disk_is_said(data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device", "backup.json")

    monkeypatch.setattr(writing._Writer, "_close", full)
    status, said = run("backup", "--out", tmp_path / "backups", "--data", data, "--json")
    assert status == 2 and json.loads(said)["status"] == 507 and "the disk is full, and nothing of it was kept" in json.loads(said)["detail"]

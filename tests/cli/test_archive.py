"""The commands for archives."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from service.cli import main
from tests.archive.made import CAR, kept, live


def run(*arguments: str) -> tuple[int, str]:
    ended = CliRunner().invoke(main, list(arguments))
    return ended.exit_code, ended.output


@pytest.fixture
def data(tmp_path: Path) -> Path:
    with kept(tmp_path / "data") as (client, _):
        live(client)
    return tmp_path / "data"


def test_archived_verified_restored(data: Path, tmp_path: Path) -> None:
    status, said = run("archive", "--all", "--out", str(tmp_path / "bags"), "--data", str(data), "--json")
    assert status == 0
    [bag] = json.loads(said)
    assert run("archive", "--car", CAR, "--out", str(tmp_path / "bags"), "--data", str(data))[1] == f"Bag: {bag}\n"
    status, said = run("verify", bag)
    assert status == 0 and "whole" in said and f"Car {CAR}" in said
    status, said = run("restore", bag, "--data", str(tmp_path / "other"))
    assert status == 0 and "15 events taken in" in said
    assert "all of it was here already" in run("restore", bag, "--data", str(tmp_path / "other"))[1]


def test_a_changed_bag_ends_with_1_and_is_not_taken_in(data: Path, tmp_path: Path) -> None:
    run("archive", "--car", CAR, "--out", str(tmp_path / "bags"), "--data", str(data))
    [bag] = (tmp_path / "bags").iterdir()
    (bag / "data" / "README.txt").write_text("changed")
    status, said = run("verify", str(tmp_path / "bags"), "--json")
    assert status == 1
    assert {"what": "changed", "file": "data/README.txt", "why": "it is not what the manifest says it was"} in json.loads(said)[0]["findings"]
    assert run("restore", str(bag), "--data", str(tmp_path / "other"))[0] == 2


def test_a_key_that_is_not_the_shops_is_a_finding(data: Path, tmp_path: Path) -> None:
    run("archive", "--car", CAR, "--out", str(tmp_path / "bags"), "--data", str(data))
    key = json.loads(run("verify", str(tmp_path / "bags"), "--json")[1])[0]["seal"]["key"]
    run("archive", "--car", CAR, "--out", str(tmp_path / "later"), "--data", str(data), "--new-key")
    assert run("verify", str(tmp_path / "later"), "--key", key)[0] == 0, "the new key leads back to the old"
    assert run("verify", str(tmp_path / "bags"), "--key", "AAAA")[0] == 1


def test_usage_is_told(data: Path, tmp_path: Path) -> None:
    assert run("archive", "--out", str(tmp_path), "--data", str(data))[0] == 2
    status, said = run("archive", "--car", "none", "--out", str(tmp_path), "--data", str(data))
    assert status == 2 and "no car none" in said
    assert run("archive", "--car", CAR, "--out", str(tmp_path), "--data", str(tmp_path / "empty"))[0] == 2
    assert run("verify", str(tmp_path / "nothing"))[0] == 1

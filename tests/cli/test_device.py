"""`asfitted device`, and what `serve` prints: a phone is paired from the terminal and revoked there."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from service.app import create_app
from service.cli import main
from service.settings import Settings
from tests.kept import sqlite_url


@pytest.fixture
def data(tmp_path: Path) -> Path:
    sqlite_url(tmp_path / "data")
    return tmp_path / "data"


def run(*arguments: str, status: int = 0) -> str:
    done = CliRunner().invoke(main, ["device", *arguments])
    assert done.exit_code == status, done.output
    return done.output


def test_paired_listed_and_revoked_from_the_terminal(data: Path) -> None:
    folder = ("--data", str(data))
    assert "No device is paired" in run("list", *folder)
    printed = run("pair", *folder, "--address", "https://192.168.1.20:8067/")
    assert "role owner" in printed and "█" in printed
    found = re.search(r"https://192\.168\.1\.20:8067/pair#([0-9A-Z]{5}-[0-9A-Z]{5})\n", printed)
    assert found
    client = create_app(Settings(data=data)).test_client()
    made = client.post("/v1/devices", json={"code": found[1], "by": "Oona", "name": "desk"})
    assert made.get_json()["role"] == "owner"
    headers = {"Authorization": f"Bearer {made.get_json()['token']}"}
    assert client.get("/v1/devices", headers=headers).status_code == 200
    assert "role builder" in run("pair", *folder)
    assert "desk (Oona), last seen" in run("list", *folder)
    assert json.loads(run("list", *folder, "--json"))[0]["name"] == "desk"
    run("revoke", "desk", *folder)
    client.application.extensions["asfitted_devices"].forget()
    assert client.get("/v1/devices", headers=headers).status_code == 401
    assert "desk (Oona), revoked" in run("list", *folder)
    assert "there is no device 'phone'" in run("revoke", "phone", *folder, status=2)


def test_a_picture_is_printed_only_for_an_address_that_phones_reach(data: Path) -> None:
    printed = run("pair", "--data", str(data))
    assert "http://127.0.0.1:8067/pair#" in printed and "█" not in printed


def test_what_is_set_reaches_the_servers_processes(tmp_path: Path) -> None:
    settings = Settings(data=tmp_path, open=True, address="http://127.0.0.1:1")
    assert Settings.from_environment(settings.to_environment()) == settings
    # What an earlier start left in the environment must not open a later one.
    assert Settings.from_environment({**settings.to_environment(), **Settings(data=tmp_path).to_environment()}) == Settings(data=tmp_path)

"""The commands of the book: editions, and the record out of the PDF again."""

from __future__ import annotations

import json
from pathlib import Path
from zipfile import ZipFile

import pytest

from service.app import create_app
from service.document import load
from service.settings import Settings
from tests.cli.test_cli import SHAFT, longer, run, written
from tests.kept import sqlite_url

CAR = {**SHAFT, "parts": [{**SHAFT["parts"][0], "supplier": "Merrow Street Parts", "maker": "Halvard"}, *SHAFT["parts"][1:]]}


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Both editions of a small car."""
    folder = tmp_path_factory.mktemp("books")
    file = written(folder, "car.json", CAR)
    for arguments in (["--out", str(folder / "owner")], ["--out", str(folder / "shop"), "--edition", "shop"]):
        ended = run("book", file, *arguments)
        assert ended.exit_code == 0, ended.output
    return folder


def test_the_shops_book_restores_the_whole_record(books: Path) -> None:
    ended = run("restore", str(books / "shop" / "book.pdf"))
    assert ended.exit_code == 0, ended.output
    assert json.loads(ended.output) == load(CAR)


def test_the_owners_book_restores_what_the_owner_may_see(books: Path) -> None:
    out = books / "again.json"
    ended = run("restore", str(books / "owner" / "book.pdf"), "--out", str(out))
    assert ended.output == f"Document: {out}\n"
    shown = [{key: value for key, value in part.items() if key != "supplier"} for part in load(CAR)["parts"]]
    assert json.loads(out.read_text(encoding="utf-8")) == load(CAR) | {"parts": shown}
    assert run("check", str(out)).exit_code == 0


@pytest.mark.parametrize(("name", "content", "says"), [("letter.pdf", "a letter", "no PDF that can be read"), ("none.pdf", None, "No such file")])
def test_what_carries_no_record_is_bad_input(name: str, content: str | None, says: str, tmp_path: Path) -> None:
    if content:
        (tmp_path / name).write_text(content)
    for arguments in ([], ["--json"]):
        ended = run("restore", str(tmp_path / name), *arguments)
        assert ended.exit_code == 2
        assert says in ended.output


def test_no_such_edition(tmp_path: Path) -> None:
    assert run("book", written(tmp_path, "car.json", longer(SHAFT)), "--out", str(tmp_path / "b"), "--edition", "press").exit_code == 2


def test_the_book_of_a_stored_build(tmp_path: Path) -> None:
    data = tmp_path / "data"
    app = create_app(Settings(data=data, database=sqlite_url(data), open=True))
    kept = app.test_client().post("/v1/documents", json={**CAR, "build": {**CAR["build"], "id": "b7"}, "photos": [
        {"id": "p", "file": "photos/never-sent.jpg", "sha256": "0" * 64}]})
    assert kept.status_code == 201, kept.text
    app.extensions["asfitted"].database.close()
    ended = run("book", "b7", "--data", str(data), "--out", str(tmp_path / "book"), "--edition", "shop")
    assert ended.exit_code == 0, ended.output
    assert "1 " in ended.output and "never sent" in ended.output
    restored = json.loads(run("restore", str(tmp_path / "book" / "book.pdf")).output)
    assert restored["parts"] == load(CAR)["parts"] and restored["build"]["id"] == "b7"


def test_neither_file_nor_build(tmp_path: Path) -> None:
    data = tmp_path / "data"
    for say in ("holds no builds", "neither a file nor"):
        ended = run("book", "b7", "--data", str(data), "--out", str(tmp_path / "book"))
        assert ended.exit_code == 2 and say in ended.output
        sqlite_url(data)
    assert not (tmp_path / "book").exists()
    missing = run("book", "gone.json", "--data", str(data), "--out", str(tmp_path / "book"))
    assert missing.exit_code == 2 and "cannot read gone.json" in missing.output


def test_the_shops_file_and_the_theme_by_option(tmp_path: Path) -> None:
    car = written(tmp_path, "car.json", longer(SHAFT))
    shop = tmp_path / "shop.json"
    shop.write_text('{"name": "Wharf End Works"}')
    ended = run("book", car, "--out", str(tmp_path / "book"), "--theme", "drawing-office", "--shop", str(shop))
    assert ended.exit_code == 0
    assert "Wharf End Works" in (tmp_path / "book" / "site" / "index.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(("option", "value", "says"), [("--theme", "chrome", "none of drawing-office, notebook"), ("--shop", "lost.json", "cannot be read")])
def test_no_such_theme_or_shop(tmp_path: Path, option: str, value: str, says: str) -> None:
    ended = run("book", written(tmp_path, "car.json", longer(SHAFT)), "--out", str(tmp_path / "b"), option, value)
    assert ended.exit_code == 2
    assert says in " ".join(ended.output.split())
    assert not (tmp_path / "b").exists()


def test_the_packet_is_one_file(tmp_path: Path) -> None:
    file = written(tmp_path, "car.json", CAR)
    ended = run("packet", file, "--out", str(tmp_path / "car.zip"), "--json")
    assert ended.exit_code == 0, ended.output
    assert sorted(path.name for path in tmp_path.iterdir()) == ["car.json", "car.zip"]
    assert b"Merrow" not in ZipFile(tmp_path / "car.zip").read("build.json")


def test_a_packet_without_its_paper_is_not_made(tmp_path: Path) -> None:
    paper = {"id": "a", "file": "papers/slip.pdf", "edition": "owner"}
    ended = run("packet", written(tmp_path, "car.json", {**CAR, "papers": [paper]}), "--out", str(tmp_path / "car.zip"))
    assert ended.exit_code == 2
    assert "papers/slip.pdf" in ended.output
    assert sorted(path.name for path in tmp_path.iterdir()) == ["car.json"]

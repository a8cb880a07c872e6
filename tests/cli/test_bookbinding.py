"""The commands of the book: editions, and the record out of the PDF again."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from service.document import load
from tests.cli.test_cli import SHAFT, longer, run, written

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

"""The command line: what it prints and how it ends."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from service.cli import main
from service.settings import DEMO_BUILDS

SHAFT: dict[str, Any] = {
    "format": "as-fitted/build/1",
    "car": {"make": "Example", "model": "One", "year": 1962},
    "build": {"use": "street"},
    "parts": [
        {"id": "e", "kind": "engine", "specs": {"redline": "6000 rpm"}},
        {"id": "t", "kind": "transmission", "specs": {"forward_ratios": [2.48, 1.48, 1.0, 0.75]}},
        {"id": "d", "kind": "driveshaft", "specs": {"length": "40 in", "outer_diameter": "3 1/2 in", "wall": "0.083 in"}},
    ],
}


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, list(arguments))


def written(folder: Path, name: str, document: Any) -> str:
    path = folder / name
    path.write_text(document if isinstance(document, str) else json.dumps(document), encoding="utf-8")
    return str(path)


def longer(document: dict[str, Any]) -> dict[str, Any]:
    return {**document, "measurements": [{"id": "m", "fact": "driveshaft.length", "value": "70 in"}]}


def test_a_car_that_nothing_stops(tmp_path: Path) -> None:
    ended = run("check", written(tmp_path, "car.json", SHAFT))
    assert ended.exit_code == 0, ended.output
    assert "Not ready for the road" in ended.output


def test_a_failed_check_ends_with_one(tmp_path: Path) -> None:
    ended = run("check", written(tmp_path, "car.json", longer(SHAFT)))
    assert ended.exit_code == 1
    assert "driveline.critical_speed" in ended.output


def test_readiness_alone_does_not_stop(tmp_path: Path) -> None:
    ended = run("check", "--json", written(tmp_path, "car.json", SHAFT))
    failed = {item["check"] for item in json.loads(ended.output)["results"] if item["verdict"] == "fail"}
    assert failed == {"readiness.safety_items"}
    assert ended.exit_code == 0


@pytest.mark.parametrize(
    ("document", "says"), [("{", "not JSON"), ('{"a": NaN}', "NaN"), ({**SHAFT, "car": {}}, "/car/make"), ({**SHAFT, "partz": []}, "/partz")]
)
def test_bad_input_ends_with_two(tmp_path: Path, document: Any, says: str) -> None:
    ended = run("check", written(tmp_path, "car.json", document))
    assert ended.exit_code == 2
    assert says in ended.output


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    ended = run("check", str(tmp_path / "none.json"))
    assert ended.exit_code == 2
    assert "cannot read" in ended.output


def test_several_files_give_a_list_in_their_order(tmp_path: Path) -> None:
    ended = run("check", "--json", written(tmp_path, "good.json", SHAFT), written(tmp_path, "bad.json", {}), written(tmp_path, "long.json", longer(SHAFT)))
    answers = json.loads(ended.output)
    assert ended.exit_code == 2
    assert [item.get("format") or item["status"] for item in answers] == ["as-fitted/answer/1", 422, "as-fitted/answer/1"]


def test_a_missing_photo_leaves_nothing(tmp_path: Path) -> None:
    document = {**SHAFT, "photos": [{"id": "p", "file": "photos/none.jpg"}]}
    ended = run("book", written(tmp_path, "car.json", document), "--out", str(tmp_path / "book"))
    assert ended.exit_code == 2
    assert "photos/none.jpg" in ended.output
    assert sorted(path.name for path in tmp_path.iterdir()) == ["car.json"]


def test_a_book_of_a_small_car(tmp_path: Path) -> None:
    ended = run("book", written(tmp_path, "car.json", SHAFT), "--out", str(tmp_path / "book"))
    assert ended.exit_code == 0, ended.output
    assert list((tmp_path / "book").rglob("*.pdf"))
    assert list((tmp_path / "book").rglob("index.html"))


def test_reference_as_json() -> None:
    assert json.loads(run("vocabulary", "--json").output)["format"] == "as-fitted/vocabulary/1"
    checks = json.loads(run("catalog", "--json").output)["checks"]
    assert all(item["basis"] and item["formula"] and item["manual"] for item in checks)


def test_reference_to_read() -> None:
    said = run("vocabulary", "shock").output
    assert "damper: damper" in said and "motion_ratio" in said and "wheel: Wheel" not in said
    whole = run("catalog").output
    assert all(f"\n{item['check']}: {item['title']}" in f"\n{whole}" for item in json.loads(run("catalog", "--json").output)["checks"])
    assert "formula" in run("catalog", "critical_speed").output


def test_a_word_that_nothing_has() -> None:
    ended = run("vocabulary", "spaceship")
    assert ended.exit_code == 2
    assert "nothing is called 'spaceship'" in ended.output


def test_usage_errors_end_with_two() -> None:
    assert run("check").exit_code == 2
    assert run("nonsense").exit_code == 2


@pytest.mark.parametrize("path", sorted(DEMO_BUILDS.glob("*.json")), ids=lambda path: path.stem)
def test_every_photo_of_the_demo_is_there(path: Path) -> None:
    document = json.loads(path.read_text(encoding="utf-8"))
    missing = [photo["file"] for photo in document["photos"] if not (DEMO_BUILDS.parent / photo["file"]).is_file()]
    assert not missing

"""Files by their hash: kept once, whole, and made again where a power cut left less; what nothing names is collected."""

from __future__ import annotations

import hashlib
import io
import os
import time
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service import pictures
from service.storage import files, orphans
from service.storage.database import Full
from service.storage.files import About, Folder
from service.storage.orphans import collect, tidy
from tests.pictures.made import picture


def kept(folder: Folder, content: bytes) -> About:
    sha256 = hashlib.sha256(content).hexdigest()
    clean = pictures.clean(io.BytesIO(content), "image/jpeg")
    folder.keep(sha256, io.BytesIO(content), clean.sizes)
    return About(sha256, "image/jpeg", len(content), clean.width, clean.height)


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    return Folder(f"file://{tmp_path / 'files'}")


@pytest.mark.parametrize("left", [b"", b"\xff\xd8\xff\xe0 cut short"])
def test_what_a_power_cut_left_is_kept_again_whole(folder: Folder, tmp_path: Path, left: bytes) -> None:
    about = kept(folder, picture())
    small = folder.size("small", about)
    for size in ("original", "small"):
        (tmp_path / "files" / size / about.sha256[:2] / about.sha256).write_bytes(left)
    assert not folder.keep(about.sha256, io.BytesIO(picture()), {})
    assert folder.original(about.sha256) == picture()
    assert folder.size("small", about) == small


def test_a_size_is_shown_where_there_is_no_room_to_keep_it(folder: Folder, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    about = kept(folder, picture())
    shown = folder.size("small", about)
    (tmp_path / "files" / "small" / about.sha256[:2] / about.sha256).unlink()

    def full(*given: Any) -> None:
        raise Full

    monkeypatch.setattr(folder, "_put", full)
    assert folder.size("small", about) == shown


def test_a_file_and_the_folders_that_name_it_are_synced_before_it_counts_as_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    synced: list[str] = []
    real = os.fsync

    def noted(handle: int) -> None:
        synced.append(os.readlink(f"/proc/self/fd/{handle}"))
        real(handle)

    folder = Folder(f"file://{tmp_path / 'files'}")
    monkeypatch.setattr(os, "fsync", noted)
    about = kept(folder, picture())
    original = tmp_path / "files" / "original"
    assert synced == [str(original / about.sha256[:2] / about.sha256), str(original / about.sha256[:2]), str(original)]


def test_nothing_is_recorded_of_a_file_that_could_not_be_kept(keeping_app: Flask, keeping: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    build(keeping)

    def dies(*given: Any) -> None:
        raise OSError("the power is gone")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", dies)
        assert keeping.post("/v1/builds/b/photos", data={"file": (io.BytesIO(picture()), "x")}).status_code == 500
    assert keeping.get("/v1/builds/b/photos").json == []
    # The file is there, no record names it; it is taken in as if it were not.
    assert keeping_app.extensions["asfitted"].files.has_original(hashlib.sha256(picture()).hexdigest())
    assert keeping.post("/v1/builds/b/photos", data={"file": (io.BytesIO(picture()), "x")}).status_code == 201


def test_what_no_record_names_is_collected_after_a_day(keeping_app: Flask, keeping: FlaskClient, tmp_path: Path) -> None:
    build(keeping)
    id = keeping.post("/v1/builds/b/photos", data={"file": (io.BytesIO(picture()), "x")}).json["id"]
    store = keeping_app.extensions["asfitted"]
    left = kept(store.files, picture(size=(640, 480)))
    tidy(store)
    assert store.files.has_original(left.sha256)
    for path in (tmp_path / "data" / "files").rglob("*"):
        os.utime(path, (time.time() - 2 * 86400,) * 2)
    tidy(store)
    assert not store.files.has_original(left.sha256)
    assert keeping.get(f"/v1/photos/{id}/received").data == picture()
    assert sum(path.is_file() for path in (tmp_path / "data" / "files").rglob("*")) == 4


def test_what_is_collected_while_it_is_sent_again_is_kept_again(keeping_app: Flask, keeping: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    build(keeping)
    store = keeping_app.extensions["asfitted"]
    kept(store.files, picture())
    real = files.Folder.keep

    def slow(folder: Folder, *given: Any) -> bool:
        found = real(folder, *given)
        if not found:
            assert collect(store, timedelta(seconds=-60)) == 1
        return found

    monkeypatch.setattr(files.Folder, "keep", slow)
    id = keeping.post("/v1/builds/b/photos", data={"file": (io.BytesIO(picture()), "x")}).json["id"]
    assert keeping.get(f"/v1/photos/{id}/received").data == picture()
    assert orphans.collect(store, timedelta(seconds=-60)) == 0


def build(client: FlaskClient) -> None:
    client.post("/v1/cars", json={"id": "c", "make": "Tarnock", "model": "Stookman", "year": 1957})
    client.post("/v1/cars/c/builds", json={"id": "b", "use": "street"})

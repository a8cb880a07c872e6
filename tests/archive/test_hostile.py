"""Archives that mean harm are refused with the reason, and leave nothing behind."""

from __future__ import annotations

import io
import tarfile
import zipfile
from pathlib import Path

import pytest

from service.archive import containers
from service.archive.bagit import BadBag
from service.archive.restoring import restore
from service.archive.verifying import verify
from tests.archive.made import kept

BAG = {"bagit.txt": b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"}


def zipped(place: Path, files: dict[str, bytes], packed: int = zipfile.ZIP_STORED) -> Path:
    with zipfile.ZipFile(place, "w", packed) as file:
        for name, content in files.items():
            file.writestr(zipfile.ZipInfo(name), content, packed)
    return place


def tarred(place: Path, files: dict[str, bytes]) -> Path:
    with tarfile.open(place, "w") as file:
        for name, content in files.items():
            info = tarfile.TarInfo(name)
            info.size = len(content)
            file.addfile(info, io.BytesIO(content))
    return place


@pytest.mark.parametrize("name", ["/etc/passwd", "../out", "data/../../out", "data\\..\\out", "C:/out", "data//x", "./../x", "data/\x07", "x" * 2000])
@pytest.mark.parametrize("pack", [zipped, tarred])
def test_names_that_lead_out_are_refused(pack: object, name: str, tmp_path: Path) -> None:
    place = pack(tmp_path / "a", {**BAG, name: b"x"})  # type: ignore[operator]
    assert [item.what for item in verify(place).findings] == ["refused"]
    with kept(tmp_path / "data") as (client, store):
        with pytest.raises(BadBag):
            restore(store, place)
        assert client.get("/v1/cars").json == []
    assert {path.name for path in tmp_path.iterdir()} == {"a", "data"}
    assert not (tmp_path.parent / "out").exists()


def test_a_bomb_is_refused(tmp_path: Path) -> None:
    place = zipped(tmp_path / "bomb.zip", {**BAG, "data/zeros": bytes(50_000_000)}, zipfile.ZIP_DEFLATED)
    assert place.stat().st_size < 200_000
    assert "times its size" in verify(place).findings[0].why


def test_a_million_files_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(containers, "MOST_FILES", 100)
    for pack in (zipped, tarred):
        place = pack(tmp_path / "many", {f"data/{number}": b"" for number in range(102)})
        assert "more than 100 files" in verify(place).findings[0].why


def test_a_name_twice_is_refused(tmp_path: Path) -> None:
    place = tmp_path / "twice.zip"
    with zipfile.ZipFile(place, "w") as file:
        file.writestr("data/x", b"1")
        with pytest.warns(UserWarning, match="Duplicate"):
            file.writestr("data/x", b"2")
    assert "twice" in verify(place).findings[0].why


@pytest.mark.parametrize(("file", "content", "what"), [
    ("bagit.txt", b"BagIt-Version: 9.9\n", "declares no bag"),
    ("manifest-sha256.txt", b"no checksum here", "a checksum and a path"),
    ("fetch.txt", b"http://127.0.0.1/x 5 data/x\n", "never fetched"),
    ("bag-info.txt", b"\xff\xfe", "UTF-8"),
    ("bag-info.txt", b"Payload-Oxum: 7.7\n", "counts 7.7"),
])
def test_wrong_counts_and_forms_are_told(file: str, content: bytes, what: str, tmp_path: Path) -> None:
    sums = b"2d711642b726b04401627ca9fbac32f5c8530fb1903cc4db02258717921a4881  data/x\n"
    place = zipped(tmp_path / "a.zip", {**BAG, "data/x": b"x", "manifest-sha256.txt": sums, "bag-info.txt": b"", **{file: content}})
    assert any(what in item.why for item in verify(place).findings), [item.why for item in verify(place).findings]


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04", b"not an archive", b"\x1f\x8b\x08" + bytes(40)])
def test_what_is_no_archive_is_said_so(content: bytes, tmp_path: Path) -> None:
    (tmp_path / "x").write_bytes(content)
    assert [item.what for item in verify(tmp_path / "x").findings] == ["refused"]
    assert "there is no" in verify(tmp_path / "nothing").findings[0].why

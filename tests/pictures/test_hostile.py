"""Files made to break what opens them: each is a picture or is refused with a reason, whatever was done to it."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import zipfile
from typing import Any

import pikepdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from service.pictures import BadPicture, apart, clean, copy, media_type
from service.settings import DEMO_BUILDS
from tests.pictures.made import bomb, pdf, picture, pixels

#: Mutations tried of each format. ASFITTED_MUTATIONS=2000 is the long form.
TRIES = int(os.environ.get("ASFITTED_MUTATIONS", "24"))
REAL = DEMO_BUILDS.parent / "photos" / "coupe-bar-link.jpg"


def progressive() -> bytes:
    found = io.BytesIO()
    pixels(400, 300).save(found, "JPEG", progressive=True)
    return found.getvalue()


SEEDS = {
    "real": REAL.read_bytes(), "jpeg": picture(size=(400, 300), orientation=6), "progressive": progressive(), "png": picture("PNG", size=(200, 150)),
    "webp": picture("WEBP", size=(400, 300)),
}
_changes = st.lists(st.tuples(st.floats(0, 1, exclude_max=True), st.sampled_from(["flip", "cut", "drop", "add", "zero", "end"]), st.binary(min_size=1, max_size=24)),
                    min_size=1, max_size=6)


def mutated(content: bytes, changes: list[tuple[float, str, bytes]]) -> bytes:
    """The content with some bytes changed, taken out, put in, or cut off; its first bytes stay, so that it is what it was."""
    found = bytearray(content)
    for place, how, data in changes:
        at = 12 + int(place * max(1, len(found) - 12))
        if how == "flip":
            found[at:at + 1] = data[:1]
        elif how == "drop":
            del found[at:at + len(data)]
        elif how == "add":
            found[at:at] = data
        elif how == "zero":
            found[at:at + len(data)] = bytes(len(data))
        elif how == "end":
            found += data
        else:
            del found[at:]
    return bytes(found)


def outcome(content: bytes) -> str:
    """What becomes of a file: the reason why it is refused, or nothing when it is a picture with sizes and a copy that open."""
    kind = media_type(content[:16])
    if kind is None:
        return "no picture"
    try:
        found = clean(io.BytesIO(content), kind)
        copied, _ = copy(io.BytesIO(content), kind)
    except BadPicture as error:
        assert str(error)
        return str(error)
    for made in (*found.sizes.values(), *([copied] if kind != "application/pdf" else [])):
        Image.open(io.BytesIO(made)).load()
    return ""


@pytest.fixture
def in_one_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """Decoders in this process, so that many files can be tried."""
    monkeypatch.setattr(apart, "IN_SERVER", frozenset({"image/jpeg", "image/png", "image/webp"}))


@pytest.mark.usefixtures("in_one_process")
@pytest.mark.parametrize("name", SEEDS)
def test_a_mutated_picture_is_shown_or_refused(name: str) -> None:
    @settings(max_examples=TRIES, deadline=None, suppress_health_check=list(HealthCheck))
    @given(_changes)
    def tried(changes: list[tuple[float, str, bytes]]) -> None:
        outcome(mutated(SEEDS[name], changes))

    tried()


@pytest.mark.parametrize("content", [picture("HEIF", size=(400, 300)), pdf()], ids=["heic", "pdf"])
def test_a_mutated_file_of_a_large_format_is_shown_or_refused(content: bytes) -> None:
    @settings(max_examples=max(4, TRIES // 10), deadline=None, suppress_health_check=list(HealthCheck))
    @given(_changes)
    def tried(changes: list[tuple[float, str, bytes]]) -> None:
        outcome(mutated(content, changes))

    tried()


@pytest.mark.usefixtures("in_one_process")
@pytest.mark.parametrize("name", SEEDS)
def test_a_picture_cut_anywhere_in_its_first_half_is_refused(name: str) -> None:
    content = SEEDS[name]
    assert outcome(content) == ""
    for share in (0.001, 0.01, 0.1, 0.3, 0.5):
        assert outcome(content[:max(16, int(len(content) * share))]) != ""


def zipped() -> bytes:
    found = io.BytesIO()
    with zipfile.ZipFile(found, "w") as archive:
        archive.writestr("run.txt", "x")
    return found.getvalue()


def with_comment(text: bytes) -> bytes:
    found = io.BytesIO()
    pixels(64, 48).save(found, "JPEG", comment=text)
    return found.getvalue()


@pytest.mark.parametrize(("content", "says"), [
    (picture() + zipped(), "ZIP"), (picture("PNG") + zipped(), "ZIP"), (pdf() + zipped(), "ZIP"), (with_comment(b"%PDF-1.4 1 0 obj"), "PDF"),
    (with_comment(b"<script>alert(1)</script>"), "program"), (with_comment(b"<?php system(1); ?>"), "program"),
], ids=["jpeg and zip", "png and zip", "pdf and zip", "jpeg and pdf", "jpeg and script", "jpeg and php"])
def test_a_file_that_is_two_things_at_once_is_refused(content: bytes, says: str) -> None:
    assert says in outcome(content)


def test_what_phones_put_behind_a_picture_is_no_reason_to_refuse_it() -> None:
    film = (24).to_bytes(4, "big") + b"ftypmp42" + b"\0" * 12 + os.urandom(4000)
    assert outcome(picture() + film) == ""
    assert outcome(picture() + picture(size=(64, 48))) == ""
    assert outcome(picture() + b"PK\x05\x06" + b"\x07" * 40) == ""


@pytest.mark.parametrize("side", [(60_000, 60_000), (10_000, 5_001), (2**31 - 1, 1), (1, 2**31 - 1), (0, 0), (0, 100)])
def test_sizes_that_no_picture_has_are_refused(side: tuple[int, int]) -> None:
    assert outcome(bomb(*side)) != ""


def test_a_jpeg_of_endless_scans_is_refused_at_once() -> None:
    content = progressive()
    scan = content.rindex(b"\xff\xda")
    told = outcome(content[:scan] + content[scan:-2] * 5000 + content[-2:])
    assert "scans" in told


def test_a_picture_that_moves_is_refused() -> None:
    found = io.BytesIO()
    pixels(64, 48).save(found, "WEBP", save_all=True, append_images=[Image.new("RGB", (64, 48))])
    assert "moves" in outcome(found.getvalue())


def test_a_locked_paper_says_so() -> None:
    found = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf())) as document:
        document.save(found, encryption=pikepdf.Encryption(owner="a", user="b"))
    assert "password" in outcome(found.getvalue())


def test_a_program_that_hangs_or_dies_refuses_the_file(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(apart, "SECONDS", 0.01)
    assert "seconds" in outcome(pdf())
    monkeypatch.setattr(apart, "SECONDS", 60)
    monkeypatch.setattr(sys, "executable", "/bin/false")
    assert "breaks the program" in outcome(pdf())


def test_the_program_is_told_nothing_that_opens_a_database_or_bucket(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[dict[str, str]] = []

    def noted(command: list[str], **given: Any) -> Any:
        seen.append(given["env"])
        raise subprocess.TimeoutExpired(command, 1)

    monkeypatch.setenv("AWS_SECRET_ACCESS_KEY", "secret")
    monkeypatch.setattr(subprocess, "run", noted)
    assert "seconds" in outcome(pdf())
    assert "secret" not in seen[0].values() and "PYTHONPATH" in seen[0]


def test_the_program_keeps_within_its_memory() -> None:
    done = subprocess.run([sys.executable, "-c", "from service.pictures import __main__ as program; program._bound(); bytearray(3 * 1024**3)"],
                          capture_output=True, check=False, text=True)
    assert "MemoryError" in done.stderr

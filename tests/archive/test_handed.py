"""Books and packets verified by what they carry: files against checksums, and the history whole, cut or altered, named at the event."""

from __future__ import annotations

import hashlib
import json
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from zipfile import ZipFile

import page
import pikepdf
import pytest
from click.testing import CliRunner

from reports import embedded
from reports.book import make
from reports.embedded import ANSWER, DOCUMENT, HISTORY, SUMS
from service.archive import handed
from service.cli import main
from service.storage import things
from tests.archive.made import CAR, kept, live
from tests.reports import sample


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The packets of both editions of a kept build, unpacked, and the shop's own lines of its history."""
    folder = tmp_path_factory.mktemp("handed")
    patch = pytest.MonkeyPatch()
    patch.setenv("XDG_CACHE_HOME", str(folder / "caches"))
    with kept(folder / "data") as (client, store):
        live(client)
        with store.database.reading() as connection:
            (folder / "lines").write_text(things.history(connection, CAR), encoding="utf-8")
    for edition in ("owner", "shop"):
        ended = CliRunner().invoke(main, ["packet", "b1", "--data", str(folder / "data"), "--out", str(folder / f"{edition}.zip"), "--edition", edition])
        assert ended.exit_code == 0, ended.output
        with ZipFile(folder / f"{edition}.zip") as packet:
            packet.extractall(folder / edition)
    yield folder
    patch.undo()


def found(place: Path) -> list[tuple[str, str]]:
    return [(item.what, item.file) for item in handed.verify(place).findings]


def spoiled(book: Path, out: Path, name: str, change: Callable[[bytes], bytes], sums: bool = False) -> Path:
    """A copy of a book whose attached file is another; with `sums` its checksum was written again too."""
    held = embedded.attached(book)
    held[name] = change(held[name])
    if sums:
        held[SUMS] = "".join(f"{hashlib.sha256(held[key]).hexdigest()}  {key}\n" for key in (DOCUMENT, ANSWER, HISTORY)).encode()
    with pikepdf.open(book) as pdf:
        for key in (name, SUMS):
            pdf.attachments[key] = pikepdf.AttachedFileSpec(pdf, held[key], filename=key)
        pdf.save(out)
    return out


def lines(change: Callable[[list[bytes]], list[bytes]]) -> Callable[[bytes], bytes]:
    return lambda data: b"".join(change(data.splitlines(keepends=True)))


@pytest.mark.parametrize("edition", ["owner", "shop"])
def test_what_was_handed_over_is_whole(out: Path, edition: str) -> None:
    for place in (out / f"{edition}.zip", out / edition, out / edition / "book.pdf"):
        report = handed.verify(place)
        assert report.findings == []
        assert (report.car, report.build, report.events) == (CAR, "b1", 15)


@pytest.mark.parametrize("edition", ["owner", "shop"])
def test_a_book_with_its_history_is_an_archive_file(out: Path, edition: str) -> None:
    """ISO 19005-3:2012 level A, ISO 14289-1:2014, by page-validation."""
    for profile in ("3a", "ua1"):
        assert [failure.message for failure in page.validate_pdf(out / edition / "book.pdf", profile=profile).failures] == []


def test_the_shops_edition_carries_the_lines_themselves(out: Path) -> None:
    assert (out / "shop" / HISTORY).read_text(encoding="utf-8") == (out / "lines").read_text(encoding="utf-8")


def test_the_owners_edition_tells_no_one_and_no_reason(out: Path) -> None:
    text = (out / "owner" / HISTORY).read_text(encoding="utf-8")
    assert "another car" not in text and "this machine" not in text
    assert {key for line in text.splitlines() for key in json.loads(line)} == {"event", "car", "on", "action", "list", "sealed", "previous"}
    assert {json.loads(line)["on"] for line in text.splitlines()} == {line["at"][:10] for line in map(json.loads, (out / "lines").read_text().splitlines())}


def test_the_owners_lines_are_sealed_and_name_the_shops(out: Path, tmp_path: Path) -> None:
    """The judge: sha256sum of the system, on one line at a time."""
    def sums(text: str) -> list[str]:
        for number, line in enumerate(text.splitlines(keepends=True)):
            (tmp_path / f"{number:03}").write_text(line, encoding="utf-8")
        names = sorted(path.name for path in tmp_path.iterdir())
        return [line.split()[0] for line in subprocess.run(["sha256sum", *names], cwd=tmp_path, capture_output=True, text=True, check=True).stdout.splitlines()]

    owners = (out / "owner" / HISTORY).read_text(encoding="utf-8")
    assert [json.loads(line)["sealed"] for line in owners.splitlines()] == sums((out / "lines").read_text(encoding="utf-8"))
    assert [json.loads(line)["previous"] for line in owners.splitlines()] == ["0" * 64, *sums(owners)[:-1]]


@pytest.mark.parametrize("edition", ["owner", "shop"])
@pytest.mark.parametrize(("change", "event"), [
    (lambda all: [*all[:6], all[6].replace(b"created", b"changed").replace(b"retracted", b"created"), *all[7:]], 7),
    (lambda all: [*all[:6], *all[7:]], 8),
    (lambda all: all[3:], 4),
    (lambda all: all[:9], 9),
    (lambda all: [*all[:8], all[8][:40]], 9),
    (lambda all: [*all[:4], all[4].replace(b'"action"', b'"said":"x","action"'), *all[5:]], 5),
])
def test_a_history_cut_or_altered_is_named_at_the_event(out: Path, edition: str, change: Callable[[list[bytes]], list[bytes]], event: int, tmp_path: Path) -> None:
    report = handed.verify(spoiled(out / edition / "book.pdf", tmp_path / "book.pdf", HISTORY, lines(change)))
    assert ("changed", HISTORY) in [(item.what, item.file) for item in report.findings]
    assert next(item.why for item in report.findings if item.what == "broken").startswith(f"event {event}: ")


def test_one_whose_checksum_was_written_again_is_named_too(out: Path, tmp_path: Path) -> None:
    book = spoiled(out / "owner" / "book.pdf", tmp_path / "book.pdf", HISTORY, lines(lambda all: [*all[:4], *all[5:]]), sums=True)
    report = handed.verify(book)
    assert [item.what for item in report.findings] == ["broken"]
    assert report.findings[0].why.startswith("event 6: event 5 was expected here")


@pytest.mark.parametrize("name", [DOCUMENT, ANSWER])
def test_a_changed_record_or_answer_is_found(out: Path, name: str, tmp_path: Path) -> None:
    assert found(spoiled(out / "shop" / "book.pdf", tmp_path / "book.pdf", name, lambda data: data.replace(b"Stookman", b"Stickman") + b" ")) == [("changed", name)]


def test_the_history_of_another_car_is_none_of_this_one(out: Path, tmp_path: Path) -> None:
    """Whoever writes the whole chain again for another car."""
    shown = out / "shop" / HISTORY
    book = spoiled(out / "shop" / "book.pdf", tmp_path / "book.pdf", DOCUMENT, lambda data: data.replace(b'"id": "c"', b'"id": "d"'), sums=True)
    assert shown.read_bytes() == embedded.attached(book)[HISTORY]
    assert found(book) == [("broken", HISTORY)]


def test_a_packets_files_are_held_against_their_checksums(out: Path, tmp_path: Path) -> None:
    place = Path(shutil.copytree(out / "owner", tmp_path / "packet"))
    (place / "index.html").write_text("changed")
    (place / "glovebox.pdf").unlink()
    (place / "more.txt").write_text("added")
    assert found(place) == [("missing", "glovebox.pdf"), ("changed", "index.html"), ("added", "more.txt")]


def test_a_packet_with_another_book_is_found(out: Path, tmp_path: Path) -> None:
    place = Path(shutil.copytree(out / "owner", tmp_path / "packet"))
    shutil.copyfile(out / "shop" / "book.pdf", place / "book.pdf")
    assert {("changed", "book.pdf"), ("changed", HISTORY)} <= set(found(place))


def test_what_carries_nothing_is_refused(tmp_path: Path) -> None:
    (tmp_path / "letter.pdf").write_text("a letter")
    assert found(tmp_path / "letter.pdf") == [("refused", "letter.pdf")]
    assert found(tmp_path / "none.pdf") == [("refused", "none.pdf")]


def test_the_command_tells_it(out: Path, tmp_path: Path) -> None:
    ended = CliRunner().invoke(main, ["verify", str(out / "owner.zip"), str(out / "owner" / "book.pdf")])
    assert ended.exit_code == 0 and ended.output.count("whole. Build b1 of car c, 15 events") == 2
    book = spoiled(out / "owner" / "book.pdf", tmp_path / "book.pdf", HISTORY, lines(lambda all: all[:9]))
    ended = CliRunner().invoke(main, ["verify", str(book), "--json"])
    assert ended.exit_code == 1
    [report] = json.loads(ended.output)
    assert report["whole"] is False and report["build"] == "b1"


def test_a_packet_is_taken_in_with_its_clean_copies(out: Path, tmp_path: Path) -> None:
    def restored(source: Path) -> tuple[int, str]:
        ended = CliRunner().invoke(main, ["restore", str(source), "--data", str(tmp_path / "data")])
        return ended.exit_code, ended.output

    status, said = restored(out / "shop.zip")
    assert status == 0, said
    assert "Build b1 of car c: taken in" in said and "2 photographs or papers are here as the packet’s clean copies" in said
    with kept(tmp_path / "data") as (client, store):
        [photo], [paper] = client.get("/v1/builds/b1/photos").json, client.get("/v1/builds/b1/papers").json
        assert photo["sha256"] == hashlib.sha256((out / "shop" / "photos" / "p.jpg").read_bytes()).hexdigest()
        assert client.get("/v1/photos/p/large").data.startswith(b"\xff\xd8")
        assert store.files.original(paper["sha256"]).startswith(b"%PDF")
    status, said = restored(out / "shop.zip")
    assert status == 0 and "all of it was here already" in said, said
    status, said = restored(out / "owner.zip")
    assert status == 2 and "/papers" in said, "another edition is another record: told, nothing overwritten"


def test_a_spoiled_packet_is_not_taken_in(out: Path, tmp_path: Path) -> None:
    place = Path(shutil.copytree(out / "shop", tmp_path / "packet"))
    (place / "photos" / "p.jpg").write_bytes((place / "photos" / "p.jpg").read_bytes()[:-9])
    ended = CliRunner().invoke(main, ["restore", str(place), "--data", str(tmp_path / "data")])
    assert ended.exit_code == 2 and "photos/p.jpg changed" in ended.output


def test_a_book_shows_no_more_of_a_history_than_its_edition_may(out: Path, tmp_path: Path) -> None:
    whole = (out / "lines").read_text(encoding="utf-8")
    with pytest.raises(ValueError, match="stays in the shop"):
        make(sample.document(photos=[], papers=[]), sample.ANSWER, sample.VOCABULARY, tmp_path, tmp_path / "book", history=whole)
    assert not (tmp_path / "book").exists()

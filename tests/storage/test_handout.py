"""A build's photographs handed out for a book."""

from __future__ import annotations

import io
from pathlib import Path

from flask import Flask
from flask.testing import FlaskClient
from PIL import Image

from reports import photos as darkroom
from reports.document import Photo
from service.storage.handout import hand_out, never_sent
from tests.pictures.made import OWNER, pdf, picture


def build_with_photos(client: FlaskClient, *ids: str) -> str:
    """A build whose first photograph shows its shaft; returns its address."""
    client.post("/v1/cars", json={"id": "c", "make": "Tarnock", "model": "Stookman", "year": 1957})
    client.post("/v1/cars/c/builds", json={"id": "b", "use": "street", "title": "First"})
    for number, id in enumerate(ids):
        content = picture("HEIF" if number else "JPEG", size=(800, 600))
        assert client.post("/v1/builds/b/photos", data={"file": (io.BytesIO(content), "x"), "id": id}).status_code == 201
    client.post("/v1/builds/b/parts", json={"id": "shaft", "kind": "driveshaft", "photos": list(ids)})
    return "/v1/builds/b"


def test_a_book_can_be_made_of_what_is_handed_out(keeping_app: Flask, keeping: FlaskClient, tmp_path: Path) -> None:
    build = build_with_photos(keeping, "p1", "p2")
    handed = hand_out(keeping_app.extensions["asfitted"], keeping.get(f"{build}/document").json, tmp_path / "for book")
    assert handed.missing == []
    for photo in handed.document["photos"]:
        content = (tmp_path / "for book" / photo["file"]).read_bytes()
        assert OWNER.encode() not in content
        assert Image.open(io.BytesIO(content)).format == "JPEG"
    wanted = [Photo(id=photo["id"], file=photo["file"]) for photo in handed.document["photos"]]
    darkroom.check(wanted, tmp_path / "for book")
    made = darkroom.develop(wanted, tmp_path / "for book", tmp_path / "book")
    assert {id: (found.large.width, found.large.height) for id, found in made.items()} == {"p1": (800, 600), "p2": (800, 600)}


def test_what_was_never_sent_is_left_out_and_told(keeping_app: Flask, keeping: FlaskClient, tmp_path: Path) -> None:
    build = build_with_photos(keeping, "p1")
    document = keeping.get(f"{build}/document").json
    document["photos"].append({"id": "late", "file": "photos/late.jpg"})
    document["parts"][0]["photos"].append("late")
    document["papers"] = [{"id": "later", "file": "papers/later.pdf", "title": "Power run"}]
    handed = hand_out(keeping_app.extensions["asfitted"], document, tmp_path / "for book")
    assert handed.missing == list(never_sent(keeping_app.extensions["asfitted"], document)) == ["late", "later"]
    assert handed.document["papers"] == []
    assert [photo["id"] for photo in handed.document["photos"]] == ["p1"]
    assert handed.document["parts"][0]["photos"] == ["p1"]
    assert document["parts"][0]["photos"] == ["p1", "late"]


def test_a_packet_is_handed_clean_copies_of_the_whole(keeping_app: Flask, keeping: FlaskClient, tmp_path: Path) -> None:
    build = build_with_photos(keeping, "p1", "p2")
    keeping.post(f"{build}/papers", data={"file": (io.BytesIO(pdf()), "x"), "id": "run", "title": "Power run", "kind": "power run", "edition": "owner"})
    handed = hand_out(keeping_app.extensions["asfitted"], keeping.get(f"{build}/document").json, tmp_path / "packet", whole=True)
    kinds = [(record["id"], Path(record["file"]).suffix) for name in ("photos", "papers") for record in handed.document[name]]
    assert kinds == [("p1", ".jpg"), ("p2", ".jpg"), ("run", ".pdf")]
    for name in ("photos", "papers"):
        for record in handed.document[name]:
            assert OWNER.encode() not in (tmp_path / "packet" / record["file"]).read_bytes()
    assert Image.open(tmp_path / "packet" / handed.document["photos"][0]["file"]).size == (800, 600)

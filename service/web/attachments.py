"""Photographs and papers: taken in by content, kept byte for byte, shown clean."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from flask import Blueprint, Response, abort, request, url_for

from service import pictures
from service.document import DocumentError, Problem
from service.document.records import KEYS
from service.pictures import SUFFIXES, BadPicture
from service.storage import files, search, things
from service.storage.files import About
from service.storage.things import Taken, Where
from service.web import uploads
from service.web.described import Answer, Call, Content, Parameter, described
from service.web.kept import author, commit, database, once, present, shown, store
from service.web.records import address, car_of, judge

blueprint = Blueprint("attachments", __name__, url_prefix="/v1")
#: What each list takes in.
_TAKEN = {"photos": frozenset(SUFFIXES) - {"application/pdf"}, "papers": frozenset(SUFFIXES)}
_WORDS = {"photos": "a JPEG, PNG, WebP or HEIC picture", "papers": "a PDF or a JPEG, PNG, WebP or HEIC picture"}
_LIST = "<any(photos, papers):name>"
_FOREVER = "private, max-age=31536000, immutable"
_FORM_BYTES = 64 * 1024


@dataclass(frozen=True, slots=True)
class _Sent:
    """A file as it came: open at its beginning, what it is, and its upload when it came in pieces."""

    stream: IO[bytes]
    about: About
    clean: pictures.Clean
    upload: Path | None


_KEPT = Content("{one}", "{one}")
_FORM = {"type": "object", "properties": {
    "file": {"type": "string", "format": "binary", "description": "a JPEG, PNG, WebP or HEIC picture; among papers also a PDF"},
    "upload": {"type": "string", "description": "in place of `file`: the id of an upload that is complete"},
    "id": {"type": "string", "maxLength": 200}, "caption": {"type": "string"}, "title": {"type": "string"}, "kind": {"type": "string"},
    "edition": {"type": "string"}, "taken_at": {"type": "string"},
    "of": {"type": "array", "items": {"type": "string"}, "description": "ids of the records that it shows; once for each, or a JSON list"}}}
_TAKING = Call({201: Answer("it is kept", _KEPT, ("ETag", "Location")), 200: Answer("the very same was kept already", _KEPT, ("ETag", "Location"))},
               takes=Content(_FORM, types=("multipart/form-data",)), problems=(409,), once=True)
_BINARY = {"type": "string", "format": "binary"}
_SHOWING = Call({200: Answer("the picture", Content(_BINARY, types=("image/jpeg", "image/png", "image/webp", "image/heic", "application/pdf")),
                             ("ETag", "Content-Disposition"))},
                query=(Parameter("build", "which build's it is, where several have one of this id"),), problems=(409, 410))


@blueprint.post(f"/builds/<build>/{_LIST}")
@described(_TAKING)
def post_attachment(build: str, name: str) -> Response:
    """Take in a photograph or paper: multipart with `file` (or `upload`, the id of a finished one) and what is said about it."""
    request.max_content_length = pictures.MOST_BYTES + _FORM_BYTES
    return _post(build, name)


@once
def _post(build: str, name: str) -> Response:
    car = car_of(build)
    body = _said(name)
    sent = _taken_in(name)
    try:
        return _keep(Where(build, name, body.get("id") or "", car), body, sent)
    finally:
        sent.stream.close()
        if sent.upload is not None:
            uploads.done(sent.upload)


def _said(name: str) -> dict[str, Any]:
    """What the form says about the file. `of` is given once for each record, or as a JSON list."""
    known = set(KEYS[name]) - {"file", "sha256"}
    strange = sorted(set(request.form) - known - {"upload"})
    if strange:
        raise DocumentError([Problem(f"/{key}", f"unknown field; known are {', '.join(sorted({*known, 'file', 'upload'}))}") for key in strange])
    body: dict[str, Any] = {key: request.form[key] for key in KEYS[name] if key in known and request.form.get(key)}
    if "of" in body:
        body["of"] = _ids(request.form.getlist("of"))
    return body


def _ids(given: list[str]) -> list[Any]:
    if len(given) == 1 and given[0].startswith("["):
        try:
            found = json.loads(given[0])
        except ValueError:
            found = None
        if isinstance(found, list):
            return found
    return [id for id in given if id]


def _taken_in(name: str) -> _Sent:
    upload = request.form.get("upload")
    path = uploads.finished(upload) if upload else None
    if path is None and "file" not in request.files:
        raise DocumentError([Problem("/file", f"a file is wanted: {_WORDS[name]}, as multipart/form-data")])
    stream: IO[bytes] = path.open("rb") if path is not None else request.files["file"].stream
    kind = pictures.media_type(stream.read(16))
    if kind not in _TAKEN[name]:
        abort(415, f"by its content the file is not {_WORDS[name]}")
    size = stream.seek(0, 2)
    if size > pictures.MOST_BYTES:
        abort(413, f"a file has up to {pictures.MOST_BYTES // 2**20} MB")
    stream.seek(0)
    sha256 = hashlib.file_digest(stream, "sha256").hexdigest()  # type: ignore[arg-type]
    stream.seek(0)
    try:
        clean = pictures.clean(stream, kind)
    except BadPicture as error:
        raise DocumentError([Problem("/file", str(error))]) from error
    stream.seek(0)
    return _Sent(stream, About(sha256, kind, size, clean.width, clean.height), clean, path)


def _keep(where: Where, body: dict[str, Any], sent: _Sent) -> Response:
    about = sent.about
    store().files.keep(about.sha256, sent.stream, sent.clean.sizes)
    with database().reading() as connection:
        same = _same(connection, where, about.sha256)
    if same is not None and (not where.id or same.id == where.id):
        return _attach_again(same, where, about)
    where = Where(where.scope, where.list, where.id or things.new_id(), where.car)
    record = {"id": where.id, "file": f"{where.list}/{about.sha256}.{SUFFIXES[about.type]}", "sha256": about.sha256, **body}
    if where.list == "photos" and sent.clean.taken_at and "taken_at" not in record:
        record["taken_at"] = sent.clean.taken_at
    return _create(where, record, about)


def _same(connection: Any, where: Where, sha256: str) -> Any:
    """The record that the file belongs to already: of its hash, or of its id and still waiting for its file."""
    for row in things.listed(connection, where.scope, where.list):
        body = json.loads(row.body)
        if body.get("sha256") == sha256 or (row.id == where.id and not body.get("sha256")):
            return row
    return None


def _attach_again(row: Any, where: Where, about: About) -> Response:
    """The file of a record that is there: known now, when it was not (a document came before its photographs)."""
    body = json.loads(row.body)

    def work(connection: Any) -> Response:
        files.note(connection, about)
        number = row.number
        if not body.get("sha256"):
            body["sha256"] = about.sha256
            number = things.change(connection, author(), row, body)
        return shown(things.as_text(body), number, 200, address(Where(where.scope, where.list, row.id, where.car)))

    return commit(work)


def _create(where: Where, record: Mapping[str, Any], about: About) -> Response:
    def work(connection: Any) -> Response:
        judge(where, record, connection)
        files.note(connection, about)
        things.create(connection, author(), where, record)
        search.note_all(connection, [(where, record)])
        files.attach(connection, [(where, record)])
        return shown(things.as_text(record), 1, 201, address(where))

    try:
        return commit(work)
    except Taken:
        abort(409, f"the id {where.id} is already that of another record of this build; ids are unique in a build")


@blueprint.get(f"/{_LIST}/<attachment>/<any(original, large, medium, small):size>")
@described(_SHOWING)
def get_file(name: str, attachment: str, size: str) -> Response:
    """A photograph or paper in a size; a paper's sizes show its first page. `original` is the file as it came."""
    about = _about(name, attachment)
    folder = store().files
    content = folder.original(about.sha256) if size == "original" else folder.size(size, about)
    response = Response(content, content_type=about.type if size == "original" else "image/jpeg")
    response.headers["Cache-Control"] = _FOREVER
    if size == "original":
        response.headers["Content-Disposition"] = f'attachment; filename="{about.sha256[:12]}.{SUFFIXES[about.type]}"'
    response.set_etag(f"{about.sha256}-{size}")
    return response.make_conditional(request)  # type: ignore[return-value]


def _about(name: str, id: str) -> About:
    """What is known of the file of a photograph or paper. Ids are those of a build: `build` says which where several have it."""
    build, what = request.args.get("build"), name[:-1]
    with database().reading() as connection:
        scopes = files.scopes_of(connection, name, id) if build is None else [build]
        rows = [row for row in (things.find(connection, scope, id) for scope in scopes) if row is not None and row.list == name]
        hashes = {json.loads(present(row, what).body).get("sha256") for row in rows}
        if not rows:
            abort(404, f"there is no such {what}")
        if len(hashes) > 1:
            abort(409, f"several builds have a {what} {id}: add ?build= with one of {', '.join(scopes)}")
        about = files.find(connection, hashes.pop() or "")
    if about is None:
        abort(404, f"the file of this {what} was not sent yet: post it to {url_for('attachments.post_attachment', build=rows[0].scope, name=name)}")
    return about


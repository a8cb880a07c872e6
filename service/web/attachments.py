"""Photographs and papers: taken in by content, kept byte for byte, shown clean."""

from __future__ import annotations

import hashlib
import json
import logging
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from typing import IO, Any, cast

from flask import Blueprint, Flask, Response, abort, request, url_for
from flask.blueprints import BlueprintSetupState

from service import pictures
from service.document import DocumentError, Problem
from service.document.records import KEYS
from service.pictures import SUFFIXES, BadPicture
from service.storage import files, things
from service.storage.files import About
from service.storage.models import RETRACTED
from service.storage.things import Taken, Where
from service.storage.uploads import NotThere
from service.web.described import Answer, Call, Content, Parameter, described
from service.web.incoming import Incoming, StreamingRequest
from service.web.kept import author, commit, database, once, present, shown, store
from service.web.records import address, car_of, judge

_log = logging.getLogger(__name__)
blueprint = Blueprint("attachments", __name__, url_prefix="/v1")
#: What each list takes in.
_TAKEN = {"photos": frozenset(SUFFIXES) - {"application/pdf"}, "papers": frozenset(SUFFIXES)}
_WORDS = {"photos": "a JPEG, PNG, WebP or HEIC picture", "papers": "a PDF or a JPEG, PNG, WebP or HEIC picture"}
_LIST = "<any(photos, papers):name>"
_FOREVER = "private, max-age=31536000, immutable"
_FORM_BYTES = 64 * 1024
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
_BUILD = Parameter("build", "which build's it is, where several have one of this id")
_SHOWING = Call({200: Answer("the picture", Content(_BINARY, types=("image/jpeg", "image/png", "image/webp", "application/pdf")), ("ETag",))},
                query=(_BUILD,), problems=(409, 410))
_RECEIVED = Call({200: Answer("the file", Content(_BINARY, types=tuple(SUFFIXES)), ("ETag", "Content-Disposition"))}, query=(_BUILD,), problems=(409, 410))


@dataclass(frozen=True, slots=True)
class _Sent:
    """A file as it came: open at its beginning, what it is, what was made from it."""

    stream: IO[bytes]
    about: About
    clean: pictures.Clean


class _Gone(Exception):
    """A file that was there already is no longer: nothing had named it, and it was tidied away."""


@blueprint.record_once
def stream(state: BlueprintSetupState) -> None:
    """Have files of forms go to the data folder of the application that this is registered with."""
    cast(Flask, state.app).request_class = StreamingRequest


@blueprint.post(f"/builds/<build>/{_LIST}")
@described(_TAKING)
def post_attachment(build: str, name: str) -> Response:
    """Take in a photograph or paper: multipart with `file` (or `upload`, the id of a complete one) and what is said about it.

    A JPEG, PNG, WebP or HEIC picture of up to 50 megapixels and 40 MB, told by its content; among papers also a PDF. The same
    file said the same of is one record, whatever the number of times it is sent. A record of a document that came before its
    files is given its file by its `id`, or by the file's hash.
    """
    request.max_content_length = pictures.MOST_BYTES + _FORM_BYTES
    if None in {*request.form, *request.files}:
        abort(400, "a part of the form has no name: each is a field, file among them")
    return _post(build, name)


@once
def _post(build: str, name: str) -> Response:
    where = Where(build, name, request.form.get("id", ""), car_of(build))
    said, upload = _said(name), request.form.get("upload")
    if upload and not things.good_id(upload):
        _no_upload()
    with database().reading() as connection:
        kept = _kept(connection, where)
        if kept is None:
            _judge_early(where, said, connection)
    if upload and kept is not None and not store().uploads.path(upload).exists():
        return _again(kept, said, where)
    with closing(_stream(name, upload)) as stream:
        answer = _keep(where, said, _opened(stream, name))
    if upload:
        store().uploads.drop(upload)
    return answer


def _judge_early(where: Where, said: Mapping[str, Any], connection: Any) -> None:
    """Refuse what is said wrong before the file is opened and kept."""
    id = where.id or things.new_id()
    judge(Where(where.scope, where.list, id, where.car), {"id": id, "file": "it comes", **said}, connection)


def _said(name: str) -> dict[str, Any]:
    """What the form says about the file. `of` is given once for each record, or as a JSON list."""
    known = set(KEYS[name]) - {"file", "sha256"}
    strange = sorted({*request.form, *request.files} - known - {"upload", "file"})
    if strange:
        raise DocumentError([Problem(f"/{key}", f"unknown field; known are {', '.join(sorted({*known, 'file', 'upload'}))}") for key in strange])
    body: dict[str, Any] = {key: request.form[key] for key in KEYS[name] if key in known and key != "id" and request.form.get(key)}
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


def _kept(connection: Any, where: Where) -> Any:
    """The record that the id named is of, if there is one. Aborts with 409 when it cannot be given a file."""
    row = things.find(connection, where.scope, where.id) if where.id else None
    if row is not None and row.action == RETRACTED:
        abort(409, f"the id {where.id} is that of a record that was retracted; a new record needs a new id")
    if row is not None and row.list != where.list:
        abort(409, f"the id {where.id} is already that of another record of this build ({row.list}); ids are unique in a build")
    return row


def _stream(name: str, upload: str | None) -> IO[bytes]:
    """The file that was sent, in one piece or in several. Aborts when it is not all there."""
    sent = request.files.getlist("file")
    if len(sent) + bool(upload) > 1:
        raise DocumentError([Problem("/file", "one file at a time: each is a record of its own")])
    if not upload:
        if not sent:
            raise DocumentError([Problem("/file", f"a file is wanted: {_WORDS[name]}, as multipart/form-data")])
        return sent[0].stream
    try:
        here, length = store().uploads.far(upload)
    except NotThere:
        _no_upload()
    if here != length:
        abort(409, f"the upload is at {here} of {length} bytes; it is not complete yet")
    return store().uploads.path(upload).open("rb")


def _no_upload() -> Any:
    raise DocumentError([Problem("/upload", "there is no such upload under way; begin one with POST /v1/uploads")])


def _opened(stream: IO[bytes], name: str) -> _Sent:
    """The file judged and made clean sizes of. Raises DocumentError with the reason why it cannot be taken in."""
    stream.seek(0)
    kind = pictures.media_type(stream.read(16))
    if kind is None or kind not in _TAKEN[name]:
        raise DocumentError([Problem("/file", f"by its content the file is not {_WORDS[name]}")])
    sha256 = stream.sha256 if isinstance(stream, Incoming) else _hashed(stream)
    try:
        clean = pictures.clean(stream, kind)
    except BadPicture as error:
        raise DocumentError([Problem("/file", str(error))]) from error
    return _Sent(stream, About(sha256, kind, stream.seek(0, 2), clean.width, clean.height), clean)


def _hashed(stream: IO[bytes]) -> str:
    stream.seek(0)
    return hashlib.file_digest(stream, "sha256").hexdigest()  # type: ignore[arg-type]


def _keep(where: Where, said: Mapping[str, Any], sent: _Sent) -> Response:
    """The file on the disk, then its record. What is on the disk already may be tidied away until a record names it."""
    new = store().files.keep(sent.about.sha256, _bytes(sent.stream), sent.clean.sizes)
    try:
        return commit(lambda connection: _record(connection, where, said, sent, new))
    except _Gone:
        store().files.keep(sent.about.sha256, _bytes(sent.stream), sent.clean.sizes)
        return commit(lambda connection: _record(connection, where, said, sent, True))
    except Taken:
        abort(409, f"the id {where.id} is already that of another record of this build; ids are unique in a build")


def _bytes(stream: IO[bytes]) -> IO[bytes]:
    return stream.file if isinstance(stream, Incoming) else stream


def _record(connection: Any, where: Where, said: Mapping[str, Any], sent: _Sent, new: bool) -> Response:
    things.one_at_a_time(connection, where.scope)
    files.alone(connection)
    if not new and not store().files.has_original(sent.about.sha256):
        raise _Gone
    files.note(connection, sent.about)
    row = _kept(connection, where) or (None if where.id else _same(connection, where, said, sent.about.sha256))
    if row is not None:
        return _given(connection, row, said, where, sent.about.sha256)
    return _created(connection, where, said, sent)


def _same(connection: Any, where: Where, said: Mapping[str, Any], sha256: str) -> Any:
    """A record of this very file of which nothing else is said."""
    for row in things.listed(connection, where.scope, where.list):
        body = json.loads(row.body)
        if body.get("sha256") == sha256 and _agrees(body, said):
            return row
    return None


def _agrees(body: Mapping[str, Any], said: Mapping[str, Any]) -> bool:
    return all(body.get(key) == value for key, value in said.items())


def _given(connection: Any, row: Any, said: Mapping[str, Any], where: Where, sha256: str) -> Response:
    """The record that is there already, with its file: known from now on where a document came before its files."""
    body, number = json.loads(row.body), row.number
    if body.get("sha256") not in (None, sha256):
        abort(409, f"{row.id} is of another file (SHA-256 {body['sha256']}); a new file needs a new record")
    if not _agrees(body, said):
        abort(409, f"{row.id} is kept with something else said of it; change that by PATCH")
    if not body.get("sha256"):
        body["sha256"] = sha256
        number = things.change(connection, author(), row, body)
    return shown(things.as_text(body), number, 200, address(Where(where.scope, where.list, row.id, where.car)))


def _again(row: Any, said: Mapping[str, Any], where: Where) -> Response:
    """The answer to who asks again after an upload was taken in: its record."""
    body = json.loads(row.body)
    if not body.get("sha256") or not _agrees(body, said):
        _no_upload()
    return shown(row.body, row.number, 200, address(where))


def _created(connection: Any, where: Where, said: Mapping[str, Any], sent: _Sent) -> Response:
    where = Where(where.scope, where.list, where.id or things.new_id(), where.car)
    file = f"{where.list}/{sent.about.sha256}.{SUFFIXES[sent.about.type]}"
    record = {"id": where.id, "file": file, "sha256": sent.about.sha256, **said}
    if where.list == "photos" and sent.clean.taken_at:
        record.setdefault("taken_at", sent.clean.taken_at)
    judge(where, record, connection)
    things.create(connection, author(), where, record)
    files.attach(connection, [(where, record)])
    return shown(things.as_text(record), 1, 201, address(where))


@blueprint.get(f"/{_LIST}/<attachment>/<any(original, large, medium, small):size>")
@described(_SHOWING)
def get_file(name: str, attachment: str, size: str) -> Response:
    """A photograph or paper in a size; a paper's sizes show its first page.

    None of them tells of owner, place or camera. `original` is a copy of the whole: coded as it was, HEIC as JPEG, a PDF without
    its descriptions, programs and attached files.
    """
    about = _about(name, attachment)
    tag = f"{about.sha256}-{size}"
    if request.if_none_match.contains(tag):
        return _file(b"", "image/jpeg", tag)
    with _found(about):
        content, kind = store().files.copy(about) if size == "original" else (store().files.size(size, about), "image/jpeg")
    return _file(content, kind, tag)


@blueprint.get(f"/{_LIST}/<attachment>/received")
@described(_RECEIVED)
def get_received(name: str, attachment: str) -> Response:
    """A photograph or paper byte for byte as it came, with all that the camera wrote into it of place and owner: for owners only."""
    about = _about(name, attachment)
    with _found(about):
        response = _file(store().files.original(about.sha256), about.type, about.sha256)
    response.headers["Content-Disposition"] = f'attachment; filename="{about.sha256[:12]}.{SUFFIXES[about.type]}"'
    return response


@contextmanager
def _found(about: About) -> Iterator[None]:
    """A file that was kept and is not there, or not whole, is told so; sending it again mends that."""
    try:
        yield
    except (FileNotFoundError, BadPicture) as error:
        _log.exception("a file that was kept is not there whole: %s", about.sha256)
        abort(404, f"the file (SHA-256 {about.sha256}) is not there whole any more: restore it from a backup, or send it again ({type(error).__name__})")


def _file(content: bytes, kind: str, tag: str) -> Response:
    response = Response(content, content_type=kind)
    response.headers["Cache-Control"] = _FOREVER
    response.set_etag(tag)
    return response.make_conditional(request)  # type: ignore[return-value]


def _about(name: str, id: str) -> About:
    """What is known of the file of a photograph or paper. Ids are those of a build: `build` says which where several have one."""
    build, what = request.args.get("build"), name[:-1]
    with database().reading() as connection:
        scopes = files.scopes_of(connection, name, id) if build is None else [build]
        rows = [row for row in (things.find(connection, scope, id) for scope in scopes) if row is not None and row.list == name]
        hashes = {json.loads(present(row, what).body).get("sha256") for row in rows}
        if not rows:
            abort(404, f"there is no such {what}")
        if len(hashes) > 1:
            abort(409, f"several builds have a {what} {id}: add ?build= with one of {', '.join(scopes[:5])}{', …' if len(scopes) > 5 else ''}")
        about = files.find(connection, hashes.pop() or "")
    if about is None:
        abort(404, f"the file of this {what} was not sent yet: post it to {url_for('attachments.post_attachment', build=rows[0].scope, name=name)}")
    return about


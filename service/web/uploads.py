"""Large files in pieces, resumed where the wifi dropped them: begin, ask how far, send on from there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from flask import Blueprint, Response, abort, request, url_for

from service.pictures import MOST_BYTES
from service.storage.uploads import Elsewhere, NotThere, TooMuch
from service.web.described import Answer, Call, Content, Parameter, described
from service.web.kept import commit, once, store
from service.web.problems import problem

blueprint = Blueprint("uploads", __name__, url_prefix="/v1/uploads")
_MOST_PIECE = 16 * 1024 * 1024
_READ = 64 * 1024
_COUNT = {"type": "integer", "minimum": 0}
_LENGTH = Parameter("Upload-Length", "bytes that the whole file has", {**_COUNT, "minimum": 1, "maximum": MOST_BYTES}, 4_100_000, required=True)
_OFFSET = Parameter("Upload-Offset", "how many bytes have arrived before this piece", _COUNT, 0, required=True)
_FAR = ("Upload-Offset", "Upload-Length")
_BYTES = Content({"type": "string", "format": "binary"}, types=("application/offset+octet-stream", "application/octet-stream"))


@blueprint.post("")
@described(Call({201: Answer("it is begun", None, ("Location", *_FAR))}, headers=(_LENGTH,), problems=(413,), once=True))
@once
def post_upload() -> Response:
    """Begin an upload of `Upload-Length` bytes; `Location` is where its pieces go.

    It is kept for a week after its last piece.
    """
    length = _number("Upload-Length")
    if not 0 < length <= MOST_BYTES:
        abort(413, f"a file has 1 byte to {MOST_BYTES // 2**20} MB")

    def work(connection: Any) -> Response:
        store().uploads.drop_abandoned()
        upload = store().uploads.begin(length)
        return Response(status=201, headers={"Location": url_for("uploads.get_upload", upload=upload), "Upload-Offset": "0", "Upload-Length": str(length)})

    return commit(work)


@blueprint.get("/<uuid:upload>")
@described(Call({204: Answer("how far it is", None, _FAR)}))
def get_upload(upload: object) -> Response:
    """How much of an upload is there: `Upload-Offset` of `Upload-Length` bytes. HEAD tells the same."""
    here, length = _far(str(upload))
    return Response(status=204, headers={"Upload-Offset": str(here), "Upload-Length": str(length), "Cache-Control": "no-store"})


@blueprint.patch("/<uuid:upload>")
@described(Call({204: Answer("the piece has arrived", None, ("Upload-Offset",))}, headers=(_OFFSET,), takes=_BYTES, problems=(409, 507)))
def patch_upload(upload: object) -> Response:
    """Add the piece that begins at `Upload-Offset`: up to 16 MB of bytes.

    409 when that is not how far it is: the answer's `Upload-Offset` says where to send on from.
    """
    here, length = _far(str(upload))
    offset = _number("Upload-Offset")
    request.max_content_length = _MOST_PIECE
    try:
        if here == offset and offset + (request.content_length or 0) > length:
            raise TooMuch(length)
        return _at(204, store().uploads.add(str(upload), offset, _pieces()), length)
    except Elsewhere as error:
        return _at(409, error.offset, length)
    except TooMuch:
        abort(413, f"the upload was said to have {length} bytes")


@blueprint.delete("/<uuid:upload>")
@described(Call({204: Answer("it is forgotten")}))
def delete_upload(upload: object) -> Response:
    """Give an upload up."""
    _far(str(upload))
    store().uploads.drop(str(upload))
    return Response(status=204)


def _pieces() -> Iterator[bytes]:
    while piece := request.stream.read(_READ):
        yield piece


def _at(status: int, offset: int, length: int) -> Response:
    told = f"the upload is at {offset} of {length} bytes; send on from there"
    response = problem(status, told) if status == 409 else Response(status=status)
    response.headers["Upload-Offset"] = str(offset)
    return response


def _far(upload: str) -> tuple[int, int]:
    try:
        return store().uploads.far(upload)
    except NotThere:
        abort(404, "there is no such upload under way")


def _number(header: str) -> int:
    raw = request.headers.get(header, "")
    if not raw.isascii() or not raw.isdigit() or len(raw) > 12:
        abort(400, f"the header {header} is a number of bytes")
    return int(raw)

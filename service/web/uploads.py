"""Large files in pieces, resumed where the wifi dropped them: begin, ask how far, send on from there."""

from __future__ import annotations

import os
from pathlib import Path

from flask import Blueprint, Response, abort, request, url_for

from service.pictures import MOST_BYTES
from service.storage import things
from service.web.described import Answer, Call, Content, Parameter, described
from service.web.kept import store
from service.web.problems import problem

blueprint = Blueprint("uploads", __name__, url_prefix="/v1/uploads")
_MOST_PIECE = 16 * 1024 * 1024


_COUNT = {"type": "integer", "minimum": 0}
_LENGTH = Parameter("Upload-Length", "bytes that the whole file has", _COUNT, 4_100_000, required=True)
_OFFSET = Parameter("Upload-Offset", "how many bytes have arrived before this piece", _COUNT, 0, required=True)
_FAR = ("Upload-Offset", "Upload-Length")


@blueprint.post("")
@described(Call({201: Answer("it is begun", None, ("Location", *_FAR))}, headers=(_LENGTH,), problems=(413, 507)))
def post_upload() -> Response:
    """Begin an upload of `Upload-Length` bytes; `Location` is where its pieces go."""
    length = _number("Upload-Length")
    if not 0 < length <= MOST_BYTES:
        abort(413, f"a file has up to {MOST_BYTES // 2**20} MB")
    upload = things.new_id()
    folder = store().folder / "uploads"
    (folder / f"{upload}.length").write_text(str(length), encoding="ascii")
    (folder / upload).touch()
    return Response(status=201, headers={"Location": url_for("uploads.get_upload", upload=upload), "Upload-Offset": "0", "Upload-Length": str(length)})


@blueprint.get("/<uuid:upload>")
@described(Call({204: Answer("how far it is", None, _FAR)}))
def get_upload(upload: object) -> Response:
    """How much of an upload is there."""
    path, length = _under_way(str(upload))
    return Response(status=204, headers={"Upload-Offset": str(path.stat().st_size), "Upload-Length": str(length), "Cache-Control": "no-store"})


@blueprint.patch("/<uuid:upload>")
@described(Call({204: Answer("the piece has arrived", None, ("Upload-Offset",))}, headers=(_OFFSET,), problems=(409, 413, 507),
                takes=Content({"type": "string", "format": "binary"}, types=("application/offset+octet-stream", "application/octet-stream"))))
def patch_upload(upload: object) -> Response:
    """Add the piece that begins at `Upload-Offset`. 409 when that is not how far it is: ask, then send on from there."""
    path, length = _under_way(str(upload))
    offset = _number("Upload-Offset")
    request.max_content_length = _MOST_PIECE
    with path.open("r+b") as file:
        here = os.fstat(file.fileno()).st_size
        if offset != here:
            return _at(409, here, length)
        file.seek(here)
        while piece := request.stream.read(min(65536, length - file.tell() + 1)):
            if file.tell() + len(piece) > length:
                file.truncate(here)
                abort(413, f"the upload was said to have {length} bytes")
            file.write(piece)
        return _at(204, file.tell(), length)


def _at(status: int, offset: int, length: int) -> Response:
    told = f"the upload is at {offset} of {length} bytes; send on from there"
    response = problem(status, told) if status == 409 else Response(status=status)
    response.headers["Upload-Offset"] = str(offset)
    return response


def finished(upload: str) -> Path:
    """The file of an upload that is complete. Aborts with 409 when it is not, with 404 when there is none."""
    path, length = _under_way(upload)
    if path.stat().st_size != length:
        abort(409, f"the upload is at {path.stat().st_size} of {length} bytes; it is not complete yet")
    return path


def done(path: Path) -> None:
    """Drop an upload that was taken in."""
    path.unlink(missing_ok=True)
    path.with_name(f"{path.name}.length").unlink(missing_ok=True)


def _under_way(upload: str) -> tuple[Path, int]:
    path = store().folder / "uploads" / upload
    length = path.with_name(f"{upload}.length")
    if not things.good_id(upload) or upload.endswith(".length") or not path.is_file() or not length.is_file():
        abort(404, "there is no such upload under way")
    return path, int(length.read_text(encoding="ascii"))


def _number(header: str) -> int:
    raw = request.headers.get(header, "")
    if not raw.isascii() or not raw.isdigit() or len(raw) > 12:
        abort(400, f"the header {header} is a number of bytes")
    return int(raw)

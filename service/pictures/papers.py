"""PDF papers: the first page as a picture, and a copy without what programs say of people and places. Used in a process of its own."""

from __future__ import annotations

import io
from typing import Any

import pikepdf
import pypdfium2
from pikepdf import Name

from service.pictures import jpeg, sizes
from service.pictures.kinds import BadPicture
from service.pictures.sizes import Clean

_LONG_SIDE = 1800
_MOST_SCALE = 4.0
#: Entries of a PDF's objects that carry descriptions, programs and attached files (ISO 32000-1, 7.7.2, 7.9.6, 12.6, 14.3, 14.5).
_DROPPED = ("/Metadata", "/PieceInfo", "/OpenAction", "/AA", "/JS", "/JavaScript", "/EmbeddedFiles", "/EF", "/AF", "/LastModified", "/Thumb", "/Collection")


def first_page(data: bytes) -> Clean:
    """The sizes of a paper's first page. Raises BadPicture, also for a paper of which no clean copy can be made."""
    bare(data)
    try:
        document = pypdfium2.PdfDocument(data)
        page = document[0]
        scale = min(_LONG_SIDE / max(*page.get_size(), 1.0), _MOST_SCALE)
        picture = page.render(scale=scale).to_pil().convert("RGB")
    except pypdfium2.PdfiumError as error:
        raise BadPicture(f"the first page of the PDF cannot be shown ({error})") from error
    return sizes.of_large(picture, picture.size)


def bare(data: bytes) -> bytes:
    """The same pages without descriptions, programs and attached files; photographs in them without theirs. Raises BadPicture."""
    found = io.BytesIO()
    with _whole(data) as document:
        del document.docinfo
        for entry in document.objects:
            _strip(entry)
        document.save(found, compress_streams=True, deterministic_id=True)
    return found.getvalue()


def _whole(data: bytes) -> pikepdf.Pdf:
    try:
        document = pikepdf.open(io.BytesIO(data))
        if not document.pages:
            raise BadPicture("the PDF has no page")
    except pikepdf.PasswordError as error:
        raise BadPicture("the PDF is locked by a password; save it without one and send that") from error
    except pikepdf.PdfError as error:
        raise BadPicture(f"the PDF is broken inside ({error})"[:200]) from error
    return document


def _strip(entry: Any) -> None:
    """Drop what tells of people from an object and from what is written inside it."""
    if isinstance(entry, pikepdf.Array):
        within = list(entry)
    elif isinstance(entry, (pikepdf.Dictionary, pikepdf.Stream)):
        for name in _DROPPED:
            if name in entry:
                del entry[name]
        within = [entry[name] for name in list(entry.keys())]
    else:
        return
    for part in within:
        if isinstance(part, pikepdf.Object) and not part.is_indirect:
            _strip(part)
    if isinstance(entry, pikepdf.Stream) and entry.get("/Filter") in (Name.DCTDecode, [Name.DCTDecode]):
        _strip_photograph(entry)


def _strip_photograph(stream: Any) -> None:
    parameters = stream.get("/DecodeParms")
    try:
        found = jpeg.bare(stream.read_raw_bytes(), 1)
    except ValueError as error:
        raise BadPicture("a picture in the PDF is broken inside") from error
    stream.write(found, filter=Name.DCTDecode, decode_parms=parameters if isinstance(parameters, pikepdf.Dictionary) else None)

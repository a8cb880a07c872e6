"""The last pass over the PDF: an archive file (PDF/A-3, level A) that is accessible (PDF/UA-1) and carries its own record.

The renderer writes tags, an output intent and fonts; it can declare one of the two standards, not both, and dates what is
attached by the clock. This pass writes the metadata of both, attaches the files with dates of the record, and numbers the
file by its content, so that the same input gives the same bytes.

Standards: ISO 19005-3:2012 (PDF/A-3), ISO 14289-1:2014 (PDF/UA-1), ISO 16684-1 (XMP).
"""

from __future__ import annotations

import re
import zlib
from base64 import a85encode
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import md5
from pathlib import Path
from typing import Any

import pikepdf
from markupsafe import escape

from reports import typography

#: Printed as the maker of the file in its metadata; no version, so that a new release does not change old books.
PRODUCER = "As Fitted"
LANGUAGE = "en-US"
#: The date of a record that names none: the earliest that the ZIP format can write.
UNDATED = "1980-01-01"
_DAY = re.compile(r"\d{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])")

_METADATA = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/"
 xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:description><rdf:Alt><rdf:li xml:lang="x-default">{description}</rdf:li></rdf:Alt></dc:description>
<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
<xmp:CreateDate>{day}T00:00:00Z</xmp:CreateDate>
<xmp:ModifyDate>{day}T00:00:00Z</xmp:ModifyDate>
<pdf:Producer>{producer}</pdf:Producer>
<pdfaid:part>3</pdfaid:part>
<pdfaid:conformance>A</pdfaid:conformance>
<pdfuaid:part>1</pdfuaid:part>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Part of ISO 14289 that the file conforms to</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>"""


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file that the PDF carries; `relationship` is one of PDF/A-3's: Source, Data, Supplement, Alternative, Unspecified."""

    name: str
    mime: str
    relationship: str
    description: str
    data: bytes


def latest_day(record: Any) -> str:
    """The latest day that stands anywhere in a record as a whole date, `UNDATED` when none does: the date of what is made from it."""
    days = list(_days(record))
    return max(days, default=UNDATED)


def _days(value: Any) -> Any:
    if isinstance(value, str):
        if found := _DAY.match(value):
            yield found.group()
    elif isinstance(value, dict):
        for item in value.values():
            yield from _days(item)
    elif isinstance(value, (list, tuple)):
        for item in value:
            yield from _days(item)


def conform(file: Path, title: str, description: str, day: str, attachments: Sequence[Attachment] = ()) -> None:
    """Make a tagged PDF of the renderer one that declares both standards, dated `day` (`2026-03-02`), and attach the files."""
    with pikepdf.open(file, allow_overwriting_input=True) as pdf:
        _describe(pdf, typography.clean(title) or PRODUCER, typography.clean(description), day)
        for attachment in attachments:
            _attach(pdf, attachment, day)
        if attachments:
            pdf.Root.PageMode = pikepdf.Name.UseOutlines
        _save(pdf, file)


def _save(pdf: pikepdf.Pdf, file: Path) -> None:
    """Write the file, its objects in the open, so that every stream in it is one that was looked at here.

    No stream may end with a carriage return: followed by the line end that the format wants, it would read as part of that
    line end and the stream as one byte shorter than it says (ISO 19005-3, 6.1.7.1).
    """
    for stream in pdf.objects:
        if isinstance(stream, pikepdf.Stream) and stream.read_raw_bytes().endswith(b"\r"):
            _repack(stream)
    pdf.save(file, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.disable, compress_streams=False)


def _repack(stream: pikepdf.Stream) -> None:
    """Pack as text, which ends with `~>`; the last byte of a plain packed stream comes from its content and cannot be chosen."""
    packed = a85encode(zlib.compress(stream.read_bytes(), 9), wrapcol=120) + b"~>"
    stream.write(packed, filter=pikepdf.Array([pikepdf.Name.ASCII85Decode, pikepdf.Name.FlateDecode]))


def _describe(pdf: pikepdf.Pdf, title: str, description: str, day: str) -> None:
    metadata = _METADATA.format(title=escape(title), description=escape(description), day=day, producer=PRODUCER, language=LANGUAGE)
    stream = pikepdf.Stream(pdf, metadata.encode())
    stream.Type, stream.Subtype = pikepdf.Name.Metadata, pikepdf.Name.XML
    pdf.Root.Metadata = pdf.make_indirect(stream)
    pdf.Root.ViewerPreferences = pikepdf.Dictionary(DisplayDocTitle=True)
    pdf.Root.MarkInfo = pikepdf.Dictionary(Marked=True)
    pdf.Root.Lang = pikepdf.String(LANGUAGE)
    stamp = _stamp(day)
    pdf.trailer.Info = pdf.make_indirect(pikepdf.Dictionary(
        Title=pikepdf.String(title), Subject=pikepdf.String(description), Producer=pikepdf.String(PRODUCER), CreationDate=stamp, ModDate=stamp))


def _attach(pdf: pikepdf.Pdf, attachment: Attachment, day: str) -> None:
    """Attach as an associated file of the whole document: listed by name, and with what it is to the document."""
    stamp = _stamp(day)
    parameters = pikepdf.Dictionary(Size=len(attachment.data), ModDate=stamp, CreationDate=stamp,
                                    CheckSum=pikepdf.String(md5(attachment.data, usedforsecurity=False).digest()))
    stream = pikepdf.Stream(pdf, b"")
    stream.write(zlib.compress(attachment.data, 9), filter=pikepdf.Name.FlateDecode)
    stream.Type, stream.Subtype, stream.Params = pikepdf.Name.EmbeddedFile, pikepdf.Name(f"/{attachment.mime}"), parameters
    embedded = pdf.make_indirect(stream)
    entry = pdf.make_indirect(pikepdf.Dictionary(
        Type=pikepdf.Name.Filespec, F=pikepdf.String(attachment.name), UF=pikepdf.String(attachment.name), Desc=pikepdf.String(attachment.description),
        AFRelationship=pikepdf.Name(f"/{attachment.relationship}"), EF=pikepdf.Dictionary(F=embedded, UF=embedded)))
    if "/Names" not in pdf.Root:
        pdf.Root.Names = pikepdf.Dictionary()
    if "/EmbeddedFiles" not in pdf.Root.Names:
        pdf.Root.Names.EmbeddedFiles = pikepdf.Dictionary(Names=pikepdf.Array())
    if "/AF" not in pdf.Root:
        pdf.Root.AF = pikepdf.Array()
    pdf.Root.Names.EmbeddedFiles.Names.extend([pikepdf.String(attachment.name), entry])
    pdf.Root.AF.append(entry)


def _stamp(day: str) -> pikepdf.String:
    return pikepdf.String(f"D:{day.replace('-', '')}000000Z")

"""The address of the car's page as a QR code, drawn in the ink of the book."""

from __future__ import annotations

import re
from io import BytesIO

import segno
from markupsafe import Markup

from reports.charts.sheet import INK

#: A code of more letters than this needs modules too fine to be read off paper at the size it is printed (common practice).
LONGEST = 300
_ADDRESS = re.compile(r"https?://[^\s<>\"]+\Z")


class NoAddress(ValueError):
    """What should be a web address is none."""


def checked(address: str) -> str:
    """The address, if a QR code can lead there; NoAddress says what would be right."""
    if address and (len(address) > LONGEST or not _ADDRESS.match(address)):
        raise NoAddress(f"address {address!r} is no web address: it begins with https:// or http://, has no blanks and at most {LONGEST} letters")
    return address


def code(address: str) -> Markup:
    """The QR code as SVG; error correction M survives some dirt (ISO/IEC 18004)."""
    found = segno.make(address, error="m", micro=False)
    drawn = BytesIO()
    found.save(drawn, kind="svg", xmldecl=False, nl=False, border=0, dark=INK, title=f"QR code: {address}", svgclass="qr", lineclass=None, omitsize=True)
    return Markup(drawn.getvalue().decode())  # noqa: S704 (segno escapes the title)

"""QR codes of addresses, for the terminal and for pages."""

from __future__ import annotations

import io

import segno


def terminal(address: str) -> str:
    """The code in half blocks, two rows of it a line, for a terminal."""
    drawn = io.StringIO()
    segno.make(address, error="m", micro=False).terminal(drawn, compact=True, border=2)
    return drawn.getvalue()


def svg(address: str) -> str:
    """The code as an SVG element to stand in a page."""
    return str(segno.make(address, error="m", micro=False).svg_inline(scale=4, border=4, dark="#000", light="#fff"))

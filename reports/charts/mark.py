"""Verdict marks, told by form first: thin ring with a dot, half-filled ring, solid block with the word, dashed ring.

The ring with a dot, by far the most frequent, is a character of the label face: a page sets it far quicker than a drawing.
"""

from __future__ import annotations

from markupsafe import Markup

_DRAWN = ('<svg xmlns="http://www.w3.org/2000/svg" class="ring" viewBox="0 0 12 12" width="8.2pt" height="8.2pt" aria-hidden="true">'
          '<title>{title}</title><circle cx="6" cy="6" r="5" fill="none" stroke="currentColor" stroke-width="0.9"{dash}/>{half}</svg>')
_RINGS = {
    "pass": Markup('<span class="ring" aria-hidden="true">\u25c9</span>'),
    "caution": Markup(_DRAWN.format(title="half-filled ring", dash="", half='<path d="M6 1 A5 5 0 0 0 6 11 Z" fill="currentColor"/>')),  # noqa: S704 (constant)
    "unknown": Markup(_DRAWN.format(title="dashed ring", dash=' stroke-dasharray="2.4 1.53"', half="")),  # noqa: S704 (constant)
}


def mark(verdict: str) -> Markup:
    """The mark with its word; `fail` is a solid block with the word reversed out. Any other word is printed bare."""
    if verdict == "fail":
        return Markup('<span class="mark mark-fail">fail</span>')
    if verdict not in _RINGS:
        return Markup('<span class="mark">{}</span>').format(verdict)
    return Markup('<span class="mark mark-{}">{}\u202f{}</span>').format(verdict, _RINGS[verdict], verdict)

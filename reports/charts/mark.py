"""Verdict marks, told by form first: thin ring with a dot, half-filled ring, solid block with the word, dashed ring."""

from __future__ import annotations

from markupsafe import Markup

_RING = '<circle cx="6" cy="6" r="4.6" fill="none" stroke="currentColor" stroke-width="0.9"{dash}/>'
_FORMS = {
    "pass": _RING.format(dash="") + '<circle cx="6" cy="6" r="1.5" fill="currentColor"/>',
    "caution": _RING.format(dash="") + '<path d="M6 1.4 A4.6 4.6 0 0 0 6 10.6 Z" fill="currentColor"/>',
    "unknown": _RING.format(dash=' stroke-dasharray="2 1.6"'),
}


def mark(verdict: str) -> Markup:
    """The mark with its word; `fail` is a solid block with the word reversed out. Any other word is printed bare."""
    if verdict == "fail":
        return Markup('<span class="mark mark-fail">fail</span>')
    if verdict not in _FORMS:
        return Markup('<span class="mark">{}</span>').format(verdict)
    ring = Markup('<svg class="ring" viewBox="0 0 12 12" width="9pt" height="9pt" aria-hidden="true">{}</svg>')
    return Markup('<span class="mark mark-{}">{}{}</span>').format(
        verdict, ring.format(Markup(_FORMS[verdict])), Markup("&#8239;") + verdict)

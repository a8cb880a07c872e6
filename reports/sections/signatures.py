"""Who signed for what, and which findings were accepted by whom and why."""

from __future__ import annotations

from dataclasses import dataclass

from reports import typography
from reports.document import Signoff
from reports.source import Source

TITLE = "Who signed for what"


@dataclass(frozen=True, slots=True)
class Signature:
    """One signature as printed."""

    signoff: Signoff
    item: str
    day: str
    void: str = ""
    """Why an acceptance does not count; empty when it does."""


@dataclass(frozen=True, slots=True)
class Signatures:
    """Content of the section."""

    signed: tuple[Signature, ...]
    accepted: tuple[Signature, ...]


def build(source: Source) -> Signatures | None:
    """Signatures by item in the document's order; None when nobody has signed."""
    signed, accepted = [], []
    for signoff in source.document.signoffs:
        day = typography.date(signoff.at)
        if signoff.accepts:
            accepted.append(Signature(signoff, source.result_title(signoff.accepts), day, _void(source, signoff)))
        else:
            signed.append(Signature(signoff, typography.sentence(signoff.item.replace("_", " ")), day))
    return Signatures(tuple(signed), tuple(accepted)) if signed or accepted else None


def _void(source: Source, signoff: Signoff) -> str:
    result = source.answer.find(signoff.accepts)
    if result is not None and result.verdict == "fail":
        return "Does not count: the finding fails."
    return "" if signoff.reasoned else "Does not count without name and reason."

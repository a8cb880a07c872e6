"""Who signed for what, and which findings were accepted by whom and why."""

from __future__ import annotations

from dataclasses import dataclass

from reports import typography
from reports.document import Signoff
from reports.source import Source

TITLE = "Who signed for what"
ACCEPT = "accept:"


@dataclass(frozen=True, slots=True)
class Signature:
    """One signature as printed."""

    signoff: Signoff
    item: str
    day: str


@dataclass(frozen=True, slots=True)
class Signatures:
    """Content of the section."""

    signed: tuple[Signature, ...]
    accepted: tuple[Signature, ...]


def build(source: Source) -> Signatures | None:
    """Signatures by item in the document's order; None when nobody has signed."""
    signed, accepted = [], []
    for signoff in source.document.signoffs:
        if signoff.item.startswith(ACCEPT):
            accepted.append(Signature(signoff, source.result_title(signoff.item.removeprefix(ACCEPT)), typography.date(signoff.at)))
        else:
            signed.append(Signature(signoff, typography.sentence(signoff.item.replace("_", " ")), typography.date(signoff.at)))
    return Signatures(tuple(signed), tuple(accepted)) if signed or accepted else None

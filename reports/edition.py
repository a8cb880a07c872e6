"""Editions from one document: the owner's, the shop's, which holds everything, and for a site that anyone may see the public one.

What the owner's edition shows is declared here, field by field, and nowhere else. A field that is not named stays in the
shop, so that one added later is withheld until somebody has decided. Besides, in any text, a line that begins with
`Shop:` stays in the shop, and so do papers of the shop's edition.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

OWNER, SHOP = "owner", "shop"
EDITIONS = (OWNER, SHOP)
#: The owner's edition without what says whose the car is. No book is made of it, only pages.
PUBLIC = "public"
_WHOSE = ("owner", "vin")

#: What the owner's edition holds: the technical record, who did what and when, what the next mechanic has to know.
SHOWN: dict[str, frozenset[str]] = {name: frozenset(fields.split()) for name, fields in {
    "car": "id make model year body serial vin color owner",
    "build": "id title use units opened_on promised_on delivered_on continues notes",
    "parts": "id kind position name maker system part_number serial quantity status specs fitted_on fitted_by replaces order_as notes photos "
             "came_from",
    "specs": "id fact value basis at notes came_from",
    "measurements": "id fact value tolerance instrument condition taken_at taken_by supersedes notes photos",
    "fixes": "id system title found_at problem cause remedy status safety resolved_at parts_added before after next_mechanic photos "
             "came_from",
    "fasteners": "id joint system thread class count length lubricant specified_torque applied_torque extra_angle tool by at recheck_after "
                 "rechecked_at notes photos came_from",
    "tasks": "id title system after needs_parts estimate done_at by",
    "drives": "id at distance by observations",
    "signoffs": "id item by role at statement",
    "photos": "id file sha256 caption taken_at of",
    "papers": "id file sha256 title kind edition of",
    "visits": "id build title use opened_on delivered_on distance fixes facts notes",
}.items()}
#: What stays in the shop: where a part was bought is the shop's trade, the notes of a step are its talk among itself.
WITHHELD: dict[str, frozenset[str]] = {"parts": frozenset({"supplier"}), "tasks": frozenset({"notes"})}
#: What an owner's edition carries of each event of the car's history: neither people nor reasons nor what their records were.
HISTORY = frozenset({"event", "car", "on", "action", "list", "sealed", "previous"})
#: Keys of the document that are no records.
PLAIN = frozenset({"format", "absent"})
_SHOP_LINE = re.compile(r"^[ \t]*shop:.*(?:\n|\Z)", re.IGNORECASE | re.MULTILINE)


def view(document: Mapping[str, Any], edition: str) -> dict[str, Any]:
    """The document as that edition may see it, itself a valid document; ValueError for an edition there is none of."""
    if edition not in (*EDITIONS, PUBLIC):
        raise ValueError(f"edition {edition!r} is none of {', '.join((*EDITIONS, PUBLIC))}")
    return dict(document) if edition == SHOP else _public(document) if edition == PUBLIC else _owners(document)


def _public(document: Mapping[str, Any]) -> dict[str, Any]:
    shown = _owners(document)
    return {**shown, "car": {key: value for key, value in shown["car"].items() if key not in _WHOSE}}


def judge_history(history: str, edition: str) -> None:
    """Raise ValueError when lines of a car's history hold more than that edition may show."""
    if edition == SHOP:
        return
    for text in history.split("\n")[:-1]:
        more = set(json.loads(text)) - HISTORY
        if more:
            raise ValueError(f"an event of the {edition}'s edition shows {', '.join(sorted(more))}, which stays in the shop")


def _owners(document: Mapping[str, Any]) -> dict[str, Any]:
    hidden = {paper.get("id") for paper in document.get("papers") or () if paper.get("edition") != OWNER}
    shown: dict[str, Any] = {}
    for name, value in document.items():
        if name in PLAIN:
            shown[name] = value
        elif isinstance(value, Mapping):
            shown[name] = _record(name, value, hidden)
        elif isinstance(value, list):
            shown[name] = [_record(name, record, hidden) for record in value if name != "papers" or record.get("id") not in hidden]
        elif value is None:
            shown[name] = None
    return shown


def _record(name: str, record: Mapping[str, Any], hidden: set[Any]) -> dict[str, Any]:
    kept = {key: _without_shop_lines(value) for key, value in record.items() if key in SHOWN.get(name, ())}
    if kept.get("of"):
        kept["of"] = [key for key in kept["of"] if key not in hidden]
    return kept


def _without_shop_lines(value: Any) -> Any:
    if isinstance(value, str):
        return _SHOP_LINE.sub("", value).rstrip("\n") if "hop:" in value.lower() else value
    if isinstance(value, Mapping):
        return {key: _without_shop_lines(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_without_shop_lines(item) for item in value]
    return value

"""One build judged again by the plain run, against what was found of it before."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from typing import Any

from service.archive.bagit import BadBag
from service.checks.answer import answer_for
from service.checks.verdicts import Change, changes, name_of, program, verdicts
from service.document import DocumentError, Facts, load
from service.recheck.items import Given, Item, read
from service.recheck.last import Last
from service.storage.documents import digest
from service.storage.found import Found
from service.storage.store import Store

_log = logging.getLogger(__name__)


def judge(item: Item, store: Store | None, last: Last) -> dict[str, Any]:
    """What became of a build: `safety` changes, how many `others`, the verdicts to keep; or `unreadable`, and why."""
    head: dict[str, Any] = {"place": item.place, "build": item.name if not item.place else ""}
    try:
        return {**head, **_judged(read(item, store), last.get(item))}
    except DocumentError as error:
        first = error.problems[0]
        return {**head, "unreadable": f"{first.pointer or 'the document'}: {first.detail}"}
    except (BadBag, OSError, ValueError) as error:
        return {**head, "unreadable": str(error)}
    except Exception as error:  # noqa: BLE001 - one build must not end the recheck of a fleet
        _log.exception("a build could not be rechecked")
        return {**head, "unreadable": f"a mistake in the program stopped it ({type(error).__name__})"}


def _judged(given: Given, before: Found | None) -> dict[str, Any]:
    document = load(given.document)
    of = digest(given.document)
    was = before.verdicts if before else given.verdicts

    def tell(result: Mapping[str, Any]) -> bool:
        return was is not None and result["safety"] and was.get(name_of(result), ("", False))[0] != result["verdict"]

    results = answer_for(Facts(document), full=False, tell=tell)["results"]
    titles = {name_of(result): result["title"] for result in results}
    told = {name_of(result): result["summary"] for result in results if "summary" in result}
    now = verdicts(results)
    found = [] if was is None else list(changes(was, now))
    car = document["car"]
    return {
        "car": f"{car['year']} {car['make']} {car['model']}", "build": document["build"].get("id") or "", "title": document["build"].get("title") or "",
        "first": was is None, "record_changed": before is not None and before.document != of,
        "safety": [_entry(change, titles, told) for change in found if change.safety],
        "others": sum(1 for change in found if not change.safety),
        "found": Found(of, program(), now)._asdict(),
    }


def _entry(change: Change, titles: Mapping[str, str], told: Mapping[str, str]) -> dict[str, Any]:
    return {"finding": change.finding, "title": titles.get(change.finding), "before": change.before, "after": change.after, "worse": change.worse,
            "says": told.get(change.finding, "The check gives no result any more: what it applied to is not on the car, or it is made otherwise.")}

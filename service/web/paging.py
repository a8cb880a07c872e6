"""Pages of a list: a limit, a cursor that stays good while the list grows, and an RFC 8288 link to the next page."""

from __future__ import annotations

import base64
import json
from collections.abc import Callable, Sequence
from typing import Any
from urllib.parse import urlencode

from flask import Response, abort, request

LIMIT, MOST = 100, 1000
#: One JSON value on each line.
LINES = "application/jsonl"


def limit() -> int:
    """The page size asked for. Aborts with 400 when it is none."""
    raw = request.args.get("limit", str(LIMIT))
    if not raw.isascii() or not raw.isdigit() or not 1 <= int(raw[:9]) <= MOST:
        abort(400, f"limit is a number from 1 to {MOST}")
    return int(raw)


def after(*kinds: type) -> tuple[Any, ...] | None:
    """Where the page asked for begins. Aborts with 400 for a cursor that no page of ours gave."""
    raw = request.args.get("cursor")
    if not raw:
        return None
    try:
        found = json.loads(base64.urlsafe_b64decode(raw.encode("ascii") + b"=" * (-len(raw) % 4)))
    except (ValueError, UnicodeError):
        found = None
    if not isinstance(found, list) or len(found) != len(kinds) or not all(type(item) is kind for item, kind in zip(found, kinds, strict=True)) \
            or any(isinstance(item, int) and abs(item) >= 2**63 for item in found):
        abort(400, "the cursor is not one that a page of this list gave; begin without one")
    return tuple(found)


def page(rows: Sequence[Any], size: int, texts: Callable[[Any], str], key: Callable[[Any], tuple[Any, ...]], *,
         lines: bool = False) -> Response:
    """A page of `rows`, of which one more than `size` was asked for when there may be more. `texts` gives each as JSON text.

    With `lines` each text is a line of its own and the page no list.
    """
    shown = rows[:size]
    texts_shown = [texts(row) for row in shown]
    whole, kind = ("".join(texts_shown), LINES) if lines else (f"[{','.join(texts_shown)}]", "application/json")
    response = Response(whole, content_type=kind)
    if len(rows) > size:
        cursor = base64.urlsafe_b64encode(json.dumps(key(shown[-1]), separators=(",", ":")).encode()).decode().rstrip("=")
        query = urlencode([*((name, value) for name, value in request.args.items(multi=True) if name != "cursor"), ("cursor", cursor)])
        response.headers["Link"] = f'<{request.script_root}{request.path}?{query}>; rel="next"'
    return conditional(response)


def conditional(response: Response) -> Response:
    """Give a whole answer a weak ETag of its content and answer 304 to who has it."""
    response.add_etag(weak=True)
    response.headers["Cache-Control"] = "no-cache"
    return response.make_conditional(request)  # type: ignore[return-value]

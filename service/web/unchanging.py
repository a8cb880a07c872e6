"""What changes only with the program: pages, styles, scripts and reference, answered with an ETag for conditional GET."""

from __future__ import annotations

import hashlib

from flask import Response, request


def tag_of(content: bytes) -> str:
    """The ETag of a content."""
    return hashlib.sha256(content).hexdigest()[:32]


def unchanging(content: bytes, tag: str, content_type: str) -> Response:
    """The content, or 304 to who has it already. `tag` is its `tag_of`, reckoned once by whoever keeps the content."""
    response = Response(content, content_type=content_type)
    response.set_etag(tag)
    response.headers["Cache-Control"] = "no-cache"
    return response.make_conditional(request)  # type: ignore[return-value]

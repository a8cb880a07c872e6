"""Headers that tell a browser to trust nothing but this origin."""

from __future__ import annotations

from flask import Response, request

from service.settings import LOOPBACK

#: What every answer says unless its view says otherwise.
HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Content-Security-Policy": "default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), microphone=(), geolocation=(), payment=(), usb=()",
    "Cache-Control": "no-store",
}
#: A year: a browser that has seen this service over TLS asks it in no other way.
_TLS_ONLY = "max-age=31536000; includeSubDomains"


def add_security_headers(response: Response) -> Response:
    """Add the headers that a view has not set itself. What says nothing about caches is for none."""
    own = {name for name, _ in response.headers}
    response.headers.extend((name, value) for name, value in HEADERS.items() if name not in own)
    # A browser applies the rule to every port of the name: on the machine itself it would shut out services that are not ours.
    if request.is_secure and request.host.rsplit(":", 1)[0].strip("[]") not in LOOPBACK:
        response.headers.setdefault("Strict-Transport-Security", _TLS_ONLY)
    return response

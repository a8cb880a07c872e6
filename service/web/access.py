"""Who is asking, and whether they may: tokens, cookies, roles. Runs before every call."""

from __future__ import annotations

import datetime as dt
import threading
import time
from typing import Any, NoReturn

from flask import Flask, Response, abort, current_app, g, request
from markupsafe import escape
from werkzeug.datastructures import WWWAuthenticate
from werkzeug.exceptions import Unauthorized

from service.settings import LOOPBACK, ROOT
from service.storage import devices
from service.storage.database import Full
from service.storage.things import Author
from service.web.kept import database
from service.web.needs import Role, needed
from service.web.of_car import all_of_car
from service.web.source import from_this_machine

ROLES = {devices.READER: Role.READER, devices.BUILDER: Role.BUILDER, devices.OWNER: Role.OWNER}
#: A device that was just looked up is believed for this long. Revoked here, it is refused at once; from elsewhere, within it.
_BELIEVED_SECONDS = 1.0
_MOST_BELIEVED = 10_000
#: Browsers keep a cookie no longer than this; it is renewed while the device is in use.
_COOKIE_SECONDS = 400 * 24 * 3600
_REFUSED = ROOT / "templates" / "pages" / "refused.html"
_SAFE = ("GET", "HEAD", "OPTIONS")


class Known:
    """Devices that were looked up a moment ago, by their token's digest, so that a busy phone costs no query a request."""

    def __init__(self) -> None:
        self._found: dict[str, tuple[float, Any]] = {}
        self._lock = threading.Lock()

    def device(self, token: str) -> Any:
        """The device of a token, or None."""
        digest, now = devices.digest(token), time.monotonic()
        until, device = self._found.get(digest, (0.0, None))
        if now < until:
            return device
        with database().reading() as connection:
            device = devices.by_token(connection, token)
        if device is not None:
            with self._lock:
                if len(self._found) >= _MOST_BELIEVED:
                    self._found.clear()
                self._found[digest] = (now + _BELIEVED_SECONDS, device)
        return device

    def forget(self) -> None:
        """Look everyone up again."""
        with self._lock:
            self._found.clear()


def register(app: Flask, *, open_to_all: bool) -> None:
    """Judge every request of an application that keeps records: by its token, or, when it is open, by where it comes from."""
    app.extensions["asfitted_devices"] = Known()
    app.before_request(_judge_open if open_to_all else _judge)
    app.after_request(_private)


def known() -> Known:
    """The devices that this process remembers."""
    return current_app.extensions["asfitted_devices"]  # type: ignore[no-any-return]


def _judge() -> None:
    need = needed(request.endpoint)
    token, by_cookie = _token()
    if need is Role.ANYONE:
        return
    device = _living(token)
    if by_cookie and request.method not in _SAFE:
        same_origin()
    g.device, g.author = device, Author(device.by, device.name)
    _see(device)
    _judge_role(device, need)


def _judge_role(device: Any, need: Role) -> None:
    role = ROLES[device.role]
    if role < need:
        abort(403, f"this needs the role {need.name.lower()}; this device's is {device.role}")
    if role is Role.READER and not all_of_car(device.car, request.view_args or {}):
        abort(404, "there is no such thing here")


def _judge_open() -> None:
    """Without tokens only this machine is answered, by a name that is its own: a page from elsewhere that has made its own
    name mean this machine is not."""
    host = (request.host.rsplit(":", 1)[0] if not request.host.endswith("]") else request.host).strip("[]")
    # What came over no network at all has no address.
    if host not in LOOPBACK or not (request.remote_addr is None or from_this_machine()):
        abort(403, "the service was started without devices and so answers this machine only, by the name localhost")
    if request.method not in _SAFE:
        from_elsewhere()


def from_elsewhere() -> None:
    """Aborts with 403 when a browser says that another site's page sends this. What is no browser says nothing."""
    if "Origin" in request.headers or "Sec-Fetch-Site" in request.headers:
        same_origin()


def same_origin() -> None:
    """Aborts with 403 when a browser may have been made to send this by another site's page."""
    site = request.headers.get("Sec-Fetch-Site")
    ours = site == "same-origin" if site is not None else request.headers.get("Origin") == request.host_url.rstrip("/")
    if not ours:
        abort(403, "a browser's change must come from a page of this service; a program sends its token as Authorization: Bearer")


def _token() -> tuple[str | None, bool]:
    """The token that was sent, and whether it came as a cookie. A header goes before a cookie."""
    given = request.authorization
    if "Authorization" in request.headers:
        return (given.token or "" if given is not None and given.type == "bearer" else ""), False
    cookie = request.cookies.get(cookie_name())
    return cookie, cookie is not None


def _living(token: str | None) -> Any:
    """The device of a token. Aborts with 401 when there is none that may still ask."""
    if token is None:
        _unauthorized("this device is not paired: open /pair in a browser; a program sends its token as Authorization: Bearer", None)
    device = known().device(token)
    if device is None:
        _unauthorized("this token is nobody's; pair this device again")
    if device.revoked_at is not None:
        _unauthorized("this device was revoked; an owner can pair it again")
    if devices.expired(device, dt.datetime.now(dt.UTC)):
        _unauthorized("this link has expired; the shop can make another one")
    return device


def _unauthorized(detail: str, error: str | None = "invalid_token") -> NoReturn:
    challenge = WWWAuthenticate("bearer", {"realm": "As Fitted", **({"error": error} if error else {})})
    refused = Unauthorized(detail, www_authenticate=challenge)
    # A person who opens a page is told so in a page.
    if request.method == "GET" and request.accept_mimetypes.best_match(["application/json", "text/html"]) == "text/html":
        refused.response = Response(_REFUSED.read_text(encoding="utf-8").replace("{{ detail }}", str(escape(detail[:1].upper() + detail[1:]))), 401,
                                    {"WWW-Authenticate": str(challenge)}, content_type="text/html; charset=utf-8")
    raise refused


def _see(device: Any) -> None:
    """Note that a device was seen. That it cannot be noted stops nobody."""
    now = dt.datetime.now(dt.UTC)
    if not devices.unseen(device, now):
        return
    try:
        with database().writing() as connection:
            devices.see(connection, device.id, now)
    except Full:
        return
    known().forget()
    g.renew_cookie = True


def living_by_cookie() -> Any:
    """The device whose cookie came with the request and may still ask, whatever else came; None when there is none."""
    token = request.cookies.get(cookie_name())
    device = known().device(token) if token else None
    now = dt.datetime.now(dt.UTC)
    return device if device is not None and device.revoked_at is None and not devices.expired(device, now) else None


def cookie_name() -> str:
    """The cookie's name; over TLS one that browsers take from this very host only."""
    return "__Host-asfitted" if request.is_secure else "asfitted"


def give_cookie(response: Response, token: str, expires_at: str | None = None) -> None:
    """Keep a token in the browser, out of reach of any script, sent to this service's own pages only."""
    seconds = _COOKIE_SECONDS
    if expires_at is not None:
        left = dt.datetime.fromisoformat(expires_at) - dt.datetime.now(dt.UTC)
        seconds = max(0, min(seconds, int(left.total_seconds())))
    response.set_cookie(cookie_name(), token, max_age=seconds, path="/", secure=request.is_secure, httponly=True, samesite="Strict")


def take_cookie(response: Response) -> None:
    """Take the token out of the browser."""
    response.delete_cookie(cookie_name(), path="/", secure=request.is_secure, httponly=True, samesite="Strict")


def _private(response: Response) -> Response:
    """What a device was answered is for no one else's cache."""
    if g.get("device") is not None:
        response.vary.update(("Authorization", "Cookie"))
        response.headers["Cache-Control"] = _with_private(response.headers.get("Cache-Control", "no-store"))
        token, by_cookie = _token()
        if by_cookie and g.get("renew_cookie") and "Set-Cookie" not in response.headers:
            give_cookie(response, str(token), g.device.expires_at)
    return response


def _with_private(control: str) -> str:
    return control if "private" in control or "no-store" in control else f"private, {control.replace('public, ', '')}"

"""Devices: paired with a code, listed, revoked."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, abort, current_app, g, jsonify, request, url_for
from marshmallow import ValidationError
from werkzeug.exceptions import TooManyRequests

from service import qr
from service.document.load import load_shape
from service.document.records import Strict, Text, one_of, text
from service.settings import LOOPBACK
from service.storage import devices, pairing, things
from service.web import paging
from service.web.access import from_elsewhere, give_cookie, known, living_by_cookie, take_cookie
from service.web.body import read_json
from service.web.described import Answer, Call, Content, described
from service.web.kept import author, database
from service.web.source import network

blueprint = Blueprint("devices", __name__, url_prefix="/v1/devices")
_DEVICE = Content("device")
_PAIRING = {"code": "7K3MQ-V9D2H", "by": "Oona", "name": "bench tablet", "keep": "token"}
_MOST_NAME = 80
#: Anyone may send this: a code and two names are never larger.
_MOST_PAIRING = 8 * 1024


def a_name(value: str) -> None:
    """Judges a name: one line that can be read."""
    if not value.strip() or len(value) > _MOST_NAME or not value.isprintable():
        raise ValidationError(f"a name of 1 to {_MOST_NAME} characters on one line is wanted")


class PairShape(Strict):
    """What a device sends to be paired: the code, who uses it, what to call it, and how it keeps its token."""

    code = text(required=True)
    by = Text(required=True, validate=a_name)
    name = Text(required=True, validate=a_name)
    keep = one_of("token", "cookie", load_default="token")


class CodeShape(Strict):
    """The role that a code gives."""

    role = one_of(devices.OWNER, devices.BUILDER, load_default=devices.BUILDER)


@blueprint.post("")
@described(Call({201: Answer("it is paired", Content("paired"), ("Location",))}, takes=Content("pairing", _PAIRING), problems=(403, 429, 507), open=True))
def post_device() -> Response:
    """Pair a device with a code. Its token is told this once; with `"keep": "cookie"` it is kept by the browser instead."""
    request.max_content_length = _MOST_PAIRING
    body = load_shape(PairShape(), read_json())
    from_elsewhere()
    enrolled = _pair(network(request.remote_addr or ""), body["code"], name=body["name"].strip(), by=body["by"].strip())
    if enrolled is None:
        abort(403, "the code is wrong, used or too old; asfitted device pair prints a new one")
    shown = device_body(enrolled.device)
    response = jsonify(shown if body["keep"] == "cookie" else {**shown, "token": enrolled.token})
    response.status_code = 201
    response.headers["Location"] = url_for("devices.get_devices")
    response.headers["Cache-Control"] = "no-store"
    if body["keep"] == "cookie":
        give_cookie(response, enrolled.token)
    return response


def _pair(source: str, code: str, *, name: str, by: str) -> devices.Enrolled | None:
    """Try a code. Aborts with 429 when too many wrong ones came before; what is wrong now is counted."""
    with database().reading() as connection:
        _must_not_wait(pairing.wait(connection, source))
    with database().writing() as connection:
        pairing.one_at_a_time(connection)
        _must_not_wait(pairing.wait(connection, source))
        enrolled = pairing.pair(connection, code, name=name, by=by)
        if enrolled is None:
            pairing.note_wrong(connection, source)
        return enrolled


def _must_not_wait(seconds: int) -> None:
    if seconds:
        raise TooManyRequests(f"too many wrong codes came from there; wait {seconds} seconds", retry_after=seconds)


@blueprint.get("")
@described(Call({200: Answer("the devices", Content({"type": "array", "items": {"$ref": "#/components/schemas/device"}}), ("ETag",))}))
def get_devices() -> Response:
    """The devices, revoked ones too, in the order they were paired."""
    with database().reading() as connection:
        rows = devices.listed(connection, shares=False)
    return paging.page(rows, len(rows), lambda row: things.as_text(device_body(row)), lambda row: (row.id,))


@blueprint.post("/codes")
@described(Call({201: Answer("a code", Content("pairing_code"))}, takes=Content("code_wanted", {"role": "builder"}), problems=(507,)))
def post_code() -> Response:
    """A code by which one more device can be paired within ten minutes, with the address and the picture to scan."""
    body = load_shape(CodeShape(), read_json())
    with database().writing() as connection:
        code = pairing.make_code(connection, body["role"], author().by)
    link = f"{base_url()}/pair#{code.text}"
    response = jsonify({"code": code.text, "role": code.role, "expires_at": code.expires_at, "link": link, "qr": qr.svg(link)})
    response.headers["Cache-Control"] = "no-store"
    response.status_code = 201
    return response


@blueprint.delete("/<device>")
@described(Call({204: Answer("it is revoked")}, problems=(409, 507)))
def delete_device(device: str) -> Response:
    """Revoke a device: it is refused from now on; what it wrote stays."""
    with database().writing() as connection:
        things.one_at_a_time(connection, "/devices")
        row = devices.find(connection, device)
        if row is None or row.role == devices.READER:
            abort(404, "there is no such device")
        if [owner.id for owner in devices.owners(connection)] == [device]:
            abort(409, "this is the last owner's device; pair another one first (asfitted device pair --role owner)")
        devices.revoke(connection, device, author().by)
    known().forget()
    return Response(status=204)


@blueprint.get("/me")
@described(Call({200: Answer("who asks", _DEVICE)}))
def get_me() -> Response:
    """Who is asking: the name, the role, the car that a reader reads."""
    device = g.get("device")
    response = jsonify(device_body(device) if device is not None else {"name": author().device, "by": author().by, "role": devices.OWNER})
    response.headers["Cache-Control"] = "no-store"
    return response


@blueprint.delete("/me/cookie")
@described(Call({204: Answer("the cookie is taken back")}))
def delete_cookie() -> Response:
    """Take the token out of this browser. The device stays paired until it is revoked."""
    response = Response(status=204)
    take_cookie(response)
    return response


@blueprint.post("/me/cookie")
@described(Call({200: Answer("the cookie is set", _DEVICE)}, problems=(409, 422)))
def post_cookie() -> Response:
    """Keep the token that came as `Authorization: Bearer` in this browser. A link to read one car never takes the place of a paired device."""
    from_elsewhere()
    if request.authorization is None or g.get("device") is None:
        abort(422, "send the token to be kept as Authorization: Bearer")
    before = living_by_cookie()
    if before is not None and before.role != devices.READER and g.device.role == devices.READER:
        abort(409, f"this browser is already paired as {before.name}, which reads every car")
    response = jsonify(device_body(g.device))
    give_cookie(response, request.authorization.token or "", g.device.expires_at)
    return response


def device_body(row: Any) -> dict[str, Any]:
    """A device as it is told. Never its token's digest."""
    told = {"id": row.id, "name": row.name, "by": row.by, "role": row.role, "car": row.car, "paired_at": row.made_at, "paired_by": row.made_by,
            "expires_at": row.expires_at, "last_seen": row.seen_at, "revoked_at": row.revoked_at, "revoked_by": row.revoked_by}
    return {key: value for key, value in told.items() if value is not None or key in ("last_seen", "revoked_at")}


def base_url() -> str:
    """The address that others reach this service by: the one that was asked, unless only this machine understands it."""
    host = request.host.rsplit(":", 1)[0].strip("[]")
    own: str | None = current_app.config.get("ASFITTED_ADDRESS")
    return own if own and host in LOOPBACK else request.host_url.rstrip("/")

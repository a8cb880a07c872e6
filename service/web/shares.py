"""Shares: links by which a customer reads one car until a day."""

from __future__ import annotations

import datetime as dt
from typing import Any

from flask import Blueprint, Response, abort, jsonify, request, url_for

from service import qr
from service.document import DocumentError, Problem
from service.document.load import load_shape
from service.document.records import Strict, Text, Whole, text
from service.storage import devices, things
from service.storage.models import CARS, RETRACTED
from service.web import paging
from service.web.access import known
from service.web.body import read_json
from service.web.described import Answer, Call, Content, Parameter, described
from service.web.devices import a_name, base_url
from service.web.examples import path_example
from service.web.kept import author, database

blueprint = Blueprint("shares", __name__, url_prefix="/v1/shares")
_DAYS, _MOST_DAYS = 90, 400
_WANTED = {"car": path_example("car"), "name": "the owner's link", "days": 30}
_CAR = Parameter("car", "only the links to this car")


class ShareShape(Strict):
    """Which car may be read, what to call the link (mostly who has it), and for how many days it is good."""

    car = text(required=True)
    name = Text(validate=a_name, load_default="reader link")
    days = Whole(1, _MOST_DAYS, _DAYS, load_default=_DAYS)


@blueprint.post("")
@described(Call({201: Answer("the link", Content("shared"), ("Location",))}, takes=Content("share_wanted", _WANTED), problems=(507,)))
def post_share() -> Response:
    """Make a link by which one car can be read. The link is told this once; whoever has it can read the car until it expires or is revoked."""
    body = load_shape(ShareShape(), read_json())
    until = dt.datetime.now(dt.UTC) + dt.timedelta(days=body["days"])
    with database().writing() as connection:
        car = things.find(connection, things.SCOPES[CARS], body["car"])
        if car is None or car.action == RETRACTED:
            raise DocumentError([Problem("/car", "there is no such car")])
        made = devices.enroll(connection, name=body["name"].strip(), by=body["name"].strip(), role=devices.READER, made_by=author().by, car=body["car"],
                              expires_at=until.isoformat(timespec="seconds"))
    link = f"{base_url()}/share#{made.token}"
    response = jsonify({**share_body(made.device), "link": link, "token": made.token, "qr": qr.svg(link)})
    response.headers["Cache-Control"] = "no-store"
    response.headers["Location"] = url_for("shares.get_shares")
    response.status_code = 201
    return response


@blueprint.get("")
@described(Call({200: Answer("the links", Content({"type": "array", "items": {"$ref": "#/components/schemas/share"}}), ("ETag",))}, query=(_CAR,)))
def get_shares() -> Response:
    """The links that were made, of one car with `?car=`, expired and revoked ones too, in the order they were made."""
    with database().reading() as connection:
        rows = devices.listed(connection, shares=True, car=request.args.get("car"))
    return paging.page(rows, len(rows), lambda row: things.as_text(share_body(row)), lambda row: (row.id,))


@blueprint.delete("/<share>")
@described(Call({204: Answer("it is revoked")}, problems=(507,)))
def delete_share(share: str) -> Response:
    """Revoke a link: it reads nothing from now on."""
    with database().writing() as connection:
        row = devices.find(connection, share)
        if row is None or row.role != devices.READER:
            abort(404, "there is no such link")
        devices.revoke(connection, share, author().by)
    known().forget()
    return Response(status=204)


def share_body(row: Any) -> dict[str, Any]:
    """A link as it is told. Never its token's digest."""
    return {"id": row.id, "name": row.name, "car": row.car, "made_at": row.made_at, "made_by": row.made_by, "expires_at": row.expires_at,
            "last_seen": row.seen_at, "revoked_at": row.revoked_at}

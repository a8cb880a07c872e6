"""Recalls: which cars carry a part, who owns them, and where it stands in each car's book."""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
from collections.abc import Mapping
from typing import Any

from flask import Blueprint, Response, abort, request

from service.document.anchors import anchor
from service.document.facts import PART_STATUSES
from service.document.titles import title_of
from service.storage import recall, things
from service.storage.recall import Carried, Wanted
from service.web import paging
from service.web.described import JSON, PAGE, Answer, Call, Content, Parameter, described
from service.web.found import Standing, address
from service.web.kept import database

blueprint = Blueprint("recall", __name__, url_prefix="/v1")
CSV = "text/csv"
_ANY = "any"
_STATUSES = (*PART_STATUSES, "removed", _ANY)
_DAY = {"type": "string", "format": "date"}
_QUERY = (
    Parameter("part_number", "the part's number; case, dashes and dots make no difference", example="HS-5540-C"),
    Parameter("maker", "the part's maker, or words of its name", example="Halverstoke"),
    Parameter("serial_from", "the first serial, digits compared as numbers; a bare number is held against a serial's last number", example="HS5540-C-9"),
    Parameter("serial_to", "the last serial", example="HS5540-C-99999"),
    Parameter("fitted_from", "the first day of fitting", _DAY, "2026-01-01"),
    Parameter("fitted_to", "the last day of fitting", _DAY, "2026-12-31"),
    Parameter("status", f"parts of this status only; {_ANY} for all", {"type": "string", "enum": list(_STATUSES), "default": "fitted"}),
    Parameter("format", "json or csv, in place of the Accept header", {"type": "string", "enum": ["json", "csv"]}),
)
_GIVES = Answer("the parts in question, each with its car, owner, build and place in the book",
                Content({"type": "array", "items": {"$ref": "#/components/schemas/carried"}}, types=(JSON, CSV)), ("ETag", "Link"))
_COLUMNS = ("car", "car_title", "car_serial", "car_vin", "owner", "contact", "build", "build_title", "delivered_on", "part", "kind", "position", "name",
            "maker", "part_number", "serial", "quantity", "status", "fitted_on", "unknown", "later_build", "later_part", "address", "book")
#: What a spreadsheet would take for a formula.
_FORMULA = re.compile(r"[=@\t\r]|[+-](?![\d ().-]*\Z)")


@blueprint.get("/recall")
@described(Call({200: _GIVES}, query=(*_QUERY, *PAGE)))
def get_recall() -> Response:
    """Cars that carry a part, by part number or maker, serials from and to, fitted between two days, and who owns them.

    A part whose serial or day of fitting nobody recorded is listed too, and `unknown` says so. `later` is a part of the same kind and
    place in a later build of the car, which may have replaced it. As CSV the list comes whole unless `limit` is given.
    """
    wanted, as_csv = _wanted(), _as_csv()
    size = paging.limit() if "limit" in request.args or not as_csv else None
    before = paging.after(int)
    with database().reading() as connection:
        found = recall.carried(connection, wanted, size + 1 if size is not None else None, before[0] if before else None)
        shown = found if size is None else found[:size]
        standing = Standing(connection, (item.row for item in shown))
        entries = {item.row.number: _entry(connection, item, standing) for item in shown}
    texts = (lambda item: _csv_row(entries[item.row.number])) if as_csv else (lambda item: things.as_text(entries[item.row.number]))
    response = paging.page(found, len(found) if size is None else size, texts, lambda item: (item.row.number,), lines=as_csv)
    return _with_columns(response) if as_csv else response


def _wanted() -> Wanted:
    given = {name: request.args.get(name, "").strip() for name in ("part_number", "maker", "serial_from", "serial_to", "fitted_from", "fitted_to")}
    status = request.args.get("status", "fitted")
    if status not in _STATUSES:
        abort(400, f"status is one of {', '.join(_STATUSES)}")
    for name in ("fitted_from", "fitted_to"):
        if given[name] and not _is_day(given[name]):
            abort(400, f"{name} is a day like 2026-03-02")
    wanted = Wanted(**given, status=None if status == _ANY else status)
    if not wanted.asked().items:
        abort(400, "a recall names a part number or a maker, for example part_number=HS-5540-C")
    return wanted


def _is_day(text: str) -> bool:
    try:
        return len(text) == 10 and bool(dt.date.fromisoformat(text))
    except ValueError:
        return False


def _as_csv() -> bool:
    form = request.args.get("format")
    if form not in (None, "json", "csv"):
        abort(400, "format is json or csv")
    return form == "csv" or (form is None and request.accept_mimetypes.best_match([JSON, CSV], JSON) == CSV)


def _entry(connection: Any, item: Carried, standing: Standing) -> dict[str, Any]:
    row, part = item.row, item.part
    car, build = standing.cars.get(row.car, {}), standing.builds.get(row.scope, {})
    after = recall.later(connection, row.car, row.scope, part)
    return {
        "car": {**standing.car(row), "serial": car.get("serial"), "vin": car.get("vin")},
        "owner": car.get("owner") or {},
        "build": {"id": row.scope, "title": title_of("builds", build), "delivered_on": build.get("delivered_on")},
        "part": {**part, "status": part.get("status") or "fitted"},
        "unknown": list(item.unknown),
        "later": {"build": after[0], "id": after[1]["id"], "title": title_of("parts", after[1])} if after else None,
        "address": address(row),
        "book": anchor("parts", row.id),
    }


def _csv_row(entry: Mapping[str, Any]) -> str:
    car, owner, build, part, after = (entry[name] or {} for name in ("car", "owner", "build", "part", "later"))
    values = (car["id"], car["title"], car["serial"], car["vin"], owner.get("name"), owner.get("contact"), build["id"], build["title"], build["delivered_on"],
              part["id"], *(part.get(name) for name in ("kind", "position", "name", "maker", "part_number", "serial", "quantity", "status", "fitted_on")),
              " ".join(entry["unknown"]), after.get("build"), after.get("title"), entry["address"], entry["book"])
    return _csv_line(values)


def _csv_line(values: tuple[Any, ...]) -> str:
    out = io.StringIO()
    cells = ["" if value is None else str(value) for value in values]
    csv.writer(out).writerow([f"'{cell}" if _FORMULA.match(cell) else cell for cell in cells])
    return out.getvalue()


def _with_columns(response: Response) -> Response:
    if response.status_code == 200:
        response.set_data(_csv_line(_COLUMNS) + response.get_data(as_text=True))
        response.content_type = f"{CSV}; charset=utf-8; header=present"
        response.headers["Content-Disposition"] = 'attachment; filename="recall.csv"'
    response.vary.add("Accept")
    return response

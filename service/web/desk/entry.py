"""The desk's forms: a new car, a build, a record of any list, and a change of what is kept. `form.js` sends them to the interface."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from flask import Blueprint, Response, abort, request, url_for

from service.checks.readiness.acceptance import key_of
from service.checks.speak import title_of
from service.document.address import AddressError, resolve
from service.document.records import LISTS
from service.storage import things
from service.storage.models import BUILDS, CARS
from service.storage.things import SCOPES
from service.vocabulary import KINDS, scales_of
from service.vocabulary.core import SYSTEMS, Kind
from service.web.described import Answer, Call, Content, Parameter, described
from service.web.desk import questions, rendering
from service.web.desk.questions import Question
from service.web.documents import answer_of, exported
from service.web.kept import author, database, etag, present

blueprint = Blueprint("entry", __name__, url_prefix="/desk")
_PAGE = Call({200: Answer("the page", Content({"type": "string"}, types=("text/html",)))}, problems=(401, 403, 410))
_ABOUT = (Parameter("kind", "what kind of part"), Parameter("fact", "the fact that is measured or specified"),
          Parameter("subject", "whose facts to choose from"),
          Parameter("position", "where, by a name of the shop's own"), Parameter("item", "what is signed"))
_CONTINUES = Parameter("continues", "the build that the new one continues")
_NEW_VISIT = ("It begins as “{title}” ended: fitted parts, torques, what is open and what was stated come along. What was measured then comes along "
              "with its date, as what it was then; measure again what may have changed.")
_LIST = f"<any({', '.join(LISTS)}):name>"
#: What the car itself says, so that nobody has to measure it.
_OF_THE_CAR = ("make", "model", "year", "serial", "vin")
_STATED = ("measurements", "specs")
#: What a record is called on buttons and headings.
WORDS = {"parts": "part", "specs": "specification", "measurements": "measurement", "fixes": "fix", "fasteners": "joint", "tasks": "step", "drives": "drive",
         "signoffs": "signature", "photos": "photograph", "papers": "paper", "visits": "visit"}
#: Said where a record may lead someone to trust his life to it. Usual cautions; local codes and licensed practice go before.
_CAUTIONS = {
    "signoffs": "Sign only what you have looked at yourself. A signature here replaces no inspection that local codes or a licensed trade ask for.",
    "fasteners": "The maker’s torque for this very bolt and joint goes before any figure here. "
                 "Brakes, steering, suspension and driveline want a second look by someone else.",
}
_MINE = {"parts": "fitted_by", "measurements": "taken_by", "fasteners": "by", "drives": "by", "signoffs": "by"}
_BEGUN: Mapping[str, Mapping[str, Any]] = {
    "parts": {"status": "fitted"}, "fixes": {"status": "open", "safety": False}, "papers": {"kind": "other", "edition": "shop"},
}


@blueprint.get("/cars/new")
@described(_PAGE)
def get_new_car() -> Response:
    """A form for a car that is new in the shop."""
    return _form(questions.of_car(), "A new car", to="/v1/cars", then="/desk/cars/{id}/builds/new", back=url_for("desk.get_builds_page"))


@blueprint.get("/cars/<car>/change")
@described(_PAGE)
def get_car_form(car: str) -> Response:
    """A form to change what is said of a car."""
    row = _thing(CARS, car)
    here = url_for("desk.get_car_page", car=car)
    return _form(questions.of_car(), "The car", _name(row), record=json.loads(row.body), to=f"/v1/cars/{car}", tag=etag(row.number), then=here)


@blueprint.get("/cars/<car>/builds/new")
@described(Call(_PAGE.gives, query=(_CONTINUES,), problems=(401, 403, 410)))
def get_new_build(car: str) -> Response:
    """A form for a build of a car; with `continues` for a new visit, which begins as that build ended."""
    row = _thing(CARS, car)
    last = request.args.get("continues", "")
    if last:
        return _visit(row, _thing(BUILDS, last))
    return _form(questions.of_build(), "A new build", _name(row), record={"units": "us"}, to=f"/v1/cars/{car}/builds", then="/desk/builds/{id}",
                 back=url_for("desk.get_car_page", car=car))


def _visit(car: Any, last: Any) -> Response:
    """The form for a build that continues another of the car."""
    if last.car != car.id:
        abort(404, "the car has no such build")
    held = json.loads(last.body)
    record = {**{key: held[key] for key in ("use", "units", "absent") if held.get(key)}, "continues": last.id}
    asked = [*questions.of_build(held.get("absent") or ()), Question("continues", "continues", "hidden")]
    return _form(asked, "A new visit", _name(car), record=record, caution=_NEW_VISIT.format(title=held.get("title") or "the last build"),
                 to=f"/v1/cars/{car.id}/builds", then="/desk/builds/{id}", back=url_for("desk.get_build_page", build=last.id))


@blueprint.get("/builds/<build>/change")
@described(_PAGE)
def get_build_form(build: str) -> Response:
    """A form to change what is said of a build."""
    row = _thing(BUILDS, build)
    record = json.loads(row.body)
    here = url_for("desk.get_build_page", build=build)
    return _form(questions.of_build(record.get("absent") or ()), "The build", _name(_thing(CARS, row.car)), record=record, to=f"/v1/builds/{build}",
                 tag=etag(row.number), then=here)


def _thing(name: str, id: str) -> Any:
    with database().reading() as connection:
        return present(things.find(connection, SCOPES[name], id), "car" if name == CARS else "build")


def _name(row: Any) -> str:
    car = json.loads(row.body)
    return f"{car['year']} {car['make']} {car['model']}"


@blueprint.get(f"/builds/<build>/{_LIST}/new")
@described(Call(_PAGE.gives, query=_ABOUT, problems=(401, 403, 410)))
def get_new_record(build: str, name: str) -> Response:
    """A form for a new record; before it, where that is not said yet, the choice of what it is about."""
    document = exported(build)
    about = {key: value for key in ("kind", "fact", "item") if (value := request.args.get(key, "").strip())}
    if name == "parts" and about.get("kind") not in (*KINDS, "other"):
        return _choose(document, name, questions.is_part)
    if name in _STATED and not _known_fact(about.get("fact", "")):
        subject = KINDS.get(request.args.get("subject", ""))
        return _choose(document, name, questions.is_measured) if subject is None or not questions.is_measured(subject) else _fields(document, name, subject)
    return _record_form(document, name, about, record={**_begun(name), **about}, to=f"/v1/builds/{build}/{name}", new=True,
                        then=f"{url_for('desk.get_build_page', build=build)}#{name}", another=_another(build, name, about))


@blueprint.get(f"/builds/<build>/{_LIST}/<record>/change")
@described(_PAGE)
def get_record_form(build: str, name: str, record: str) -> Response:
    """A form to change a record."""
    document = exported(build)
    with database().reading() as connection:
        row = present(things.find(connection, build, record), WORDS[name])
    if row.list != name:
        abort(404, "there is no such record")
    body = json.loads(row.body)
    here = url_for("desk.get_record_page", build=build, name=name, record=record)
    return _record_form(document, name, body, record=body, to=f"/v1/builds/{build}/{name}/{record}", tag=etag(row.number), then=here)


def _record_form(document: Mapping[str, Any], name: str, about: Mapping[str, Any], **more: Any) -> Response:
    answer = answer_of(document) if name in (*_STATED, "signoffs") else None
    asked = questions.of_record(name, document, about, _acceptable(answer) if answer and name == "signoffs" else ())
    return _form(asked, _heading(name, about, answer), _car(document), caution=_CAUTIONS.get(name, ""),
                 about=_beside(about, answer) if answer and name in _STATED else None, **more)


def _form(asked: Sequence[Question], heading: str, over: str = "", *, record: Mapping[str, Any] | None = None, **more: Any) -> Response:
    """The page of a form. `to` is the address of the interface, `tag` the ETag of what is changed, `then` where it leads afterwards."""
    more.setdefault("back", more["then"])
    return rendering.page("entry.html", questions=asked, heading=heading, over=over, record=record or {}, **more)


def _car(document: Mapping[str, Any]) -> str:
    car = document["car"]
    return f"{car['year']} {car['make']} {car['model']}"


def _begun(name: str) -> dict[str, Any]:
    """What a new record says unless it is told otherwise."""
    mine, by = _MINE.get(name), author().by
    return {**_BEGUN.get(name, {}), **({mine: by} if mine and by != "this machine" else {})}


def _heading(name: str, about: Mapping[str, Any], answer: Mapping[str, Any] | None) -> str:
    if name == "parts":
        kind = KINDS.get(about["kind"])
        return kind.title if kind else "another part"
    if name in _STATED and answer:
        return next((item["title"] for item in answer["measure_next"] if item["fact"] == about["fact"]), title_of(about["fact"]))
    return {"drives": "a drive", "fixes": "a fix", "tasks": "a step of the plan", "visits": "an earlier visit"}.get(name, f"a {WORDS[name]}")


def _known_fact(fact: str) -> bool:
    try:
        resolve(fact)
    except AddressError:
        return False
    return True


def _another(build: str, name: str, about: Mapping[str, Any]) -> str:
    """Where the next record of the same sort is entered."""
    more = {"subject": about["fact"].partition(".")[0]} if "fact" in about else {}
    return url_for("entry.get_new_record", build=build, name=name, **more)


def _beside(about: Mapping[str, Any], answer: Mapping[str, Any]) -> dict[str, Any]:
    """What is known of a fact, what is usual, and what waits for it."""
    subject, _, rest = about["fact"].partition(".")
    field = KINDS[subject].by_name[rest.partition("@")[0]]
    return {"last": next((item["printed"] for item in answer["facts"] if item["fact"] == about["fact"]), None), "usual": field.usual_range,
            "scales": scales_of(field.dimension) if field.is_quantity else {},
            "waits": next((len(item["unlocks"]) for item in answer["measure_next"] if item["fact"] == about["fact"]), 0)}


def _acceptable(answer: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Findings that may be accepted by name and reason: cautions and what is not known, never a fail."""
    found = [item for item in answer["results"] if item["verdict"] in ("caution", "unknown") and item["safety"]]
    named = [(key_of(item), ", ".join(filter(None, (item["title"], rendering.place(item["position"])))), item["verdict"]) for item in found]
    return [(f"accept:{key}", f"accepting: {title} ({verdict})") for key, title, verdict in named]


def _choose(document: Mapping[str, Any], name: str, wanted: Any) -> Response:
    """The choice of what a record is about."""
    return rendering.page("choose.html", document=document, list=name, key="kind" if name == "parts" else "subject", word=WORDS[name],
                          systems=list(questions.kinds_by_system(wanted)))


def _fields(document: Mapping[str, Any], name: str, kind: Kind) -> Response:
    """A subject's fields, each at the places where it can be, with what is known there."""
    facts = {item["fact"]: item["printed"] for item in answer_of(document)["facts"] if item["fact"].startswith(f"{kind.name}.")}
    position = " ".join(request.args.get("position", "").split())
    labels = sorted({fact.partition("@")[2] for fact in facts if "@" in fact} | ({position} if position else set()))
    rows = []
    for field in (one for one in kind.fields if kind.name != "car" or one.name not in _OF_THE_CAR):
        places = kind.positions_of(field)
        names = [*([None] if places.bare else []), *places.names, *(one for one in labels if places.label and one not in places.names)]
        at = [f"{kind.name}.{field.name}{f'@{one}' if one else ''}" for one in names]
        rows.append((field, [(fact, one, facts.get(fact)) for fact, one in zip(at, names, strict=True)]))
    return rendering.page("fields.html", document=document, list=name, word=WORDS[name], kind=kind, system=SYSTEMS[kind.system], rows=rows,
                          label=any(kind.positions_of(field).label for field in kind.fields))


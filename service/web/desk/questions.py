"""What the desk asks: the questions of a form for a car, a build and every list, in the order in which a builder answers them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from service.checks.readiness.items import TITLES
from service.document.facts import PART_STATUSES
from service.document.records import EDITIONS, FIX_STATUSES, PAPER_KINDS, USES
from service.quantities import units_of
from service.vocabulary import KINDS
from service.vocabulary.core import SYSTEMS, Field, Kind, Positions
from service.web.named import named

#: Systems that nobody works on: they count what is recorded.
_COUNTED = ("identity", "schedule", "records", "readiness")
_US_UNITS: Mapping[str, str] = {"distance": "mi", "estimate": "h", "recheck_after": "mi"}
_DISTANCES, _TIMES = ("mi", "km"), ("h", "min", "day")
_GOES = {"owner": "to the owner, with the book", "shop": "nowhere: it stays in the shop"}
Options = Sequence[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class Question:
    """One question of a form: where its answer goes in the record (`specs.diameter`), and in which way it is asked and read.

    `when` is what another answer has to be before this one is asked (`status=fitted`), in a new record only; `folded` ones
    stand behind "More".
    """

    name: str
    title: str
    way: str = "line"
    hint: str = ""
    required: bool = False
    options: Options = ()
    unit: str = ""
    folded: bool = False
    when: str = ""


def of_car() -> list[Question]:
    """A car."""
    return [
        Question("year", "model year", "whole", required=True), Question("make", "make", required=True), Question("model", "model", required=True),
        Question("body", "body", hint="For example pickup, coupe, roadster."), Question("color", "color"),
        Question("serial", "serial number"), Question("vin", "VIN", hint="17 characters, from 1981 on."),
        Question("owner.name", "owner’s name"), Question("owner.contact", "how to reach the owner", hint="Stays in the shop: the owner’s book leaves it out."),
    ]


def of_build(absent: Iterable[str] = ()) -> list[Question]:
    """A build of a car."""
    return [
        Question("title", "what this build is", hint="A few words: farm pickup become a tow rig."),
        Question("use", "use", "choice", options=choices(USES), required=True, hint="What the checks’ limits are taken from."),
        Question("units", "units", "choice", options=[("us", "US customary"), ("metric", "metric")], required=True),
        Question("opened_on", "opened on", "day"), Question("promised_on", "promised for", "day"),
        Question("delivered_on", "handed over on", "day", hint="Empty as long as the car is in the shop."),
        Question("absent", "not fitted, on purpose", "absent", options=absences(absent),
                 hint="What a car often has and this one is meant to be without: a brake booster, an anti-roll bar."),
        Question("notes", "notes", "long"),
    ]


def of_record(name: str, document: Mapping[str, Any], about: Mapping[str, Any], accepted: Options = ()) -> list[Question]:
    """A record of the list `name`. `about` is what is settled already: a part's kind, a measurement's fact."""
    return _OF[name](_Around(document, about, accepted))


@dataclass(frozen=True, slots=True)
class _Around:
    """What a record's form is made within."""

    document: Mapping[str, Any]
    about: Mapping[str, Any]
    accepted: Options

    @property
    def metric(self) -> bool:
        return bool(self.document["build"].get("units") == "metric")

    def unit(self, field: Field) -> str:
        """The unit in which this shop reads a field."""
        return field.unit("metric" if self.metric else "us")

    def records(self, *lists: str) -> list[tuple[str, str]]:
        """Records of these lists, newest first, that another may name."""
        return [(record["id"], named(name, record)) for name in lists for record in reversed(self.document.get(name) or ())]


def choices(names: Iterable[str]) -> list[tuple[str, str]]:
    """Choices with their words."""
    return [(name, name.replace("_", " ")) for name in names]


def _system(folded: bool = False) -> Question:
    return Question("system", "system", "choice", options=[(name, words) for name, words in SYSTEMS.items() if name not in _COUNTED], folded=folded)


def _of_field(field: Field, around: _Around, name: str = "", **more: Any) -> Question:
    """The question for a field of the vocabulary."""
    asked = Question(name or field.name, field.title, hint=hint(field, around), **more)
    if field.dimension == "choice":
        return replace(asked, way="choice", options=choices(field.choices))
    if field.is_quantity:
        return replace(asked, way="quantity", options=[(unit, "as a number" if unit == "1" else unit) for unit in units_of(field.dimension)],
                       unit=around.unit(field))
    return replace(asked, way={"yes_no": "flag", "integer": "whole", "ratios": "ratios"}.get(field.dimension, "line"))


def hint(field: Field, around: _Around) -> str:
    """How a field is measured."""
    how = field.how[:1].upper() + field.how[1:]
    return f"{how}{'' if how.endswith('.') else '.'}{' First to top, with commas between.' if field.dimension == 'ratios' else ''}"


def _part(around: _Around) -> list[Question]:
    kind = KINDS.get(around.about["kind"])
    always = [Question("kind", "kind", "hidden"), *([] if kind else [replace(_system(), required=True)])]
    return [
        *always, Question("name", "what it is called" if kind else "what it is", required=not kind),
        Question("position", "where", "position", options=places(kind.positions) if kind else (),
                 required=bool(kind and kind.positions.label and not kind.positions.bare)),
        Question("status", "it is", "choice", options=choices((*PART_STATUSES, "removed")), required=True),
        Question("maker", "maker"), Question("part_number", "part number"),
        *(_of_field(field, around, f"specs.{field.name}") for field in (kind.fields if kind else ())),
        Question("fitted_on", "fitted on", "day", when="status=fitted"), Question("fitted_by", "fitted by", when="status=fitted"),
        Question("serial", "serial", folded=True), Question("supplier", "supplier", folded=True), Question("quantity", "how many", "whole", folded=True),
        Question("order_as", "to be ordered as", folded=True, hint="What to ask for when it has to be replaced."),
        Question("replaces", "takes the place of", folded=True), Question("notes", "note", "long", folded=True),
    ]


def places(positions: Positions) -> list[tuple[str, str]]:
    """Where a part can be, for choosing."""
    if not positions.names:
        return []
    return [("", "no place in particular" if positions.bare else "the same everywhere"), *choices(positions.names)]


def _stated(around: _Around) -> list[Question]:
    subject, _, rest = around.about["fact"].partition(".")
    field = KINDS[subject].by_name[rest.partition("@")[0]]
    return [Question("fact", "fact", "hidden"), _of_field(field, around, "value", required=True)]


def _spec(around: _Around) -> list[Question]:
    return [*_stated(around), Question("basis", "where it comes from",
                                       hint="For example: maker’s sheet, estimate. What begins with measured, weighed or checked counts as looked at."),
            Question("at", "as of", "moment", folded=True), Question("notes", "note", "long", folded=True)]


def _measurement(around: _Around) -> list[Question]:
    fact = _stated(around)
    value = fact[1]
    give = [Question("tolerance", "give or take", "quantity", options=value.options, unit=value.unit)] if value.way == "quantity" else []
    others = [pair for pair in around.records("measurements") if pair[0] != around.about.get("id")]
    return [*fact, *give, Question("instrument", "instrument"), Question("condition", "condition", hint="For example: at ride height, warm, driver in."),
            Question("taken_at", "taken", "moment"), Question("taken_by", "taken by"),
            Question("supersedes", "takes the place of", "choice", options=others, folded=True, hint="A reading that was wrong and should no longer count."),
            Question("notes", "note", "long", folded=True)]


def _fix(around: _Around) -> list[Question]:
    readings = around.records("measurements")
    return [
        Question("title", "what is wrong", required=True, hint="A few words: weeping hose at the pump."),
        replace(_system(), hint="The system that it belongs to."),
        Question("safety", "could it hurt someone", "flag"), Question("status", "it is", "choice",
                                                                      options=[(one, "mended" if one == "resolved" else one) for one in FIX_STATUSES],
                                                                      required=True),
        Question("problem", "what was seen", "long"), Question("cause", "cause", "long"), Question("remedy", "what was done", "long"),
        Question("before", "measured before", "records", options=readings), Question("after", "measured after", "records", options=readings),
        Question("parts_added", "parts that went in", "records", options=around.records("parts")),
        Question("next_mechanic", "for the next mechanic", "long"),
        Question("found_at", "found", "moment"), Question("resolved_at", "mended", "moment", when="status=resolved"),
    ]


def _fastener(around: _Around) -> list[Question]:
    fields = KINDS["fastener"].by_name

    def of(name: str, **more: Any) -> Question:
        return _of_field(fields[name], around, **more)

    return [
        Question("joint", "joint", required=True, hint="Its name, one of a kind on this car: driveshaft rear flange."), _system(),
        replace(of("thread"), hint="As on the bolt: M10x1.5, 3/8-16."), of("class"), of("count"), of("length"), of("lubricant"), of("specified_torque"),
        of("applied_torque"),
        of("extra_angle"), of("tool"), replace(of("by"), hint=""), Question("at", "tightened", "moment"),
        Question("recheck_after", "tighten again after", "quantity", options=[(unit, unit) for unit in (*_DISTANCES, *_TIMES)],
                 unit=_unit("recheck_after", around)),
        Question("rechecked_at", "looked at again", "moment"), Question("notes", "note", "long", folded=True),
    ]


def _unit(name: str, around: _Around) -> str:
    return "km" if around.metric and _US_UNITS[name] == "mi" else _US_UNITS[name]


def _task(around: _Around) -> list[Question]:
    others = [pair for pair in around.records("tasks")[::-1] if pair[0] != around.about.get("id")]
    return [
        Question("title", "what is to be done", required=True), replace(_system(), hint=""),
        Question("estimate", "how long it takes", "quantity", options=[(unit, unit) for unit in _TIMES], unit=_unit("estimate", around)),
        Question("after", "after", "records", options=others, hint="What has to be done first."),
        Question("needs_parts", "needs these parts", "records", options=around.records("parts")),
        Question("done_at", "done on", "day", hint="Empty as long as it is to be done."), Question("by", "by"), Question("notes", "note", "long", folded=True),
    ]


def _drive(around: _Around) -> list[Question]:
    return [Question("at", "when", "moment"), Question("distance", "how far", "quantity", options=[(unit, unit) for unit in _DISTANCES],
                                                       unit=_unit("distance", around)),
            Question("by", "driven by"), Question("observations", "what was noticed", "long")]


def _visit(around: _Around) -> list[Question]:
    return [Question("title", "what was done", required=True), Question("use", "use then", "choice", options=choices(USES)),
            Question("opened_on", "came on", "day"), Question("delivered_on", "left on", "day"),
            Question("distance", "driven on test", "quantity", options=[(unit, unit) for unit in _DISTANCES], unit=_unit("distance", around)),
            Question("notes", "note", "long")]


def _signoff(around: _Around) -> list[Question]:
    items = [*TITLES.items(), *around.accepted]
    said = around.about.get("item")
    known = items if said is None or said in dict(items) else [*items, (said, said.replace("_", " "))]
    return [Question("item", "what is signed", "choice", options=known, required=True), Question("by", "name", required=True),
            Question("role", "role", required=True, hint="For example: builder, owner of the shop, licensed inspector."),
            Question("at", "when", "moment"), Question("statement", "statement", "long", hint="What was looked at and found. Who accepts a finding says why.")]


def _photo(around: _Around) -> list[Question]:
    return [*_file(around, "one or several pictures"), Question("caption", "what to see on it"), Question("taken_at", "taken", "moment"), _of(around)]


def _paper(around: _Around) -> list[Question]:
    return [*_file(around, "a PDF or a picture"), Question("title", "what it is", required=True),
            Question("kind", "kind", "choice", options=choices(PAPER_KINDS), required=True),
            Question("edition", "goes", "choice", options=[(one, _GOES[one]) for one in EDITIONS], required=True), _of(around)]


def _file(around: _Around, what: str) -> list[Question]:
    return [] if "id" in around.about else [Question("file", what, "file", required=True,
                                                     hint="It is kept byte for byte; what is shown and handed over tells of nobody.")]


def _of(around: _Around) -> Question:
    return Question("of", "it shows", "records", options=around.records("parts", "fixes", "measurements", "fasteners"),
                    hint="The car as a whole if nothing is marked.")


_OF: Mapping[str, Callable[[_Around], list[Question]]] = {
    "parts": _part, "specs": _spec, "measurements": _measurement, "fixes": _fix, "fasteners": _fastener, "tasks": _task,
    "drives": _drive, "signoffs": _signoff, "photos": _photo, "papers": _paper, "visits": _visit,
}


def kinds_by_system(wanted: Callable[[Kind], bool]) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    """Kinds under the titles of their systems, for choosing."""
    for system, words in SYSTEMS.items():
        found = sorted((kind.title, kind.name) for kind in KINDS.values() if kind.system == system and wanted(kind))
        if found:
            yield words, [(name, title) for title, name in found]


def is_part(kind: Kind) -> bool:
    """Whether a kind is one of parts."""
    return not kind.area


def is_measured(kind: Kind) -> bool:
    """Whether something of a kind can be measured or specified by itself; bolts and companions have ways of their own."""
    return bool(kind.fields) and kind.name not in ("fastener", "companion", "build")


def absences(also: Iterable[str] = ()) -> list[tuple[str, str]]:
    """What can be left out on purpose: kinds of part, and kinds at a place."""
    found = [(name, kind.title) for name, kind in KINDS.items() if is_part(kind)]
    found += [(f"{name}@{place}", f"{kind.title}, {place.replace('_', ' ')}") for name,
              kind in KINDS.items() if is_part(kind) for place in kind.positions.names]
    known = dict(found)
    found += [(one, one.replace("_", " ")) for one in also if one not in known]
    return sorted(found, key=lambda pair: pair[1])

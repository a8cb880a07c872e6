"""What must be signed before a car goes on the road, and when a signature has gone stale."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.checks.fasteners.shared import is_safety
from service.document.address import normal
from service.document.facts import moment
from service.vocabulary import KINDS

#: Items to be signed, and the systems in which later work makes the signature stale. Common practice.
ITEMS: Mapping[str, tuple[str, ...]] = {
    "brakes": ("brakes",),
    "steering": ("steering", "alignment"),
    "suspension": ("suspension", "alignment", "weights"),
    "fuel_leaks": ("fuel",),
    "exhaust_leaks": ("exhaust",),
    "lights": ("electrical",),
    "tires_wheels": ("wheels",),
    "wheel_nut_torque": ("wheels",),
    "throttle_return": ("engine", "fuel"),
    "fluid_levels": ("cooling", "engine", "driveline", "brakes"),
    "seat_belts": ("interior",),
    "driveline": ("driveline",),
}
TITLES: Mapping[str, str] = {
    "brakes": "brakes", "steering": "steering", "suspension": "suspension", "fuel_leaks": "no fuel leaks", "exhaust_leaks": "no exhaust leaks",
    "lights": "lights", "tires_wheels": "tires and wheels", "wheel_nut_torque": "wheel nut torque", "throttle_return": "throttle return",
    "fluid_levels": "fluid levels", "seat_belts": "seat belts", "driveline": "driveline",
}
#: Items that want a second pair of eyes. Common practice.
SECONDED = ("brakes", "steering")
#: The system of a fastener that names none, by the duty of its joint.
DUTY_SYSTEMS: Mapping[str, str] = {
    "brake": "brakes", "steering": "steering", "suspension": "suspension", "driveline": "driveline", "wheel": "wheels",
    "seat_belt": "interior", "seat": "interior", "engine": "engine", "body": "body", "trim": "body",
}
#: What a signature says, in words.
SAID: Mapping[str, str] = {"by": "name", "role": "role", "at": "date", "statement": "reason"}


def system_of_part(part: Mapping[str, Any]) -> str | None:
    """A part's system: its kind's; a part of kind `other` names its own."""
    kind = KINDS.get(part["kind"])
    return kind.system if kind else part.get("system")


def system_of_fastener(fastener: Mapping[str, Any], car: Any) -> str | None:
    """A fastener's system: its own, else by the duty of its joint."""
    duty = None if fastener.get("system") else car.value(f"joint.duty@{normal(fastener['joint'])}")
    return fastener.get("system") or DUTY_SYSTEMS.get(duty or "")


def item_of(signoff: Mapping[str, Any]) -> str:
    """The item that a sign-off names, as it stands in ITEMS: `Wheel nut torque` is `wheel_nut_torque`."""
    return "_".join(signoff["item"].replace("_", " ").replace("-", " ").lower().split())


@dataclass(frozen=True, slots=True)
class Work:
    """A piece of dated work: its system, when (as written), what it was."""

    system: str | None
    at: str
    what: str

    def follows(self, signed: str) -> bool:
        """Whether it was done after something was signed. Where either is a date alone, days are compared as they are written:
        the shop's own days, which a clock elsewhere would shift."""
        if _is_day(self.at) or _is_day(signed):
            return self.at[:_DAY] > signed[:_DAY]
        return moment(self.at) > moment(signed)


_DAY = len("2026-06-12")


def _is_day(text: str) -> bool:
    return len(text) == _DAY


def work_done(document: Mapping[str, Any], car: Any) -> list[Work]:
    """Every piece of dated work, oldest first."""
    return sorted(_work(document, car), key=lambda work: moment(work.at))


def _work(document: Mapping[str, Any], car: Any) -> Iterator[Work]:
    for part in document.get("parts") or ():
        if part.get("fitted_on") and part.get("status", "fitted") == "fitted":
            yield Work(system_of_part(part), part["fitted_on"], f"{_called(part)} was fitted")
    for fastener in document.get("fasteners") or ():
        if fastener.get("at"):
            yield Work(system_of_fastener(fastener, car), fastener["at"], f"the joint “{fastener['joint'].strip()}” was tightened")
    for fix in document.get("fixes") or ():
        if fix.get("resolved_at"):
            yield Work(fix.get("system"), fix["resolved_at"], f"“{fix['title']}” was resolved")


def _called(part: Mapping[str, Any]) -> str:
    return f"“{part['name'].strip()}”" if (part.get("name") or "").strip() else f"the {part['kind'].replace('_', ' ')}"


def lacking(signoff: Mapping[str, Any], keys: Iterable[str] = ("by", "role", "at")) -> list[str]:
    """What a signature does not say, in words; by default of who, in which role, and when."""
    return [SAID[key] for key in keys if not (signoff.get(key) or "").strip()]


def signatures(item: str, document: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """The sign-offs of an item."""
    return [entry for entry in document.get("signoffs") or () if item_of(entry) == item]


def standing(item: str, document: Mapping[str, Any], work: Sequence[Work]) -> str | None:
    """None when an item is signed and still current; else the reason in plain words."""
    title, signed = TITLES[item], signatures(item, document)
    whole = [entry for entry in signed if not lacking(entry)]
    if not signed:
        return f"{title}: not signed by anyone with name, role and date"
    if not whole:
        return f"{title}: not signed as it must be, without {' and '.join(lacking(signed[-1]))}"
    later = [[piece for piece in work if piece.system in ITEMS[item] and piece.follows(entry["at"])] for entry in whole]
    if not all(later):
        return None
    return f"{title}: signed, but afterwards {min(later, key=len)[-1].what}; sign again"


def seconded(item: str, document: Mapping[str, Any], car: Any) -> bool:
    """Whether somebody other than those who did the work signed it."""
    fitters = {normal(part.get("fitted_by")) for part in document.get("parts") or () if system_of_part(part) in ITEMS[item]}
    tighteners = {normal(entry.get("by")) for entry in document.get("fasteners") or () if system_of_fastener(entry, car) in ITEMS[item]}
    workers = (fitters | tighteners) - {None}
    signers = {normal(entry.get("by")) for entry in signatures(item, document) if not lacking(entry)}
    return bool(signers - workers) or not signers & workers


def safety_fasteners(document: Mapping[str, Any], car: Any) -> Iterator[Mapping[str, Any]]:
    """The fasteners whose letting go can hurt someone."""
    for fastener in document.get("fasteners") or ():
        if is_safety_fastener(fastener, car):
            yield fastener


def is_safety_fastener(fastener: Mapping[str, Any], car: Any) -> bool:
    """By the joint's own word, else its duty, else its system."""
    joint = normal(fastener["joint"])
    return is_safety(car.value(f"joint.safety@{joint}"), car.value(f"joint.duty@{joint}"), fastener.get("system"))


def named(results: Iterable[Mapping[str, Any]]) -> list[str]:
    """Findings in words, each with its place: `Rim width (front left)`."""
    return [_titled(item, place(item)) for item in results]


def grouped(results: Iterable[Mapping[str, Any]]) -> list[str]:
    """Findings in words, those of one check together: `Rim width (front left, front right)`."""
    places: dict[tuple[str, str], list[str]] = {}
    for item in results:
        places.setdefault((item["check"], item["title"]), []).append(place(item))
    return [_titled({"title": title}, ", ".join(where for where in found if where)) for (_, title), found in places.items()]


def place(result: Mapping[str, Any]) -> str:
    """Where a finding is; every system has a check of companions, so that one names its system."""
    return (result["position"] or "").replace("_", " ") or (result["system"] if result["check"].endswith(".companions") else "")


def _titled(item: Mapping[str, Any], where: str) -> str:
    title = str(item["title"]).rstrip("?")
    return f"{title} ({where})" if where else title

"""Examples of what calls take and give, out of the first demo build: true, whole, and the same everywhere."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from typing import Any

from service.checks.answer import answer
from service.document import load
from service.settings import DEMO_BUILDS

_BUILD = DEMO_BUILDS / "breyfell-ostrelle-autocross-coupe.json"
#: What one entry of each list is called.
ONE_OF = {"parts": "part", "specs": "spec", "measurements": "measurement", "fixes": "fix", "fasteners": "fastener", "tasks": "task",
          "drives": "drive", "signoffs": "signoff", "photos": "photo", "papers": "paper", "visits": "visit"}
_NEW_ID = "3d0c1c44-7a86-4c4e-9a51-5f0f6a4f7c10"
_PATCHES: Mapping[str, dict[str, Any]] = {
    "car": {"color": "oxide red"}, "build": {"promised_on": "2026-06-19"}, "part": {"status": "fitted"}, "spec": {"basis": "maker's sheet"},
    "measurement": {"notes": "read twice"}, "fix": {"status": "resolved", "resolved_at": "2026-05-04"}, "fastener": {"rechecked_at": "2026-05-20"},
    "task": {"done_at": "2026-05-04"}, "drive": {"observations": "no noise, no leaks"}, "signoff": {"statement": "road test done, no faults found"},
    "photo": {"caption": "the bracket before paint"}, "paper": {"title": "alignment after the road test"},
    "visit": {"notes": "told by the owner"},
}
#: Lists of which a new entry can stand on its own beside those of the demo build.
_UNTIED: Mapping[str, dict[str, Any]] = {
    "part": {"kind": "gauge", "position": "oil pressure", "name": "oil pressure gauge", "status": "wanted"},
    "measurement": {"fact": "tire.pressure@front", "value": "32 psi ± 1 psi", "instrument": "dial gauge", "taken_at": "2026-03-02T10:00:00-06:00"},
    "spec": {"fact": "car.mass", "value": "1180 kg", "basis": "estimate"},
    "fix": {"system": "cooling", "title": "Overflow hose rubs on the fan shroud", "problem": "chafed after the first drive", "cause": "hose too long",
            "remedy": "shortened and clipped", "status": "resolved", "resolved_at": "2026-05-04", "safety": False},
    "fastener": {"joint": "example bracket to firewall", "system": "body", "thread": "M8x1.25", "class": "8.8", "count": 2, "length": "25 mm",
                 "lubricant": "dry", "specified_torque": "25 N*m", "applied_torque": "25 N*m", "tool": "torque wrench"},
    "task": {"title": "Fit the door seals", "system": "body", "estimate": "2 h"},
    "drive": {"at": "2026-05-16T09:30:00-06:00", "distance": "12 mi", "observations": "no noise, no leaks"},
    "signoff": {"item": "road test", "role": "tester", "at": "2026-05-16T10:30:00-06:00", "statement": "driven 12 mi, no faults found"},
    "photo": {"file": "photos/example.jpg", "caption": "the bracket before paint", "of": []},
    "visit": {"title": "Made sound for the long road", "use": "touring", "opened_on": "2018-02-12", "delivered_on": "2018-06-20", "distance": "420 mi",
              "fixes": ["Water hose rubbed through"], "facts": [{"fact": "tire.pressure@front", "value": "30 psi", "at": "2018-06-19"}]},
    "paper": {"file": "papers/example.pdf", "title": "alignment after the road test", "kind": "alignment printout", "edition": "owner", "of": []},
}


@cache
def demo() -> dict[str, Any]:
    """The demo build that the examples are about."""
    found: dict[str, Any] = json.loads(_BUILD.read_text(encoding="utf-8"))
    return found


def path_example(name: str) -> str:
    """An example of a piece of an address."""
    return {"car": str(demo()["car"]["id"]), "build": str(demo()["build"]["id"])}.get(name, _NEW_ID)


def example(name: Any) -> Any:
    """The example of a name; what is no name stands for itself. Raises KeyError for a name that no example has."""
    if not isinstance(name, str):
        return name
    return _small(name) if not name.startswith("patch ") else _PATCHES[name.removeprefix("patch ")]


def _small(name: str) -> Any:
    if name in _UNTIED:
        return {"id": _NEW_ID, **_UNTIED[name]}
    return _MADE[name]()


def _car() -> Any:
    return demo()["car"]


def _build() -> Any:
    return demo()["build"]


def least_document() -> dict[str, Any]:
    """The least document in which something is found."""
    return {"format": "as-fitted/build/1", "car": {"make": "Tarnock", "model": "Stookman", "year": 1957}, "build": {"use": "street"},
            "parts": [{"kind": "engine", "specs": {"redline": "6000 rpm"}},
                      {"kind": "transmission", "specs": {"forward_ratios": [2.48, 1.48, 1.0, 0.75]}},
                      {"kind": "driveshaft", "specs": {"length": "58 in", "outer_diameter": "3 in", "wall": "0.083 in"}}]}


@cache
def _answer() -> Any:
    found = answer(load(least_document()))
    return {**found, "results": [item for item in found["results"] if item["check"] == "driveline.critical_speed"], "measure_next": found["measure_next"][:1]}


_MADE: Mapping[str, Any] = {
    "car": _car,
    "build": _build,
    "document": least_document,
    "answer": _answer,
    "what_if_document": lambda: {"document": least_document(), "changes": {"driveshaft.outer_diameter": "4 in"}},
    "changes": lambda: {"changes": {"car.mass": "1250 kg"}},
}

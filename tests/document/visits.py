"""A car on its first visit, and the document of the build that continues it eight years later."""

from __future__ import annotations

import copy
from typing import Any

from service.document import carrying, load

FIRST: dict[str, Any] = {
    "format": "as-fitted/build/1",
    "car": {"id": "c", "make": "Oskervik", "model": "Langtur", "year": 1966},
    "build": {"id": "first", "title": "Made sound", "use": "touring", "units": "us", "opened_on": "2018-02-12", "delivered_on": "2018-06-20"},
    "parts": [
        {"id": "tires", "kind": "tire", "name": "Tires", "fitted_on": "2018-05-02", "specs": {"date_code": "1018"}, "photos": ["p"]},
        {"id": "shaft", "kind": "driveshaft", "specs": {"length": "58 in", "outer_diameter": "3 in", "wall": "0.083 in"}},
        {"id": "old-shaft", "kind": "driveshaft", "status": "removed"},
        {"id": "radio", "kind": "other", "system": "interior", "name": "Radio", "status": "ordered"},
        {"id": "engine", "kind": "engine", "specs": {"redline": "5500 rpm"}},
        {"id": "gearbox", "kind": "transmission", "specs": {"forward_ratios": [3.2, 2.0, 1.4, 1.0]}},
        {"id": "pump", "kind": "fuel_pump", "status": "received", "specs": {"rated_voltage": "13 V"}},
    ],
    "specs": [{"id": "s-mass", "fact": "car.mass", "value": "2,900 lb", "basis": "estimate"},
              {"id": "s-pressure", "fact": "tire.pressure@front", "value": "25 psi"}],
    "measurements": [
        {"id": "m-length", "fact": "driveshaft.length", "value": "57 7/8 in", "tolerance": "1/16 in", "instrument": "tape", "condition": "at ride height",
         "taken_at": "2018-06-12"},
        {"id": "m-pressure-1", "fact": "tire.pressure@front", "value": "26 psi", "taken_at": "2018-06-01"},
        {"id": "m-pressure-2", "fact": "tire.pressure@front", "value": "28 psi", "taken_at": "2018-06-19", "supersedes": "m-pressure-1"},
    ],
    "fixes": [{"id": "hum", "title": "Radio hums", "status": "resolved"},
              {"id": "hose", "title": "Hose rubbed through", "status": "resolved", "safety": True},
              {"id": "leak", "title": "Sweats at the shaft's seal", "status": "open", "before": ["m-length"], "parts_added": ["shaft", "old-shaft"]}],
    "fasteners": [{"id": "flange", "joint": "shaft flange", "system": "driveline", "thread": "M10x1.5", "class": "10.9", "count": 4,
                   "applied_torque": "60 N*m", "recheck_after": "500 mi", "at": "2018-06-12"}],
    "tasks": [{"id": "t", "title": "Paint"}],
    "drives": [{"id": "d1", "distance": "20 mi"}, {"id": "d2", "distance": "30 mi"}],
    "signoffs": [{"id": "s", "item": "brakes"}],
    "photos": [{"id": "p", "file": "photos/p.jpg"}],
    "absent": ["brake_booster"],
}


def second(**lists: Any) -> dict[str, Any]:
    """The document of the build that continues the first one, with further lists."""
    last = load(copy.deepcopy(FIRST))
    header = carrying.header(last, {"id": "second", "title": "Back again", "opened_on": "2026-10-05", "continues": "first"})
    absent = header.pop("absent")
    return {"format": FIRST["format"], "car": copy.deepcopy(FIRST["car"]), "build": header, **carrying.records(last), "absent": absent, **lists}

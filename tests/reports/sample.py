"""A small car of an invented make, with its answer and vocabulary: enough to fill every section of the book."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

from PIL import Image

DOCUMENT: dict[str, Any] = {
    "format": "as-fitted/build/1",
    "car": {"id": "car-1", "make": "Quellmark", "model": "Brant", "year": 1963, "body": "coupe", "color": "slate gray",
            "serial": "QB-1187", "owner": {"name": "Ilsabet Corrane"}},
    "build": {"id": "build-1", "title": "Bar and brakes for the mountain road", "use": "touring", "units": "us", "opened_on": "2026-02-03",
              "delivered_on": "2026-05-09", "notes": "The owner drives to the coast and back in a day."},
    "parts": [
        {"id": "p-bar", "kind": "anti_roll_bar", "position": "front", "name": "Front bar, solid", "maker": "Tollgate Spring",
         "part_number": "TS-118", "supplier": "Merrow Street Parts", "specs": {"diameter": "1 1/8 in", "greasable": True},
         "fitted_on": "2026-03-10", "fitted_by": "Anselm Rook", "order_as": "Ask for the bar of the later wagon, 1 1/8 in.",
         "notes": "Bushings greased at fitting.", "photos": ["f-bar"]},
        {"id": "p-tires", "kind": "tire", "name": "Four tires", "maker": "Halvard", "specs": {"size": "205/60R15", "date_code": "2319"}},
        {"id": "p-old", "kind": "anti_roll_bar", "position": "front:old", "name": "Thin original bar", "status": "removed"},
    ],
    "specs": [{"id": "s-mass", "fact": "car.mass", "value": "2900 lb", "basis": "weigh slip"}],
    "measurements": [
        {"id": "m-slope", "fact": "driveline.shaft_slope", "value": "2.4 deg", "tolerance": "0.1 deg", "instrument": "digital level",
         "condition": "at ride height", "taken_at": "2026-04-02T10:00:00-05:00", "taken_by": "Anselm Rook"},
        {"id": "m-before", "fact": "driveline.shaft_slope", "value": "5.1 deg", "taken_at": "2026-03-01T10:00:00-05:00"},
        {"id": "m-camber", "fact": "alignment.camber@front_left", "value": "-0.5 deg", "taken_by": "Anselm Rook"},
    ],
    "fixes": [{"id": "x-1", "system": "driveline", "title": "Center mount sagged", "problem": "A drone at fifty.", "cause": "Oil-soaked rubber.",
               "remedy": "New mount, shimmed.", "status": "resolved", "safety": True, "resolved_at": "2026-04-03T09:00:00-05:00",
               "before": ["m-before"], "after": ["m-slope"], "next_mechanic": "Look at the shim first.", "photos": ["f-mount"]}],
    "fasteners": [{"id": "b-1", "joint": "bar link", "system": "suspension", "thread": "M10x1.5", "class": "10.9", "count": 2,
                   "specified_torque": "45 N*m", "applied_torque": "45 N*m", "by": "Anselm Rook", "at": "2026-03-10T12:00:00-05:00",
                   "recheck_after": "500 mi"}],
    "tasks": [{"id": "t-1", "title": "Fit the bar", "system": "suspension", "estimate": "2 h", "done_at": "2026-03-10", "by": "Anselm Rook"}],
    "drives": [{"id": "d-1", "at": "2026-05-01T08:00:00-05:00", "distance": "31 mi", "by": "Anselm Rook", "observations": "Flat and quiet."}],
    "signoffs": [{"id": "g-1", "item": "brakes", "by": "Anselm Rook", "role": "lead", "at": "2026-05-02", "statement": "Held a minute."},
                 {"id": "g-2", "item": "accept:driveline.joint_angles", "by": "Vesper Lund", "role": "owner's engineer", "at": "2026-05-03",
                  "statement": "Smooth on the road test."}],
    "photos": [{"id": "f-cover", "file": "photos/whole.jpg", "caption": "The car outside.", "of": ["car-1"]},
               {"id": "f-bar", "file": "photos/bar.jpg", "caption": "The new bar under the sump.", "of": ["p-bar"]},
               {"id": "f-mount", "file": "photos/mount.jpg", "caption": "The mount that sagged.", "of": ["x-1"]},
               {"id": "f-dash", "file": "photos/dash.jpg", "caption": "The dash as it came.", "of": ["nothing"]}],
    "absent": ["anti_roll_bar@rear"],
    "papers": [{"id": "a-1", "file": "papers/slip.pdf", "title": "Weigh slip of the coast road scale", "kind": "weight slip", "edition": "owner"},
               {"id": "a-2", "file": "papers/bill.pdf", "title": "Bill nobody else should read", "kind": "receipt", "edition": "shop"}],
}

ANSWER: dict[str, Any] = {
    "format": "as-fitted/answer/1",
    "results": [
        {"check": "driveline.joint_angles", "position": None, "title": "Working angles of the joints", "system": "driveline", "safety": True,
         "verdict": "caution", "summary": "The joints work at 2.4° and 2.9°.",
         "values": {"joint_1_angle": {"title": "angle of joint 1", "value": 2.41, "unit": "deg", "printed": "2.41°", "si": 0.042, "low": 0.040, "high": 0.044}},
         "limits": [{"of": "joint_1_angle", "kind": "at_most", "verdict": "fail", "value": 5.59, "unit": "deg", "si": 0.0976, "why": "inertia of the shaft"}],
         "margin": 0.4, "inputs": [], "assumed": [{"fact": "driveline.pinion_rise", "value": "0 deg", "why": "default"}], "missing": [],
         "formula": "β = √(Δs² + Δp²)", "table": {"title": "Links of the line", "columns": ["link", "angle"], "rows": [["front joint", "2.41°"]]},
         "series": {"kind": "driveline_side_view", "slopes": [0.052, 0.091, 0.026], "lengths": [1.32], "joint_angles": [0.042, 0.05],
                    "joint_types": ["cardan", "cardan"], "angle_limit": 0.0976},
         "remedies": [{"fact": "driveline.pinion_slope", "at_least": "1.2 deg", "note": "shim the saddle"}],
         "basis": [{"kind": "derived", "text": "spatial kinematics"}, {"kind": "common_practice", "text": ""}]},
        {"check": "suspension.bar_rate", "position": "front", "title": "Rate of the anti-roll bar", "system": "suspension", "safety": False,
         "verdict": "unknown", "summary": "Not known yet.", "values": {}, "limits": [], "missing": ["anti_roll_bar.arm_length@front"], "basis": []},
        *({"check": "wheels.clearance", "position": corner, "title": "Will the new wheel clear", "system": "wheels", "safety": True, "verdict": "pass",
           "summary": f"Clear at the {corner.replace('_', ' ')}.",
           "values": {"inner_clearance": {"title": "gap inside", "value": 0.39, "unit": "in", "printed": "0.39 in", "si": 0.01}},
           "limits": [{"of": "inner_clearance", "kind": "at_least", "verdict": "caution", "value": 0.31, "unit": "in", "si": 0.008, "why": "to the arm"}],
           "margin": 0.2, "basis": []} for corner in ("front_left", "front_right")),
    ],
    "counts": {}, "measure_next": [{"fact": "anti_roll_bar.arm_length@front", "unlocks": ["suspension.bar_rate@front"], "safety": 0}],
    "ready": {"for_road": False, "because": ["nobody has signed for the lights"]},
    "facts": [
        {"fact": "anti_roll_bar.diameter@front", "system": "suspension", "printed": "1.125 in", "also": "28.58 mm", "typed": "1 1/8 in",
         "from": {"list": "parts", "id": "p-bar"}, "status": "fitted"},
        {"fact": "anti_roll_bar.greasable@front", "system": "suspension", "printed": "yes", "also": None, "typed": True,
         "from": {"list": "parts", "id": "p-bar"}},
        {"fact": "tire.date_code", "system": "wheels", "printed": "2319", "also": None, "typed": "2319", "from": {"list": "parts", "id": "p-tires"}},
        {"fact": "driveline.shaft_slope", "system": "driveline", "printed": "2.4 deg", "also": None, "typed": "2.4 deg",
         "from": {"list": "measurements", "id": "m-slope"}},
        {"fact": "alignment.camber@front_left", "system": "alignment", "printed": "-0.5 deg", "also": None, "typed": "-0.5 deg",
         "from": {"list": "measurements", "id": "m-camber"}},
        {"fact": "car.mass", "system": "weights", "printed": "2,900 lb", "also": "1,315 kg", "typed": "2900 lb", "from": {"list": "specs", "id": "s-mass"}},
        {"fact": "fastener.applied_torque@bar link", "system": "suspension", "printed": "33.2 lb·ft", "also": "45 N·m", "typed": "45 N*m",
         "from": {"list": "fasteners", "id": "b-1"}},
    ],
}


def _kind(name: str, title: str, system: str, fields: dict[str, str], area: bool = False) -> dict[str, Any]:
    return {"name": name, "title": title, "system": system, "area": area, "fields": [{"name": key, "title": value} for key, value in fields.items()]}


VOCABULARY: dict[str, Any] = {
    "format": "as-fitted/vocabulary/1",
    "systems": {"driveline": "Driveline", "suspension": "Suspension", "alignment": "Alignment", "wheels": "Wheels and tires", "brakes": "Brakes",
                "weights": "Weights", "cooling": "Cooling", "fuel": "Fuel"},
    "kinds": [
        _kind("anti_roll_bar", "anti-roll bar", "suspension", {"diameter": "bar diameter", "greasable": "grease fitting present", "arm_length": "lever"}),
        _kind("tire", "tire", "wheels", {"size": "tire size", "date_code": "date code"}),
        _kind("driveline", "driveline measurements", "driveline", {"shaft_slope": "slope of the shaft tube", "pinion_slope": "slope of the pinion axis",
                                                                   "pinion_rise": "rise of the pinion nose"}, area=True),
        _kind("alignment", "alignment", "alignment", {"camber": "camber"}, area=True),
        _kind("car", "car", "weights", {"mass": "mass"}, area=True),
        _kind("fastener", "fastener", "fasteners", {"applied_torque": "applied torque"}),
    ],
}


def document(**changes: Any) -> dict[str, Any]:
    """A copy of the sample document with some of its lists or objects replaced."""
    return {**copy.deepcopy(DOCUMENT), **changes}


def photo_folder(folder: Path) -> Path:
    """Write the sample's photographs below a folder and return it; one of them carries EXIF with a position."""
    (folder / "photos").mkdir(parents=True, exist_ok=True)
    for index, (name, size) in enumerate({"whole": (800, 600), "bar": (600, 800), "mount": (700, 500), "dash": (640, 480)}.items()):
        image = Image.new("RGB", size, (90 + 20 * index, 96, 88))
        exif = Image.Exif()
        exif[0x010F] = "Camera Of Somebody"
        exif.get_ifd(0x8825)[1] = "N"
        image.save(folder / "photos" / f"{name}.jpg", exif=exif)
    return folder

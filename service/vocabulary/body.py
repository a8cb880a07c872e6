"""Body: what a builder fits outside and underneath, listed without measurements."""

from __future__ import annotations

from service.vocabulary.core import Kind, Positions

ANYWHERE = Positions(label=True)

_PARTS = {
    "frame": "frame",
    "subframe": "subframe",
    "floor_pan": "floor pan",
    "body_mount": "body mount",
    "roll_bar": "roll bar or cage",
    "panel": "body panel",
    "fender": "fender",
    "inner_fender": "inner fender",
    "hood": "hood",
    "door": "door",
    "tailgate": "tailgate",
    "trunk_lid": "trunk lid",
    "bed": "pickup bed",
    "roof": "roof",
    "convertible_top": "convertible top",
    "glass": "glass",
    "windshield": "windshield",
    "weatherstrip": "weatherstrip",
    "window_regulator": "window regulator",
    "latch": "latch",
    "lock": "lock",
    "hinge": "hinge",
    "bumper": "bumper",
    "grille": "grille",
    "spoiler": "spoiler",
    "mirror": "mirror",
    "wiper": "wiper",
    "washer": "windshield washer",
    "trim": "trim",
    "emblem": "emblem",
    "paint": "paint",
    "undercoating": "undercoating",
    "tow_hook": "tow hook",
    "trailer_hitch": "trailer hitch",
    "plate_bracket": "license plate bracket",
}

KINDS = [Kind(name, title, "body", positions=ANYWHERE) for name, title in _PARTS.items()]

"""Interior: what a builder fits inside the cabin, listed without measurements."""

from __future__ import annotations

from service.vocabulary.core import Kind, Positions

ANYWHERE = Positions(label=True)

_PARTS = {
    "seat": "seat",
    "seat_belt": "seat belt",
    "seat_track": "seat track",
    "child_seat_anchor": "child-seat anchor",
    "dashboard": "dashboard",
    "gauge": "gauge",
    "console": "console",
    "carpet": "carpet",
    "floor_mat": "floor mat",
    "headliner": "headliner",
    "door_panel": "door panel",
    "upholstery": "upholstery",
    "insulation": "sound and heat insulation",
    "heater": "heater",
    "defroster": "defroster",
    "air_conditioner": "air conditioner",
    "vent": "vent",
    "sun_visor": "sun visor",
    "interior_mirror": "inside mirror",
    "glove_box": "glove box",
    "arm_rest": "arm rest",
    "head_restraint": "head restraint",
    "pedal_pad": "pedal pad",
    "fire_extinguisher": "fire extinguisher",
    "luggage_tray": "luggage tray",
    "interior_trim": "interior trim",
}

KINDS = [Kind(name, title, "interior", positions=ANYWHERE) for name, title in _PARTS.items()]

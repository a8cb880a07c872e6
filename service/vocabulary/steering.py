"""Steering: the column and its joints, the box or rack, and the linkage out to the wheels."""

from __future__ import annotations

from service.vocabulary.core import LABEL, Field, Kind, Positions

ANYWHERE = Positions(label=True)

#: Parts of the steering that are listed without measurements.
_UNMEASURED = {
    "steering_box": "steering box",
    "steering_rack": "steering rack",
    "steering_column": "steering column",
    "steering_shaft": "steering shaft",
    "steering_shaft_bearing": "support bearing of the steering shaft",
    "steering_coupler": "steering coupler",
    "steering_wheel": "steering wheel",
    "steering_arm": "steering arm",
    "pitman_arm": "pitman arm",
    "idler_arm": "idler arm",
    "center_link": "center link",
    "drag_link": "drag link",
    "tie_rod_sleeve": "tie-rod sleeve",
    "steering_damper": "steering damper",
    "steering_stop": "steering stop",
    "power_steering_pump": "power-steering pump",
    "power_steering_hose": "power-steering hose",
    "power_steering_cooler": "power-steering cooler",
    "power_steering_fluid": "power-steering fluid",
}

KINDS = [
    Kind("steering", "steering", "steering", area=True, fields=(
        Field("power_assist", "power assist", "yes_no", choosable=True, how="look for a pump or a motor on the steering"),
    )),
    Kind("steering_joint", "column joint", "steering", positions=LABEL, fields=(
        Field("angle", "angle of one column joint", "angle", "5..30 deg", "0..90 deg", choosable=True,
              how="angle finder on both shafts"),
    )),
    Kind("tie_rod", "tie-rod end", "steering", positions=LABEL, fields=(
        Field("thread", "thread of this end", "text", choosable=True,
              how="pitch gauge; usually 9/16-18 to 7/8-18, or M12 to M22"),
        Field("engagement", "length of thread inside the sleeve or rod end", "length", "15..50 mm", "0..150 mm", choosable=True,
              how="thread length of the end − visible thread"),
        Field("jam_nut_tight", "jam nut or sleeve clamp tight", "yes_no", choosable=True, how="wrench, then a paint mark"),
    )),
    *(Kind(name, title, "steering", positions=ANYWHERE) for name, title in _UNMEASURED.items()),
]

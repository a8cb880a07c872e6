"""Is the bellhousing square and centered, and does the starter mesh?

Measured with a dial gauge on the crank, turned by hand, bolts torqued. An eccentric bore wears pilot and input shaft and
lets the box jump out of gear; offset dowels cure it, by half the reading. A starter too deep in mesh whines and breaks
its nose, too shallow it mills the ring gear.
"""

from __future__ import annotations

from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Outcome, Shown, any_recorded, common_practice, derived, need, option
from service.checks.driveline.shared import broken, edge

#: Total indicator reading, m: 0.13 and 0.25 mm (0.005 and 0.010 in); a reading right on the inch figure is inside too. Common practice.
RUNOUT_CAUTION, RUNOUT_FAIL, TEN_THOUSANDTHS = 0.00013, 0.00025, 0.000254
#: Pinion tip to ring root in mesh, and pinion face to ring at rest, m. Common practice.
ROOT_GOOD, ROOT_LEAST, REST_GOOD = (0.0005, 0.0009), 0.0002, (0.0015, 0.0048)


def judge(x: Any, out: Outcome) -> None:
    """Face and starter where measured, then the bore."""
    if x.has("face"):
        out.value("face_runout", x.face)
        out.at_most("face_runout", edge(x.face, RUNOUT_FAIL, TEN_THOUSANDTHS), RUNOUT_CAUTION, why="0.005 in, 0.010 in at most")
    if x.has("root_clearance"):
        out.within("root_clearance", ROOT_GOOD, (ROOT_LEAST, None), value=x.root_clearance, why="starter pinion in mesh")
    if x.has("rest_gap"):
        out.within("rest_gap", REST_GOOD, worst="caution", value=x.rest_gap, why="starter pinion at rest")
    out.value("bore_runout", x.bore)
    out.value("bore_offset", calc.bore_offset(x.bore))
    out.at_most("bore_runout", edge(x.bore, RUNOUT_FAIL, TEN_THOUSANDTHS), RUNOUT_CAUTION, why="0.005 in, 0.010 in at most")


def say(s: Any) -> str:
    """The finding in words."""
    text = []
    if "bore_runout" in s.v:
        runs_out = any(limit.violated and limit.of == "bore_runout" for limit in s.limits)
        text.append(f"The bore runs out {s.bore_runout}" + (f": dowels offset by {s.bore_offset} bring it in." if runs_out else ", well enough centered."))
    if any(limit.violated and limit.of == "face_runout" for limit in s.limits):
        text.append(f"The face runs out {s.face_runout}: shim it square.")
    for limit in s.limits:
        if limit.violated and limit.of in ("root_clearance", "rest_gap"):
            text.append(_starter(s, limit.of))
    return " ".join(dict.fromkeys(text)) + (" Measure again after every change." if broken(s) else "")


def _starter(s: Any, which: str) -> str:
    if which == "root_clearance":
        change = "shim the starter out" if s.x.root_clearance < ROOT_GOOD[0] else "shim the starter in"
        return f"In mesh the starter pinion clears the ring's root by {s.root_clearance}: {change}."
    return f"At rest the starter pinion stands {s.rest_gap} off the ring: {'too near' if s.x.rest_gap < REST_GOOD[0] else 'too far'}."


CHECK = Check(
    title="Bellhousing square and centered, starter in mesh",
    system="driveline",
    safety=False,
    applies=any_recorded("bellhousing.bore_runout", "bellhousing.face_runout"),
    inputs=[
        need("bellhousing.bore_runout", "bore"),
        option("bellhousing.face_runout", "face"),
        option("starter.root_clearance"),
        option("starter.rest_gap"),
    ],
    values={
        "bore_runout": Shown("run-out of the bore", "length", "mm"),
        "bore_offset": Shown("offset of the dowels that cure it", "length", "mm"),
        "face_runout": Shown("run-out of the face", "length", "mm"),
    },
    judge=judge,
    say=say,
    remedies=["offset dowels for the bore, shims for the face and the starter"],
    formula="bore offset = total indicator reading/2",
    basis=[derived("a bore off by e reads 2 e"), common_practice("0.005 and 0.010 in of run-out; starter 0.020 to 0.035 in in mesh, 1.5 to 4.8 mm at rest")],
)

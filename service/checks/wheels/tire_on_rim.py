"""The tire on the rim.

A tire goes on a rim of its own diameter and no other. The near misses are the dangerous ones: a 16 in tire goes over a 16 1/2 in rim,
does not seat, and bursts when more air is tried; people have died of it. Watch for: a wheel measured over its flanges,
which is about an inch more than its diameter, and metric rims (365, 390 mm) that only tires made for them fit.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Outcome, Shown, Unknown, common_practice, need, published
from service.checks.wheels.shared import INCH, rim
from service.notation import tire_size

#: Nominal diameters that differ by less are one, m: a rim typed in millimeters.
SAME = 0.1 * INCH


def judge(x: Any, out: Outcome) -> None:
    """The rim's diameter against the one in the tire's size."""
    wanted = tire_size(x.size).rim_diameter
    if wanted is None:
        raise Unknown(f"the size {x.size} does not tell its rim's diameter")
    out.value("tire_rim_diameter", wanted)
    out.must(abs(x.rim_diameter - wanted) < SAME, "a tire fits a rim of its own diameter alone", of="tire_rim_diameter")


def say(s: Any) -> str:
    """The finding in words."""
    wanted, there = rim(s.v["tire_rim_diameter"]), rim(s.x.rim_diameter)
    if s.verdict == "pass":
        return f"{s.x.size} on a rim of {there}: the diameters agree."
    return (f"{s.x.size} belongs on a rim of {wanted}; this one is {there}. It must not be mounted: "
            "a tire forced on can burst as it is inflated. Read both stamps again, then another tire or another wheel.")


CHECK = Check(
    title="The tire on the rim",
    system="wheels",
    safety=True,
    at="corners",
    inputs=[need("tire.size@here"), need("wheel.rim_diameter@here")],
    values={"tire_rim_diameter": Shown("rim diameter in the tire's size", "length", "in")},
    judge=judge,
    say=say,
    formula="rim diameter of the wheel = rim diameter in the tire's size",
    basis=[
        published("29 CFR 1910.177: bead diameter and widths of tire and wheel are checked before assembly (for trucks; words compared in "
                  "a state's code that repeats them); OSHA bulletin SHIB 04-29-2004 tells of the same accidents with automobile and light truck tires"),
        common_practice("no tire is mounted on a rim of another nominal diameter"),
    ],
)

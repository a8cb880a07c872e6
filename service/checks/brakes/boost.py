"""Booster and pedal ratio.

A pedal made for a booster is too short without one, and a pedal made without one is far too sharp with it. A booster is
only as good as its supply. Watch for: an idle so lumpy that the vacuum drops at the lights; vacuum read cold and
unloaded; a power-steering pump that cannot feed a hydraulic booster while the wheel is turned.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.checks.core import Check, Fix, Outcome, Shown, common_practice, need, presence

Band = tuple[float, float]
#: Pedal ratio without and with a booster: good, still acceptable. Common practice.
UNBOOSTED_RATIO: tuple[Band, Band] = (5.5, 7.0), (4.8, 8.0)
BOOSTED_RATIO: tuple[Band, Band] = (3.0, 5.0), (2.5, 6.0)
#: Least supply, Pa: caution below the first, fail below the second: 16 and 14 inHg; 1200 and 1000 psi rounded. Common practice.
SUPPLY: Mapping[str, tuple[str, float, float]] = {"vacuum": ("supply_vacuum", 54e3, 47e3), "hydraulic": ("supply_pressure", 8.3e6, 6.9e6)}

#: The supply that is wanted, as it is said.
WANTED: Mapping[str, Mapping[str, str]] = {
    "vacuum": {"us": "16 inHg", "metric": "54 kPa"}, "hydraulic": {"us": "1,200 psi", "metric": "8.3 MPa"},
}


def judge(x: Any, out: Outcome) -> None:
    """Ratio by kind of booster, and the booster's supply."""
    kind = x.type if x.booster_fitted else "none"
    with out.part():
        out.value("pedal_ratio", x.ratio)
        out.within("pedal_ratio", *(UNBOOSTED_RATIO if kind == "none" else BOOSTED_RATIO), why="made for this kind of booster")
    if kind in SUPPLY:
        name, caution, fail = SUPPLY[kind]
        out.value(name, getattr(x, name))
        out.at_least(name, fail, caution, why="hot, idling, in gear, accessories on")
        if x.has(name) and getattr(x, name) < caution:
            out.advise("fit a vacuum pump or reservoir, or a hydraulic booster" if kind == "vacuum" else "a pump that holds its pressure at idle")


def boosted_by(x: Any, kind: str) -> bool:
    """Whether a booster of this kind is on the car."""
    return bool(x.booster_fitted) and x.type == kind


_KINDS = {"none": "no booster", "vacuum": "a vacuum booster", "hydraulic": "a hydraulic booster"}


def say(s: Any) -> str:
    """The finding in words."""
    kind = s.x.type if s.x.booster_fitted else "none"
    parts = []
    if "pedal_ratio" in s.v:
        low, high = (UNBOOSTED_RATIO if kind == "none" else BOOSTED_RATIO)[0]
        parts.append(f"Pedal ratio {s.pedal_ratio} with {_KINDS[kind]}; {low:g} to {high:g} suits it")
    if "supply_vacuum" in s.v:
        parts.append(f"the booster gets {s.supply_vacuum} of vacuum and wants {WANTED['vacuum'][s.system]}")
    if "supply_pressure" in s.v:
        parts.append(f"the booster gets {s.supply_pressure} and wants {WANTED['hydraulic'][s.system]}")
    text = ". ".join(part[:1].upper() + part[1:] for part in parts) + "."
    if s.worst is not None and s.worst.violated and s.worst.of == "pedal_ratio":
        return text + (" The pedal will be hard and short of power." if s.v["pedal_ratio"] < s.worst.low else " The pedal will be long and light.")
    if s.worst is not None and s.worst.violated:
        return text + " After one push there may be no help left for the second."
    return text


CHECK = Check(
    title="Booster and pedal ratio",
    system="brakes",
    safety=True,
    inputs=[presence("brake_booster", "booster_fitted"), need("brake_booster.type", when=lambda x: x.booster_fitted), need("brake_pedal.ratio"),
            need("brake_booster.supply_vacuum", when=lambda x: boosted_by(x, "vacuum")),
            need("brake_booster.supply_pressure", when=lambda x: boosted_by(x, "hydraulic"))],
    values={
        "pedal_ratio": Shown("pedal ratio", "dimensionless"),
        "supply_vacuum": Shown("vacuum at the booster", "pressure", "inHg"),
        "supply_pressure": Shown("pressure at the booster", "pressure", "MPa"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("brake_pedal.ratio")],
    formula="pedal ratio and supply against bands by kind of booster",
    basis=[common_practice("pedal ratios 5.5 to 7.0 without and 3.0 to 5.0 with a booster; 54 kPa (16 inHg) of vacuum, 8.3 MPa (1200 psi) of pressure, "
                           "measured hot, idling, in gear, accessories on")],
)

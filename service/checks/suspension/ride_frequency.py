"""Ride frequency of an axle.

How quickly the body bobs on its springs at this end. Below the band the car floats and runs out of travel, above it the
road comes through. Leaf friction, bushing rate and rubber spring eyes raise the felt frequency by 5 to 15 %. Not valid
for air springs unless the rate was measured at ride height.
"""

from __future__ import annotations

import math
from typing import Any

from service.calc import suspension as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, from_memory, need, option
from service.checks.suspension import shared

#: Ride frequency, Hz: pass band and caution band by use. Common practice.
FREQUENCY: dict[str, tuple[shared.Band, shared.Band]] = {
    "street": ((0.95, 1.70), (0.80, 2.10)),
    "touring": ((0.90, 1.60), (0.80, 1.90)),
    "towing": ((1.00, 1.90), (0.85, 2.30)),
    "autocross": ((1.40, 2.80), (1.10, 3.50)),
    "track": ((1.50, 3.50), (1.20, 5.00)),
    "drag": ((0.90, 2.00), (0.75, 2.60)),
}


def judge(x: Any, out: Outcome) -> None:
    """Rates at the wheel, sprung mass, frequency, and how far the springs are pressed at rest."""
    wheel = out.value("wheel_rate", calc.wheel_rate(x.rate, x.motion_ratio))
    ride = out.value("ride_rate", calc.ride_rate(wheel, x.tire_rate))
    mass = out.value("sprung_corner_mass", calc.sprung_corner_mass(x.axle_mass, x.unsprung_mass))
    out.value("frequency", calc.frequency(ride, mass))
    out.value("static_deflection", calc.static_deflection(wheel, mass))
    out.within("frequency", *FREQUENCY[x.use], why=f"ride frequency, {x.use}")


def say(s: Any) -> str:
    """The finding in words."""
    (low, high), _ = FREQUENCY[s.x.use]
    text = f"The {s.position} rides at {s.show(s.v['frequency'], 'frequency', 'Hz')}; {shared.CARS[s.x.use]} sit between {low:.2f} and {high:.2f} Hz."
    edge = high if s.v["frequency"] > high else low if s.v["frequency"] < low else None
    if edge is None:
        return text
    kind = "Softer" if edge == high else "Stiffer"
    rate = _spring_for(s, edge)
    return f"{text} {kind} springs near {s.show(rate, 'stiffness', 'N/mm')} would bring it in." if rate else f"{text} {kind} springs would bring it in."


def _spring_for(s: Any, frequency: float) -> float | None:
    ride = (2 * math.pi * frequency) ** 2 * s.v["sprung_corner_mass"]
    tire = s.x.tire_rate
    if tire is not None and tire <= ride:
        return None
    wheel = ride if tire is None else ride * tire / (tire - ride)
    return float(wheel / s.x.motion_ratio**2)


CHECK = Check(
    title="Ride frequency",
    system="suspension",
    safety=False,
    at="axles",
    inputs=[
        need("build.use"),
        need("spring.rate@here"),
        need("spring.motion_ratio@here"),
        need("weights.axle_mass@here"),
        option("suspension.type@here"),
        option("suspension.unsprung_mass@here", default=shared.unsprung_default("axle_mass", "type"), why=shared.WHY_UNSPRUNG),
        option("suspension.tire_rate@here"),
    ],
    values={
        "wheel_rate": Shown("spring rate at the wheel", "stiffness", "N/mm"),
        "ride_rate": Shown("rate between body and road", "stiffness", "N/mm"),
        "sprung_corner_mass": Shown("sprung mass on one wheel", "mass", "kg"),
        "frequency": Shown("ride frequency", "frequency", "Hz"),
        "static_deflection": Shown("deflection at rest, at the wheel", "length", "mm"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("spring.rate@here")],
    formula="k_w = k_s MR²; k_r = k_w k_t/(k_w + k_t); m_s = (axle mass − unsprung)/2; f = √(k_r/m_s)/(2π)",
    basis=[
        derived("one mass on one spring; checked against the body mode of two masses"),
        from_memory("passenger cars near 1 to 1.5 Hz: Gillespie, Fundamentals of Vehicle Dynamics, ride chapter"),
        common_practice("bands by intended use; unsprung mass 12 % of the axle's mass, 16 % for a live axle or beam"),
    ],
)

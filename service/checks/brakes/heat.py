"""Rotor temperature.

Every stop turns the car's motion into heat in a few kilograms of iron. A light rotor is fine for one stop and boils the
fluid on a hill. The rotor is one lump in free air, without ducts or shields (a duct roughly doubles the cooling), and
takes all of the axle's heat but a twentieth. Watch for: rotors of a lighter car under a heavier one; solid rotors on
track; rotor mass read with an aluminum hat.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.calc.brakes import balance
from service.calc.brakes import heat as calc
from service.checks.brakes import shared
from service.checks.core import Check, Fix, Missing, Outcome, Shown, Unknown, common_practice, derived, need, option, published

KMH = 1 / 3.6
#: Deceleration over g at which the share of the axles is taken. Common practice.
SHARE_AT = 0.6
#: Stops: how many, from, to (m/s, or shares of the top speed), s apart. Common practice.
ROAD_DUTY: Mapping[str, tuple[int, float, float, float]] = {
    "street": (3, 100 * KMH, 0.0, 60.0), "touring": (10, 100 * KMH, 50 * KMH, 45.0), "towing": (10, 100 * KMH, 50 * KMH, 45.0),
    "autocross": (8, 80 * KMH, 30 * KMH, 20.0),
}
SPEED_DUTY: Mapping[str, tuple[int, float, float, float]] = {"track": (20, 0.9, 0.5, 30.0), "drag": (1, 1.0, 0.0, 0.0)}
#: Uses whose rotors glow enough to radiate. Common practice.
RADIATING = ("track", "autocross")
ZERO = 273.15
#: Peak temperature, K: caution above the first, fail above the second. Common practice.
TRACK_LIMITS, ROAD_LIMITS = (600 + ZERO, 750 + ZERO), (400 + ZERO, 550 + ZERO)
#: Above this the figure only means "far too hot". Common practice.
BEYOND = 900 + ZERO
#: Mean speed, m/s, for which the cooling law holds.
SLOWEST_MEAN, FASTEST_MEAN = 5.0, 60.0


def judge(x: Any, out: Outcome) -> None:
    """One stop's rise, and the peak over the duty of this use."""
    stops, start, end, interval = _duty(x)
    mean = (start + end) / 2
    if not SLOWEST_MEAN <= mean <= FASTEST_MEAN:
        raise Unknown(f"the cooling law holds for mean speeds of {SLOWEST_MEAN:.0f} to {FASTEST_MEAN:.0f} m/s, and this duty's is {mean:.1f} m/s")
    energy = out.value("energy_per_rotor", calc.stop_energy_per_rotor(x.mass, start, end, _share(x, out)))
    rise = out.value("temperature_rise", calc.temperature_rise(energy, x.rotor_mass))
    area = calc.swept_area(x.rotor_diameter)
    convection = calc.heat_transfer(mean, x.ventilated) * area * (2 if x.ventilated else 1)
    peak = calc.peak_temperature(rise, stops, interval, x.rotor_mass * calc.SPECIFIC_HEAT, convection, area if x.use in RADIATING else 0.0)
    out.value("peak_temperature", peak)
    caution, fail = TRACK_LIMITS if x.use == "track" else ROAD_LIMITS
    out.at_most("peak_temperature", fail, caution, why="usual for this use")


def _duty(x: Any) -> tuple[int, float, float, float]:
    if x.use in SPEED_DUTY:
        stops, start, end, interval = SPEED_DUTY[x.use]
        return stops, start * x.top_speed, end * x.top_speed, interval
    return ROAD_DUTY[x.use]


def _share(x: Any, out: Outcome) -> float:
    """This axle's share: its own, else what the other axle leaves, else from the balance at 0.6 g."""
    if x.has("energy_share"):
        return float(x.energy_share)
    for other in ("share_front", "share_rear"):
        if x.has(other):
            return 1 - float(getattr(x, other))
    try:
        car, brakes = shared.slowed_car(x), shared.car_brakes(x, out)
    except Missing:
        raise Missing("energy_share") from None
    front, rear = balance.braking_forces(balance.pressure_for(SHARE_AT, car, brakes), brakes)
    return (front if _is_front(x) else rear) / (front + rear)


def _is_front(x: Any) -> bool:
    """Whether this is the front axle: the disc whose facts are the front's own."""
    return bool(x.axle_rotor == x.front_rotor)


def say(s: Any) -> str:
    """The finding in words."""
    stops = {"street": "three stops from 100 km/h", "touring": "ten slowings from 100 to 50 km/h", "towing": "ten slowings from 100 to 50 km/h",
             "autocross": "eight slowings from 80 to 30 km/h", "track": "twenty slowings from nine tenths to half of the top speed",
             "drag": "one stop from the top speed"}[s.x.use]
    peak = s.peak_temperature if s.v["peak_temperature"] <= BEYOND else f"far too hot, above {s.show(BEYOND, 'temperature', 'degC')}"
    text = f"One stop warms each rotor by {s.temperature_rise}; {stops} takes it to {peak}" if stops.startswith("one") else \
        f"One stop warms each rotor by {s.temperature_rise}; {stops} take it to {peak}"
    if s.worst is not None and s.worst.violated:
        return f"{text}, and {s.limit('peak_temperature', s.worst.verdict)} is the limit for this use: a heavier, larger or ventilated rotor, or a duct."
    return text + "."


def _applies(car: Any, position: str | None) -> bool:
    kind = car.value("brake.type@here", position)
    recorded = any(car.exists(f"brake.{name}@here", position) for name in ("rotor_mass", "rotor_diameter"))
    return kind == "disc" or (kind is None and recorded)

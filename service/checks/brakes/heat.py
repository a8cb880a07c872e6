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
#: Deceleration over g at which the axles' share of the energy is taken. Common practice.
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
    share = None
    with out.part():
        share = _share(x, out)
    stops, start, end, interval = _duty(x)
    mean = (start + end) / 2
    if not SLOWEST_MEAN <= mean <= FASTEST_MEAN:
        raise Unknown(f"the cooling law holds for mean speeds of {SLOWEST_MEAN:.0f} to {FASTEST_MEAN:.0f} m/s, and this duty's is {mean:.1f} m/s")
    mass = x.mass
    if share is None:
        return
    energy = out.value("energy_per_rotor", calc.stop_energy_per_rotor(mass, start, end, share))
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
    """This axle's share of the energy, else from the balance of the axles at 0.6 g."""
    if x.has("energy_share"):
        return float(x.energy_share)
    if not x.has("type_front", "type_rear", "wheelbase", "cg_height", "axle_mass_front", "axle_mass_rear") or not all(
            x.has(f"{name}_{axle}") for axle in shared.AXLES for name in shared.TORQUES[getattr(x, f"type_{axle}")]):
        raise Missing("energy_share")
    if x.car.on_car("proportioning_valve") and not x.has("knee_pressure", "slope"):
        raise Missing("energy_share")
    car, brakes = shared.slowed_car(x), shared.car_brakes(x, out)
    forces = balance.braking_forces(balance.pressure_for(SHARE_AT, car, brakes), brakes)
    return forces[shared.AXLES.index(x.position)] / sum(forces)


_COUNTS = {1: "the stop", 3: "three stops", 8: "eight slowings", 10: "ten slowings", 20: "twenty slowings"}


def _duty_words(s: Any) -> str:
    stops, start, end, _ = _duty(s.x)
    text = f"{_COUNTS[stops]} from {shared.whole_speed(s, start)}"
    if end > 0:
        text += f" to {shared.whole_speed(s, end)}"
    return f"{text} {'takes' if stops == 1 else 'take'}"


def say(s: Any) -> str:
    """The finding in words."""
    far = s.v["peak_temperature"] > BEYOND
    peak = f"beyond {s.show(BEYOND, 'temperature', 'degC')}, far too hot" if far else s.peak_temperature
    text = f"One stop warms each {s.position} rotor by {s.temperature_rise}; {_duty_words(s)} it to {peak}"
    if s.worst is not None and s.worst.violated:
        return f"{text}. The limit for this use is {s.limit('peak_temperature', s.worst.verdict)}: a heavier, larger or ventilated rotor, or a duct."
    return text + "."


def _applies(car: Any, position: str | None) -> bool:
    kind = car.value("brake.type@here", position)
    recorded = any(car.exists(f"brake.{name}@here", position) for name in ("rotor_mass", "rotor_diameter"))
    return kind == "disc" or (kind is None and recorded)


CHECK = Check(
    title="Rotor temperature",
    system="brakes",
    safety=True,
    at="axles",
    applies=_applies,
    reads=("car",),
    inputs=[need("build.use"), need("car.mass"), need("brake.rotor_mass@here"), need("brake.rotor_diameter@here"),
            need("car.top_speed", when=lambda x: x.use in SPEED_DUTY), option("brake.energy_share@here"), option("brake.ventilated@here", default=False),
            *shared.optional([*shared.brake_inputs(shared.TORQUES), *shared.car_inputs()[1:], *shared.radius_inputs(), *shared.valve_inputs()])],
    values={
        "energy_per_rotor": Shown("energy of one stop into each rotor", "energy", "kJ"),
        "temperature_rise": Shown("warming by one stop", "temperature_difference", "K"),
        "peak_temperature": Shown("highest rotor temperature", "temperature", "degC"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("brake.rotor_mass@here"), Fix("brake.rotor_diameter@here")],
    formula="ΔT = ½ m (v₀² − v₁²)·share/2·0.95/(m_r c); between stops T falls as e^(−β), β = (h A + h_r A_s) t/(m_r c), h = h₀ (v/15 m/s)^0.8",
    basis=[
        derived("one lump of iron in free air; checked by time integration with heat transfer at the instantaneous speed and fourth-power radiation, "
                "within 3 % of the rise"),
        published("Limpert, Brake Design and Safety: series of repeated stops; exponent 0.8: Incropera & DeWitt, turbulent flow over a plate"),
        common_practice("60 and 40 W/(m2*K) at 15 m/s, 0.95 into the rotor, emissivity 0.55, 500 J/(kg*K), duty and limits by use"),
    ],
)

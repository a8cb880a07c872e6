"""Whether radiator and fan carry the heat away, on the road and standing still.

The coolant settles where the heat that the core gives to the air equals the heat the engine gives to the coolant. The
figures for heat, core and air are of the right size only, ±25 %: a logged climb (coolant less outside temperature)
outranks this. Watch for a free-air airflow taken as if at pressure, a core measured with its tanks, kilowatts typed as
horsepower, and the total of two fans typed as one. An electric fan can start with the ignition off; never open a hot
pressurized system.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from service.calc import cooling as calc
from service.calc.cooling import radiator
from service.checks.cooling.boiling_margin import WISE
from service.checks.core import (
    Check,
    Fix,
    Outcome,
    Shown,
    Unknown,
    common_practice,
    constant,
    from_memory,
    need,
    on_car,
    option,
    presence,
    published,
)
from service.checks.fuel.shared import breathing, displacement, power

#: Hottest air expected, K (38 °C), and highest steady coolant temperature, K (105 °C). Common practice.
AMBIENT, HIGHEST = 311.15, 378.15
#: Heat of an A/C condenser ahead of the core, W. Common practice.
CONDENSER_HEAT = 7000.0
#: Nearer than this to the limit is a caution, K. Common practice.
BAND = 5.0
#: Where the method holds: face velocity, m/s, core thickness, m, altitude, m. Common practice.
VELOCITIES, THICKNESSES, HIGHEST_ALTITUDE = (1.0, 15.0), (0.016, 0.100), 4500.0
#: Above this the coolant is called boiling, K (140 °C): no cap in use holds it. Common practice.
BOILS = 413.15


def _core(x: Any) -> tuple[float, float, float]:
    """Core area, m²; conductance at 5 m/s, W/K; density of the air, kg/m³."""
    area = x.core_height * x.core_width
    conductance = x.conductance or calc.core_conductance(x.core_height, x.core_width, x.core_thickness, x.volume_conductance)
    return area, conductance, calc.air_density(calc.air_pressure(x.altitude), x.ambient_temperature)


def _airflow(x: Any, area: float) -> float:
    share = 1.0 if x.shroud else calc.swept_share(x.count, x.diameter, area)
    return calc.fan_airflow(x.airflow, x.count, x.static_pressure, share)


def _validate(x: Any) -> None:
    if x.core_thickness > THICKNESSES[1]:
        raise Unknown("a core thicker than 100 mm adds little cooling, and the method does not hold for it")
    if x.core_thickness < THICKNESSES[0]:
        raise Unknown("the method does not hold for a core thinner than 16 mm")
    if x.altitude > HIGHEST_ALTITUDE:
        raise Unknown("the method does not hold above 4,500 m")


def _stay_below_boiling(x: Any) -> None:
    """A remedy in the highest temperature stops where the boiling check would no longer pass."""
    if x.highest_temperature <= (x.recorded_highest or HIGHEST) or not x.has("glycol_fraction", "cap_pressure"):
        return
    pressure = calc.air_pressure(x.altitude) + x.cap_pressure
    if x.highest_temperature > calc.boiling_temperature(pressure, x.glycol_fraction, x.glycol_type or "ethylene") - WISE:
        raise Unknown("so high a limit leaves too little to boiling")


def _state(x: Any, out: Outcome, name: str, heat: float, velocity: float, core: tuple[float, float, float]) -> None:
    if velocity < VELOCITIES[0]:
        raise Unknown("too little air to estimate; measure it")
    if velocity > VELOCITIES[1]:
        raise Unknown("more than 15 m/s through the core is beyond the method")
    area, conductance, density = core
    effectiveness, temperature = calc.settled_coolant(heat, velocity, area, conductance, density, x.ambient_temperature, x.condenser_heat)
    out.value(f"effectiveness_{name}", effectiveness)
    out.value(f"coolant_temperature_{name}", temperature)


def judge(x: Any, out: Outcome) -> None:
    """Where the coolant settles on the road and at idle, against the highest temperature allowed."""
    _validate(x)
    _stay_below_boiling(x)
    core = _core(x)
    power(x)
    out.value("heat_road", x.heat_ratio * x.sustained_power)
    out.value("heat_idle", x.idle_heat or calc.idle_heat(displacement(x)))
    airflow = _airflow(x, core[0])
    out.value("face_velocity_road", max(x.ram_fraction * x.road_speed, airflow / core[0]))
    out.value("airflow_idle", airflow)
    _state(x, out, "road", out.values["heat_road"], out.values["face_velocity_road"], core)
    _state(x, out, "idle", out.values["heat_idle"], airflow / core[0], core)
    for name in ("coolant_temperature_road", "coolant_temperature_idle"):
        out.at_most(name, x.highest_temperature, x.highest_temperature - BAND, why="the highest steady temperature allowed, caution from 5 K below")


def _bisect(passes: Callable[[float], bool], low: float, high: float) -> float | None:
    """The smallest value from `low` to `high` that passes, None when not even `high` does."""
    if not passes(high):
        return None
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if passes(middle) else (middle, high)
    return high


def _holds(s: Any, airflow: float, scale: float) -> bool:
    """Whether both states stay clear of the limit with this airflow through a core scaled in area."""
    area, conductance, density = _core(s.x)
    area, conductance = area * scale, conductance * scale
    road = max(s.x.ram_fraction * s.x.road_speed, airflow / area)
    return all(
        calc.settled_coolant(heat, velocity, area, conductance, density, s.x.ambient_temperature, s.x.condenser_heat)[1] <= s.x.highest_temperature - BAND
        for heat, velocity in ((s.v["heat_road"], road), (s.v["heat_idle"], airflow / area))
    )


def _needs(s: Any) -> str:
    """The airflow or the core that would stay clear of the limit."""
    area, flow = s.x.core_height * s.x.core_width, s.v["airflow_idle"]
    airflow = _bisect(lambda air: _holds(s, air, 1.0), flow, VELOCITIES[1] * area)
    scale = _bisect(lambda factor: _holds(s, flow, factor), 1.0, max(1.0, flow / (VELOCITIES[0] * area)))
    wanted = []
    if airflow is not None:
        wanted.append(f"{s.show(airflow, 'volume_flow', 'm3/s')} of real airflow")
    if scale is not None:
        height, width = (side * math.sqrt(scale) for side in (s.x.core_height, s.x.core_width))
        wanted.append(f"a core of {s.show(height, 'length', 'mm')} × {s.show(width, 'length', 'mm')}")
    return f"Needs about {' or '.join(wanted)}." if wanted else "Neither more air through this core nor a larger core with this air is enough: it takes both."


def say(s: Any) -> str:
    """The finding in words."""
    road, idle = (s.v[f"coolant_temperature_{name}"] > BOILS for name in ("road", "idle"))
    on_the_road = "boils" if road else f"should settle near {s.coolant_temperature_road}"
    standing = ("too" if road else "boils") if idle else f"{'should settle near ' if road else ''}{s.coolant_temperature_idle}"
    text = f"At {s.ambient_temperature} air the coolant {on_the_road} on the road and {standing} standing still; the limit is {s.highest_temperature}."
    if s.verdict == "fail":
        return f"{text} {_needs(s)}"
    if s.verdict == "caution" and any(item.violated for item in s.limits):
        return f"{text} The estimate is good to a quarter only: log a long climb before trusting it."
    return text


def _carried(x: Any, velocity: float, core: tuple[float, float, float]) -> float:
    """Heat that the core sheds with the coolant at its limit, W."""
    area, conductance, density = core

    def settled(heat: float) -> float:
        return calc.settled_coolant(heat, velocity, area, conductance, density, x.ambient_temperature, x.condenser_heat)[1]

    return _bisect(lambda heat: settled(heat) > x.highest_temperature, 1.0, 2.0e6) or 0.0


def extras(x: Any, values: Mapping[str, Any]) -> Mapping[str, Any]:
    """Heat in against heat out, for the drawing."""
    core = _core(x)
    velocities = [float(step) for step in range(1, 16)]
    states = [
        {"name": title, "heat": values[f"heat_{name}"], "coolant_temperature": values[f"coolant_temperature_{name}"], "low": None, "high": None,
         "face_velocity": values["face_velocity_road"] if name == "road" else values["airflow_idle"] / core[0]}
        for name, title in (("road", "on the road"), ("idle", "standing still"))
    ]
    return {"series": {
        "kind": "cooling_balance", "states": states, "ambient_temperature": x.ambient_temperature, "highest_temperature": x.highest_temperature,
        "caution_temperature": x.highest_temperature - BAND,
        "curve": {"face_velocity": velocities, "heat_carried": [_carried(x, velocity, core) for velocity in velocities]},
    }}


def _sustained(x: Any) -> float:
    return radiator.SUSTAINED_SHARE[x.use] * power(x)


CHECK = Check(
    title="Can the radiator and fan carry the heat away?",
    system="cooling",
    safety=False,
    applies=on_car("radiator"),
    inputs=[
        need("engine.peak_power"),
        *breathing(),
        need("radiator.core_height"),
        need("radiator.core_width"),
        need("radiator.core_thickness"),
        need("cooling_fan.airflow"),
        need("build.use"),
        option("engine.power_basis"),
        option("cooling_fan.count", default=1),
        option("cooling_fan.static_pressure", default=0.0, why="a free-air figure, the usual one"),
        option("cooling_fan.shroud", default=True),
        option("cooling_fan.diameter"),
        option("cooling.ambient_temperature", default=AMBIENT),
        option("cooling.altitude", default=0.0),
        option("cooling.sustained_power", default=_sustained, why="share of peak power usual for this use"),
        option("cooling.road_speed", default=lambda x: radiator.SUSTAINED_SPEED[x.use], why="usual for this use"),
        option("cooling.ram_fraction", default=radiator.RAM_FRACTION, tolerance=radiator.RAM_FRACTION_SPREAD),
        option("cooling.idle_heat", default=lambda x: calc.idle_heat(displacement(x)), why="from the displacement"),
        presence("condenser", "condenser"),
        option("cooling.condenser_heat", default=lambda x: CONDENSER_HEAT if x.condenser else 0.0, why="usual for an A/C condenser, none without"),
        option("radiator.conductance"),
        option("coolant.highest_temperature", default=HIGHEST),
        option("coolant.highest_temperature", "recorded_highest"),
        option("coolant.glycol_fraction"),
        option("coolant.glycol_type"),
        option("radiator.cap_pressure"),
        constant("heat_ratio", radiator.HEAT_RATIO, radiator.HEAT_RATIO_SPREAD),
        constant("volume_conductance", radiator.VOLUME_CONDUCTANCE, radiator.VOLUME_CONDUCTANCE_SPREAD, "thermal_conductance"),
    ],
    values={
        "heat_road": Shown("heat to the coolant on the road", "power", "kW"),
        "heat_idle": Shown("heat to the coolant at idle", "power", "kW"),
        "face_velocity_road": Shown("air through the core on the road", "speed", "ft/min"),
        "airflow_idle": Shown("airflow standing still", "volume_flow", "m3/s"),
        "effectiveness_road": Shown("share of the possible cooling, on the road", "dimensionless"),
        "effectiveness_idle": Shown("share of the possible cooling, standing still", "dimensionless"),
        "coolant_temperature_road": Shown("coolant temperature on the road", "temperature", "degC"),
        "coolant_temperature_idle": Shown("coolant temperature standing still", "temperature", "degC"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("cooling_fan.airflow"),
        Fix("cooling_fan.count"),
        Fix("cooling_fan.shroud"),
        Fix("radiator.core_width"),
        Fix("radiator.core_height"),
        Fix("radiator.core_thickness"),
        Fix("cooling.sustained_power"),
        Fix("coolant.highest_temperature", "only as far as the boiling margin allows"),
    ],
    formula="Q = r·P_s or 0.35·ρ_f·H·q·V_d; N = U_v·H·W·t·√(v/5)/C_min; "
            "ε = 1 − exp{N^0.22/C_r·[exp(−C_r·N^0.78) − 1]}; T_c = T_a + Q_cond/C_a + Q/(ε·C_min)",
    basis=[
        published("Incropera & DeWitt, Fundamentals of Heat and Mass Transfer: cross-flow, both fluids unmixed"),
        published("ISO 2533, Standard Atmosphere"),
        from_memory("Heywood, Internal Combustion Engine Fundamentals: energy balance at maximum power, 0.6 to 1.0 of brake power to the coolant"),
        common_practice("conductance of a core by volume, share of ram air and of free-air flow, power held by use, heat at idle, 7 K across the core, "
                        "5 K in hand: of the right size only"),
    ],
    extras=extras,
)

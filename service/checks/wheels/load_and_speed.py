"""Load capacity and speed symbol.

A tire carries what its sidewall says, at the pressure its sidewall says, up to the speed its symbol says; less pressure
or more speed carries less. A passenger tire on a truck or van carries its load over 1.10. Watch for: light-truck tires
run at passenger pressures; old sizes without a speed symbol; two people and luggage that were not on the scales.
"""

from __future__ import annotations

from typing import Any

from service.calc.wheels import load as calc
from service.checks.core import Check, Fix, Missing, Outcome, Shown, Unknown, any_of, any_recorded, common_practice, from_memory, need, option, published
from service.notation import SPEED_SYMBOLS, tire_size

#: Load over capacity: caution above the first, fail above the second. Common practice; the second by definition.
CAUTION_LOAD, FULL_LOAD = 0.90, 1.0
#: Two people on an axle, kg. Source: 68 kg a person, 49 CFR 571.110 S3, normal occupant weight (compared with public copies).
TWO_PEOPLE = 136.0
#: Bodies on which a passenger tire carries less. Source: 49 CFR 571.110 S4.2.2.2 (compared with an NHTSA letter).
DERATED_BODIES = ("pickup", "panel_van", "van", "suv", "truck")
#: Cold pressure over the sidewall's: caution above the first, fail above the second. Common practice.
HARD, FAR_TOO_HARD = 1.1, 1.5
#: The same, below which a tire is as good as flat whatever it carries. Common practice.
FLAT = 0.3
#: Symbol whose speed (160 km/h) is assumed for sizes older than speed symbols. Common practice.
OLD_SIZE_SYMBOL = "Q"
#: What a Z alone is good for, m/s (240 km/h); above it the maker's letter is needed.
Z_ALONE = 240 / 3.6
_OLD = "a size without R and without a speed symbol is taken as good for 160 km/h (99 mph)"


def judge(x: Any, out: Outcome) -> None:
    """Load on the wheel against what the tire carries, and the car's speed against its symbol."""
    if x.has("pressure", "max_load_pressure"):
        _pressure(x, out)
    with out.part():
        out.value("wheel_load", x.laden_axle_mass / 2 if x.has("laden_axle_mass") else x.corner_mass + x.payload / 2)
    with out.part():
        out.value("load_capacity", _capacity(x, out))
    if "wheel_load" in out.values and "load_capacity" in out.values:
        out.value("load_ratio", out.values["wheel_load"] / out.values["load_capacity"])
        out.at_most("load_ratio", FULL_LOAD, CAUTION_LOAD, why="load on the wheel over what the tire carries")
    with out.part():
        capability = out.value("speed_capability", _capability(x, out))
        out.value("speed_ratio", x.top_speed / capability)
        out.at_most("speed_ratio", 1.0, why="highest speed over the symbol's")
    if x.type == "competition":
        out.at_best_caution("a competition tire's load and speed are its maker's to say", None)


def _pressure(x: Any, out: Outcome) -> None:
    """The pressure against the sidewall's, whatever the tire carries."""
    sidewall, why = x.max_load_pressure, "the sidewall's pressure, with some in hand"
    out.at_most("pressure", FAR_TOO_HARD * sidewall, HARD * sidewall, value=x.pressure, why=why)
    out.at_least("low_pressure", FLAT * sidewall, value=x.pressure, why=why)


def _capacity(x: Any, out: Outcome) -> float:
    """Load that the tire carries on this body, at this pressure and speed, kg."""
    pressure = _pressure_factor(x)
    capacity = x.max_load if x.has("max_load") else calc.load_of_index(_load_index(x))
    if x.type == "passenger":
        capacity /= _derating(x, out)
    return float(capacity * pressure * calc.speed_factor(_symbol(x), x.top_speed))


def _load_index(x: Any) -> int:
    if not x.has("load_index"):
        raise Missing("max_load")
    return int(x.load_index)


def _derating(x: Any, out: Outcome) -> float:
    if x.body in DERATED_BODIES:
        return calc.TRUCK_DERATING
    if x.body == "other":
        out.at_best_caution("whether a passenger tire carries less here depends on the body, which is not recorded or is another", "body")
    return 1.0


def _pressure_factor(x: Any) -> float:
    reference = x.max_load_pressure if x.has("max_load_pressure") else calc.REFERENCE_PRESSURES.get(x.load_range or "")
    if reference is None:
        raise Missing("max_load_pressure")
    return calc.pressure_factor(x.pressure, reference) if x.has("pressure") else 1.0


def _symbol(x: Any) -> str:
    if not x.has("speed_symbol"):
        raise Missing("speed_symbol")
    return str(x.speed_symbol).strip().strip("()").upper()[:1]


def _capability(x: Any, out: Outcome) -> float:
    symbol = _symbol(x)
    if "speed_symbol" in x.assumed and _behind_size(x, "speed_symbol") is None:
        out.at_best_caution(_OLD, "speed_symbol")
    if symbol != "Z":
        return SPEED_SYMBOLS[symbol] / 3.6
    if x.top_speed > Z_ALONE:
        raise Unknown("a Z alone says no more than 240 km/h; ask the maker for the tire's speed")
    return Z_ALONE


def say(s: Any) -> str:
    """The finding in words."""
    parts = []
    if "load_ratio" in s.v:
        parts.append(f"carries {s.wheel_load} of the {s.load_capacity} it can ({s.percent(s.v['load_ratio'])})")
    if "speed_ratio" in s.v:
        parts.append(f"is good for {s.speed_capability}, and the car does {s.top_speed}")
    broken = {(item.of, item.verdict) for item in s.limits if item.violated}
    if ("pressure", "caution") in broken:
        parts.insert(0, f"holds {s.pressure}, and {s.max_load_pressure} belongs to its maximum load: let air out, or read gauge and sidewall again")
    if ("low_pressure", "fail") in broken:
        parts.insert(0, f"holds {s.pressure}, and {s.max_load_pressure} belongs to its maximum load: as good as flat, or misread")
    text = f"The {s.position} tire {'; it '.join(parts)}"
    if ("load_ratio", "fail") in broken:
        text += ". That is too much load: a tire with a higher load index, more pressure or less weight"
    elif ("load_ratio", "caution") in broken:
        text += ". Little load is left in hand"
    if ("speed_ratio", "fail") in broken:
        text += ". The car is too fast for it: a tire with a higher speed symbol, or a lower top speed agreed with the owner"
    return text + "."


def _is_old_size(x: Any) -> bool:
    """A size recorded and without R: bias-ply, older than speed symbols."""
    return bool(x.has("size") and not tire_size(x.size).radial)


def _type_of(x: Any) -> str:
    return "light_truck" if x.has("size") and tire_size(x.size).service == "LT" else "passenger"


def _behind_size(x: Any, name: str) -> Any:
    """Load index or speed symbol as printed behind the size, else None."""
    return getattr(tire_size(x.size), name) if x.has("size") else None


def _usual_symbol(x: Any) -> str | None:
    return _behind_size(x, "speed_symbol") or (OLD_SIZE_SYMBOL if _is_old_size(x) else None)


def _carries_index(car: Any, position: str | None) -> bool:
    size = car.value("tire.size@here", position)
    return size is not None and (tire_size(size).load_index is not None or tire_size(size).speed_symbol is not None)


CHECK = Check(
    title="Load capacity and speed symbol",
    system="wheels",
    safety=True,
    at="corners",
    applies=any_of(any_recorded("tire.max_load@here", "tire.load_index@here", "tire.speed_symbol@here", "tire.max_load_pressure@here"), _carries_index),
    inputs=[option("tire.size@here"), option("tire.max_load@here"),
            option("tire.load_index@here", default=lambda x: None if x.has("max_load") else _behind_size(x, "load_index"), why="printed behind the size"),
            option("tire.speed_symbol@here", default=_usual_symbol, why="printed behind the size, else 160 km/h for a size older than speed symbols"),
            option("weights.corner_mass@here"), option("weights.laden_axle_mass@axle"), need("car.top_speed"),
            option("weights.payload@axle", default=lambda x: None if x.has("laden_axle_mass") else TWO_PEOPLE, why="two people of 68 kg"),
            option("tire.type@here", default=_type_of, why="by its size"), option("tire.pressure@here"), option("tire.max_load_pressure@here"),
            option("tire.load_range@here", default=lambda x: None if x.has("max_load_pressure") or x.type == "light_truck" else "SL", why="standard load"),
            option("car.body", default="other", why="not recorded")],
    either=[(("max_load",), ("load_index",)), (("corner_mass",), ("laden_axle_mass",))],
    values={
        "wheel_load": Shown("load on the wheel", "mass", "kg"),
        "load_capacity": Shown("load that the tire carries here", "mass", "kg"),
        "load_ratio": Shown("load over capacity", "dimensionless"),
        "speed_capability": Shown("speed that the tire is good for", "speed", "km/h"),
        "speed_ratio": Shown("top speed over that speed", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("tire.max_load@here"), Fix("tire.load_index@here"), Fix("tire.speed_symbol@here", candidates=("S", "T", "H", "V", "W", "Y")),
              Fix("tire.pressure@here")],
    formula="capacity = load (/1.10 for a passenger tire on a truck)·speed factor·(p/p_ref)^0.8; ratio = load on the wheel/capacity",
    basis=[
        published("load index and speed symbol: ISO 4000-1 (compared with public tables); division by 1.10: 49 CFR 571.110, 571.120 "
                  "(compared with an NHTSA letter of interpretation); 68 kg a person: 49 CFR 571.110 S3 (compared with public copies); "
                  "load at high speed: Reimpell, Stoll & Betzler, The Automotive Chassis"),
        published("pressures of load ranges (36, 42, 50, 65, 80 psi rounded): a tire retailer's table; large flotation sizes have less: the sidewall decides"),
        from_memory("pressure exponent 0.8: European Tyre and Rim Technical Organisation"),
        common_practice("nine tenths of the capacity; 0.3, 1.1 and 1.5 times the sidewall's pressure; 160 km/h for old sizes without a symbol"),
    ],
)

"""Engine torque, converter and vehicle mass against the transmission.

Makers quote engine torque, or torque after the converter: ask which. The service factor stands for shocks and heat of
the use; the converter multiplies only near stall. Masses count because they set how long the torque lasts.
"""

from __future__ import annotations

from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, from_memory, need, on_car, option
from service.checks.driveline.shared import multiplication, multiplies, stall_torque_ratio, transmission_type, use

#: Share of a torque rating, and of a mass rating, from which little is left. Common practice.
TORQUE_CAUTION, MASS_CAUTION = 0.9, 0.95


def judge(x: Any, out: Outcome) -> None:
    """Three fractions: torque in, torque behind the converter, mass."""
    with out.part():
        _masses(x, out)
    factor = out.value("service_factor", calc.SERVICE_FACTOR[x.use])
    required = out.value("required_torque", factor * x.peak_torque)
    ratio = multiplication(x)
    if ratio != 1 or x.has("gearbox_torque_rating"):
        turbine = out.value("turbine_torque", required * ratio)
        if x.has("gearbox_torque_rating"):
            out.value("gearbox_used_fraction", turbine / x.gearbox_torque_rating)
            out.at_most("gearbox_used_fraction", 1.0, TORQUE_CAUTION, why="the gearbox rating, caution above 90 % of it")
    out.value("used_fraction", required / x.input_torque_rating)
    out.at_most("used_fraction", 1.0, TORQUE_CAUTION, why="the input rating, caution above 90 % of it")


def _masses(x: Any, out: Outcome) -> None:
    if not x.has("mass"):
        return
    shares = []
    if x.has("gross_vehicle_rating"):
        shares.append(x.mass / x.gross_vehicle_rating)
    if x.has("gross_combined_rating"):
        shares.append((x.mass + x.trailer_mass) / x.gross_combined_rating)
    if shares:
        out.value("mass_fraction", max(shares))
        out.at_most("mass_fraction", 1.0, MASS_CAUTION, why="the mass rating, caution above 95 % of it")


def say(s: Any) -> str:
    """The finding in words."""
    text = f"For {s.use} use the transmission must stand {s.required_torque}"
    if "used_fraction" in s.v:
        text += f"; it is rated {s.input_torque_rating}, {s.percent(s.v['used_fraction'])} used"
    text += "."
    if "turbine_torque" in s.v:
        text += f" At stall the converter makes {s.turbine_torque} of it" if multiplies(s.x) else f" The gears see {s.turbine_torque}"
        text += f", {s.percent(s.v['gearbox_used_fraction'])} of the gearbox rating." if "gearbox_used_fraction" in s.v else "."
    if "mass_fraction" in s.v and (s.v["mass_fraction"] > MASS_CAUTION or s.verdict == "pass"):
        text += f" The mass is {s.percent(s.v['mass_fraction'])} of what it allows."
    return text + (" Fit a stronger transmission or ask its builder for a higher rating." if s.verdict == "fail" else "")


CHECK = Check(
    title="Engine torque and vehicle mass against the transmission",
    system="driveline",
    safety=True,
    applies=on_car("engine", "transmission"),
    reads=("car",),
    inputs=[
        use(),
        need("engine.peak_torque"),
        need("transmission.input_torque_rating"),
        transmission_type(),
        stall_torque_ratio(),
        option("transmission.gearbox_torque_rating"),
        option("transmission.gross_vehicle_rating"),
        option("transmission.gross_combined_rating"),
        option("car.mass"),
        option("driveline.trailer_mass", default=0.0, why="no trailer recorded"),
    ],
    values={
        "service_factor": Shown("service factor", "dimensionless"),
        "required_torque": Shown("torque the input must stand", "torque", "N*m"),
        "used_fraction": Shown("torque over the input rating", "dimensionless"),
        "turbine_torque": Shown("torque after the converter at stall", "torque", "N*m"),
        "gearbox_used_fraction": Shown("torque over the gearbox rating", "dimensionless"),
        "mass_fraction": Shown("mass over the mass rating", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("transmission.input_torque_rating", "a transmission with this rating"),
        Fix("transmission.gearbox_torque_rating", "a transmission with this rating"),
        Fix("transmission.gross_vehicle_rating", "a transmission with this rating"),
        Fix("torque_converter.stall_torque_ratio", "another converter"),
    ],
    formula="required = k T; turbine = k T K; fractions over the ratings; mass fraction = larger of m/rating and (m + trailer)/combined rating",
    basis=[
        from_memory("a converter multiplies torque by its torque ratio: converter characteristics as in SAE J643"),
        common_practice("service factors by use; 90 % of a torque rating, 95 % of a mass rating"),
    ],
)

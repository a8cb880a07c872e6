"""Displacement from bore and stroke.

Pistons, gaskets and the fuel system are ordered by what the engine is, not by what the invoice says. Watch for a bore
typed as radius, the stroke of another crank, and a claim that is the block's original size after an overbore.
"""

from __future__ import annotations

from typing import Any

from service.calc import engine as calc
from service.checks.core import Check, Outcome, Shown, common_practice, derived, need, on_car, option

#: Difference of the claim. Common practice: a 0.030 in overbore of a 4 in bore is 1.5 %; rounding of trade names stays under 1.2 %.
FAIL, CAUTION = 0.03, 0.013


def judge(x: Any, out: Outcome) -> None:
    """Displacement, and the claim against it."""
    volume = out.value("displacement", calc.displacement(x.bore, x.stroke, x.cylinders))
    out.value("cylinder_displacement", volume / x.cylinders)
    if x.has("claim") and x.car.exists("engine.displacement"):
        difference = out.value("difference", x.claim / volume - 1)
        out.at_most("difference", FAIL, CAUTION, value=abs(difference), why="the claim agrees with bore and stroke")


def say(s: Any) -> str:
    """The finding in words."""
    text = f"{s.cylinders} cylinders of {s.bore} × {s.stroke} make {s.displacement}"
    if "difference" not in s.v:
        return f"{text}; no other figure is claimed."
    away = s.percent(abs(s.v["difference"]))
    if not any(limit.violated for limit in s.limits):
        return f"{text}; the claim of {s.claim} agrees."
    return f"{text}; the invoice says {s.claim}, {away} away: measure the bore and stroke before ordering pistons, gaskets or a fuel system."


CHECK = Check(
    title="Displacement from bore and stroke",
    system="engine",
    safety=False,
    applies=on_car("engine"),
    reads=("car",),
    inputs=[need("engine.bore"), need("engine.stroke"), need("engine.cylinders"), option("engine.displacement", "claim")],
    values={
        "displacement": Shown("displacement", "volume", "cu in"),
        "cylinder_displacement": Shown("displacement of one cylinder", "volume", "cu in"),
        "difference": Shown("claim over displacement, less 1", "dimensionless", "%"),
    },
    judge=judge,
    say=say,
    remedies=["record the right size"],
    formula="V = (π/4) b² s n; difference = V_claim/V − 1",
    basis=[derived("geometry"), common_practice("1.3 % and 3 %")],
)

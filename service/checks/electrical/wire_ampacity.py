"""Will the wire stay cool enough?

What a wire may carry depends on its size, on how hot its insulation may get, on the air around it and on the loaded
wires beside it. The currents come from a boat regulation, since no vehicle standard publishes a free table; that table is
generous, so this check fails at its full figure and asks the fuse to protect the wire as well.
"""

from __future__ import annotations

from math import sqrt
from typing import Any

from service.calc import electrical as calc
from service.checks.core import Check, Fix, Outcome, Shown, Unknown, common_practice, derived, option, published
from service.checks.electrical.shared import (
    INTERMITTENT_SHARE,
    TABLE_BEST_INSULATION,
    THINNEST,
    WIRE_INPUTS,
    ampacity,
    circuits,
    doubt,
    found,
    load_sheet,
    named,
)

#: Shares of the ampacity. Common practice.
FULL, NEARLY_FULL = 1.0, 0.9
#: However short it is on, a wire carries no more than this many times its ampacity. Common practice.
PEAK = 2.0
#: A wire below the table passes under this current, A. Common practice.
THIN_WIRE_CURRENT = 1.0


def judge(x: Any, out: Outcome) -> None:
    """Heating current against what the wire may carry alone and in its bundle."""
    share = x.on_fraction if x.duty == "intermittent" else 1.0
    effective = out.value("effective_current", x.current * sqrt(share))
    if absurd := doubt(x.position, x.current):
        out.remark(absurd)
    if x.wire_size < THINNEST * (1 - 1e-9):
        if x.current >= THIN_WIRE_CURRENT:
            raise Unknown("the table of currents starts at 18 AWG, and this wire is thinner")
        out.remark("A wire below 18 AWG under 1 A does not get warm.")
        return
    single = out.value("ampacity", ampacity(x))
    out.value("bundled_ampacity", single * calc.bundle_factor(x.bundled_count))
    out.must(x.temperature < x.insulation_class, "the air there is as hot as the insulation may get", of="ampacity")
    if single > 0:
        out.value("load_ratio", effective / single)
        out.at_most("load_ratio", FULL, NEARLY_FULL, why="share of the single wire's current")
        out.at_most("current", PEAK * single, why="twice the single wire's current, however short", value=x.current)
        out.at_most("effective_current", caution=out.values["bundled_ampacity"], why="what is left to it in its bundle")
    _soften(x, out, effective)


def _soften(x: Any, out: Outcome, effective: float) -> None:
    """A fail that would not stand at a mild place and with good insulation rests on what was assumed: ask for it."""
    guessed = [name for name in ("temperature", "insulation_class") if name in x.assumed]
    if out.verdict != "fail" or not guessed:
        return
    mild = calc.TABLE_AIR if "temperature" in guessed else None
    best = ampacity(x, temperature=mild, insulation=TABLE_BEST_INSULATION if "insulation_class" in guessed else None)
    if best > 0 and effective <= best and x.current <= PEAK * best:
        what = "the temperature there" if guessed[0] == "temperature" else "the insulation's class"
        out.not_a_fail(f"{what} is only assumed, so this is no firm fail: {'measure' if guessed[0] == 'temperature' else 'read'} it", lifted_by=guessed[0])


def say(s: Any) -> str:
    """The finding in words."""
    name = named(s)
    if "ampacity" not in s.v:
        return f"{name} carries {s.current}."
    if s.x.temperature >= s.x.insulation_class:
        return f"{name}: at {s.temperature} the place is as hot as the insulation may get ({s.insulation_class}). Another route, or better insulation."
    bundle = f" ({s.bundled_ampacity} in its bundle of {s.bundled_count})" if s.x.bundled_count > 2 else ""
    text = f"{name}: {s.current} in a wire good for {s.ampacity} here{bundle}"
    if found(s) == "pass":
        return text + "."
    return text + (": a larger wire, better insulation or a smaller bundle." if bundle else ": a larger wire or better insulation.")


CHECK = Check(
    title="Will the wire stay cool enough?",
    system="electrical",
    safety=True,
    at=("label", "circuit"),
    applies=circuits(starter=False),
    inputs=[*WIRE_INPUTS, option("circuit.on_fraction@here", default=lambda x: INTERMITTENT_SHARE if x.duty == "intermittent" else 1.0, why="by duty")],
    values={
        "effective_current": Shown("heating current", "current", "A"),
        "ampacity": Shown("current the wire may carry here", "current", "A"),
        "bundled_ampacity": Shown("current it may carry in its bundle", "current", "A"),
        "load_ratio": Shown("share used", "dimensionless", "%"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("circuit.wire_size@here", "next larger size"), Fix("circuit.insulation_class@here"), Fix("circuit.bundled_count@here")],
    extras=lambda x, values: load_sheet(x),
    formula="I_z = I_table·k_T, k_T = √((T_ins − T_air)/(T_ins − 30 °C)); in a bundle ·k_n; I_eff = I·√(share of time on)",
    basis=[
        published("currents: 33 CFR 183.425, Table 5 (a boat regulation: 30 °C air, single wires)"),
        derived("k_T: heat loss in proportion to the temperature rise; gives the regulation's engine-space factors to 0.01"),
        published("k_n: the same body of rules for 50 V and more, as quoted on a public page; used here as a caution only"),
        derived("r.m.s. heating, on-times under 30 s"),
        common_practice("fails at the table's full figure; temperatures by place; 0.8 mm² counted with 18 AWG"),
    ],
)

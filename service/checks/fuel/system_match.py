"""Whether pump, regulator, filter and return belong together.

An injection pump dead-headed without a regulator or return builds its full pressure; a carburetor floods above about
8 psi; a pump that runs after a crash feeds a fire. What is not yet answered keeps the verdict at caution: look and
record it. Tanks and lines follow the law where the car is registered; have the work looked over where it asks for it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from service.checks.core import Check, Fix, Outcome, Shown, any_recorded, common_practice, need, option

#: Pump pressure above which a carburetor needs a regulator, Pa (8 psi). Common practice.
CARBURETOR_PRESSURE = 55e3
ROAD_USES = ("street", "touring", "towing")
#: Names of the questions in the sentence.
QUESTIONS = {
    "pressure": "system pressure", "regulator": "regulator", "return_line": "return line or returnless", "filter_fine": "fine filter",
    "filter_coarse": "filter", "shutoff": "pump cut-out", "vent": "tank vent",
}


class _Rules:
    """Collects broken rules and questions not yet answered."""

    def __init__(self) -> None:
        self.broken: list[tuple[str, str, str]] = []
        self.open: list[str] = []

    def wants(self, x: Any, names: tuple[str, ...], why: str, verdict: str = "fail") -> None:
        """One yes among `names` keeps the rule; all answered no breaks it; else the question is open."""
        answers = [getattr(x, name) for name in names]
        if any(answers):
            return
        if None in answers:
            self.open.append(names[0])
        else:
            self.broken.append((names[0], why, verdict))


def _pump_pressure(x: Any, rules: _Rules) -> None:
    """The rules that need the pump's pressure."""
    if x.kind == "carburetor":
        if x.rated_pressure > CARBURETOR_PRESSURE:
            rules.wants(x, ("regulator",), "a regulator: the pump can make more than a float valve holds")
    elif not x.has("pressure"):
        rules.open.append("pressure")
    elif max(x.rated_pressure, x.second_pressure or 0.0) < x.pressure * (1 - 1e-9):
        rules.broken.append(("rated_pressure", "a pump whose curve reaches the system's pressure", "fail"))


def _fittings(x: Any, rules: _Rules) -> None:
    """The rules that hold whatever the pump's pressure."""
    if x.drive == "electric":
        rules.wants(x, ("shutoff",), "a cut-out that stops the pump after a crash or when the engine stops", "fail" if x.use in ROAD_USES else "caution")
    rules.wants(x, ("vent",), "a vented tank")
    if x.kind == "carburetor":
        rules.wants(x, ("filter_coarse", "filter_fine"), "a filter", "caution")
        return
    rules.wants(x, ("regulator",), "a regulator")
    rules.wants(x, ("return_line", "returnless"), "a return line or a returnless module")
    rules.wants(x, ("filter_fine",), "a fine filter after the pump")


def _break(rules: _Rules, out: Outcome) -> None:
    for name, why, verdict in rules.broken:
        out.must(False, why, "caution" if verdict == "caution" else "fail", of=name)


def judge(x: Any, out: Outcome) -> None:
    """Each rule for this kind of metering; those on the pump's pressure last, since it may not be known."""
    out.must(x.kind != "carburetor" or x.fuel != "diesel", "fuel injected into the cylinder, as a diesel burns it", of="kind")
    fittings, pump = _Rules(), _Rules()
    _fittings(x, fittings)
    _break(fittings, out)
    rated = x.rated_pressure
    if x.has("pressure") and x.pressure > 0.0:
        out.value("pressure_ratio", rated / x.pressure)
    _pump_pressure(x, pump)
    _break(pump, out)
    out.value("faults", len(fittings.broken) + len(pump.broken))
    questions = [*pump.open, *fittings.open]
    if questions:
        names = ", ".join(QUESTIONS[name] for name in questions)
        out.at_best_caution(f"not yet answered: {names}", lifted_by=questions[0])


def _missing(s: Any) -> Iterator[str]:
    return (item.why for item in s.limits if item.violated)


def say(s: Any) -> str:
    """The finding in words."""
    kind = s.kind[:1].upper() + s.kind[1:]
    if kind == "Carburetor" and s.x.fuel == "diesel":
        return "A carburetor on a diesel: a diesel's fuel is injected. One of the two is entered wrongly, or it will not run."
    missing = list(_missing(s))
    if missing:
        text = f"{kind}: it lacks {'; '.join(missing)}."
        return f"{text} Do not drive it so." if s.verdict == "fail" else text
    if kind == "Carburetor" and s.x.regulator is None and s.x.has("rated_pressure") and s.x.rated_pressure > CARBURETOR_PRESSURE:
        return f"The pump can make {s.rated_pressure} and a float valve holds about {s.show(CARBURETOR_PRESSURE, 'pressure', 'kPa')}: a regulator is needed."
    return f"{kind}: pump, regulator, filter, return, cut-out and vent belong together, as far as they are recorded."


CHECK = Check(
    title="Do pump, regulator, filter and return belong together?",
    system="fuel",
    safety=True,
    applies=any_recorded("fuel_system.kind"),
    inputs=[
        need("fuel_system.kind"),
        need("fuel_pump.rated_pressure"),
        need("build.use"),
        option("engine.fuel"),
        option("fuel_system.pressure"),
        option("fuel_pump.second_pressure"),
        option("fuel_pump.drive", default="electric"),
        option("fuel_system.regulator"),
        option("fuel_system.return_line"),
        option("fuel_system.returnless"),
        option("fuel_system.filter_fine"),
        option("fuel_system.filter_coarse"),
        option("fuel_system.shutoff"),
        option("fuel_tank.vent"),
    ],
    values={
        "pressure_ratio": Shown("pump's rated pressure over the system's", "dimensionless"),
        "faults": Shown("rules broken", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("fuel_system.regulator"),
        Fix("fuel_system.return_line"),
        Fix("fuel_system.returnless"),
        Fix("fuel_system.filter_fine"),
        Fix("fuel_system.shutoff"),
        Fix("fuel_tank.vent"),
    ],
    formula="rules by kind of metering; faults = rules broken; pressure ratio = p_rated/p_system",
    basis=[common_practice("what each kind of metering needs; the cut-out serves the aim of 49 CFR 571.301: no fuel after a crash")],
)

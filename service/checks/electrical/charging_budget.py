"""Does the alternator cover the loads?

An alternator makes its rated output hot and turning fast; idling it makes less than half. What the loads take beyond that
comes out of the battery, which is empty in traffic long before the driver notices. Motors that run for seconds count
nothing. A sum over too few circuits says little.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.calc import electrical as calc
from service.checks.core import Check, Fix, Outcome, Shown, all_of, common_practice, derived, need, on_car, option

#: Output at idle over rated output, and hot over rated. Common practice.
IDLE_SHARE, HOT_SHARE = 0.4, 0.85
#: Share of the hot output that cruising loads may take before it is tight. Common practice.
TIGHT = 0.80
#: Least time to half charge when idling draws on the battery, s. Common practice.
LEAST_TIME = 1800.0
#: Usual battery, A·s (50 Ah). Common practice.
USUAL_CAPACITY = 180000.0
#: Fewer circuits than this make no sum. Common practice.
ENOUGH = 4
#: Words in the label of a wire that is no load but carries the alternator's own output, or cranks for seconds. Common practice.
NO_LOAD = ("alternator", "charge cable", "charge wire", "battery cable", "starter")
IDLE, CRUISE = ("idle_and_cruise", "idle"), ("idle_and_cruise", "cruise")


def judge(x: Any, out: Outcome) -> None:
    """Loads against output, idling and cruising."""
    counted = [label for label in x.currents if when(x, label) is not None]
    hot = hot_share(x)
    out.value("load_idle", load(x, counted, IDLE))
    out.value("load_cruise", load(x, counted, CRUISE))
    out.value("reserve_idle", hot * x.idle_output - out.values["load_idle"])
    out.value("reserve_cruise", hot * x.rated_output - out.values["load_cruise"])
    out.at_least("reserve_cruise", 0.0, why="cruising draws on the battery")
    out.at_most("load_cruise", caution=TIGHT * hot * x.rated_output, why="80 % of the hot output")
    out.at_least("reserve_idle", caution=0.0, why="idling draws on the battery")
    if out.values["reserve_idle"] < 0:
        out.value("time_to_half_charge", calc.time_to_half_charge(x.capacity, -out.values["reserve_idle"]))
        out.at_least("time_to_half_charge", LEAST_TIME, why="half an hour of idling")
    _completeness(x, out, counted)


def _completeness(x: Any, out: Outcome, counted: list[str]) -> None:
    """Say what the sum lacks: too few circuits for a verdict of pass, and circuits without a current."""
    if len(counted) < ENOUGH:
        number = "no load" if not counted else f"only {len(counted)} circuit{'s' if len(counted) != 1 else ''}"
        few = f"{number} {'are' if len(counted) > 1 else 'is'} recorded, so the sum is incomplete"
        out.at_best_caution(few, lifted_by="currents")
        if out.verdict != "pass":
            out.remark(f"{few[:1].upper()}{few[1:]}.")
    blank = [label for label in x.car.labels("circuit") if label not in x.currents and when(x, label) is not None]
    if blank:
        out.remark(f"Not counted, since no current is recorded: {', '.join(blank)}.")


def hot_share(x: Any) -> float:
    """Hot output over the figure given: 1 where it was measured hot."""
    return 1.0 if x.measured_hot else HOT_SHARE


def when(x: Any, label: str) -> str | None:
    """When a circuit is on; None for a wire that is no load (unless the record says when it is on)."""
    said = x.whens.get(label) if isinstance(x.whens, Mapping) else None
    if said is not None:
        return str(said)
    return None if any(word in label for word in NO_LOAD) else "idle_and_cruise"


def load(x: Any, labels: list[str], whens: tuple[str, ...]) -> float:
    """Sum of current times share of time over the circuits on then, A."""
    fractions = x.on_fractions if isinstance(x.on_fractions, Mapping) else {}
    return float(sum(x.currents[label] * fractions.get(label, 1.0) for label in labels if when(x, label) in whens))


def say(s: Any) -> str:
    """The finding in words."""
    hot = hot_share(s.x)
    idle, cruise = s.show(hot * s.x.idle_output, "current", "A"), s.show(hot * s.x.rated_output, "current", "A")
    text = f"Idling takes {s.load_idle} of {idle}; cruising takes {s.load_cruise} of {cruise}"
    if s.v["reserve_cruise"] < 0:
        return text + ". The battery runs down even on the road: a larger alternator, or fewer loads."
    if s.v["reserve_idle"] < 0:
        minutes = s.v["time_to_half_charge"] / 60
        return f"{text}. Standing still it draws on the battery, which is half empty after about {minutes:,.0f} min: fewer loads, or more output at idle."
    tight = s.v["load_cruise"] > TIGHT * hot * s.x.rated_output
    return text + (", which leaves little to charge the battery." if tight else ".")


CHECK = Check(
    title="Does the alternator cover the loads?",
    system="electrical",
    safety=False,
    applies=all_of(on_car("alternator"), on_car("circuit")),
    reads=("car",),
    inputs=[
        need("alternator.rated_output"),
        need("circuit.current@*", "currents"),
        option("alternator.idle_output", default=lambda x: IDLE_SHARE * x.rated_output, why="usual share of the rated output"),
        option("alternator.measured_hot", default=False),
        option("circuit.when@*", "whens", default="idle_and_cruise"),
        option("circuit.on_fraction@*", "on_fractions", default=1.0),
        option("battery.capacity", default=USUAL_CAPACITY, why="usual battery"),
    ],
    values={
        "load_idle": Shown("load idling", "current", "A"),
        "load_cruise": Shown("load cruising", "current", "A"),
        "reserve_idle": Shown("left over idling", "current", "A"),
        "reserve_cruise": Shown("left over cruising", "current", "A"),
        "time_to_half_charge": Shown("idling time to half charge", "time", "min"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("alternator.rated_output")],
    formula="load = Σ I·share of time; reserve = 0.85·output − load (1 where measured hot); time to half charge = 0.5·C/(−reserve idling)",
    basis=[derived("sums of currents"), common_practice("40 % of the rated output at idle, 85 % hot, 80 % for loads, 30 min")],
)

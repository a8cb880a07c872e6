"""Whether the coolant survives the coldest night.

Too little glycol freezes and leaves the metal without inhibitor; above 60 % protection turns back and heat transfer
falls. A refractometer read on the scale of the other glycol misleads by several degrees. Antifreeze poisons people and
animals.
"""

from __future__ import annotations

from typing import Any

from service.calc import cooling as calc
from service.checks.core import Check, Fix, Missing, Outcome, Shown, common_practice, on_car, option, published

#: Coldest night when none is named, K (−20 °C). Common practice.
COLDEST = 253.15
#: Kelvins in hand below which it is a caution, and the share that keeps inhibitors and protection. Common practice.
WISE, THINNEST, RICHEST = 5.0, 0.30, 0.60
#: Uses whose rules may forbid glycol, and the cold above which water alone is then right, K (5 °C). Common practice.
WATER_USES, FROST_FREE = ("track", "drag"), 278.15


def _freeze_temperature(x: Any, out: Outcome) -> float:
    if x.has("freeze_point"):
        return float(x.freeze_point)
    if not x.has("glycol_fraction"):
        raise Missing("freeze_point")
    if x.glycol_fraction > RICHEST:
        out.remark("Beyond 60 % the freeze point turns back; the figure given is that of 60 %.")
    return calc.freeze_temperature(min(x.glycol_fraction, RICHEST), x.glycol_type)


def judge(x: Any, out: Outcome) -> None:
    """Freeze point against the coldest expected, and the share against what inhibitors need."""
    freeze = out.value("freeze_temperature", _freeze_temperature(x, out))
    out.value("margin_temperature", x.coldest_temperature - freeze)
    out.at_least("margin_temperature", 0.0, WISE, why="5 K in hand")
    if x.has("glycol_fraction"):
        water_is_right = x.use in WATER_USES and x.coldest_temperature > FROST_FREE
        out.within("glycol_fraction", (None if water_is_right else THINNEST, RICHEST), worst="caution", value=x.glycol_fraction,
                   why="thinner than 30 % the inhibitors are too thin, richer than 60 % protection turns back")


def say(s: Any) -> str:
    """The finding in words."""
    text = f"The mix freezes at {s.freeze_temperature}; the coldest expected is {s.coldest_temperature}"
    if s.v["margin_temperature"] < 0:
        text += f". It is {s.show(-s.v['margin_temperature'], 'temperature_difference')} short: a block can crack"
    elif s.v["margin_temperature"] < WISE:
        text += f", only {s.margin_temperature} apart"
    fraction = s.x.glycol_fraction
    if fraction is not None and any(item.of == "glycol_fraction" and item.violated for item in s.limits):
        text += ". At this share the corrosion inhibitors are too thin" if fraction < THINNEST else ". So rich a mix carries less heat: thin it to 60 % or less"
    return text + "."


CHECK = Check(
    title="Will the coolant survive the coldest night?",
    system="cooling",
    safety=False,
    applies=on_car("coolant"),
    inputs=[
        option("coolant.freeze_point"),
        option("coolant.glycol_fraction"),
        option("coolant.glycol_type", default="ethylene"),
        option("cooling.coldest_temperature", default=COLDEST),
        option("build.use"),
    ],
    either=[(("freeze_point",), ("glycol_fraction",))],
    values={
        "freeze_temperature": Shown("freeze point", "temperature", "degC"),
        "margin_temperature": Shown("margin to the coldest expected", "temperature_difference", "K"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("coolant.glycol_fraction")],
    formula="margin = T_cold − T_f; T_f measured, or by volume share of glycol",
    basis=[
        published("freeze points rounded to the warmer side from CoolProp's ASHRAE-derived fits; within 1.5 K of Lange's Handbook of Chemistry, table 5.13"),
        common_practice("5 K in hand, 30 to 60 % glycol; water alone where track rules forbid glycol and it does not freeze"),
    ],
)

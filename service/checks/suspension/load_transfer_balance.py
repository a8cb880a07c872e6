"""Roll and balance in a steady corner.

The end that takes more of the load transfer slides first. A car whose rear takes too much comes round without warning;
one whose front takes too much pushes wide. A frame that twists blurs the split: ladder frames lose 10 to 30 % of the
difference intended. Steady cornering on a smooth road only; a bar fitted but not measured leaves it open.
"""

from __future__ import annotations

import math
from typing import Any

from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, from_memory, need, option, published
from service.checks.suspension import corner, shared

#: Front share of the load transfer less front share of the weight: pass band and caution band by use. Common practice.
INDEX = shared.by_use({
    "street touring towing drag": ((0.02, 0.15), (-0.02, 0.22)),
    "autocross track": ((0.0, 0.12), (-0.05, 0.20)),
})
#: The same for front drive, every use. Common practice.
FRONT_DRIVE_INDEX = ((-0.10, 0.08), (-0.20, 0.15))
#: Roll beyond which small angles no longer hold, rad.
LARGEST_ROLL = math.radians(10)


def judge(x: Any, out: Outcome) -> None:
    """Roll at 1 g, the split of stiffness and load transfer, and the balance they make."""
    found = corner.balance(x)
    out.value("roll_at_one_g", found.roll)
    out.value("front_roll_stiffness_share", found.front_stiffness_share)
    out.value("front_load_transfer_share", found.front_load_transfer_share)
    out.value("balance_index", found.balance_index)
    out.within("balance_index", *_bands(x), why=f"front share of the load transfer less front share of the weight, {x.use}")
    if found.roll > LARGEST_ROLL:
        out.remark("The roll is over 10 degrees, beyond which these figures are only a rough guide.")


def _bands(x: Any) -> tuple[shared.Band, shared.Band]:
    return FRONT_DRIVE_INDEX if x.drive_layout == "front" else INDEX[x.use]


def say(s: Any) -> str:
    """The finding in words."""
    weight = s.x.front_mass / (s.x.front_mass + s.x.rear_mass)
    share = s.percent(s.v["front_load_transfer_share"])
    first = (f"In a 1 g corner the body rolls {shared.roll_in_words(s)}; the front tires carry {share} of the load transfer "
             f"against {s.percent(weight)} of the weight: ")
    (low, high), _ = _bands(s.x)
    index = s.v["balance_index"]
    if index < low:
        return first + "the tail will come round first. More bar or spring at the front, or less at the rear, steadies it."
    if index > high:
        return first + "the front will push. Less bar or spring at the front, or more at the rear, turns it in."
    return first + "steady."


CHECK = Check(
    title="Roll and balance in a corner",
    system="suspension",
    safety=True,
    inputs=[need("build.use"), *corner.inputs(), option("car.drive_layout", default="rear")],
    values={
        "roll_at_one_g": Shown("roll in a 1 g corner", "angle", "deg"),
        "front_roll_stiffness_share": Shown("front share of the roll stiffness", "dimensionless"),
        "front_load_transfer_share": Shown("front share of the load transfer", "dimensionless"),
        "balance_index": Shown("front load transfer share less front weight share", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("anti_roll_bar.diameter@front", "next size {stock}", stock=shared.stock_bars),
        Fix("anti_roll_bar.diameter@rear", "next size {stock}", stock=shared.stock_bars),
        Fix("spring.rate@front"),
        Fix("spring.rate@rear"),
    ],
    formula="φ = m_s g h₁/(K_f + K_r − m_s g h₁); ΔF = (K φ + m_s,axle g h_roll + m_u g r)/t; index = ΔF_f/(ΔF_f + ΔF_r) − front weight share",
    basis=[
        derived("steady corner, small angles, rigid frame, tires not in series; the model of Milliken & Milliken and of Gillespie; "
                "checked by free bodies solved as linear equations"),
        published("the model's roll and load transfer: worked example in Barton & Fieldhouse, Automotive Chassis Engineering, ch. 3 (compared)"),
        from_memory("starting value of a front share about 5 % above the front weight: Milliken"),
        common_practice("bands by intended use"),
    ],
)

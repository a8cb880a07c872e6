"""Is the bolt strong enough for its job?

Judged is the class that the duty calls for, not the load: a joint that carries people gets a marked bolt of at least
class 8.8 or grade 5, and a nut that does not strip before it. Stronger is not always better: the hardest bolts crack when
plated or rusting, and stainless is soft and galls.
"""

from __future__ import annotations

from typing import Any

from service import notation
from service.calc import fasteners as calc
from service.checks.core import Check, Fix, Outcome, Shown, any_recorded, common_practice, need, option, published
from service.checks.fasteners.shared import READS, SAFETY_INPUT, STAINLESS, bolt, capital, class_words, classes_made, safety

_MPA = 1e6
#: Proof stress wanted by duty, Pa: class 8.8 or grade 5 where people hang on it. Common practice.
REQUIRED = {
    **dict.fromkeys(("brake", "steering", "suspension", "driveline", "seat", "wheel", "seat_belt"), 580 * _MPA),
    "engine": 380 * _MPA, "body": 0.0, "trim": 0.0,
}
#: Least diameter of a seat-belt bolt, m (7/16 in). Common practice in reading 49 CFR 571.209.
BELT_DIAMETER = 0.011
#: Duties that hang in the wet and salt under the car. Common practice.
OUTSIDE = ("brake", "steering", "suspension", "driveline", "wheel")
#: Duties on which stainless is doubtful whatever its figure. Common practice.
NO_STAINLESS = ("brake", "steering", "suspension")
#: Nut class or grade that goes with a bolt. Sources: ISO 898-2 (the bolt's first number); SAE J995.
NUT_OF_CLASS = {"4.6": 4, "4.8": 4, "5.8": 5, "8.8": 8, "9.8": 9, "10.9": 10, "12.9": 12, "2": 2, "5": 5, "8": 8}
#: Grade C lock nuts hold an inch grade 8 bolt. Common practice.
GRADE_C = 8


def judge(x: Any, out: Outcome) -> None:
    """Proof stress against what the duty calls for; nut; diameter; hardness."""
    required = out.value("required", REQUIRED[x.duty])
    thread = bolt(x, out, x.grade) if x.has("thread") else None
    if x.grade == "unmarked":
        out.must(not (x.safety_joint or required > 0), "a bolt without marking has no place in this joint", of="proof_stress")
    else:
        # Without the thread the usual sizes are taken: up to M16 and 1 in.
        proof = out.value("proof_stress", calc.strength(x.grade, thread.diameter if thread else 0.010)[0])
        out.at_least("proof_stress", required, why=f"what a {x.duty.replace('_', ' ')} joint calls for")
        _nut(x, out)
        _doubts(x, out, proof)
    if x.duty == "seat_belt":
        _belt(out, thread)


def _nut(x: Any, out: Outcome) -> None:
    wanted = NUT_OF_CLASS.get(x.grade)
    if x.nut_class in (None, "none") or wanted is None:
        return
    have = GRADE_C if x.nut_class == "C" else int(x.nut_class)
    kind = "grade" if calc.is_inch_grade(x.grade) else "class"
    out.must(have >= wanted, f"a nut of {kind} {x.nut_class} strips before this bolt; {wanted} is wanted", of="nut_class")
    if have < wanted:
        out.advise(f"a nut of {kind} {wanted} or higher")


def _doubts(x: Any, out: Outcome, proof: float) -> None:
    hardest = proof >= calc.METRIC_CLASSES["12.9"][0] * (1 - 1e-9)
    wet = x.lubricant == "zinc_plated_dry" or x.duty in OUTSIDE
    out.must(not (hardest and wet), "bolts this hard crack from hydrogen when plated or rusting", "caution", of="grade")
    out.must(not (x.grade in STAINLESS and x.duty in NO_STAINLESS), "stainless is soft, stretches and galls", "caution", of="grade")
    hard_use = x.duty == "driveline" and x.use in ("track", "drag") and x.grade in ("8.8", "5")
    out.must(not hard_use, f"{x.use} use wants 10.9 or grade 8 in the driveline", "caution", of="grade")


def _belt(out: Outcome, thread: notation.Thread | None) -> None:
    if thread is None:
        out.at_best_caution("a seat-belt bolt must be at least 7/16 in, so record the thread", lifted_by="thread")
    else:
        out.must(thread.diameter >= BELT_DIAMETER * (1 - 1e-9), "a seat-belt bolt is at least 7/16 in or 11 mm", of="thread")


def say(s: Any) -> str:
    """The finding in words."""
    duty = s.x.duty.replace("_", " ")
    text = f"{capital(s.position)}: {class_words(s.x.grade)} on {'an' if duty[0] in 'aeiou' else 'a'} {duty} joint"
    if "proof_stress" in s.v and s.v["required"]:
        text += f" holds {s.proof_stress} where {s.required} is wanted"
    broken = [limit.why for limit in s.limits if limit.violated and limit.kind == "must"]
    weak = ["it is too weak for this"] if any(limit.violated and limit.of == "proof_stress" and limit.kind != "must" for limit in s.limits) else []
    reasons = [*weak, *broken]
    return text + (f". {capital('; '.join(reasons))}." if reasons else ".")


CHECK = Check(
    title="Is the bolt strong enough for its job?",
    system="fasteners",
    safety=safety,
    at=("label", "joint"),
    applies=any_recorded("joint.duty@here"),
    reads=READS,
    inputs=[
        need("fastener.class@here", "grade"),
        need("joint.duty@here"),
        option("fastener.thread@here"),
        option("joint.nut_class@here"),
        option("fastener.lubricant@here"),
        need("build.use"),
        SAFETY_INPUT,
    ],
    values={
        "proof_stress": Shown("proof stress of the class", "pressure", "MPa"),
        "required": Shown("proof stress wanted", "pressure", "MPa"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("fastener.class@here", candidates=classes_made)],
    formula="proof stress of the class ≥ what the duty calls for; nut not below the bolt's first number; seat belt d ≥ 11 mm",
    basis=[
        published("stresses: ISO 898-1; SAE J429"),
        common_practice("class 8.8 or grade 5 where people hang on it; 7/16 in for seat belts, in reading 49 CFR 571.209"),
        common_practice("hydrogen cracking of the hardest bolts; stainless; 10.9 for hard use"),
    ],
)

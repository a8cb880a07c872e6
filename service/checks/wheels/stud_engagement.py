"""Thread in the nut.

A wheel nut holds on as many turns as it has bitten. Spacers, thick aluminum wheels and an added rotor hat eat the stud.
Measure the stud out of the face that the wheel sits on, with the rotor or drum fitted. Watch for: a closed nut that
meets the end of the stud before it clamps: it feels tight and holds nothing.
"""

from __future__ import annotations

from typing import Any

from service.calc.wheels import fit
from service.checks.core import Check, Fix, Missing, Outcome, Shown, common_practice, need, option
from service.notation import Thread, thread

#: Thread engaged over stud diameter: fail below the first, caution below the second. Common practice.
RATIOS = {"steel": (0.8, 1.0), "aluminum": (1.25, 1.5)}
#: Rounding of a difference of lengths, m; a stud that just reaches its limit is inside.
EQUAL = 1e-9


def judge(x: Any, out: Outcome) -> None:
    """Engagement by turns counted, else by lengths."""
    stud = thread(x.stud_thread)
    projection = fit.stud_projection(x.stud_length, x.spacer_thickness, x.seat_thickness) if x.has("stud_length", "seat_thickness") else None
    if projection is not None and x.closed and x.has("depth"):
        out.must(projection <= x.depth - stud.pitch + EQUAL, "the closed nut meets the end of the stud before it clamps", of="depth")
    if x.has("turns_counted"):
        engagement = x.turns_counted * stud.pitch
    elif projection is not None and x.has("thread_length"):
        engagement = fit.thread_engagement(projection, x.thread_length)
    else:
        _judge_projection(x, out, projection, stud)
        raise Missing("turns_counted")
    out.value("engagement", engagement)
    out.value("engagement_ratio", engagement / stud.diameter)
    out.value("turns", engagement / stud.pitch)
    out.at_least("engagement_ratio", *RATIOS[x.material], why=f"{x.material} nut, in stud diameters")
    if x.closed and projection is not None and not x.has("depth"):
        out.remark("The nut is closed: note its depth, so that it is known not to meet the end of the stud.")


def _judge_projection(x: Any, out: Outcome, projection: float | None, stud: Thread) -> None:
    """What no nut can mend: a stud that stands out less than the thread that is needed."""
    if projection is not None:
        least = RATIOS[x.material][0] * stud.diameter
        out.must(projection >= least - EQUAL, "the stud is too short for any nut", of="engagement")


def say(s: Any) -> str:
    """The finding in words."""
    stud = thread(s.x.stud_thread)
    if "turns" not in s.v:
        return "Spacer and wheel leave too little of the stud for any nut: longer studs or a thinner spacer."
    needed = RATIOS[s.x.material][1] * stud.diameter / stud.pitch
    if s.v["turns"] <= 0:
        text = "The stud does not reach the nut's thread"
    else:
        text = f"{s.v['turns']:.1f} turns of thread ({s.engagement}); at least {needed:.1f} are needed"
    if any(item.of == "depth" and item.violated for item in s.limits):
        return text + ". The closed nut meets the end of the stud before it clamps: open or deeper nuts, or shorter studs."
    if s.worst is not None and s.worst.violated:
        return text + ": longer studs, a thinner spacer or nuts that reach deeper."
    return text + "."


CHECK = Check(
    title="Thread in the nut",
    system="wheels",
    safety=True,
    at="corners",
    inputs=[need("hub.stud_thread@here"), option("lug_nut.turns@here", "turns_counted"), option("hub.stud_length@here"),
            option("wheel.seat_thickness@here"), option("lug_nut.thread_length@here"), option("wheel.spacer_thickness@here", default=0.0),
            option("lug_nut.closed@here", default=False), option("lug_nut.depth@here"), option("lug_nut.material@here", default="steel")],
    either=[(("turns_counted",), ("stud_length", "seat_thickness", "thread_length"))],
    values={
        "engagement": Shown("thread engaged", "length", "mm"),
        "engagement_ratio": Shown("thread engaged over stud diameter", "dimensionless"),
        "turns": Shown("turns of thread engaged", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("hub.stud_length@here"), Fix("wheel.spacer_thickness@here"), Fix("lug_nut.thread_length@here")],
    formula="engagement = turns·p, or min(stud − spacer − seat thickness, thread in the nut); ratio = engagement/d",
    basis=[common_practice("one diameter of thread in steel nuts, one and a half in aluminum (repeated on public trade pages as a recommendation)")],
)

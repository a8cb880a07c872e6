"""Whether the measured backpressure is acceptable.

Measured before the muffler at full power, by a port with a long steel tube to a gauge. Behind a turbocharger only a
figure taken after the turbine says anything about the pipe. Carbon monoxide kills without smell: measure outdoors.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Outcome, Shown, Unknown, any_recorded, common_practice, need, option

#: Backpressure that fails, that is a caution, and that is one on the track, Pa (5 psi, 2 psi, 1.5 psi). Common practice.
HIGHEST, WISE, WISE_RACING = 35e3, 14e3, 10e3
RACING = ("track", "drag")


def _after_turbine(x: Any) -> bool:
    texts = [f"{entry.get('condition') or ''} {entry.get('notes') or ''}".lower() for entry in x.measurements if entry["fact"] == "exhaust.backpressure"]
    return any("after" in text and "turbine" in text for text in texts)


def judge(x: Any, out: Outcome) -> None:
    """The figure against the limit for the use."""
    if x.aspiration == "turbocharged" and not _after_turbine(x):
        raise Unknown("on a turbocharged engine it counts only after the turbine; say so in the measurement's condition")
    out.value("backpressure", x.backpressure)
    out.at_most("backpressure", HIGHEST, WISE_RACING if x.use in RACING else WISE, why="more costs power and heats the engine")


def say(s: Any) -> str:
    """The finding in words."""
    text = f"{s.backpressure} before the muffler at full power; {s.limit('backpressure', 'caution')} is the most wanted."
    if s.verdict in ("caution", "fail") and any(item.violated for item in s.limits):
        text += " The check of the pipe's size names the diameter to try; a crushed pipe or a clogged muffler reads the same."
    return text


CHECK = Check(
    title="Is the measured backpressure acceptable?",
    system="exhaust",
    safety=False,
    applies=any_recorded("exhaust.backpressure"),
    inputs=[need("exhaust.backpressure"), need("build.use"), option("engine.aspiration")],
    reads=("measurements",),
    values={"backpressure": Shown("backpressure", "pressure", "kPa")},
    judge=judge,
    say=say,
    formula="as measured before the muffler at full power",
    basis=[common_practice("35 kPa (5 psi) at most, 14 kPa (2 psi) wise, 10 kPa on the track")],
)

"""Whether fuse and alternator feed the electric fans.

Fans run longest just when the alternator turns slowest. A fan draws two to three times its running current as it
starts: use a slow fuse or a soft start. Two fans on one fuse stop together. The wire is judged on the circuit that
holds the fan.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Fix, Outcome, Shown, common_practice, need, option

#: Continuous load of a fuse, and share of the alternator's output at idle, that are wise. Common practice.
CONTINUOUS_LOAD, IDLE_SHARE = 0.80, 0.50
#: Output at idle over rated output. Common practice.
IDLE_OUTPUT_SHARE = 0.4
#: Blade fuse and breaker sizes, A. From memory, ISO 8820 series.
FUSES = (10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0, 125.0, 150.0)


def judge(x: Any, out: Outcome) -> None:
    """Total current, load of one fuse, share of the alternator at idle."""
    total = out.value("total_current", x.count * x.current)
    with out.part():
        out.value("fuse_ratio", x.fans_per_circuit * x.current / x.fuse_rating)
        out.at_most("fuse_ratio", 1.0, CONTINUOUS_LOAD, why="a fuse carries 80 % of its rating for long")
    out.must(x.fans_per_circuit < 2, "two fans on one fuse: one fuse stops both", "caution", of="fans_per_circuit")
    if x.has("idle_output") and x.idle_output > 0.0:
        out.value("alternator_share", total / x.idle_output)
        out.at_most("alternator_share", 1.0, IDLE_SHARE, why="of the output at idle; half is for everything else")
    else:
        out.remark("The alternator is not recorded, so its part is not judged.")


def say(s: Any) -> str:
    """The finding in words."""
    draw = "fan draws" if s.x.count == 1 else "fans draw"
    shares = [f"{s.percent(s.v['fuse_ratio'])} of the fuse"] if "fuse_ratio" in s.v else []
    if "alternator_share" in s.v:
        shares.append(f"{s.percent(s.v['alternator_share'])} of what the alternator makes at idle")
    text = f"The {draw} {s.total_current}; that is {' and '.join(shares)}."
    if s.x.fans_per_circuit >= 2:
        text += " One fuse stops both fans: give each its own."
    share = s.v.get("alternator_share", 0.0)
    if share > IDLE_SHARE:
        text += " In a queue the battery makes up the rest" if share > 1.0 else " In a queue that leaves little for everything else"
        text += ": take an alternator with more output at idle, or fans that draw less."
    return text


CHECK = Check(
    title="Can the fan circuit and alternator feed the fan?",
    system="cooling",
    safety=False,
    applies=lambda car, position: car.value("cooling_fan.drive") == "electric",
    inputs=[
        need("cooling_fan.current"),
        need("cooling_fan.fuse_rating"),
        option("cooling_fan.count", default=1),
        option("cooling_fan.fans_per_circuit", default=lambda x: x.count, why="all fans on one fuse"),
        option("alternator.rated_output"),
        option("alternator.idle_output", default=lambda x: IDLE_OUTPUT_SHARE * x.rated_output, why="0.4 of the rated output"),
    ],
    values={
        "total_current": Shown("current of all fans", "current"),
        "fuse_ratio": Shown("load over fuse", "dimensionless"),
        "alternator_share": Shown("share of the alternator's output at idle", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("cooling_fan.fuse_rating", "only up to what the wire allows", stock=FUSES),
        Fix("cooling_fan.fans_per_circuit"),
    ],
    formula="I_t = n·I; fuse ratio = n_c·I/I_f; alternator share = I_t/I_idle",
    basis=[common_practice("80 % continuous loading of a fuse, half the output at idle, 0.4 of rated output at idle; "
                           "a fan starts with two to three times its running current")],
)

"""Where in its slots the radiator can sit.

Slotted channels let the height be set exactly where it is wanted: clear of the closed hood, which flutters and slams,
and clear of the crossmember or steering below. All heights are taken from one marked datum. Where the filler ends up
below the engine's highest coolant passage, air stays trapped there: then the system is filled and bled at the high
point instead. Watch for a cap or drain cock left out of the measurement, and for the hood measured while open.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.calc import cooling as calc
from service.checks.core import Check, Fix, Outcome, Shown, all_of, any_recorded, common_practice, derived, need, on_car, option

#: Gaps wanted above and below, m. Common practice: hoods flutter and slam.
HOOD_GAP, LOWER_GAP = 0.019, 0.013
#: A window narrower than this is hard to set and keep, m. Common practice.
NARROW = 0.003


def judge(x: Any, out: Outcome) -> None:
    """The window of heights, the height chosen, and the filler against the engine's high point."""
    low, high = calc.height_window(x.slot_low, x.slot_high, x.hood_height, x.obstruction_height, x.top_above_mount, x.bottom_below_mount,
                                   x.hood_gap, x.lower_gap)
    out.value("lowest_height", low)
    out.value("highest_height", high)
    out.value("window", high - low)
    out.at_least("window", 0.0, NARROW, why="hood above and obstruction below both clear; under 3 mm is hard to set")
    if x.has("mount_height") and low <= high:
        out.within("mount_height", (low, high), value=x.mount_height, why="between the lowest and highest height")
    if x.has("coolant_high_point", "fill_point_above_mount"):
        filler = (x.mount_height if x.has("mount_height") else high) + x.fill_point_above_mount
        out.at_most("coolant_high_point", caution=filler, value=x.coolant_high_point, why="not above the filler neck")


def say(s: Any) -> str:
    """The finding in words."""
    if s.v["window"] < 0:
        return f"There is no height that clears both: short by {s.show(-s.v['window'], 'length', 'mm')} between the hood above and what is below."
    broken = {item.of for item in s.limits if item.violated}
    text = f"et the mounting hole between {s.lowest_height} and {s.highest_height} above the datum."
    if "mount_height" in broken:
        text = f"At {s.mount_height} the radiator fouls: s{text}"
    else:
        text = f"S{text}" + (f" The height chosen, {s.mount_height}, is inside." if s.mount_height else "")
    if "window" in broken:
        text += f" That leaves only {s.window} to play with."
    if "coolant_high_point" in broken:
        text += (f" With the hole at {s.mount_height or s.highest_height} the filler is below the engine's highest coolant passage: "
                 "fit a filler or expansion tank at the high point, with a bleed screw.")
    return text


def extras(x: Any, values: Mapping[str, Any]) -> Mapping[str, Any]:
    """The heights for the drawing."""
    names = ("slot_low", "slot_high", "mount_height", "hood_height", "hood_gap", "obstruction_height", "lower_gap", "top_above_mount",
             "bottom_below_mount", "core_width")
    return {"series": {"kind": "radiator_slots", "lowest_height": values["lowest_height"], "highest_height": values["highest_height"],
                       **{name: getattr(x, name) for name in names}}}


CHECK = Check(
    title="Where in the slots can the radiator sit?",
    system="cooling",
    safety=False,
    applies=all_of(on_car("radiator"), any_recorded("radiator_mount.slot_low", "radiator_mount.slot_high", "radiator_mount.mount_height")),
    inputs=[
        need("radiator_mount.slot_low"),
        need("radiator_mount.slot_high"),
        need("radiator_mount.hood_height"),
        need("radiator_mount.obstruction_height"),
        need("radiator.top_above_mount"),
        need("radiator.bottom_below_mount"),
        option("radiator_mount.hood_gap", default=HOOD_GAP, why="usual gap to a hood"),
        option("radiator_mount.lower_gap", default=LOWER_GAP, why="usual gap below"),
        option("radiator_mount.mount_height"),
        option("engine.coolant_high_point"),
        option("radiator.fill_point_above_mount"),
        option("radiator.core_width"),
    ],
    values={
        "lowest_height": Shown("lowest mounting height", "length", "mm"),
        "highest_height": Shown("highest mounting height", "length", "mm"),
        "window": Shown("room between them", "length", "mm"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("radiator_mount.mount_height"),
        Fix("radiator_mount.hood_gap"),
        Fix("radiator_mount.lower_gap"),
        Fix("radiator_mount.slot_high", "lengthen the slot upward"),
        Fix("radiator_mount.slot_low", "lengthen the slot downward"),
    ],
    formula="h_lo = max(slot low, obstruction + gap + bottom); h_hi = min(slot high, hood − gap − top); window = h_hi − h_lo",
    basis=[
        derived("geometry, every height above one datum"),
        common_practice("19 mm to the hood and 13 mm below; slotted channels let the height be set where it is wanted"),
    ],
    extras=extras,
)

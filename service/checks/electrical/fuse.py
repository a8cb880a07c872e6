"""Does the fuse protect the wire and carry the load?

A fuse protects the wire, not the load: it must blow before the wire burns, and stand near the source, since everything
ahead of it is unprotected. The regulation behind the current table lets a fuse be half as large again as the table; here
it may not exceed it, since the table is generous and a car's wires are bundled and hot.
"""

from __future__ import annotations

from typing import Any

from service.calc import electrical as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, from_memory, need, option, published
from service.checks.electrical.shared import WIRE_INPUTS, ampacity, circuits

#: A fuse this many times the load protects little, from this rating on, A. Common practice.
LOOSE, LOOSE_FROM = 4.0, 5.0
#: Unprotected length from the source, m (7 in unsheathed). Source: 33 CFR 183.455.
LONGEST_UNPROTECTED = 0.1778


def judge(x: Any, out: Outcome) -> None:
    """Fuse against load and wire."""
    out.must(x.fused is not False, "there is no fuse", of="fuse_rating")
    continuous = x.duty != "intermittent"
    with out.part():
        out.value("load_fraction", x.current / x.fuse_rating)
        out.at_most("load_fraction", 1.0, calc.CONTINUOUS_SHARE if continuous else None, why="the load on the fuse" + (", on without end" if continuous else ""))
        if x.fuse_rating > LOOSE_FROM:
            out.at_most("fuse_rating", caution=LOOSE * x.current, why="four times the load", value=x.fuse_rating)
    with out.part():
        if x.has("fuse_distance"):
            out.at_most("fuse_distance", caution=LONGEST_UNPROTECTED, why="7 in of unprotected wire from the source", value=x.fuse_distance)
    smallest = calc.smallest_fuse(x.current / calc.CONTINUOUS_SHARE if continuous else x.current)
    if smallest is not None:
        out.value("smallest_fuse", smallest)
    single = ampacity(x)
    largest = out.value("largest_fuse", calc.largest_fuse(single))
    out.must(smallest is not None and smallest <= largest, "no fuse carries the load and protects this wire: the wire is too small", "caution")
    if single > 0:
        out.value("protection_ratio", x.fuse_rating / single)
        out.at_most("protection_ratio", 1.0, calc.bundle_factor(x.bundled_count), why="fuse over what the wire may carry, alone and in its bundle")
    else:
        out.must(False, "the air there is as hot as the insulation may get")


def say(s: Any) -> str:
    """The finding in words."""
    name = f"{s.position[:1].upper()}{s.position[1:]}"
    if s.x.fused is False:
        return f"{name} has no fuse. A short burns the wire: fuse it at the source."
    known = [f"{printed} {what}" for printed, what in ((s.fuse_rating, "fuse"), (s.current, "load")) if printed]
    if s.x.has("wire_size") and "largest_fuse" in s.v:
        known.append(f"wire good for {s.show(ampacity(s.x), 'current')}")
    text = f"{name}: {', '.join(known)}"
    smallest, largest = s.v.get("smallest_fuse"), s.v.get("largest_fuse")
    if smallest is None or largest is None:
        return text + "."
    if smallest > largest:
        return text + ": no fuse carries the load and protects this wire; fit a larger wire."
    use = s.smallest_fuse if smallest == largest else f"{s.smallest_fuse} to {s.largest_fuse}"
    far = s.x.has("fuse_distance") and s.x.fuse_distance > LONGEST_UNPROTECTED
    return f"{text}: use {use}." + (f" The fuse sits {s.fuse_distance} from the source; within 7 in is wanted, or a sheath." if far else "")


CHECK = Check(
    title="Does the fuse protect the wire and carry the load?",
    system="electrical",
    safety=True,
    at=("label", "circuit"),
    applies=circuits("starter", "starter cable", "starter main cable"),
    inputs=[
        *WIRE_INPUTS,
        need("circuit.fuse_rating@here"),
        option("circuit.fused@here"),
        option("circuit.fuse_distance@here"),
    ],
    values={
        "load_fraction": Shown("load over fuse", "dimensionless", "%"),
        "protection_ratio": Shown("fuse over the wire's current", "dimensionless", "%"),
        "smallest_fuse": Shown("smallest fuse", "current", "A"),
        "largest_fuse": Shown("largest fuse", "current", "A"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("circuit.fuse_rating@here", stock=calc.FUSE_SIZES), Fix("circuit.wire_size@here", "next larger size")],
    extras=lambda x, values: {"series": {"kind": "wiring_loads", "circuits": [{
        "name": x.position, "current": x.current, "wire_size": x.wire_size, "ampacity": ampacity(x), "bundled_ampacity": ampacity(x) * calc.bundle_factor(x.bundled_count),
        "fuse": x.fuse_rating}]}},
    formula="protection_ratio = I_fuse/I_z; smallest = next size from I/0.8; largest = last size up to I_z",
    basis=[
        published("33 CFR 183.455 allows 150 % of the table below 50 V and 7 in from the source (40 in sheathed)"),
        common_practice("100 % of the table here; 80 % continuous load; four times the load"),
        from_memory("standard sizes: ISO 8820 series"),
    ],
)

"""Does the fuse protect the wire and carry the load?

A fuse protects the wire, not the load: it must blow before the wire burns, and stand near the source, since everything
ahead of it is unprotected. The regulation behind the current table lets a fuse be half as large again as the table; here
it may not exceed it, since the table is generous and a car's wires are bundled and hot.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from service.calc import electrical as calc
from service.checks.core import Check, Fix, Outcome, Shown, Unknown, common_practice, from_memory, need, option, published
from service.checks.electrical.shared import TABLE_BEST_INSULATION, WIRE_INPUTS, ampacity, circuits, load_sheet, named

#: A fuse this many times the load protects little, from this rating on, A. Common practice.
LOOSE, LOOSE_FROM = 4.0, 5.0
#: Unprotected length from the source, m (7 in unsheathed). Source: 33 CFR 183.455.
LONGEST_UNPROTECTED = 0.1778


HOT = "the air there is as hot as the insulation may get"
GUESSED = {"temperature": "the temperature there is only assumed", "insulation_class": "the insulation's class is only assumed"}


def judge(x: Any, out: Outcome) -> None:
    """Fuse against load and wire."""
    out.must(x.fused is not False, "there is no fuse", of="fuse_rating")
    with out.part():
        _load(x, out)
    with out.part():
        if x.has("fuse_distance"):
            out.at_most("fuse_distance", caution=LONGEST_UNPROTECTED, why="7 in of unprotected wire from the source", value=x.fuse_distance)
    try:
        _wire(x, out)
    except (Unknown, ValueError):
        # A wire outside the tables is no excuse for a missing fuse.
        if x.fused is not False:
            raise


def _load(x: Any, out: Outcome) -> None:
    continuous = x.duty != "intermittent"
    smallest = calc.smallest_fuse(x.current / calc.CONTINUOUS_SHARE if continuous else x.current)
    if smallest is not None:
        out.value("smallest_fuse", smallest)
    out.value("load_fraction", x.current / x.fuse_rating)
    out.at_most("load_fraction", 1.0, calc.CONTINUOUS_SHARE if continuous else None, why="the load on the fuse" + (", on without end" if continuous else ""))
    if x.fuse_rating > LOOSE_FROM:
        out.at_most("fuse_rating", caution=LOOSE * x.current, why="four times the load", value=x.fuse_rating)


def _wire(x: Any, out: Outcome) -> None:
    single = ampacity(x)
    largest = out.value("largest_fuse", calc.largest_fuse(single))
    smallest = out.values.get("smallest_fuse")
    out.must(smallest is not None and smallest <= largest, "no fuse carries the load and protects this wire: the wire is too small", "caution")
    rating = x.fuse_rating
    if single > 0:
        out.value("protection_ratio", rating / single)
        out.at_most("protection_ratio", 1.0, calc.bundle_factor(x.bundled_count), why="fuse over what the wire may carry, alone and in its bundle")
        return
    guessed = next((name for name in ("temperature", "insulation_class") if name in x.assumed), None)
    if rating > _at_best(x):
        out.must(False, "more than the wire may carry in the coolest place", of="protection_ratio")
    elif guessed and out.verdict != "fail":
        out.not_a_fail(f"{GUESSED[guessed]}, so this is no firm fail", lifted_by=guessed)
    out.must(False, HOT)


def _at_best(x: Any) -> float:
    """What the wire may carry where what is only assumed of place and insulation is as good as it can be, A."""
    return ampacity(x, calc.TABLE_AIR if "temperature" in x.assumed else None, TABLE_BEST_INSULATION if "insulation_class" in x.assumed else None)


def _sizes(x: Any) -> tuple[float, float]:
    """The smallest standard fuse that carries the load and the largest that protects the wire where it lies, A."""
    smallest = calc.smallest_fuse(x.current / calc.CONTINUOUS_SHARE if x.duty != "intermittent" else x.current)
    if smallest is None:
        raise Unknown("no standard fuse carries this load")
    return smallest, calc.largest_fuse(ampacity(x) * calc.bundle_factor(x.bundled_count))


def say(s: Any) -> str:
    """The finding in words."""
    if s.x.fused is False:
        return f"{named(s)} has no fuse. A short burns the wire: fuse it at the source."
    smallest, largest = s.v.get("smallest_fuse"), s.v.get("largest_fuse")
    known = [f"{printed} {what}" for printed, what in ((s.fuse_rating, "fuse"), (s.current, "load")) if printed]
    if largest:
        known.append(f"wire good for {s.show(ampacity(s.x), 'current')}")
    text = f"{named(s)}: {', '.join(known)}"
    if largest == 0:
        if s.x.fuse_rating > _at_best(s.x) > 0:
            enough = f"; {s.smallest_fuse} is enough for the load" if smallest is not None and smallest <= _at_best(s.x) else ""
            return f"{text}. Even in cool air this wire is good for {s.show(_at_best(s.x), 'current')} at most, so it burns before the fuse blows{enough}."
        hot = f"The air there ({s.temperature}) is as hot as the insulation may get ({s.insulation_class})"
        return f"{text}. {hot}, so no fuse protects the wire: another route, or better insulation."
    if smallest is None or largest is None:
        return text + ("; no standard fuse carries this load with a fifth to spare: split it." if "smallest_fuse" not in s.v and largest else ".")
    if smallest > largest:
        return text + ": no fuse carries the load and protects this wire; fit a larger wire."
    bundled = ampacity(s.x) * calc.bundle_factor(s.x.bundled_count)
    most = calc.largest_fuse(bundled)
    if smallest > most:
        in_bundle = f"in its bundle of {s.x.bundled_count} it is good for {s.show(bundled, 'current')} only"
        advice = f"{in_bundle}, less than the {s.smallest_fuse} fuse that the load needs: a larger wire, or a smaller bundle."
        return " ".join([f"{text}; {advice}", *_reasons(s, bundle=False)])
    use = s.smallest_fuse if smallest == most else f"{s.smallest_fuse} to {s.show(most, 'current')}"
    return " ".join([f"{text}: use {use}.", *_reasons(s)])


def _reasons(s: Any, *, bundle: bool = True) -> Iterator[str]:
    """What is doubtful about a fuse that does not fail; `bundle` tells whether that of its bundle is still to be said."""
    broken = {limit.of for limit in s.limits if limit.violated and limit.verdict == "caution"}
    if "fuse_rating" in broken:
        yield "A fuse of more than four times the load protects little."
    if bundle and "protection_ratio" in broken and s.v["protection_ratio"] <= 1:
        yield f"In its bundle of {s.bundled_count} the wire is good for less than the {s.fuse_rating} fuse."
    if "load_fraction" in broken and s.v["load_fraction"] <= 1:
        yield "A load that stays on should leave the fuse a fifth of its rating."
    if "fuse_distance" in broken:
        yield f"The fuse sits {s.fuse_distance} from the source; within {s.show(LONGEST_UNPROTECTED, 'length', 'mm')} is wanted, or a sheath."


CHECK = Check(
    title="Does the fuse protect the wire and carry the load?",
    system="electrical",
    safety=True,
    at=("label", "circuit"),
    applies=circuits(starter=False),
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
    remedies=[Fix("circuit.fuse_rating@here", stock=calc.FUSE_SIZES, within=_sizes), Fix("circuit.wire_size@here", "next larger size")],
    extras=lambda x, values: load_sheet(x, fuse=x.fuse_rating if x.has("fuse_rating") else None),
    formula="protection_ratio = I_fuse/I_z; smallest = next size from I/0.8; largest = last size up to I_z",
    basis=[
        published("33 CFR 183.455 allows 150 % of the table below 50 V and 7 in from the source (40 in sheathed)"),
        common_practice("100 % of the table here; 80 % continuous load; four times the load"),
        published("sizes to 80 A: blade fuses of ISO 8820-3 (compared with public lists)"),
        from_memory("sizes from 100 A: bolt-in fuses of the ISO 8820 series"),
    ],
)

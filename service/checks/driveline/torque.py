"""Torque that can reach shaft and axle: what shaft_torque and axle_torque have in common, and the path as a table."""

from __future__ import annotations

from math import isinf
from typing import Any

from service.calc import driveline as calc
from service.checks.core import Input, Outcome, Shown, need, option
from service.checks.driveline.shared import multiplication, multiplies, ordered_ratios, percent, printed, stall_torque_ratio, transmission_type, use

VALUES = {
    "first_gear_torque": Shown("torque in the lowest gear at stall", "torque", "N*m"),
    "slip_torque": Shown("torque at which the tires slip", "torque", "N*m"),
    "design_torque": Shown("torque to be stood", "torque", "N*m"),
}


def inputs(ratio_needed: bool) -> list[Input]:
    """The facts that decide the torque; the axle ratio is required by the axle's own check."""
    return [
        use(),
        need("engine.peak_torque"),
        need("transmission.forward_ratios"),
        need("axle.ratio", "axle_ratio") if ratio_needed else option("axle.ratio", "axle_ratio"),
        transmission_type(),
        stall_torque_ratio(),
        option("transmission.reverse_ratio"),
        option("transmission.low_range_ratio", default=1.0, why="no low range recorded"),
        option("clutch.torque_capacity", "clutch_capacity"),
        option("weights.axle_mass@driven"),
        option("tire.rolling_radius@driven"),
        option("car.mass"),
        option("car.drive_layout", default="rear", why="rear-wheel drive unless recorded"),
        option("car.wheelbase"),
        option("car.cg_height", default=lambda x: calc.HEIGHT_OVER_WHEELBASE * x.wheelbase if x.has("wheelbase") else None, why="0.2 of the wheelbase"),
        option("driveline.tire_friction", default=lambda x: calc.TIRE_FRICTION[x.use] if x.has("axle_mass") else None, why="usual for this use"),
    ]


def lowest_gear_torque(x: Any, out: Outcome) -> float:
    """Torque behind the transmission in its lowest gear, at stall or with the clutch dumped, N*m."""
    ratios = ordered_ratios(x)
    manual = x.transmission_type == "manual"
    torque = calc.input_torque(x.peak_torque, x.clutch_capacity if manual else None)
    if manual and not x.has("clutch_capacity"):
        out.remark("A dumped clutch passes what it can hold; its maker's capacity is not recorded, so the engine's torque is taken.")
    return calc.lowest_gear_torque(torque, multiplication(x), max(ratios[0], x.reverse_ratio or 0.0), x.low_range_ratio)


def slip_torque(x: Any) -> float | None:
    """Torque at which the driven tires slip, N*m; None where it is not known or the formula gives no cap."""
    if not x.has("axle_mass", "rolling_radius", "axle_ratio"):
        return None
    height = x.cg_height / x.wheelbase if x.has("cg_height", "wheelbase") else calc.HEIGHT_OVER_WHEELBASE
    # A driven front axle is unloaded by pulling, a driven rear axle loaded.
    load = calc.driven_axle_load(x.axle_mass, x.tire_friction, x.mass, -height if x.drive_layout == "front" else height)
    torque = calc.slip_torque(load, x.tire_friction, x.rolling_radius, x.axle_ratio)
    return None if isinf(torque) else torque


def design_torque(x: Any, first: float, slip: float | None) -> float:
    """The smaller of the lowest gear with shock and the tires' slip, N*m."""
    shocked = calc.SHOCK_FACTOR[x.use] * first
    return shocked if slip is None else min(shocked, slip)


def why(x: Any, first: float, slip: float | None, design: float) -> str:
    """What limits the torque, in words."""
    if slip is not None and design == slip:
        return "the tires slip first"
    lowest = "reverse" if (x.reverse_ratio or 0.0) > x.forward_ratios[0] else "first gear"
    if multiplies(x):
        lowest += " at stall"
    elif x.transmission_type == "manual" and (x.clutch_capacity or 0.0) > x.peak_torque:
        lowest += " with the clutch dumped"
    return lowest if first >= design else f"{lowest}, shock included"


def path(x: Any, design: float) -> list[tuple[str, float | None, float | None]]:
    """The links from engine to axle shaft: name, torque on it, rating; None where not known."""
    known, ratio = x.car.value, x.axle_ratio or x.car.value("axle.ratio")
    factor = calc.SERVICE_FACTOR[x.use] * x.peak_torque
    share = calc.SHAFT_SHARE[known("axle.differential") or "open"]
    axle = design * ratio if ratio else None
    return [
        ("transmission input", factor, known("transmission.input_torque_rating")),
        ("gearbox behind the converter", factor * multiplication(x), known("transmission.gearbox_torque_rating")),
        ("driveshaft joint", design, known(f"driveshaft.joint_torque_rating@{x.position}" if x.position else "driveshaft.joint_torque_rating")),
        ("pinion", design, known("axle.pinion_torque_rating")),
        ("axle (both wheels)", axle, known("axle.torque_rating")),
        ("one axle shaft", axle * share if axle is not None else None, known("axle.shaft_torque_rating")),
    ]


def weakest(links: list[tuple[str, float | None, float | None]]) -> tuple[str, float] | None:
    """The rated link used most, and how far; None when no link is rated."""
    used = [(name, torque / rating) for name, torque, rating in links if torque is not None and rating]
    return max(used, key=lambda link: link[1], default=None)


def weakest_sentence(s: Any, design: float) -> str:
    """The weakest link named, where there is more than one rated."""
    links = path(s.x, design)
    found = weakest(links)
    if found is None or sum(1 for _, torque, rating in links if torque and rating) < 2:
        return ""
    plain = found[0].removesuffix(" (both wheels)")
    name = plain if plain.startswith("one ") else f"the {plain}"
    return f" The weakest rated link from engine to wheels is {name}, {percent(found[1])} used."


def table(x: Any, design: float) -> dict[str, Any]:
    """The path as a table for the book."""
    rows = [[name, printed(x.car, torque, "torque", "N*m"), printed(x.car, rating, "torque", "N*m"),
             percent(torque / rating if torque is not None and rating else None)] for name, torque, rating in path(x, design)]
    return {"title": "Torque from engine to wheels", "columns": ["link", "must stand", "rated", "used"], "rows": rows}

"""Wheel travel: to the bump stop, to the ends of the damper, and what is left under the bar and under the car."""

from __future__ import annotations

#: Height of the flange of a passenger-car rim (J contour) above the bead seat, m. From memory: 17.5 mm.
RIM_FLANGE_HEIGHT = 0.0175


def bump_travel(stop_gap: float, motion_ratio: float) -> float:
    """Wheel travel up to the bump stop, m: gap/MR, gap in m, MR stop movement per wheel movement.

    Raises ValueError for a negative gap or a ratio not above zero. Source: derived.

    >>> round(bump_travel(0.045, 0.65), 4)
    0.0692
    """
    if stop_gap < 0 or not motion_ratio > 0:
        raise ValueError("the gap must not be negative and the motion ratio must be above zero")
    return stop_gap / motion_ratio


def damper_position(at_ride: float, extended: float, compressed: float) -> float:
    """Where the damper sits in its stroke, 0 compressed to 1 extended: (at_ride − compressed)/(extended − compressed).

    Lengths in m. Raises ValueError unless compressed < at_ride < extended. Source: derived.

    >>> round(damper_position(0.330, 0.430, 0.250), 4)
    0.4444
    """
    if not compressed < at_ride < extended:
        raise ValueError("the damper's length at ride height is not between its compressed and extended lengths")
    return (at_ride - compressed) / (extended - compressed)


def droop_travel(at_ride: float, extended: float, motion_ratio: float) -> float:
    """Wheel travel down to the damper's end, m: (extended − at_ride)/MR, lengths in m, MR damper movement per wheel movement.

    Raises ValueError for a ratio not above zero. Source: derived.

    >>> round(droop_travel(0.330, 0.430, 0.6), 4)
    0.1667
    """
    if not motion_ratio > 0:
        raise ValueError("the damper's motion ratio must be above zero")
    return (extended - at_ride) / motion_ratio


def damper_margin(at_ride: float, compressed: float, bump: float, motion_ratio: float) -> float:
    """Stroke that the damper has left when the stop is reached, m: (at_ride − compressed) − bump·MR.

    Lengths in m, MR damper movement per wheel movement. Source: derived.

    >>> round(damper_margin(0.330, 0.250, 0.0692308, 0.6), 4)
    0.0385
    """
    return (at_ride - compressed) - bump * motion_ratio


def clearance_at_full_bump(clearance_at_ride: float, motion_ratio: float, bump_travel: float) -> float:
    """Gap left at full bump, m: clearance − ratio·bump, lengths in m, ratio of closing to wheel travel. Source: derived.

    >>> round(clearance_at_full_bump(0.080, 1.0, 0.060), 3)
    0.02
    """
    return clearance_at_ride - motion_ratio * bump_travel


def section_height(tire_diameter: float, rim_diameter: float) -> float:
    """Height of a tire's section, m: (D − rim)/2, diameters in m.

    Raises ValueError when the tire is not larger than the rim. Source: definition.

    >>> round(section_height(0.663, 0.381), 4)
    0.141
    """
    if tire_diameter <= rim_diameter:
        raise ValueError("the tire must be larger than its rim")
    return (tire_diameter - rim_diameter) / 2


def clearance_with_flat_tire(ground_clearance: float, tire_section_height: float, flange_height: float = RIM_FLANGE_HEIGHT) -> float:
    """Ground clearance left when the rim's flange stands on the road, m: clearance − (section height − flange height).

    The flattened tire under the flange gives 10 to 20 mm more. Source: derived (scrub line).

    >>> round(clearance_with_flat_tire(0.155, 0.141), 4)
    0.0315
    """
    return ground_clearance - (tire_section_height - flange_height)

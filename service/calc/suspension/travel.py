"""Wheel travel: to the bump stop, to the ends of the damper, and what is left under the bar and under the car."""

from __future__ import annotations

from typing import NamedTuple

#: Height of the flange of a passenger-car rim (J contour) above the bead seat, m. From memory: 17.5 mm.
RIM_FLANGE_HEIGHT = 0.0175


class Travel(NamedTuple):
    """Travel figures in m; damper position as a fraction of its stroke (0 fully compressed)."""

    bump: float
    damper_margin: float
    droop: float
    damper_position: float


def travel(
    stop_gap: float, stop_motion_ratio: float, at_ride: float, extended: float, compressed: float, damper_motion_ratio: float
) -> Travel:
    """Bump travel to the stop, stroke the damper still has there, droop travel, and where the damper sits.

    bump = gap/MR_s; margin = (at_ride − compressed) − bump·MR_d; droop = (extended − at_ride)/MR_d;
    position = (at_ride − compressed)/(extended − compressed).

    Lengths in m, MR_s stop movement and MR_d damper movement per wheel movement.
    Raises ValueError unless compressed < at_ride < extended, a gap of at least 0 and ratios above 0. Source: derived.

    >>> found = travel(0.045, 0.65, 0.330, 0.430, 0.250, 0.6)
    >>> [round(value, 4) for value in found]
    [0.0692, 0.0385, 0.1667, 0.4444]
    """
    if not compressed < at_ride < extended:
        raise ValueError("the damper's length at ride height is not between its compressed and extended lengths")
    if stop_gap < 0 or not min(stop_motion_ratio, damper_motion_ratio) > 0:
        raise ValueError("the gap must not be negative and the motion ratios must be above zero")
    bump = stop_gap / stop_motion_ratio
    margin = (at_ride - compressed) - bump * damper_motion_ratio
    return Travel(bump, margin, (extended - at_ride) / damper_motion_ratio, (at_ride - compressed) / (extended - compressed))


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

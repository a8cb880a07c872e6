"""Where a wheel and its tire stand: offset, gaps, track, bolt circle, thread in the nut."""

from __future__ import annotations

from math import pi, sin

INCH = 0.0254


def offset_from_backspacing(backspacing: float, rim_width: float) -> float:
    """Offset, m: backspacing - (W + 25.4 mm)/2; the flanges stand 1/2 in outside the beads on each side.

    backspacing m; W rim width between the beads, m. Source: derived; flange of 1/2 in common practice.

    >>> round(offset_from_backspacing(4.0 * 0.0254, 7 * 0.0254) * 1000, 2)
    0.0
    """
    return backspacing - (rim_width + INCH) / 2


def gap_changes(section: float, offset: float, reference_section: float, reference_offset: float) -> tuple[float, float]:
    """Change of the gap inboard and outboard of a wheel against the wheel used for measuring, m (negative: closer).

    inner -[(S/2 + ET) - (S0/2 + ET0)], outer -[(S/2 - ET) - (S0/2 - ET0)]: S section as mounted, ET offset less
    spacer, 0 the wheel used for measuring; all m. Source: derived.

    >>> [round(change * 1000, 1) for change in gap_changes(0.235, 0.010, 0.205, 0.005)]
    [-20.0, -10.0]
    """
    wider, inward = (section - reference_section) / 2, offset - reference_offset
    return -(wider + inward), -(wider - inward)


def track_change(offset: float, reference_offset: float) -> float:
    """Change of the track when both wheels of the axle change, m: -2*(ET - ET0). Source: derived.

    >>> round(track_change(0.010, 0.005) * 1000, 1)
    -10.0
    """
    return 2 * (reference_offset - offset)


def bolt_circle(spacing: float, count: int) -> float:
    """Bolt circle from the distance of neighbor holes, m: s/sin(pi/n). Raises ValueError for n < 3. Source: derived.

    >>> round(bolt_circle(0.070916, 5) * 1000, 2)
    120.65
    """
    if count < 3:
        raise ValueError("a bolt circle needs three holes")
    return spacing / sin(pi / count)


def stud_projection(stud_length: float, spacer: float, seat_thickness: float) -> float:
    """Length of stud that stands in the nut's thread, m: stud - spacer - seat thickness (all m). Source: derived.

    >>> round(stud_projection(1.25 * 0.0254, 0.25 * 0.0254, 0.5 * 0.0254) / 0.0254, 3)
    0.5
    """
    return stud_length - spacer - seat_thickness


def thread_engagement(projection: float, thread_length: float) -> float:
    """Length of thread engaged, m: the lesser of projection and the nut's thread length, m. Source: derived.

    >>> round(thread_engagement(0.0127, 0.01778) * 1000, 2)
    12.7
    """
    return min(projection, thread_length)

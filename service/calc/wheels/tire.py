"""The tire: its radius, the rim it belongs on and how wide it is there."""

from __future__ import annotations

from math import floor, pi

INCH = 0.0254
#: Meters of a mile. Source: NIST SP 811, international mile.
MILE = 1609.344
#: Rolling radius of a radial tire over half its nominal diameter: rolling circumference 3.05*D, 3.05/pi rounded.
#: Source: European Tyre and Rim Technical Organisation (from memory).
ROLLING_FACTOR = 0.971
#: Measuring rim width over section width, by lowest aspect ratio. Source: a tire retailer's measuring-rim table, whose
#: twelve entries these reproduce.
RIM_FACTORS: tuple[tuple[float, float], ...] = ((0.75, 0.70), (0.60, 0.75), (0.50, 0.80), (0.45, 0.85), (0.0, 0.90))
#: Width lost or gained by the section for width of the rim: 0.2 in for 1/2 in. Source: as RIM_FACTORS.
SECTION_CHANGE = 0.4
#: Rims narrower and wider than the measuring rim that a tire takes; high and very low sections take 1/2 in less.
#: Common practice; the maker's table overrides it.
RIM_NARROWER, RIM_WIDER, RIM_WIDER_LIMITED = 0.5 * INCH, 1.5 * INCH, 1.0 * INCH
HIGH_ASPECT, LOW_ASPECT = 0.70, 0.45


def rolling_radius(diameter: float) -> float:
    """Loaded rolling radius of a radial tire, m: 0.971*D/2, D nominal diameter, m. Raises ValueError for D <= 0.

    Source: rolling circumference 3.05*D of the European tire organization (from memory).

    >>> round(rolling_radius(0.663), 4)
    0.3219
    """
    if diameter <= 0:
        raise ValueError("a tire's diameter is larger than 0")
    return ROLLING_FACTOR * diameter / 2


def diameter_from_rolling_radius(radius: float) -> float:
    """Nominal diameter that belongs to a measured rolling radius, m: 2*r/0.971. Source: as `rolling_radius`.

    >>> round(diameter_from_rolling_radius(0.3219), 3)
    0.663
    """
    return 2 * radius / ROLLING_FACTOR


def rolling_radius_from_turns(revs_per_mile: float) -> float:
    """Loaded rolling radius, m: 1609.344/(2*pi*n), n turns in a mile, 1. Raises ValueError for n <= 0. Source: derived.

    >>> round(rolling_radius_from_turns(745), 4)
    0.3438
    """
    if revs_per_mile <= 0:
        raise ValueError("a tire turns more than 0 times in a mile")
    return MILE / (2 * pi * revs_per_mile)


def rim_factor(aspect: float) -> float:
    """Measuring rim width over section width, 1, for an aspect ratio, 1. Source: see RIM_FACTORS.

    >>> rim_factor(0.60), rim_factor(0.35)
    (0.75, 0.9)
    """
    return next(factor for lowest, factor in RIM_FACTORS if aspect >= lowest - 1e-9)


def measuring_rim_width(section: float, aspect: float) -> float:
    """Width of the rim on which a tire has its nominal section, m: K*S rounded to 1/2 in.

    S section, m; aspect ratio, 1, gives K. Raises ValueError for S <= 0. Source: see RIM_FACTORS.

    >>> round(measuring_rim_width(0.235, 0.60) * 1000, 1)
    177.8
    """
    if section <= 0:
        raise ValueError("a tire's section is larger than 0")
    return floor(rim_factor(aspect) * section / (INCH / 2) + 0.5) * INCH / 2


def rim_width_range(section: float, aspect: float) -> tuple[float, float]:
    """Narrowest and widest rim for a tire, m: measuring rim - 1/2 in to + 1 1/2 in (+ 1 in for aspect >= 0.70, <= 0.45).

    S section, m; aspect ratio, 1. Source: common practice; the tire maker's table overrides it.

    >>> [round(width * 1000, 1) for width in rim_width_range(0.235, 0.60)]
    [165.1, 215.9]
    """
    middle = measuring_rim_width(section, aspect)
    limited = aspect >= HIGH_ASPECT - 1e-9 or aspect <= LOW_ASPECT + 1e-9
    return middle - RIM_NARROWER, middle + (RIM_WIDER_LIMITED if limited else RIM_WIDER)


def section_width_on_rim(section: float, rim_width: float, measuring_width: float) -> float:
    """Section width of a mounted tire, m: S + 0.4*(W - W_m).

    S section on the measuring rim, m; W rim width, m; W_m width of the measuring rim, m.
    Source: 0.2 in for each 1/2 in of rim, a tire retailer's technical page.

    >>> round(section_width_on_rim(0.205, 6.5 * 0.0254, 6.0 * 0.0254) * 1000, 2)
    210.08
    """
    return section + SECTION_CHANGE * (rim_width - measuring_width)

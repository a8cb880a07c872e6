"""Converter, flexplate and crank: the stack along the crank's axis, the pilot in its register, the bolts through it.

SI in and out. Distances at the engine's rear face are zero at the block's bellhousing face and positive toward the
transmission; distances in `pilot_fit` are zero at the crank flange. All sums are derived from that geometry.
"""

from __future__ import annotations

from dataclasses import dataclass

#: Gap wanted between converter pads and flexplate, in m. Common practice: the middle of 1/8 to 3/16 in.
GAP_WANTED = 0.0040


def flexplate_face(crank_flange: float, offset: float, thickness: float, spacer: float) -> float:
    """Block face to the flexplate's converter face, x_f = e + o + t_f + t_s, in m.

    e crank flange from the block face, o dish of the plate, t_f its thickness, t_s spacer (crank or converter side)
    in m. Source: derived.

    >>> round(flexplate_face(0.006, 0.0, 0.0032, 0.0), 4)
    0.0092
    """
    return crank_flange + offset + thickness + spacer


def pad_position(adapter: float, seated_depth: float) -> float:
    """Block face to the converter's pads with the converter home, x_c = a + c, in m.

    a adapter between block and bellhousing, c bellhousing face back to the pads in m. Source: derived.

    >>> round(pad_position(0.0, 0.026), 4)
    0.026
    """
    return adapter + seated_depth


def spacer_for_gap(spacer: float, gap: float, wanted: float = GAP_WANTED) -> float:
    """Spacer thickness that turns the gap into the one wanted, t = t_s + gap - wanted, in m; negative: none can help.

    t_s spacer there now, gap found with it, in m. Source: derived.

    >>> round(spacer_for_gap(0.0, 0.0168), 4)
    0.0128
    """
    return spacer + gap - wanted


@dataclass(frozen=True, slots=True)
class PilotFit:
    """How far the pilot sits in its register and what is left before it bottoms, both in m."""

    engagement: float
    bottom_clearance: float


def pilot_fit(
    pads: float, pad_to_shoulder: float, pilot_length: float, nose_length: float, register_mouth: float, register_depth: float
) -> PilotFit:
    """Pilot in its register, distances from the crank flange, rearward positive, converter pulled to the plate.

    Shoulder x_s = x - h, tip x_t = x_s - L_p, bottom x_b = m - depth; engagement = min(m, x_s) - max(x_b, x_t), not
    below 0; bottom clearance = x_s - nose length - x_b. x pads, h pads forward to the shoulder, L_p pilot length at
    full diameter, nose length shoulder to the very tip, m register mouth, depth of the register, in m. ValueError for
    a negative pilot or register. Source: derived.

    >>> fit = pilot_fit(0.0092, 0.002, 0.016, 0.016, 0.0, 0.020)
    >>> round(fit.engagement, 4), round(fit.bottom_clearance, 4)
    (0.0088, 0.0112)
    """
    if pilot_length < 0 or register_depth < 0 or nose_length < pilot_length:
        raise ValueError("pilot and register have no negative length, and a nose is at least as long as its pilot")
    shoulder = pads - pad_to_shoulder
    bottom = register_mouth - register_depth
    engagement = min(register_mouth, shoulder) - max(bottom, shoulder - pilot_length)
    return PilotFit(max(0.0, engagement), shoulder - nose_length - bottom)


@dataclass(frozen=True, slots=True)
class BoltLengths:
    """Grip and the bolt lengths (under the head) that suit it, in m; shortest above longest: the hole is too shallow."""

    grip: float
    shortest: float
    longest: float


def bolt_lengths(grip: float, diameter: float, pitch: float, thread_depth: float) -> BoltLengths:
    """Lengths of a bolt into a blind thread: shortest = grip + d, longest = grip + D - P, in m.

    grip clamped thickness, d thread diameter, P pitch, D usable thread depth in m, all positive (ValueError).
    One diameter of engagement in steel is common practice (compare VDI 2230 for computed lengths).

    >>> lengths = bolt_lengths(0.0152, 0.008, 0.00125, 0.015)
    >>> round(lengths.shortest, 5), round(lengths.longest, 5)
    (0.0232, 0.02895)
    """
    if grip < 0 or diameter <= 0 or pitch <= 0 or thread_depth <= 0:
        raise ValueError("diameter, pitch and thread depth must be positive and the grip not negative")
    return BoltLengths(grip, grip + diameter, grip + thread_depth - pitch)


def thread_engaged(length: float, grip: float, thread_depth: float) -> float:
    """Thread engaged by a bolt, min(L - grip, D), not below 0, in m. L under the head, D usable thread depth, in m.

    Source: derived.

    >>> round(thread_engaged(0.016, 0.0152, 0.015), 4)
    0.0008
    """
    return max(0.0, min(length - grip, thread_depth))


def tip_clearance(length: float, grip: float, thread_depth: float) -> float:
    """Room left below the bolt's tip, D - (L - grip), in m; negative: it bottoms. Symbols as `thread_engaged`.

    Source: derived.

    >>> round(tip_clearance(0.016, 0.0152, 0.015), 4)
    0.0142
    """
    return thread_depth - (length - grip)

"""Alignment: the angles of each wheel, and the parts that set them."""

from __future__ import annotations

from service.vocabulary.core import CORNERS, Field, Kind, Positions

ANYWHERE = Positions(label=True)

KINDS = [
    Kind("alignment", "alignment", "alignment", area=True, positions=CORNERS, fields=(
        Field("camber", "camber", "angle", "-3..1.5 deg", "-15..15 deg", choosable=True,
              how="level floor, ride height, tires at pressure; negative is the top of the wheel inward"),
        Field("caster", "caster", "angle", "0..9 deg", "-10..20 deg", choosable=True,
              how="20 degree sweep each way on turn plates; positive is the lower ball joint ahead of the upper"),
        Field("toe", "toe of this wheel", "angle", "-0.3..0.3 deg", "-5..5 deg", choosable=True,
              how="strings or plates; positive is toe-in, per wheel"),
        Field("toe_length", "toe of this wheel as a length", "length", "-4..4 mm", "-50..50 mm", choosable=True,
              how="total toe ÷ 2 with the steering centered; positive is toe-in"),
        Field("toe_reference_diameter", "diameter over which toe was measured", "length", "0.35..0.7 m", "0.2..1.2 m",
              choosable=True, how="distance between the two measuring points on one wheel"),
        Field("ride_height", "ride height: wheel center to the fender lip", "length", "250..500 mm", "0..1500 mm", choosable=True,
              how="level floor, tires at pressure, loaded as driven, rolled and bounced before; tape plumb over the hub"),
    )),
    Kind("alignment_shim", "alignment shim", "alignment", positions=ANYWHERE),
    Kind("camber_bolt", "camber bolt", "alignment", positions=ANYWHERE),
    Kind("camber_plate", "camber plate", "alignment", positions=ANYWHERE),
]

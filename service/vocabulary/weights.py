"""Weights: scale readings, ratings and the figures of the raised-axle weighing."""

from __future__ import annotations

from service.vocabulary.core import AXLES, CORNERS, Field, Kind, Positions

ANYWHERE = Positions(label=True)

KINDS = [
    Kind("weights", "weights", "weights", area=True, fields=(
        Field("corner_mass", "scale reading of one wheel", "mass", "150..900 kg", "20..4000 kg", positions=CORNERS,
              how="level floor within 3 mm, tires at pressure, anti-roll bars disconnected, rolled on, driver weight in"),
        Field("axle_mass", "scale reading of the axle", "mass", "300..1600 kg", "50..8000 kg", positions=AXLES, how="axle scale"),
        Field("laden_axle_mass", "axle mass fully loaded", "mass", "350..2000 kg", "50..10000 kg", positions=AXLES,
              how="weighbridge with people, fuel and load"),
        Field("payload", "mass added on this axle in normal use", "mass", "0..400 kg", "0..5000 kg", choosable=True,
              positions=AXLES, how="weigh, or 68 kg (150 lb) a person"),
        Field("axle_rating", "rated axle mass", "mass", "400..2000 kg", "50..10000 kg", positions=AXLES, how="axle tag, data plate"),
        Field("raised_axle", "axle that was lifted", "choice", choices=("front", "rear"), choosable=True,
              how="name the axle that was lifted for the second weighing"),
        Field("lift_height", "how far the axle was lifted", "length", "0.3..1.0 m", "0..3 m", choosable=True,
              how="axle center to floor before and after; suspension blocked solid"),
        Field("level_end_mass_raised", "reading of the axle left on the scales", "mass", hard="20..8000 kg",
              how="scales, wheels free to roll, chocked by straps, nobody under the car"),
    )),
    Kind("ballast", "ballast", "weights", positions=ANYWHERE),
]

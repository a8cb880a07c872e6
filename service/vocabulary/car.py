"""The car as a whole and the build: who it is, how it is laid out, what it is meant for."""

from __future__ import annotations

from service.vocabulary.core import Field, Kind

BODY_STYLES = (
    "sedan", "coupe", "convertible", "roadster", "wagon", "hatchback", "pickup", "panel_van", "van", "suv", "truck", "other",
)

KINDS = [
    Kind("car", "car", "identity", area=True, fields=(
        Field("make", "make", "text", how="title or registration, checked against the plate"),
        Field("model", "model", "text", how="title or registration, checked against the plate"),
        Field("year", "model year", "integer", usual="1900..2040", hard="1885..2100",
              how="title or registration, checked against the plate and casting dates"),
        Field("serial", "serial number", "text", how="read from the plate or frame, photographed"),
        Field("vin", "vehicle identification number", "text", how="read from the plate, photographed; never copied from the papers alone"),
        Field("number_kind", "kind of identification number", "choice",
              choices=("vin_17", "frame_number", "state_assigned", "serial"), how="compare the plate with the title"),
        Field("mass", "mass as driven, fuel and driver as stated", "mass", "700..3000 kg", "150..10000 kg", how="four scales, sum"),
        Field("wheelbase", "wheelbase", "length", "2.0..3.6 m", "1..8 m", how="axle center to axle center, both sides, mean"),
        Field("cg_height", "height of the center of gravity", "length", "0.35..0.80 m", "0.1..2 m",
              how="weigh level and with one axle raised; the check of the center of gravity works it out"),
        Field("top_speed", "highest speed the car is used at", "speed", "108..288 km/h", "18..540 km/h", choosable=True,
              how="agreed with the owner, or geared speed"),
        Field("drive_layout", "driven wheels", "choice", choices=("rear", "front", "all"), how="look; rear when not recorded"),
        Field("body", "body style", "choice", choices=BODY_STYLES, how="look; a spelling outside the list counts as other"),
        Field("ground_clearance", "floor to the lowest fixed point", "length", "90..250 mm", "0..600 mm", choosable=True,
              how="level floor, ride height, loaded as driven; wheels, arms, axle and brake parts that move with the wheel "
                  "do not count, steering parts do"),
        Field("odometer", "odometer reading", "length", "0..500000 km", "0..5000000 km",
              how="read off and photographed, on the day the car comes and on the day it leaves"),
        Field("lowest_item", "what the lowest fixed point is", "text", how="look along the floor from the side; name the part"),
    )),
    Kind("build", "build", "identity", area=True, fields=(
        Field("use", "intended use", "choice", choosable=True,
              choices=("street", "touring", "towing", "autocross", "track", "drag"), how="agreed with the owner"),
        Field("opened_on", "opened on", "text", notation="date", how="the day the car came in"),
        Field("promised_on", "promised on", "text", choosable=True, notation="date", how="agreed with the owner"),
        Field("delivered_on", "delivered on", "text", notation="date", how="the day the car left"),
    )),
]

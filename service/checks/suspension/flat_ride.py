"""Front and rear ride frequencies together.

The rear meets each bump one wheelbase later. A rear a little quicker than the front has caught up after one swing and the
car stays level; a slower one pitches. Only the ratio is judged; the speed tells where the ride is flattest.
"""

from __future__ import annotations

from typing import Any

from service.calc import suspension as calc
from service.checks.core import Check, Fix, Input, Outcome, Shown, common_practice, derived, from_memory, need, option
from service.checks.suspension import shared

#: Rear frequency over front frequency: pass band and caution band by use. Common practice.
RATIO = shared.by_use({
    "street touring towing": ((1.05, 1.35), (0.95, 1.50)),
    "autocross track": ((0.85, 1.35), (0.70, 1.60)),
    "drag": ((1.05, 1.35), (0.80, 1.60)),
})
#: Flat-ride speeds beyond this are of no use on any road, m/s (about 200 mph). Common practice.
BEYOND_USE = 90.0


def judge(x: Any, out: Outcome) -> None:
    """Both frequencies, their ratio, and the speed of the flattest ride."""
    front = out.value("frequency_front", _frequency(x, "front"))
    rear = out.value("frequency_rear", _frequency(x, "rear"))
    out.value("frequency_ratio", rear / front)
    out.within("frequency_ratio", *RATIO[x.use], why=f"rear frequency over front frequency, {x.use}")
    speed = calc.flat_ride_speed(front, rear, x.wheelbase)
    if speed is not None:
        out.value("flat_ride_speed", speed)


def _frequency(x: Any, axle: str) -> float:
    def get(name: str) -> Any:
        return getattr(x, f"{axle}_{name}")

    wheel = calc.wheel_rate(get("rate"), get("motion_ratio"))
    return calc.frequency(calc.ride_rate(wheel, get("tire_rate")), calc.sprung_corner_mass(get("mass"), get("unsprung_mass")))


def say(s: Any) -> str:
    """The finding in words."""
    ratio, speed = s.v["frequency_ratio"], s.v.get("flat_ride_speed")
    first = f"The rear is {ratio:.2f} times as quick as the front: the car "
    if speed is None:
        first += "will pitch, because the rear never catches up with the front"
    elif speed > BEYOND_USE:
        first += "rides flat only far above any speed it is used at"
    else:
        first += f"rides flat near {s.flat_ride_speed}"
    (low, high), _ = RATIO[s.x.use]
    if low <= ratio <= high:
        return first + "."
    change = "stiffer rear or softer front springs bring it in" if ratio < low else "softer rear or stiffer front springs bring it in"
    return f"{first}. {shared.CARS[s.x.use].capitalize()} sit between {low:.2f} and {high:.2f}: {change}."


def _end(axle: str) -> list[Input]:
    return [
        need(f"spring.rate@{axle}", f"{axle}_rate"),
        need(f"spring.motion_ratio@{axle}", f"{axle}_motion_ratio"),
        need(f"weights.axle_mass@{axle}", f"{axle}_mass"),
        option(f"suspension.type@{axle}", f"{axle}_type"),
        option(f"suspension.unsprung_mass@{axle}", f"{axle}_unsprung_mass", default=shared.unsprung_default(f"{axle}_mass", f"{axle}_type"),
               why=shared.WHY_UNSPRUNG),
        option(f"suspension.tire_rate@{axle}", f"{axle}_tire_rate"),
    ]


CHECK = Check(
    title="Front and rear ride frequencies together",
    system="suspension",
    safety=False,
    inputs=[need("build.use"), *_end("front"), *_end("rear"), need("car.wheelbase")],
    values={
        "frequency_front": Shown("front ride frequency", "frequency", "Hz"),
        "frequency_rear": Shown("rear ride frequency", "frequency", "Hz"),
        "frequency_ratio": Shown("rear frequency over front frequency", "dimensionless"),
        "flat_ride_speed": Shown("speed of the flattest ride", "speed", "km/h"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("spring.rate@front"), Fix("spring.rate@rear")],
    formula="r = f_r/f_f; v = L/(1/f_f − 1/f_r) for r > 1",
    basis=[
        derived("the rear, hit one wheelbase later, has caught up after one full cycle at v"),
        from_memory("front springs softer than the rear by up to about 30 % in rate: Olley's rules, reviewed by Crolla & King, Olley's flat ride revisited"),
        common_practice("bands by intended use"),
    ],
)

"""Temperature of a rotor over a run of equal stops."""

from __future__ import annotations

from math import exp, pi, pow

#: Specific heat of cast iron, J/(kg*K). Common practice (about 460 cold, 600 near 500 degC).
SPECIFIC_HEAT = 500.0
#: Share of the stop's energy that reaches the rotor; the rest goes into the pads. Common practice.
SHARE_INTO_ROTOR = 0.95
#: Inside diameter of the swept ring over the rotor's diameter. Common practice.
SWEPT_INNER_SHARE = 0.55
#: Heat transfer at 15 m/s, W/(m2*K), and the least. Common practice.
TRANSFER_VENTILATED, TRANSFER_SOLID, TRANSFER_LEAST = 60.0, 40.0, 20.0
TRANSFER_SPEED = 15.0
#: Turbulent flow over a plate. Source: Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, Nu ~ Re^(4/5).
TRANSFER_EXPONENT = 0.8
#: Air and rotor before the first stop, K (20 degC). Common practice.
AMBIENT = 293.15
#: Emissivity of oxidized iron. Common practice.
EMISSIVITY = 0.55
#: Stefan-Boltzmann constant, W/(m2*K4). Source: CODATA 2018.
STEFAN_BOLTZMANN = 5.670374419e-8


def stop_energy_per_rotor(mass: float, start_speed: float, end_speed: float, axle_share: float) -> float:
    """Energy that one rotor of an axle takes in a stop, J.

    E = 1/2*m*(v0^2 - v1^2)*share/2*0.95: m mass of the car, kg; v0, v1 speeds, m/s; share of the axle, 1.
    Raises ValueError when v1 is not below v0. Source: derived; 0.95 common practice.

    >>> round(stop_energy_per_rotor(1550, 100 / 3.6, 0, 0.72), -2)
    204500.0
    """
    if not 0 <= end_speed < start_speed:
        raise ValueError("a stop ends slower than it begins")
    return 0.5 * mass * (start_speed ** 2 - end_speed ** 2) * axle_share / 2 * SHARE_INTO_ROTOR


def temperature_rise(energy: float, rotor_mass: float) -> float:
    """Warming of a rotor by one stop, K: E/(m*c), E energy, J; m mass, kg; c 500 J/(kg*K). Source: derived.

    >>> round(temperature_rise(204500, 6.5), 2)
    62.92
    """
    return energy / (rotor_mass * SPECIFIC_HEAT)


def swept_area(rotor_diameter: float) -> float:
    """Area of both faces that the pads sweep, m2: 2*pi/4*(D^2 - (0.55*D)^2), D diameter, m. Source: derived.

    >>> round(swept_area(0.26), 4)
    0.0741
    """
    return 2 * pi / 4 * rotor_diameter ** 2 * (1 - SWEPT_INNER_SHARE ** 2)


def heat_transfer(mean_speed: float, ventilated: bool) -> float:
    """Heat transfer of a rotor to free air, W/(m2*K): max(20, h0*(v/15)^0.8), v mean speed, m/s.

    Valid for 5 to 60 m/s, no ducts or shields. Source: exponent as turbulent flow over a plate; h0 common practice.

    >>> round(heat_transfer(50 / 3.6, True), 2)
    56.42
    """
    base = TRANSFER_VENTILATED if ventilated else TRANSFER_SOLID
    return max(TRANSFER_LEAST, base * pow(mean_speed / TRANSFER_SPEED, TRANSFER_EXPONENT))


def _cooled(hot: float, beta: float, ambient: float) -> float:
    return ambient + (hot - ambient) * exp(-beta)


def peak_temperature(rise: float, stops: int, interval: float, heat_capacity: float, convection: float,
                     radiating_area: float = 0.0, ambient: float = AMBIENT) -> float:
    """Highest temperature of a rotor in a run of equal stops, K.

    Each stop adds `rise` dT; between stops T falls as T0 + (T_hot - T0)*exp(-beta), beta = (h*A + h_r*A_s)*t/(m*c),
    h_r = 0.55*sigma*(T_m^2 + T0^2)*(T_m + T0) with T_m the mean of the fall, found in two passes. `interval` t, s;
    `heat_capacity` m*c, J/K; `convection` h*A, W/K; `radiating_area` A_s, m2 (0: no radiation); `ambient` T0, K.
    Without radiation this is T0 + dT*(1 - exp(-n*beta))/(1 - exp(-beta)).
    Source: Limpert, Brake Design and Safety, repeated braking; derived.

    >>> round(peak_temperature(62.93, 3, 60, 3250, 8.359), 1)
    456.2
    """
    temperature = highest = ambient
    for _ in range(stops):
        hot = temperature + rise
        highest = max(highest, hot)
        middle = hot
        for _ in range(2):
            radiation = EMISSIVITY * STEFAN_BOLTZMANN * (middle ** 2 + ambient ** 2) * (middle + ambient)
            beta = (convection + radiation * radiating_area) * interval / heat_capacity
            temperature = _cooled(hot, beta, ambient)
            middle = (hot + temperature) / 2
    return highest

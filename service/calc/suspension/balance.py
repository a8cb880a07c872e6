"""Roll and balance in a steady corner: roll stiffness, roll angle, who carries the load transfer."""

from __future__ import annotations

from typing import NamedTuple

from service.calc.suspension.constants import STANDARD_GRAVITY


class Axle(NamedTuple):
    """One axle: masses in kg, lengths in m, roll stiffness in N·m/rad."""

    mass: float
    unsprung_mass: float
    track: float
    roll_center_height: float
    roll_stiffness: float
    unsprung_height: float


class Balance(NamedTuple):
    """A 1 g corner: roll in rad, shares as fractions, roll arm (sprung center of gravity over the roll axis) in m."""

    roll: float
    front_stiffness_share: float
    front_load_transfer_share: float
    balance_index: float
    roll_arm: float


def spring_roll_stiffness(spring_rate: float, motion_ratio: float, base: float) -> float:
    """Roll stiffness of an axle's two springs in N·m/rad: K = ½·k_s·MR²·base².

    k_s `spring_rate` in N/m, MR spring travel per wheel travel, `base` in m: the track of an independent
    suspension, the distance between the springs of a live axle. Source: derived.

    >>> round(spring_roll_stiffness(60000.0, 0.60, 1.52))
    24952
    """
    return spring_rate * (motion_ratio * base) ** 2 / 2


def corner_balance(mass: float, cg_height: float, front: Axle, rear: Axle) -> Balance:
    """Roll angle and share of the front axle in the load transfer at 1 g of lateral acceleration.

    m_s = m − m_uf − m_ur; h_s = (m·h − m_uf·r_f − m_ur·r_r)/m_s; h_ra = h_rf + (h_rr − h_rf)·m_sr/m_s;
    h₁ = h_s − h_ra; φ = m_s·g·h₁/(K_f + K_r − m_s·g·h₁);
    ΔF = (K·φ + m_sa·g·h_r + m_u·g·r)/t for each axle; index = ΔF_f/(ΔF_f + ΔF_r) − m_f/(m_f + m_r).

    m `mass` in kg, h `cg_height` in m; of each axle m_u unsprung mass at height r, m_sa sprung mass on the axle,
    h_r roll-center height, K roll stiffness, t track.
    Valid for a steady corner, small angles (φ below 10°), a rigid frame, tires not in series.
    Raises ValueError when the body would roll over or the roll axis passes above the sprung mass.
    Source: derived; the model of Milliken & Milliken, Race Car Vehicle Dynamics, and of Gillespie.

    >>> front = Axle(935.0, 95.0, 1.52, 0.04, 67710.0, 0.33)
    >>> found = corner_balance(1700.0, 0.54, front, Axle(765.0, 140.0, 1.52, 0.28, 12590.0, 0.33))
    >>> round(found.roll, 4), round(found.front_load_transfer_share, 4), round(found.balance_index, 4)
    (0.0836, 0.6616, 0.1116)
    """
    sprung = mass - front.unsprung_mass - rear.unsprung_mass
    sprung_front, sprung_rear = front.mass - front.unsprung_mass, rear.mass - rear.unsprung_mass
    if not min(sprung, sprung_front, sprung_rear) > 0:
        raise ValueError("the unsprung masses leave no sprung mass")
    carried = front.unsprung_mass * front.unsprung_height + rear.unsprung_mass * rear.unsprung_height
    axis = front.roll_center_height + (rear.roll_center_height - front.roll_center_height) * sprung_rear / sprung
    roll_arm = (mass * cg_height - carried) / sprung - axis
    stiffness = front.roll_stiffness + rear.roll_stiffness
    roll = _roll(sprung * STANDARD_GRAVITY * roll_arm, stiffness)
    transfer_front, transfer_rear = _load_transfer(front, sprung_front, roll), _load_transfer(rear, sprung_rear, roll)
    share = transfer_front / (transfer_front + transfer_rear)
    return Balance(roll, front.roll_stiffness / stiffness, share, share - front.mass / (front.mass + rear.mass), roll_arm)


def _roll(moment: float, stiffness: float) -> float:
    if moment <= 0:
        raise ValueError("the roll axis passes above the sprung mass: check the roll-center heights")
    if stiffness <= moment:
        raise ValueError("springs and bars are too soft to hold the body: it would roll over")
    return moment / (stiffness - moment)


def _load_transfer(axle: Axle, sprung: float, roll: float) -> float:
    weight_moment = sprung * axle.roll_center_height + axle.unsprung_mass * axle.unsprung_height
    return (axle.roll_stiffness * roll + weight_moment * STANDARD_GRAVITY) / axle.track

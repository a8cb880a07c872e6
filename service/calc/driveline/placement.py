"""Where things sit: the engine fore and aft, the clutch's release, the bellhousing's bore. SI in and out."""

from __future__ import annotations

from collections.abc import Mapping


def forward_limit(room: Mapping[str, float]) -> tuple[float, str]:
    """Foremost engine position, max(-room), in m (rearward positive), and the name of what stops it.

    room: how far each thing lets the engine go forward from where it stands, in m; at least one (ValueError).
    Source: intersection of intervals, derived.

    >>> forward_limit({"mounts": 0.0381, "fan": -0.00635})
    (0.00635, 'fan')
    """
    if not room:
        raise ValueError("nothing limits the engine forward")
    name = min(room, key=lambda key: room[key])
    return -room[name], name


def rearward_limit(room: Mapping[str, float]) -> tuple[float, str]:
    """Rearmost engine position, min(room), in m, and the name of what stops it. As `forward_limit`, rearward.

    >>> rearward_limit({"mounts": 0.0381, "slip": 0.0254})
    (0.0254, 'slip')
    """
    if not room:
        raise ValueError("nothing limits the engine rearward")
    name = min(room, key=lambda key: room[key])
    return room[name], name


def bearing_travel(
    pedal_travel: float, free_play: float, pedal_ratio: float, master_bore: float, slave_bore: float, fork_ratio: float, bearing_gap: float
) -> float:
    """Travel of the release bearing in m: (s - s_0)/i_p (d_m/d_s)^2/i_f - gap.

    s pedal travel, s_0 free play at the pad, d_m and d_s master and slave bore, gap at the bearing in m; i_p pedal and
    i_f fork ratio. Ratios and bores positive (ValueError). Source: volume pushed equals volume taken, derived.

    >>> round(bearing_travel(0.140, 0.012, 6, 0.01905, 0.022225, 1.6, 0.0), 6)
    0.009796
    """
    if min(pedal_ratio, fork_ratio, master_bore, slave_bore) <= 0:
        raise ValueError("ratios and bores must be positive")
    stroke = (pedal_travel - free_play) / pedal_ratio * (master_bore / slave_bore) ** 2
    return stroke / fork_ratio - bearing_gap


def pedal_force(release_force: float, pedal_ratio: float, fork_ratio: float, master_bore: float, slave_bore: float) -> float:
    """Force at the pedal pad, F/(i_p i_f (d_s/d_m)^2), in N; F at the release bearing in N, other symbols as `bearing_travel`.

    Source: equal pressure in both cylinders, derived.

    >>> round(pedal_force(1500.0, 6, 1.6, 0.01905, 0.022225), 1)
    114.8
    """
    if min(pedal_ratio, fork_ratio, master_bore, slave_bore) <= 0:
        raise ValueError("ratios and bores must be positive")
    return release_force / (pedal_ratio * fork_ratio * (slave_bore / master_bore) ** 2)


def bore_offset(runout: float) -> float:
    """Offset of a bore from the axis it is turned about, half the total indicator reading, in m. Source: derived.

    >>> round(bore_offset(0.0002286), 7)
    0.0001143
    """
    return runout / 2

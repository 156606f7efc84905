"""Gives the traffic index at places with its 90 % band, and says which parameter widens that most."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.road_position import ends_within
from sitebook.analysis.contamination.road_sources import Grouping, grouping, near_sources
from sitebook.analysis.contamination.roads import loads_by_length, traffic_load
from sitebook.analysis.contamination.traffic import Road
from sitebook.ground.distance import to_lines
from sitebook.records.results.contamination import Band
from sitebook.records.results.road_index import IndexAt, ParameterEffect

Floats = NDArray[np.float64]

COARSE, FINE, SHARES, POWER, TRAFFIC = range(5)
"""The parameters that are moved, in the order of `NAMES`."""

NAMES = ("coarse_scale", "fine_scale", "shares", "traffic_power", "traffic")
POSITION = "position"

BLOCK = 1_000_000
"""Pairs of place and road that are held at once, which bounds the memory used."""


@dataclass(frozen=True)
class _Added:
    """What each road adds to each place, with central numbers and with each parameter at its ends.

    Parameters
    ----------
    central
        (n, k) [1].
    ends
        (parameters, 2, n, k) [1].
    """

    central: Floats
    ends: Floats


def index_at(
    points_m: ArrayLike, roads: Sequence[Road], *, uncertainty_m: float = 0.0
) -> tuple[IndexAt, ...]:
    """Give the traffic index at places, with its 90 % band and the roads it comes from.

    Parameters
    ----------
    points_m
        Places (n, 2) [m].
    roads
        Roads of today and of the past; all add to the index, those of today alone count for the distance to
        the nearest motor road.
    uncertainty_m
        Uncertainty of the positions, the radius of a disc [m].

    Raises
    ------
    ValueError
        When a place is not finite, or the uncertainty is below zero or not finite.

    Notes
    -----
    The central index is that of `roads.traffic_index` with half widths. For the band, our choice, each
    parameter is moved alone to its two ends: both lengths, the two shares together, the power of traffic,
    the vehicles of every road, and the position within its disc. Let u(p) be the sum over roads of what
    the worse end of parameter p adds to that road, 0 where neither adds anything. The upper end is

        T + root of the sum of u(p)²

    and no road added lowers it. The lower end is T exp(-root of the sum of l(p)²), l(p) being the
    logarithm of T over the lowest index that p makes. A road here is one entry of `roads`, a stretch between
    places where its like meet. What a single road adds has a band of its own, without the position.
    """
    points = np.asarray(points_m, dtype=np.float64).reshape(-1, 2)
    if not (np.isfinite(uncertainty_m) and uncertainty_m >= 0.0):
        raise ValueError("the uncertainty of a position is a finite number of metres, 0 or more")
    groups = grouping(roads)
    rows = max(1, BLOCK // max(len(roads), 1))
    found: list[IndexAt] = []
    for first in range(0, len(points), rows):
        found += _block(points[first : first + rows], roads, groups, uncertainty_m)
    return tuple(found)


def _block(
    points: Floats, roads: Sequence[Road], groups: Grouping, uncertainty_m: float
) -> Iterator[IndexAt]:
    lines = [road.line_m for road in roads]
    half_width = np.array([road.half_width_m for road in roads], dtype=np.float64)
    added = _added(points, roads, lines, half_width)
    distance = to_lines(points, lines)
    edges = np.maximum(distance - half_width, 0.0)
    today = np.flatnonzero([not road.past_use for road in roads])
    nearest = edges[:, today].min(axis=1, initial=np.inf)
    nearest = np.where(nearest <= parameters.value("reach"), nearest, np.inf)
    fall, rise = ends_within(points, roads, distance, uncertainty_m)
    central, up, least = _summed(added, groups=None)
    of_group = _bands(*_summed(added, groups))
    for n, point in enumerate(points):
        moved = (float(fall[n]), float(rise[n]))
        effects = _effects(float(central[n, 0]), up[:, n, 0], least[:, n, 0], moved, uncertainty_m)
        yield IndexAt(
            index=_band(float(central[n, 0]), effects),
            effects=effects,
            edge_m=float(nearest[n]),
            nearest_edge_m=max(float(nearest[n]) - uncertainty_m, 0.0),
            roads=near_sources(point, roads, groups, distance[n], of_group[n]),
        )


def _added(points: Floats, roads: Sequence[Road], lines: Sequence[Floats], half_width: Floats) -> _Added:
    coarse, fine, coarse_share, fine_share, power = (
        (parameters.value(name), *parameters.ends(name))
        for name in ("coarse_scale", "fine_scale", "coarse_share", "fine_share", "traffic_power")
    )
    loads = loads_by_length(points, lines, (*coarse, *fine), half_width_m=half_width)
    near, far = loads[:3], loads[3:]
    traffic = np.array([[r.traffic.central, r.traffic.low, r.traffic.high] for r in roads]).reshape(-1, 3).T
    usual = traffic_load(traffic[0])
    kerb = coarse_share[0] * near[0] + fine_share[0] * far[0]
    ends = [
        [usual * (coarse_share[0] * near[k] + fine_share[0] * far[0]) for k in (1, 2)],
        [usual * (coarse_share[0] * near[0] + fine_share[0] * far[k]) for k in (1, 2)],
        [usual * (coarse_share[k] * near[0] + fine_share[k] * far[0]) for k in (1, 2)],
        [traffic_load(traffic[0], power[k]) * kerb for k in (1, 2)],
        [traffic_load(traffic[k]) * kerb for k in (1, 2)],
    ]
    return _Added(usual * kerb, np.array(ends))


def _summed(added: _Added, groups: Grouping | None) -> tuple[Floats, Floats, Floats]:
    """Add up over all roads, or over those of each group.

    Returns
    -------
    tuple of ndarray
        The central sum (n, g); what the worse ends add (parameters, n, g); the lowest sum of each parameter
        (parameters, n, g).
    """
    rise = np.maximum(added.ends.max(axis=1) - added.central, 0.0)
    central, up, ends = (_by_group(values, groups) for values in (added.central, rise, added.ends))
    return central, up, np.minimum(ends.min(axis=1), central)


def _by_group(values: Floats, groups: Grouping | None) -> Floats:
    if groups is None:
        return np.asarray(values.sum(axis=-1, keepdims=True))
    order = np.argsort(groups.of_road, kind="stable")
    if not order.size:
        return np.zeros((*values.shape[:-1], 0))
    starts = np.searchsorted(groups.of_road[order], np.arange(groups.size))
    return np.asarray(np.add.reduceat(values[..., order], starts, axis=-1))


def _bands(central: Floats, up: Floats, least: Floats) -> Floats:
    """Give the band of every group at every place (n, 3, groups), the position left aside."""
    high = central + np.sqrt((up * up).sum(axis=0))
    with np.errstate(divide="ignore", invalid="ignore"):
        logs = np.where(central > 0.0, np.log(central / least), 0.0)
    low = central * np.exp(-np.sqrt((logs * logs).sum(axis=0)))
    return np.stack([central, low, high], axis=1)


def _effects(
    central: float, up: Floats, least: Floats, moved: tuple[float, float], uncertainty_m: float
) -> tuple[ParameterEffect, ...]:
    effects = [
        ParameterEffect(name, said, float(low), float(central + more))
        for name, said, low, more in zip(NAMES, _said(), least, up, strict=True)
    ]
    if uncertainty_m > 0.0:
        said = f"where the place lies, within {uncertainty_m:.0f} m"
        low, high = central + moved[0], central + moved[1]
        effects.append(ParameterEffect(POSITION, said, max(low, 0.0), high))
    if all(effect.high == 0.0 for effect in effects):
        return ()
    return tuple(sorted(effects, key=lambda effect: effect.low - effect.high))


def _said() -> tuple[str, ...]:
    coarse, fine = parameters.ends("coarse_scale"), parameters.ends("fine_scale")
    share = sorted(100.0 * value for value in parameters.ends("coarse_share"))
    return (
        f"how far coarse dust reaches, {coarse[0]:g} to {coarse[1]:g} m",
        f"how far fine dust reaches, {fine[0]:g} to {fine[1]:g} m",
        f"how much at the kerb is coarse, {share[0]:.0f} to {share[1]:.0f} %",
        "how the load grows with traffic, with its square root or in a straight line",
        "how many vehicles pass",
    )


def _band(central: float, effects: Sequence[ParameterEffect]) -> Band:
    up = float(np.sqrt(sum((effect.high - central) ** 2 for effect in effects)))
    lowest = min((effect.low for effect in effects), default=central)
    if lowest <= 0.0:
        return Band(central, 0.0, central + up)
    down = float(np.sqrt(sum(np.log(central / effect.low) ** 2 for effect in effects)))
    return Band(central, min(central * float(np.exp(-down)), central), central + up)

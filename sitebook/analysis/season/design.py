"""Lays looks out as the columns and groups of the season model."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.season import parameters
from sitebook.analysis.season.baseline import LOOK_MINUTES, MINUTES_NOT_NOTED
from sitebook.analysis.season.prior import SeasonPrior

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

WEATHER = ("soil_moisture", "lagged_rain", "soil_temperature")
"""Anomalies that the model reads, in this order."""
WATERED = np.array([True, True, False])
"""Those that watering takes away."""
NONE = -1
"""Index of what is not known, or not in the fit."""
PRESENCE_ONLY = -2
"""Index of the site that all presence-only records share; it has a rate of its own."""
WAVES = 3
EFFORT = 1 + 2 * WAVES + len(WEATHER)
"""Column of the exponent of effort."""
COLUMNS = EFFORT + 1


@dataclass(frozen=True)
class Points:
    """Looks made or thought of, as arrays of one length n.

    Parameters
    ----------
    angle_rad
        Time of the year of each [rad].
    year
        Season-year, any whole numbers; -1 for a year of no kind known.
    minutes
        Search time times searchers [min]; NaN counts as a look of 30 minutes.
    host, site, tree
        Indexes of host species, site and tree; -1 for a host or site not known, and for the rest of a
        site beside its trees, -2 for the site of presence-only records.
    weather
        Anomalies of soil moisture, lagged rain and soil temperature (n, 3); NaN where not known.
    irrigated
        Whether the place is watered, so that moisture and rain count nothing.
    """

    angle_rad: Floats
    year: Ints
    minutes: Floats
    host: Ints
    site: Ints
    tree: Ints
    weather: Floats
    irrigated: Bools

    def __post_init__(self) -> None:
        size = len(self.angle_rad)
        columns = (self.year, self.minutes, self.host, self.site, self.tree, self.irrigated)
        if any(column.shape != (size,) for column in columns) or self.weather.shape != (size, len(WEATHER)):
            raise ValueError("points are arrays of one length, with three anomalies of the weather each")
        if np.any(self.minutes <= 0.0) or np.any(np.isinf(self.minutes)):
            raise ValueError("a look takes more than 0 minutes")
        if not np.all(np.isfinite(self.angle_rad)) or np.any(np.isinf(self.weather)):
            raise ValueError("times of the year are finite, and so is known weather")

    def __len__(self) -> int:
        return len(self.angle_rad)


@dataclass(frozen=True)
class Looks:
    """Looks that were made, for one taxon.

    Parameters
    ----------
    at
        When, where and in what weather.
    found
        Whether each found the taxon (n,).
    """

    at: Points
    found: Bools

    def __post_init__(self) -> None:
        if self.found.shape != (len(self.at),):
            raise ValueError("each look found something or did not")

    def __len__(self) -> int:
        return len(self.found)


def chosen(points: Points, which: Ints | Bools) -> Points:
    """Pick points by number or by a yes or no each."""
    return Points(**{name: getattr(points, name)[which] for name in Points.__dataclass_fields__})


def chosen_looks(looks: Looks, which: Ints | Bools) -> Looks:
    """Pick looks by number or by a yes or no each."""
    return Looks(chosen(looks.at, which), looks.found[which])


@dataclass(frozen=True)
class Block:
    """A group of the model: each point has one of its effects, or none.

    Parameters
    ----------
    slot
        Which effect (n,); `count` where none.
    count
        Number of effects.
    factor
        What the effect is multiplied by (n,).
    """

    slot: Ints
    count: int
    factor: Floats


@dataclass(frozen=True)
class Levels:
    """Hosts, sites, trees and years that a fit knows, each in order.

    Parameters
    ----------
    hosts, sites, trees, years
        Their indexes as given, without -1.
    tree_site
        Slot of the site of each tree; the number of sites where it has none.
    """

    hosts: Ints
    sites: Ints
    trees: Ints
    years: Ints
    tree_site: Ints


@dataclass(frozen=True)
class Design:
    """Everything that multiplies a coefficient.

    Parameters
    ----------
    offset
        Log of the season of the books (n,).
    dense
        Columns all points have (n, 11): one, six waves, three anomalies, log of effort.
    host, year, timing, site, tree
        The groups.
    tree_site
        Slot of the site of each tree.
    presence_only
        Slot of the site that presence-only records share; the number of sites where there are none.
    """

    offset: Floats
    dense: Floats
    host: Block
    year: Block
    timing: Block
    site: Block
    tree: Block
    tree_site: Ints
    presence_only: int

    @property
    def shared(self) -> tuple[Block, Block, Block]:
        """The groups that cross each other; trees lie within sites and are held apart."""
        return (self.host, self.year, self.timing)

    @property
    def shared_count(self) -> int:
        """Number of coefficients before those of sites and trees."""
        return int(self.dense.shape[1]) + sum(block.count for block in self.shared)


def levels_of(points: Points) -> Levels:
    """Tell which hosts, sites, trees and years are there.

    Raises
    ------
    ValueError
        When a tree stands at two sites.
    """
    sites, trees = _known(points.site), _known(points.tree)
    has_tree = points.tree != NONE
    at = slots(points.tree[has_tree], trees)
    where = slots(points.site[has_tree], sites)
    tree_site = np.full(trees.size, sites.size)
    tree_site[at] = where
    if np.any(tree_site[at] != where):
        raise ValueError("a tree stands at one site")
    return Levels(_known(points.host), sites, trees, _known(points.year), tree_site)


def design(points: Points, levels: Levels, prior: SeasonPrior) -> Design:
    """Lay points out for the levels of a fit."""
    one = np.ones(len(points))
    timing = prior.slope(points.angle_rad)
    year = slots(points.year, levels.years)
    return Design(
        prior.offset(points.angle_rad),
        _dense(points, prior),
        Block(slots(points.host, levels.hosts), levels.hosts.size, one),
        Block(year, levels.years.size, one),
        Block(year, levels.years.size, timing),
        Block(slots(points.site, levels.sites), levels.sites.size, one),
        Block(slots(points.tree, levels.trees), levels.trees.size, one),
        levels.tree_site,
        int(slots(np.array([PRESENCE_ONLY]), levels.sites)[0]),
    )


def noted(looks: Looks) -> Looks:
    """Give the looks that were noted as such, without presence-only records and the outings behind them."""
    return chosen_looks(looks, looks.at.site != PRESENCE_ONLY)


def slots(indexes: Ints, levels: Ints) -> Ints:
    """Give the place of each index among levels in order; their number where it is none of them."""
    if not levels.size:
        return np.zeros(indexes.shape, np.int64)
    place = np.minimum(np.searchsorted(levels, indexes), levels.size - 1)
    return np.where(levels[place] == indexes, place, levels.size)


def read_weather(points: Points) -> tuple[Floats, Bools]:
    """Give the anomalies with 0 where they count nothing or are not known, and which are not known."""
    nothing = points.irrigated[:, None] & WATERED
    unknown = np.isnan(points.weather) & ~nothing
    return np.where(nothing | unknown, 0.0, points.weather), unknown


def _dense(points: Points, prior: SeasonPrior) -> Floats:
    away = points.angle_rad - prior.mean_rad
    waves = [wave(k * away) for k in range(1, WAVES + 1) for wave in (np.cos, np.sin)]
    if not prior.flat and len(prior.humps) > 1:
        waves[1] = prior.slope(points.angle_rad) / steepness(prior)
    minutes = np.where(np.isnan(points.minutes), MINUTES_NOT_NOTED.value, points.minutes)
    effort = np.log(minutes / LOOK_MINUTES.value)
    return np.column_stack([np.ones(len(points)), *waves, read_weather(points)[0], effort])


def steepness(prior: SeasonPrior) -> float:
    """Give the steepest slope of a season's log [1/rad]; the concentration of a single one."""
    if len(prior.humps) == 1:
        return prior.humps[0].concentration
    return float(np.abs(prior.slope(np.linspace(0.0, 2.0 * np.pi, 733))).max(initial=0.0))


def coefficients_before(prior: SeasonPrior) -> tuple[Floats, Floats]:
    """Give mean and variance of the columns' coefficients before any look (11,)."""
    value = parameters.value
    kind = "flat_harmonic" if prior.flat else "harmonic"
    sds = np.repeat([value(f"{kind}{k}_sd") for k in range(1, WAVES + 1)], 2)
    if not prior.flat:
        sds[1] = max(steepness(prior) * parameters.turn_rad("shift"), value("shift_floor_sd"))
    means = [value("rate_mean"), *np.zeros(2 * WAVES), *(value(f"{name}_mean") for name in WEATHER)]
    spreads = [value("rate_sd"), *sds, *(value(f"{name}_sd") for name in WEATHER)]
    mean = np.array([*means, value("effort_mean")])
    return mean, np.array([*spreads, value("effort_sd")]) ** 2


def _known(indexes: Ints) -> Ints:
    return np.unique(indexes[indexes != NONE])

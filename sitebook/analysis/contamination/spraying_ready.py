"""Works out once what holds of a spraying wherever one stands, and its drift at one place."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

import numpy as np
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination.drift import INSIDE_PERCENT, curves, drift_percent
from sitebook.analysis.contamination.spraying_end import Ending, ending_of
from sitebook.analysis.contamination.spraying_ground import STAYS_PUT, ground_of
from sitebook.analysis.contamination.spraying_left import actives_left
from sitebook.analysis.contamination.spraying_told import Happened, RainSeen, Told, days_of, happened, model
from sitebook.citations import Mark
from sitebook.ground.projection import LocalMetres
from sitebook.records.results.contamination import Band
from sitebook.records.results.spray_term import ActiveLeft
from sitebook.records.spraying import Spraying
from sitebook.reference import reader

LAWN = "arable_below_50cm"
GROUP_OF_METHOD = {"aerial": "aerial", "railway": "railway"}
"""Crop groups that the way of bringing out tells where no group is noted; all else takes that of lawns."""

FARTHEST_OF_BLOWERS = "fruit_early"
"""Curve that no other of trees, vines or hops exceeds."""

CURVE_SOURCES = {
    "focus2001": "FOCUS surface water scenarios",
    "jki2010": "drift table of the Julius Kühn-Institut",
}
"""Sources of the drift curves, in words."""


@dataclass(frozen=True)
class CurveUsed:
    """The drift curve of a spraying.

    Parameters
    ----------
    applications
        Number of applications that the curve is of.
    percentile
        In how many of 100 trials one application drifted no more than it says.
    source
        Where it is written, in words.
    mark
        How well it is known.
    """

    applications: int
    percentile: int
    source: str
    mark: Mark


@dataclass(frozen=True)
class Here:
    """How a spraying lies to a place.

    Parameters
    ----------
    distance_m
        Distance to the edge of the ground, 0 inside it [m].
    nearest_m
        The same less the uncertainty of the position [m].
    direction
        In which direction the nearest point lies; "" inside.
    percent
        Share of the rate that one application left at the place, over the uncertainty of the position.
    """

    distance_m: float
    nearest_m: float
    direction: str
    percent: Band

    @property
    def inside(self) -> bool:
        """Whether the place lies on the ground."""
        return self.distance_m == 0.0


@dataclass(frozen=True)
class Ready:
    """A spraying with all that holds of it wherever one stands.

    Parameters
    ----------
    told
        The spraying with actives and tests.
    shape_m, mended
        Its ground [m], and whether an outline of it crossed itself.
    happened
        Whether it took place.
    ahead
        Whether the day noted lies after the review.
    group
        Crop group of its curve.
    farther
        Crop group whose curve it may have reached as well; "" for none.
    curve
        The curve itself.
    ending
        Whether it is ended.
    left
        What may be left of its actives.
    """

    told: Told
    shape_m: BaseGeometry
    mended: bool
    happened: Happened
    ahead: bool
    group: str
    farther: str
    curve: CurveUsed
    ending: Ending
    left: tuple[ActiveLeft, ...]

    @property
    def spraying(self) -> Spraying:
        """The spraying itself."""
        return self.told.spraying

    @property
    def drifts(self) -> bool:
        """Whether it drifts at all."""
        return self.spraying.method not in STAYS_PUT

    @property
    def reach_m(self) -> float:
        """Distance within which it is named [m]."""
        if self.spraying.state in {"never", "not known"}:
            return model()["asks_within"].value
        return model()["reach_aerial" if self.group == "aerial" else "reach"].value


def made_ready(told: Told, frame: LocalMetres, *, today: datetime.date, rain: RainSeen) -> Ready:
    """Work out what holds of a spraying wherever one stands."""
    spraying = told.spraying
    ground = ground_of(spraying, frame)
    group = spraying.drift_group or GROUP_OF_METHOD.get(spraying.method or "", LAWN)
    blown = spraying.method == "blower" and spraying.drift_group is None
    last = days_of(spraying).last
    return Ready(
        told=told,
        shape_m=ground.shape_m,
        mended=ground.mended,
        happened=happened(spraying, today),
        ahead=last is not None and last > today,
        group=group,
        farther=FARTHEST_OF_BLOWERS if blown else "",
        curve=_curve_used(group, spraying.applications),
        ending=ending_of(told, today=today),
        left=actives_left(told, today=today, rain=rain),
    )


def percent_at(ready: Ready, distance_m: float, depth_m: float, uncertainty_m: float) -> Band:
    """Give the share of one application's rate at a place, over the uncertainty of its position.

    Parameters
    ----------
    ready
        The spraying.
    distance_m
        Distance to the edge of its ground, 0 inside [m].
    depth_m
        Distance to the edge; it counts inside alone [m].
    uncertainty_m
        Uncertainty of the position [m].

    Returns
    -------
    Band
        Percent of the rate: by its curve outside, 100 inside, at the ends over every distance that the
        position allows.
    """
    nearest_m = max(distance_m - uncertainty_m, 0.0)
    farthest_m = distance_m + uncertainty_m if distance_m else uncertainty_m - depth_m
    if distance_m == 0.0 and farthest_m <= 0.0:
        return Band(INSIDE_PERCENT, INSIDE_PERCENT, INSIDE_PERCENT)
    outside = _curve_ends(ready, nearest_m, max(farthest_m, 0.0))
    central = INSIDE_PERCENT if distance_m == 0.0 else _curve_at(ready, distance_m)
    high = INSIDE_PERCENT if nearest_m == 0.0 else max(outside[1], central)
    return Band(central, min(outside[0], central), high)


def _curve_at(ready: Ready, distance_m: float) -> float:
    if not ready.drifts:
        return 0.0
    return float(drift_percent(distance_m, ready.group, ready.curve.applications))


def _curve_ends(ready: Ready, nearest_m: float, farthest_m: float) -> tuple[float, float]:
    """Give the least and most drift between two distances; a curve in two pieces may step up at its hinge."""
    if not ready.drifts:
        return 0.0, 0.0
    hinge_m = curves()[ready.group, ready.curve.applications].hinge_m
    looked_at = np.array([nearest_m, farthest_m, *([hinge_m] if nearest_m < hinge_m < farthest_m else [])])
    own = drift_percent(looked_at, ready.group, ready.curve.applications)
    most = float(own.max())
    if ready.farther:
        hinge_m = curves()[ready.farther, 1].hinge_m
        more = np.array([nearest_m, *([hinge_m] if nearest_m < hinge_m < farthest_m else [])])
        most = max(most, float(drift_percent(more, ready.farther).max()))
    return float(own.min()), most


def _curve_used(group: str, applications: int) -> CurveUsed:
    number = applications if (group, applications) in curves() else 1
    wanted = group, str(number)
    row = next(r for r in reader.rows("drift_curves") if (r["group"], r["applications"]) == wanted)
    key = row["source_key"]
    source = f"{CURVE_SOURCES.get(key, key)}, {row['locator']} [{key}]"
    return CurveUsed(number, int(row["percentile"]), source, reader.mark_of(row))

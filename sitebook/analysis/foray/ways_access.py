"""Says who may use a mapped way, in which direction and how fast."""

from __future__ import annotations

from dataclasses import dataclass

from sitebook.analysis.foray import pace
from sitebook.analysis.foray.pace import Mode
from sitebook.records.map_data import Way

OPEN = frozenset({"yes", "designated", "permissive", "official", "public", "destination", "customers"})
"""Values of an access tag that let somebody on a place of it in."""

CLOSED = frozenset(
    {
        "no",
        "private",
        "agricultural",
        "forestry",
        "delivery",
        "military",
        "emergency",
        "use_sidepath",
        "permit",
        "residents",
    }
)
"""Values that keep somebody on a day out off; any other value leaves what the class of the way says."""

FOOT_WAYS = frozenset({"footway", "pedestrian", "bridleway", "path", "steps"})
"""Ways on which a bicycle may be pushed where it may not be ridden, stairs but for it."""

PUSHED = FOOT_WAYS - {"steps"}
NEVER_ON_FOOT = frozenset({"motorway", "motorway_link", "busway"})
PUBLIC_TO_PARK = frozenset(
    {"tertiary", "unclassified", "residential", "living_street", "service", "track", "road"}
)
"""Classes beside which a car may be left, where cars may drive at all; larger roads are not stopped on."""

BACKWARD = frozenset({"oneway=-1", "oneway=reverse"})
CONTRAFLOW = frozenset({"oneway:bicycle=no", "cycleway=opposite", "cycleway=opposite_lane"})


@dataclass(frozen=True)
class Passage:
    """What a way allows one mode of travel.

    Parameters
    ----------
    speed_kmh
        Speed on it [km/h]; 0 where it is closed.
    forward, backward
        Whether it may be used along its line, and against it.
    """

    speed_kmh: float
    forward: bool
    backward: bool


SHUT = Passage(0.0, forward=False, backward=False)


def passage(way: Way, mode: Mode) -> Passage:
    """Say what a way allows: its access tags come before its class, and a walker heeds no one-way sign.

    The rules are our choice: a car uses a track only where the map says that motors may; nobody walks on
    a motorway; a bicycle is pushed on a foot way unless the map says that it may be ridden.

    Parameters
    ----------
    way
        The way.
    mode
        How one travels.
    """
    if mode == "foot":
        speed_kmh = _on_foot(way)
        return Passage(speed_kmh, forward=True, backward=True) if speed_kmh > 0.0 else SHUT
    speed_kmh, heeds_one_way = _by_bicycle(way) if mode == "bicycle" else (_by_car(way), True)
    if speed_kmh <= 0.0:
        return SHUT
    forward, backward = _directions(way, mode) if heeds_one_way else (True, True)
    return Passage(speed_kmh, forward=forward, backward=backward)


def may_park(way: Way) -> bool:
    """Say whether a car may be left beside a way: public, drivable, no large road, no bridge, no tunnel."""
    open_to_cars = _by_car(way) > 0.0
    return open_to_cars and way.road_class in PUBLIC_TO_PARK and not way.tunnel and not way.bridge


def _on_foot(way: Way) -> float:
    if way.road_class in NEVER_ON_FOOT or way.foot_access in CLOSED:
        return 0.0
    listed = pace.speeds("foot").get(way.road_class)
    if listed is not None:
        return listed.value
    says_so = _tagged(way, "foot") in OPEN
    return float(pace.hiking_speed_kmh(0.0)) if says_so else 0.0


def _by_bicycle(way: Way) -> tuple[float, bool]:
    """Give the speed by bicycle, and whether it is ridden and heeds one-way signs."""
    listed = pace.speeds("bicycle").get(way.road_class)
    if listed is None:
        return 0.0, True
    ridden_by_tag = _tagged(way, "bicycle") in OPEN
    if way.road_class in PUSHED and way.bicycle_access in {"no", "dismount"}:
        return (pace.speeds("bicycle")["footway"].value, False) if _on_foot(way) > 0.0 else (0.0, False)
    if way.bicycle_access in CLOSED:
        return 0.0, True
    if way.bicycle_access == "dismount":
        return pace.speeds("bicycle")["footway"].value, False
    if way.road_class in PUSHED and ridden_by_tag:
        return max(listed.value, pace.value("ridden_foot_way")), True
    return listed.value, way.road_class not in PUSHED


def _by_car(way: Way) -> float:
    listed = pace.speeds("car").get(way.road_class)
    if listed is None or way.motor_access in CLOSED:
        return 0.0
    if way.road_class == "track" and way.motor_access not in OPEN:
        return 0.0
    return listed.value


def _directions(way: Way, mode: Mode) -> tuple[bool, bool]:
    lines = set((way.raw_tags or "").splitlines())
    if not way.oneway or (mode == "bicycle" and lines & CONTRAFLOW):
        return True, True
    return (False, True) if lines & BACKWARD else (True, False)


def _tagged(way: Way, key: str) -> str | None:
    """Give what the map says of one mode by name, not of everybody."""
    lines = (way.raw_tags or "").splitlines()
    return next((line.partition("=")[2] for line in lines if line.startswith(f"{key}=")), None)

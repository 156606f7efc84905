"""Says in words how many vehicles a day a road is taken to carry, and who says so."""

from __future__ import annotations

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.counts import Spot
from sitebook.analysis.contamination.kerb_count import is_short
from sitebook.citations import Cited
from sitebook.quantities import two_digits
from sitebook.records.map_data import TrafficCount
from sitebook.records.results.contamination import Band


def vehicles(band: Band) -> str:
    """Write vehicles a day with the ends of their range."""
    low, high = two_digits(band.low), two_digits(band.high)
    return f"about {two_digits(band.central)} vehicles a day ({low} to {high})"


def by_class(band: Band, road_class: str, *, oneway: bool, twin: bool) -> str:
    """Say that a number is that of the class."""
    found = parameters.road_classes()[road_class]
    key = bracket(found.vehicles_per_day)
    if twin:
        return (
            f"{vehicles(band)}, half the number for a {found.said}, its twin carriageway the other half {key}"
        )
    alone = ", kept whole on a one-way road without a twin" if oneway else ""
    return f"{vehicles(band)}, number for a {found.said}{alone} {key}"


def by_count(band: Band, spot: Spot, *, oneway: bool, twin: bool, away_m: float) -> str:
    """Say that a number is that of a count, and which older ones on its spot it was taken before."""
    count, only = spot.count, spot.only
    said = [f"{vehicles(band)}, {_called(count)}"]
    if is_short(count):
        said.append(f"{_passed(count)}, turned into a day by the hours of the class {_hours()}")
        said += ["the only count of this road"] if only else []
    if away_m > parameters.value("count_match"):
        said.append(f"{away_m:.0f} m along the same road")
    return ", ".join([*said, *_direction(count, oneway=oneway, twin=twin), *_passed_over(spot)])


def _called(count: TrafficCount) -> str:
    day = f" on {count.counted_on.isoformat()}" if count.counted_on else ", day not noted"
    return f"count by {count.source}{day}"


def _passed_over(spot: Spot) -> list[str]:
    """Name the counts on one spot that are not used, since the newest of them is."""
    if not spot.passed_over:
        return []
    older = "; ".join(f"{_called(one)}, {_counted(one)}" for one in spot.passed_over)
    return [f"the newest on this spot (not used: {older})"]


def _counted(count: TrafficCount) -> str:
    return _passed(count) if is_short(count) else f"{two_digits(count.vehicles_per_day)} vehicles a day"


def bracket(cited: Cited) -> str:
    """Give source and mark of a number in brackets."""
    if cited.mark == "our choice":
        return f"[our choice{', ' + cited.locator if cited.locator else ''}]"
    return f"[{', '.join(filter(None, (cited.source_key, cited.locator)))}; {cited.mark}]"


def _passed(count: TrafficCount) -> str:
    number, minutes, hour = count.counted_vehicles or 0, count.counted_minutes or 0.0, count.counted_hour or 0
    passed = "1 vehicle" if number == 1 else f"{number:,} vehicles"
    lasted = "1 minute" if minutes == 1.0 else f"{minutes:g} minutes"
    return f"{passed} in {lasted} of the hour from {hour}:00"


def _hours() -> str:
    return bracket(parameters.road_classes()["primary"].vehicles_per_day)


def _direction(count: TrafficCount, *, oneway: bool, twin: bool) -> list[str]:
    one = count.counts_directions == "one"
    if twin:
        return ["one direction, its twin alike" if one else "both directions, half on each carriageway"]
    return ["one direction doubled"] if one and not oneway else []

"""Makes a daily number of vehicles of a count at the kerb, where no daily number is given."""

from __future__ import annotations

from sitebook.citations import Cited
from sitebook.intake.cells import CellError
from sitebook.intake.table.entry import Entry
from sitebook.intake.table.making import Making

COUNTED = ("counted_vehicles", "counted_minutes", "counted_hour")
"""The three cells of a count at the kerb."""

DAY_SHARE = Cited(0.70, "1", "wgaen2006", "computed", "Tool 2.5, collecting road, 700 of 1,000")
EVENING_SHARE = Cited(0.20, "1", "wgaen2006", "computed", "Tool 2.5, collecting road, 200 of 1,000")
NIGHT_SHARE = Cited(0.10, "1", "wgaen2006", "computed", "Tool 2.5, collecting road, 100 of 1,000")
DAY_BEGINS_H = Cited(7.0, "h", "ours", "our choice", "twelve hours of day, four of evening, eight of night")
EVENING_BEGINS_H = Cited(19.0, "h", "ours", "our choice", "the same")
NIGHT_BEGINS_H = Cited(23.0, "h", "ours", "our choice", "the same")
MINUTES_AN_HOUR = 60.0
HALF_A_VEHICLE = 0.5


def complete_count(making: Making, entry: Entry) -> None:
    """Fill in the daily number of a count at the kerb; a number that is there stays.

    Raises
    ------
    CellError
        When there is neither a daily number nor a whole count, or the two contradict each other.
    """
    given = [name for name in COUNTED if name in making.values]
    if not given:
        if "vehicles_per_day" not in making.values:
            raise CellError(
                "how many were counted? fill vehicles_per_day, or counted_vehicles, counted_minutes and "
                "counted_hour"
            )
        return
    if entry.at_its_word and "vehicles_per_day" in making.values:
        return
    if missing := [name for name in COUNTED if name not in given]:
        raise CellError(f"{missing[0]} is empty: a count at the kerb needs {', '.join(COUNTED)}")
    vehicles, minutes, hour = (float(str(making.values[name])) for name in COUNTED)
    daily = daily_number(vehicles, minutes, int(hour))
    said = making.values.setdefault("vehicles_per_day", daily)
    if isinstance(said, float) and abs(said - daily) > max(HALF_A_VEHICLE, daily / 100.0):
        raise CellError(
            f"vehicles_per_day says {said:,.0f}, the count makes about {daily:,.0f}: give one of the two"
        )


def daily_number(vehicles: float, minutes: float, hour: int) -> float:
    """Give the vehicles of 24 hours that a short count stands for, to the whole vehicle.

    The rule is the plain one, the same for every road; the review of a place reckons anew from the
    count itself, with the shares of the class of road it lies on.

    Parameters
    ----------
    vehicles
        Vehicles that passed.
    minutes
        How long the count took [min].
    hour
        Local clock hour in which it was, 0 to 23.
    """
    an_hour = vehicles * MINUTES_AN_HOUR / minutes
    return float(round(an_hour / share_of_an_hour(hour)))


def share_of_an_hour(hour: int) -> float:
    """Give the share of a day's vehicles that passes in one clock hour, 0 to 1."""
    day, evening, night = DAY_BEGINS_H.value, EVENING_BEGINS_H.value, NIGHT_BEGINS_H.value
    if day <= hour < evening:
        return DAY_SHARE.value / (evening - day)
    if evening <= hour < night:
        return EVENING_SHARE.value / (night - evening)
    return NIGHT_SHARE.value / (24.0 - night + day)

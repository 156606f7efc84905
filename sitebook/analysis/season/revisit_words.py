"""Says in sentences why a tree or site stands where it stands in a ranking."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.season.effect_words import how_often
from sitebook.analysis.season.ends import day_of_year
from sitebook.analysis.season.revisit import FEW_LOOKS, HELD_BEFORE, Record
from sitebook.analysis.season.weather_effect import Effect
from sitebook.citations import Cited
from sitebook.records.results.outlook import Bearing, StandingCrop, StillThere

Floats = NDArray[np.float64]

AT_HEIGHT, HARDLY = 0.8, 0.1
"""Shares of the season's height from which it is near it, and below which it is far from it."""
LITTLE_KNOWN = "Little is known of it yet: the chance leans on books and other places."
MUCH = 1.15
"""Times by which weather must move the finds to be expected before it is told."""

TELLING = Cited(1.0, "looks", "ours", "our choice")
"""Looks of 30 minutes at the height of the season that empty ones come to before they are judged by."""

REST = Cited(7.0, "d", "not confirmed", "common practice")
"""Days between visits to one tree; no study shows that a rest is needed where picking is careful."""


@dataclass(frozen=True)
class Told:
    """What the reasons of one row are made of.

    Parameters
    ----------
    curve
        Finds to be expected on each day of a usual year (365,).
    record
        What was seen at the spot; None for nothing.
    still, bearing, crop
        What follows from it.
    weather
        What the weather so far does.
    on
        The day asked for.
    at_height
        Chance of a look of 30 minutes at the height of a usual season [1]; None where it was not asked for.
    """

    curve: Floats
    record: Record | None
    still: StillThere
    bearing: Bearing
    crop: StandingCrop | None
    weather: Effect
    on: datetime.date
    at_height: float | None = None


def reasons(told: Told, *, mostly_from_books: bool) -> tuple[str, ...]:
    """Give the reasons of a row, the weightiest first."""
    return (
        _record_words(told.record),
        _season_words(told.curve, told.on),
        *_crop_words(told.crop, told.on),
        *_rest_words(told.record, told.on),
        *_still_words(told.still, told.record),
        *_bearing_words(told.bearing, told.at_height),
        *weather_words(told.weather),
        *([LITTLE_KNOWN] if mostly_from_books else []),
    )


def _record_words(record: Record | None) -> str:
    if record is None or record.looks == 0:
        last = f"; last find {record.last_find.isoformat()}" if record and record.last_find else ""
        return f"No look here that counts yet{last}."
    looks = "1 look" if record.looks == 1 else f"{record.looks} looks"
    few = ""
    if record.in_season < min(FEW_LOOKS.value, record.looks):
        few = f" Of them {record.in_season or 'none'} {'was' if record.in_season == 1 else 'were'} in season."
    if record.last_find and not record.found:
        uncounted = f"the find of {record.last_find.isoformat()} was on no look that counts"
        return f"Found on 0 of {looks} here; {uncounted}.{few}"
    last = f"; last find {record.last_find.isoformat()}" if record.last_find else ""
    return f"Found on {record.found} of {looks} here{last}.{few}"


def _season_words(curve: Floats, on: datetime.date) -> str:
    """Say where in the season a day lies."""
    day, following = day_of_year(on), (day_of_year(on) + 7) % curve.size
    height = float(curve[day] / curve.max())
    rises = "rises" if curve[following] > curve[day] else "falls"
    if height >= AT_HEIGHT:
        return "Its season stands near its height."
    if height < HARDLY:
        return f"Its season is far from its height and {rises}."
    tenths = round(10 * height)
    share = "a tenth" if tenths == 1 else f"{tenths} tenths"
    return f"Its season stands at {share} of its height and {rises}."


def _crop_words(crop: StandingCrop | None, on: datetime.date) -> Iterator[str]:
    if crop is not None:
        days = (on - crop.picked_on).days
        when = "that day" if days == 0 else "1 day before" if days == 1 else f"{days} days before"
        share = f"{100 * crop.share:.0f} %"
        life = f"if a fruit body lives {crop.life_said}"
        yield f"Picked {when}; about {share} of a crop stands again, {life}."


def _rest_words(record: Record | None, on: datetime.date) -> Iterator[str]:
    """Say that a spot was looked at lately; nothing where that is long enough ago."""
    since = (on - record.last_look).days if record and record.last_look else None
    if since is not None and since < REST.value:
        when = "that day" if since == 0 else "1 day before" if since == 1 else f"{since} days before"
        yield f"Looked at {when}; {REST.value:g} days or more between visits is {REST.mark}."


def _still_words(still: StillThere, record: Record | None) -> Iterator[str]:
    """Say how many looks were empty, and what that says once they come to a full look or more."""
    if still.chance is not None and still.empty_looks:
        looks = "1 empty look" if still.empty_looks == 1 else f"{still.empty_looks} empty looks"
        chance = ""
        if record is not None and record.empty_exposure >= TELLING.value:
            before = f"taking {100 * HELD_BEFORE.value:.0f} % for before them, which is {HELD_BEFORE.mark}"
            chance = f"; chance that it is still there {100 * still.chance:.0f} %, {before}"
        yield f"{looks} in season since the last find{chance}."


def _bearing_words(bearing: Bearing, at_height: float | None) -> Iterator[str]:
    """Say how much a spot bears, unless the chance of the season model at the height is quite another."""
    agrees = at_height is None or bearing.low <= 100.0 * at_height <= bearing.high
    if bearing.looks and agrees:
        span = f"{bearing.low:.0f} to {bearing.high:.0f}"
        evened = f", evened out with {bearing.drawn_towards}" if bearing.drawn_towards else ""
        many = f"about {bearing.rate:.0f} of 100 looks of 30 minutes here"
        yield f"At a season's height {many} find it ({span}{evened})."


def weather_words(weather: Effect) -> Iterator[str]:
    """Say what the weather so far does; nothing where it does little or is not known."""
    assumed = ", mostly assumed" if weather.mostly_assumed else ""
    if not weather.known:
        yield "The weather is not known."
    elif not 1.0 / MUCH <= weather.times <= MUCH:
        yield f"With the weather so far, finds come {how_often(weather.times)} in usual weather{assumed}."

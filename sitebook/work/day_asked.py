"""The question a planned day answers: when, from where, how, and what is wished of it."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field

from sitebook.analysis.foray.pace import MODES, Mode
from sitebook.errors import BadArgument
from sitebook.quantities import whole_minute

LonLat = tuple[float, float]


@dataclass(frozen=True)
class DayAsked:
    """What is asked of a day.

    Parameters
    ----------
    on
        Local date.
    start
        Where it starts, WGS 84 lon, lat [deg].
    starts_min, latest_end_min
        Minutes of the local day at which it starts, and by which its end must be reached.
    mode
        How to get about.
    end
        Where it ends; None: back at its start.
    car_at
        Where the car stands at the start; None: at the start itself.
    searchers
        How many go.
    stay_min
        Time planned at each site [min].
    stays_min
        The same for single sites, by id.
    scouting_share
        Share of the worth that looks at little-known spots make [1].
    look_only_from
        Contamination class from which a site is proposed only to look.
    force, bar, look_only
        Ids of sites the day must hold, must not hold, and goes to only to look.
    at_min
        Minute of the day at which work at a site must begin, by its id.
    done
        Ids of sites visited already that day, which are not gone to again.
    found
        Ids of taxa of which enough was found that day already, which count nothing more.
    in_order
        Ids of the only sites that may be held, one after another; None: any.
    seed
        Start of the search, which makes a plan repeatable.
    alternatives
        How many other routes to look for.
    """

    on: datetime.date
    start: LonLat
    starts_min: float
    latest_end_min: float
    mode: Mode
    stay_min: float
    scouting_share: float
    look_only_from: float
    end: LonLat | None = None
    car_at: LonLat | None = None
    searchers: int = 1
    stays_min: Mapping[int, float] = field(default_factory=dict)
    force: frozenset[int] = frozenset()
    bar: frozenset[int] = frozenset()
    look_only: frozenset[int] = frozenset()
    at_min: Mapping[int, float] = field(default_factory=dict)
    done: tuple[int, ...] = ()
    found: frozenset[int] = frozenset()
    in_order: tuple[int, ...] | None = None
    seed: int = 1
    alternatives: int = 3

    @property
    def ends(self) -> LonLat:
        """Where it ends."""
        return self.end or self.start

    def stay_at(self, site_id: int) -> float:
        """Give the time planned at a site [min]."""
        return self.stays_min.get(site_id, self.stay_min)


def kept_time(minute: float) -> str:
    """Write a minute of the day as it is kept, HH:MM, midnight at the end of the day as 24:00."""
    hours, minutes = divmod(whole_minute(minute), 60)
    return f"{hours:02d}:{minutes:02d}"


def minute_of(text: str) -> float:
    """Give the minute of the day of a time written HH:MM."""
    hours, _, minutes = text.partition(":")
    return float(int(hours) * 60 + int(minutes))


def mode_named(word: str) -> Mode:
    """Give the way of getting about that a word means.

    Raises
    ------
    BadArgument
        When it means none.
    """
    for mode in MODES:
        if mode == word:
            return mode
    raise BadArgument(f"'{word}' is no way of getting about", remedy=f"Say one of: {', '.join(MODES)}.")

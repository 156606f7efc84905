"""What the coming days may bring, and which trees are worth another visit."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from sitebook.citations import Cited
from sitebook.records.results.fruiting import Chance, Spot

ALIKE = Cited(0.02, "1", "ours", "our choice")
"""Days whose chances differ by less than this are called much the same."""


@dataclass(frozen=True)
class StationUsed:
    """The weather station that a site's weather comes from.

    Parameters
    ----------
    code, name
        The station; "" where no station is near enough.
    distance_m
        From the site [m]; None where the station says not where it is.
    height_difference_m
        Station above the site [m]; None where one of the heights is not noted.
    last_day
        Newest day whose weather is known; None where none is.
    said
        In a sentence: which station, how far, how much higher or lower, known to which day, and what is
        doubtful about it.
    """

    code: str
    name: str
    distance_m: float | None
    height_difference_m: float | None
    last_day: datetime.date | None
    said: str


@dataclass(frozen=True)
class DayChance:
    """The chance on one day.

    Parameters
    ----------
    on
        Local date.
    chance
        Chance of a 30-minute look that day.
    weather_ahead_d
        Days from the newest known weather to this one [d]; 0 where its weather is known, None where no
        weather is known at all.
    closed
        Why the place is not to be gone to that day; "" where nothing rules it out.
    """

    on: datetime.date
    chance: Chance
    weather_ahead_d: int | None
    closed: str = ""


@dataclass(frozen=True)
class OutlookRow:
    """One taxon at one spot over the coming days.

    Parameters
    ----------
    taxon_id, taxon_name
        The taxon.
    spot
        Where.
    days
        In order of their date.
    looks, looks_with_find
        Looks made here for it, and how many of them found it.
    weather_said
        How the weather so far moves the chance, in a sentence; "" where it is not known or counts nothing.
    way
        "season model", or the simpler way used.
    poisoning
        Poisoning classes noted for the name; "" where none is, which says nothing.
    picked_on
        Day of the last picking, which is taken off the chances; None where none was lately.
    """

    taxon_id: int
    taxon_name: str
    spot: Spot
    days: tuple[DayChance, ...]
    looks: int
    looks_with_find: int
    weather_said: str
    way: str
    poisoning: str = ""
    picked_on: datetime.date | None = None

    @property
    def best(self) -> DayChance:
        """The day of the highest chance among those on which the place is not closed."""
        return max(self.open_days or self.days, key=lambda day: day.chance.chance)

    @property
    def is_much_the_same(self) -> bool:
        """Whether there are several open days, and none is worth being called the best."""
        chances = [day.chance.chance for day in self.open_days or self.days]
        return len(chances) > 1 and max(chances) - min(chances) < ALIKE.value

    @property
    def closed_days(self) -> tuple[DayChance, ...]:
        """The days on which something rules the place out."""
        return tuple(day for day in self.days if day.closed)

    @property
    def open_days(self) -> tuple[DayChance, ...]:
        """The days on which nothing rules the place out."""
        return tuple(day for day in self.days if not day.closed)


@dataclass(frozen=True)
class NotProposed:
    """A spot that is left away, and why.

    Parameters
    ----------
    spot
        Where.
    reason
        In a sentence: closed, resting, felled, or permission that does not hold on the day.
    """

    spot: Spot
    reason: str


@dataclass(frozen=True)
class Outlook:
    """The coming days at every spot.

    Parameters
    ----------
    first, last
        First and last day.
    rows
        Highest chance on any of the days first, days on which a place is closed left out of account.
    stations
        Station used, by the id of the site.
    not_proposed
        Places closed or resting on every one of the days, with the reason on the first.
    held_out_said
        How the chances did in the years held out; "" where none could be.
    """

    first: datetime.date
    last: datetime.date
    rows: tuple[OutlookRow, ...]
    stations: dict[int, StationUsed]
    not_proposed: tuple[NotProposed, ...]
    held_out_said: str = ""


@dataclass(frozen=True)
class Bearing:
    """How much one tree or site bears, its own record drawn towards those of its kind.

    Parameters
    ----------
    rate, low, high
        Looks with a find to be expected in 100 looks of 30 minutes at the height of the season, and the
        ends of its 80 % interval.
    looks, looks_with_find
        Its own record.
    drawn_towards
        What it is drawn towards, as "11 trees of Betula pendula"; "" where it stands alone.
    """

    rate: float
    low: float
    high: float
    looks: int
    looks_with_find: int
    drawn_towards: str


@dataclass(frozen=True)
class StandingCrop:
    """What has grown again since the last picking.

    Parameters
    ----------
    picked_on
        Day of the last picking.
    share
        Share of a full crop to be expected on the day asked for [1].
    life_days
        Mean life of a fruit body it rests on [d], with its mark and source in `life_said`.
    life_said
        Where the life comes from.
    """

    picked_on: datetime.date
    share: float
    life_days: float
    life_said: str


@dataclass(frozen=True)
class StillThere:
    """Whether a spot still holds a taxon after looks that found nothing.

    Parameters
    ----------
    empty_looks
        Looks in season that found nothing since the last find.
    last_find
        Day of the last find; None where it was never found there.
    chance
        Chance that it still holds it [1]; None where it was never found there.
    """

    empty_looks: int
    last_find: datetime.date | None
    chance: float | None


@dataclass(frozen=True)
class RevisitRow:
    """One spot worth another visit for one taxon.

    Parameters
    ----------
    taxon_id, taxon_name
        The taxon.
    spot
        Where.
    chance
        Chance of at least one in a 30-minute look on the day, what was picked taken off.
    worth
        What spots are ranked by: the chance [1]. What was picked is taken off in it, and the spot's own
        looks, the empty ones among them, are in it already.
    bearing, crop, still_there
        What it rests on; crop None where nothing was picked lately or the life of a fruit body is not known.
    scouting
        Whether it is worth trying because little is known of it.
    reasons
        Why it stands where it stands, one sentence each, the weightiest first.
    class_said
        Contamination class of the place in words; "not known" where no map covers it.
    permission
        What is allowed there, one line each; empty where nobody was asked.
    poisoning
        Poisoning classes noted for the name; "" where none is, which says nothing.
    """

    taxon_id: int
    taxon_name: str
    spot: Spot
    chance: Chance
    worth: float
    bearing: Bearing
    crop: StandingCrop | None
    still_there: StillThere
    scouting: bool
    reasons: tuple[str, ...]
    class_said: str
    permission: tuple[str, ...]
    poisoning: str = ""


@dataclass(frozen=True)
class Revisit:
    """Spots ranked for a day.

    Parameters
    ----------
    on
        The day.
    rows
        Most worth first.
    scouting
        Spots of which little is known, each with its taxon; they are in no order of worth.
    not_proposed
        Closed, resting and felled ones, with the reason.
    stations
        Station used, by the id of the site.
    held_out_said
        How the chances did in the years held out; "" where none could be.
    """

    on: datetime.date
    rows: tuple[RevisitRow, ...]
    scouting: tuple[RevisitRow, ...]
    not_proposed: tuple[NotProposed, ...]
    stations: dict[int, StationUsed]
    held_out_said: str = ""

"""Says what a site may yield on a day: chances of a worthwhile find, and what a look there would teach."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from sitebook.analysis.season import revisit
from sitebook.analysis.season.calendar_rows import chance_of
from sitebook.analysis.season.revisit import Key, Record
from sitebook.analysis.season.spot_looks import FindDay
from sitebook.analysis.season.spots import Fitted, WeatherOf, on_days
from sitebook.citations import Cited
from sitebook.records.results.fruiting import Chance, Spot
from sitebook.records.results.outlook import StandingCrop

COUNTS_BEFORE = Cited(2.0, "finds", "ours", "our choice")
"""Finds that the law of counts before any count weighs: one find in f has f fruit bodies or more."""
SCOUT_MINUTES = Cited(10.0, "min", "ours", "our choice")
"""Time that one little-known tree takes to be looked at."""


@dataclass(frozen=True)
class Wanted:
    """What a find of a taxon is worth to somebody.

    Parameters
    ----------
    weight
        Worth of a worthwhile find [1]; 0 for none.
    fewest_bodies
        Fewest fruit bodies that make a find worthwhile.
    """

    weight: float
    fewest_bodies: int = 1


@dataclass(frozen=True)
class SpotValue:
    """One taxon at one spot on a day.

    Parameters
    ----------
    spot
        The tree, or the site itself.
    chance
        Chance of at least one find in the time planned, what was picked lately taken off.
    crop
        What grew again since the last picking; None where nothing was picked lately.
    looks, looks_with_find
        Looks made there before the day, and how many of them found it.
    last_find
        Day of the newest find before the day; None where there is none.
    little_known
        Whether it was looked at so seldom in season that a look there is worth it for that alone.
    """

    spot: Spot
    chance: Chance
    crop: StandingCrop | None
    looks: int
    looks_with_find: int
    last_find: datetime.date | None
    little_known: bool

    @property
    def doubt(self) -> float:
        """Half the width of the interval of the chance: what a look there may teach [1]."""
        return 0.5 * (self.chance.high - self.chance.low)


def spot_values(
    fitted: Fitted,
    spots: Sequence[Spot],
    finds: Iterable[FindDay],
    on: datetime.date,
    *,
    weather_of: WeatherOf,
    minutes: float,
) -> tuple[SpotValue, ...]:
    """Value one taxon at some spots on a day, one a spot in their order.

    Parameters
    ----------
    fitted
        The taxon.
    spots
        Sites and trees.
    finds
        Its dated finds.
    on
        The day; what came later is passed over.
    weather_of
        Gives the weather of a site.
    minutes
        Searcher-minutes planned at a site [min].
    """
    if not spots:
        return ()
    records = revisit.records_of(fitted, finds, on)
    chances = on_days(fitted, spots, [on], weather_of, minutes=minutes)
    return tuple(
        _value(fitted.taxon_name, spot, chance_of(chances, (number, 0)), records, on)
        for number, spot in enumerate(spots)
    )


def _value(
    taxon_name: str, spot: Spot, chance: Chance, records: Mapping[Key, Record], on: datetime.date
) -> SpotValue:
    record = records.get((spot.site_id, spot.tree_id))
    crop = revisit.crop_of(taxon_name, record, on)
    return SpotValue(
        spot,
        revisit.thinned(chance, crop.share) if crop else chance,
        crop,
        record.looks if record else 0,
        record.found if record else 0,
        record.last_find if record else None,
        revisit.is_little_known(record),
    )


def share_large_enough(counts: Sequence[int], fewest: int) -> float:
    """Give the share of finds of a taxon that have at least so many fruit bodies [1].

    It is that of the finds counted so far, drawn towards one in `fewest` as if two finds had said so; our
    choice.

    Parameters
    ----------
    counts
        Fruit bodies of each find that was counted.
    fewest
        Fewest fruit bodies wanted, 1 or more.
    """
    if fewest <= 1:
        return 1.0
    enough = sum(count >= fewest for count in counts)
    return (enough + COUNTS_BEFORE.value / fewest) / (len(counts) + COUNTS_BEFORE.value)


def worthwhile(chance: float, counts: Sequence[int], fewest: int) -> float:
    """Give the chance of a worthwhile find: of at least one, and of enough fruit bodies in it [1]."""
    return chance * share_large_enough(counts, fewest)


def scouting_worth(values: Mapping[Key, Sequence[tuple[float, SpotValue]]], minutes: float) -> float:
    """Say what looks at the little-known spots of a site are worth for what they teach [1].

    A spot teaches half the width of the interval of its chance, times the weight of the taxon, for the
    taxon of which that is most. As many spots count as there is time for, ten minutes each; our choice.

    Parameters
    ----------
    values
        Weight and value of each taxon at each spot of the site.
    minutes
        Searcher-minutes planned there [min].
    """
    taught = sorted(
        (
            max((weight * one.doubt for weight, one in own if one.little_known), default=0.0)
            for own in values.values()
        ),
        reverse=True,
    )
    return sum(taught[: max(int(minutes // SCOUT_MINUTES.value), 1)])

"""Weighs trees and sites for another visit: how much they bear, what grew again, what is left to learn."""

from __future__ import annotations

import datetime
import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.season import productivity
from sitebook.analysis.season.baseline import INTERVAL_LEVEL, LOOK_MINUTES
from sitebook.analysis.season.ends import day_of_year, usual_curve
from sitebook.analysis.season.lives import life_of
from sitebook.analysis.season.spot_looks import FindDay, SpotLook
from sitebook.analysis.season.spots import Fitted
from sitebook.citations import Cited
from sitebook.records.results.fruiting import Chance, Spot
from sitebook.records.results.outlook import Bearing, StandingCrop, StillThere

Floats = NDArray[np.float64]
Key = tuple[int | None, int | None]

IN_SEASON = Cited(0.25, "1", "ours", "our choice")
"""A look is in season where the season's curve stands at least this high."""
HELD_BEFORE = Cited(0.9, "1", "ours", "our choice")
"""Chance that a spot still holds a taxon before any empty look since its last find."""
CROP_LIVES = Cited(3.0, "lives", "ours", "our choice")
"""Lives of a fruit body after which a picking counts no more."""
FEW_LOOKS = Cited(3.0, "looks", "ours", "our choice")
"""A spot with fewer looks in season than this is little known."""


@dataclass(frozen=True)
class Record:
    """What was seen of a taxon at one spot.

    Parameters
    ----------
    looks, found
        Looks that count, and how many of them found it.
    in_season
        How many of the looks were in season.
    exposure
        Looks of 30 minutes at the height of the season that they come to.
    empty_since
        Looks in season since the newest find that found nothing.
    empty_exposure
        Looks of 30 minutes at the height of the season that those come to.
    last_find
        Day of the newest find of any kind; None where there is none.
    picked_on
        Day of the newest find of which some was noted as taken; None where there is none.
    share_taken
        Share of it that was taken then [1], all of it where what was left was not counted.
    last_look
        Day of the newest look; None where there is none.
    """

    looks: int
    found: int
    in_season: int
    exposure: float
    empty_since: int
    last_find: datetime.date | None
    picked_on: datetime.date | None
    share_taken: float = 1.0
    last_look: datetime.date | None = None
    empty_exposure: float = 0.0


def records_of(fitted: Fitted, finds: Iterable[FindDay], on: datetime.date) -> dict[Key, Record]:
    """Gather what was seen of a taxon before a day, by site and tree.

    Parameters
    ----------
    fitted
        The taxon.
    finds
        Its dated finds.
    on
        The day asked for; what came later is passed over.
    """
    curve = usual_curve(fitted)
    weight = curve / curve.max()
    made: dict[Key, list[SpotLook]] = defaultdict(list)
    days: dict[Key, list[FindDay]] = defaultdict(list)
    for look in fitted.looks:
        decided = look.found is not None and not look.effort_assumed
        if decided and look.local_date is not None and look.local_date < on:
            made[look.site_id, look.tree_id].append(look)
    for find in finds:
        if find.last < on:
            days[find.site_id, find.tree_id].append(find)
    return {key: _record(made.get(key, []), days.get(key, []), weight) for key in {*made, *days}}


def _record(looks: Sequence[SpotLook], finds: Sequence[FindDay], weight: Floats) -> Record:
    dated = [(look, look.local_date) for look in looks]
    seen = [(look, date, float(weight[day_of_year(date)])) for look, date in dated if date is not None]
    last = max((find.last for find in finds), default=None)
    found = max((date for look, date, _ in seen if look.found), default=None)
    newest = max((day for day in (last, found) if day is not None), default=None)
    inside = [(look, date, height) for look, date, height in seen if height >= IN_SEASON.value]
    empty = [(k, high) for k, date, high in inside if not k.found and (newest is None or date > newest)]
    picked_on = max((find.last for find in finds if find.taken), default=None)
    shares = [find.share_taken for find in finds if find.taken and find.last == picked_on]
    return Record(
        looks=len(seen),
        found=sum(bool(look.found) for look, _, _ in seen),
        in_season=len(inside),
        exposure=math.fsum(_efforts(look) * height for look, _, height in seen),
        empty_since=len(empty),
        last_find=newest,
        picked_on=picked_on,
        share_taken=max((1.0 if share is None else share for share in shares), default=1.0),
        last_look=max((date for _, date, _ in seen), default=None),
        empty_exposure=math.fsum(_efforts(look) * height for look, height in empty),
    )


def _efforts(look: SpotLook) -> float:
    return (LOOK_MINUTES.value if look.minutes is None else look.minutes) / LOOK_MINUTES.value


def bearings(
    records: Mapping[Key, Record], spots: Sequence[Spot], every: Iterable[Spot] = ()
) -> dict[Key, Bearing]:
    """Say how much each spot bears, drawn towards spots of its kind.

    Trees are drawn towards trees of their host species, sites without trees towards each other; a kind
    with fewer than two spots looked at in season stands with all the others, and a spot without others
    with what the season model says of a fungus before any look.

    Parameters
    ----------
    records
        What was seen at each spot.
    spots
        Spots wanted.
    every
        Spots beside them that those of their kind are fitted to, barren ones among them.

    References
    ----------
    gaver_omuircheartaigh1987: gamma law of rates, fitted by marginal likelihood.
    """
    known = {key: record for key, record in records.items() if record.exposure > 0.0}
    kinds = {(spot.site_id, spot.tree_id): spot for spot in (*every, *spots)}
    laws: dict[tuple[bool, int | None], tuple[float, float, str]] = {}
    found: dict[Key, Bearing] = {}
    for spot in spots:
        key, kind = (spot.site_id, spot.tree_id), (spot.tree_id is not None, spot.host_id)
        if kind not in laws:
            laws[kind] = _law(known, kinds, spot)
        found[key] = _bearing(laws[kind], records.get(key))
    return found


def _law(known: Mapping[Key, Record], spots: Mapping[Key, Spot], spot: Spot) -> tuple[float, float, str]:
    """Give the law of the rates of a kind of spot, and the words for those it was fitted to."""
    is_tree = spot.tree_id is not None
    alike = {
        key: record
        for key, record in known.items()
        if key in spots and (key[1] is not None) == is_tree and spots[key].host_id == spot.host_id
    }
    kind = f"trees of {spot.host_name}" if spot.host_name else "trees whose kind is not named"
    words = f"{len(alike)} {kind if is_tree else 'sites'}"
    if len(alike) < 2:
        alike, words = dict(known), f"{len(known)} places of any kind"
    if len(alike) < 2:
        return (*productivity.lone_law(), "")
    counts = [float(record.found) for record in alike.values()]
    exposures = [record.exposure for record in alike.values()]
    return (*productivity.bounded_law(counts, exposures), words)


def _bearing(law: tuple[float, float, str], record: Record | None) -> Bearing:
    shape, rate, words = law
    found, exposure = (float(record.found), record.exposure) if record else (0.0, 0.0)
    low, high = productivity.interval([found], [exposure], shape, rate, INTERVAL_LEVEL.value)
    middle = float(productivity.drawn_rates(found, exposure, shape, rate))
    return Bearing(
        _per_hundred(middle),
        _per_hundred(float(low[0])),
        _per_hundred(float(high[0])),
        record.looks if record else 0,
        record.found if record else 0,
        words,
    )


def _per_hundred(rate: float) -> float:
    """Give how many of 100 looks find something at a rate of finds a look."""
    return 100.0 * -math.expm1(-rate)


def crop_of(taxon_name: str, record: Record | None, on: datetime.date) -> StandingCrop | None:
    """Say what share of a crop stands again since the last picking; None where that counts no more."""
    life = life_of(taxon_name)
    if life is None or record is None or record.picked_on is None:
        return None
    since = (on - record.picked_on).days
    if since > CROP_LIVES.value * life.value:
        return None
    gone = 1.0 - float(productivity.standing_crop(since, life.value))
    share = 1.0 - record.share_taken * gone
    return StandingCrop(record.picked_on, share, life.value, f"{life.value:g} days; {life.said}")


def detection(records: Mapping[Key, Record]) -> float:
    """Give the chance that one look at the height of the season finds what a spot holds [1].

    It is that of the spots where the taxon was found, taken together.
    """
    holding = [record for record in records.values() if record.found]
    exposure = math.fsum(record.exposure for record in holding)
    found = sum(record.found for record in holding)
    return -math.expm1(-found / exposure) if exposure > 0.0 else 0.0


def still_there(record: Record | None, chance_of_seeing: float) -> StillThere:
    """Say whether a spot still holds a taxon, after looks in season that found nothing.

    A short look, or one far from the height of the season, counts for the part of a full look that it is.

    References
    ----------
    mackenzie2002, with a chance of our choice that it held it before the first empty look.
    """
    if record is None or record.last_find is None:
        return StillThere(record.empty_since if record else 0, None, None)
    left = productivity.still_there(record.empty_exposure, HELD_BEFORE.value, chance_of_seeing)
    return StillThere(record.empty_since, record.last_find, float(left))


def thinned(chance: Chance, share: float) -> Chance:
    """Take what was picked lately off a chance: only a share of the finds to be expected stands again."""

    def left(value: float) -> float:
        return -math.expm1(share * math.log1p(-min(value, 1.0 - 1e-12)))

    return Chance(left(chance.chance), left(chance.low), left(chance.high), chance.mostly_from_books)


def is_little_known(record: Record | None) -> bool:
    """Tell whether a spot was looked at so seldom in season that it is worth trying for that alone."""
    return record is None or record.in_season < FEW_LOOKS.value


def little_known_kin(records: Mapping[Key, Record], own: Sequence[Spot], spots: Iterable[Spot]) -> list[Spot]:
    """Give the little-known trees of the kinds at which a taxon was found, its own spots left away.

    Parameters
    ----------
    records
        What was seen of the taxon at each spot.
    own
        Spots where it was found or looked for by its name.
    spots
        All spots.
    """
    hosts = {spot.host_id for spot in own if spot.tree_id is not None and _found_at(records, spot)} - {None}
    known = set(own)
    return [
        spot
        for spot in spots
        if spot.host_id in hosts
        and spot not in known
        and is_little_known(records.get((spot.site_id, spot.tree_id)))
    ]


def _found_at(records: Mapping[Key, Record], spot: Spot) -> bool:
    record = records.get((spot.site_id, spot.tree_id))
    return record is not None and record.last_find is not None

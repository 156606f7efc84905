"""Makes the sites of a day out of what is known of them, or says why one is not proposed."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from shapely.geometry.base import BaseGeometry

from sitebook.analysis.foray.stops import Hours, Stop, open_between
from sitebook.analysis.foray.value import SpotValue, Wanted, scouting_worth, spot_values, worthwhile
from sitebook.analysis.season import revisit
from sitebook.analysis.season.spots import Fitted
from sitebook.citations import Cited
from sitebook.quantities import MINUTES_A_DAY, clock
from sitebook.records.results.day_plan import DayPlace, Excluded, ExpectedTaxon, TreeToLookAt
from sitebook.records.results.fruiting import Spot
from sitebook.records.results.review import PlaceReview
from sitebook.records.site import Permission
from sitebook.work.closures import REST
from sitebook.work.day_asked import DayAsked, minute_of
from sitebook.work.day_known import DayKnown
from sitebook.work.seasons import Key

SHOWN_FROM = Cited(0.02, "1", "ours", "our choice")
"""Such a taxon whose chance at a site is below this is not told."""
MOST_TAXA = Cited(8.0, "taxa", "ours", "our choice")
"""Taxa told of a site that count nothing and bear no poisoning class, at most."""
MOST_TREES = Cited(5.0, "trees", "ours", "our choice")
"""Trees told of a site at most."""
MOST_PHOTOS = Cited(2.0, "photos", "ours", "our choice")
"""Photos told of a tree at most."""

NOT_WANTED = Wanted(0.0)
ONLY_LITTLE_KNOWN = "Only to look: nothing that counts is likely enough there, but little is known of it."


@dataclass(frozen=True)
class Valued:
    """One taxon at one spot, with what it is worth.

    Parameters
    ----------
    fitted
        The taxon.
    wanted
        What a worthwhile find of it is.
    value
        Its chance there.
    """

    fitted: Fitted
    wanted: Wanted
    value: SpotValue


@dataclass
class DayPlaces:
    """The sites of a day.

    Parameters
    ----------
    places
        By the key of the stop.
    stops
        The same as the search needs them, in that order.
    excluded
        Those not proposed.
    """

    places: dict[str, DayPlace] = field(default_factory=dict)
    stops: list[Stop] = field(default_factory=list)
    excluded: list[Excluded] = field(default_factory=list)


def places_of(known: DayKnown, asked: DayAsked, light: tuple[float, float] | None) -> DayPlaces:
    """Make the sites that a day may hold.

    What rest, permission and limits forbid is left away with the reason; where gathering is not wanted for
    contamination, or only a look is asked for, a site is one to look at.

    Parameters
    ----------
    known
        What the book knows.
    asked
        The question.
    light
        Minutes of the local day between which there is light; None where there is none.
    """
    found = DayPlaces()
    values = _values(known, asked)
    for site_id, site in sorted(known.seasons.sites.items(), key=lambda item: item[1].name.casefold()):
        if asked.in_order is not None and site_id not in asked.in_order:
            continue
        spot = known.seasons.spots[site_id, None]
        own = values.get(site_id, {})
        forced = site_id in asked.force or site_id in asked.at_min or asked.in_order is not None
        if (out := _forbidden(known, asked, spot, light)) is not None:
            found.excluded.append(out)
            continue
        why_look = _look_only(known, asked, site_id)
        hours = _hours(known, asked, site_id, light)
        if not hours:
            found.excluded.append(Excluded(spot, "hours", _hours_words(known, asked, site_id)))
            continue
        place = _place(known, asked, (spot, site.uuid, site.geom), own, why_look)
        stop = _stop(asked, place, hours)
        if place.purpose == "gather" and stop.scouting and not any(stop.chances.values()):
            place = replace(place, purpose="look only", purpose_said=ONLY_LITTLE_KNOWN)
        if _is_contaminated(known, asked, site_id):
            found.excluded.append(Excluded(spot, "contamination", why_look))
        if not forced and not stop.scouting and not any(stop.chances.values()):
            if not _is_contaminated(known, asked, site_id):
                found.excluded.append(Excluded(spot, "nothing expected", _nothing_words(why_look)))
            continue
        found.places[place.key] = place
        found.stops.append(stop)
    found.excluded += _lone_trees(known, asked)
    return found


def _values(known: DayKnown, asked: DayAsked) -> dict[int, dict[Key, list[Valued]]]:
    """Give the taxa at every spot of every site, by site and spot."""
    found: dict[int, dict[Key, list[Valued]]] = defaultdict(lambda: defaultdict(list))
    by_stay: dict[float, set[int]] = defaultdict(set)
    for site_id in known.seasons.sites:
        by_stay[asked.stay_at(site_id)].add(site_id)
    for fitted in known.seasons.fitted:
        wanted = known.wanted.get(fitted.taxon_id, NOT_WANTED)
        if fitted.taxon_id in asked.found:
            wanted = NOT_WANTED
        finds = known.seasons.finds_of(fitted)
        own = known.seasons.spots_of(fitted)
        records = revisit.records_of(fitted, finds, asked.on)
        kin = revisit.little_known_kin(records, own, known.seasons.spots.values())
        there = known.seasons.is_there(fitted)
        on_wood = known.seasons.on_wood(fitted.taxon_id)
        standing = [
            spot
            for spot in (*own, *kin)
            if spot.site_id in there and not known.ruled_out.of_tree(spot.tree_id, on_wood=on_wood)
        ]
        for stay_min, sites in by_stay.items():
            spots = [spot for spot in standing if spot.site_id in sites]
            for value in spot_values(
                fitted,
                spots,
                finds,
                asked.on,
                weather_of=known.seasons.weather_of,
                minutes=stay_min * asked.searchers,
            ):
                spot = value.spot
                found[spot.site_id or 0][spot.site_id, spot.tree_id].append(Valued(fitted, wanted, value))
    return found


def _forbidden(
    known: DayKnown, asked: DayAsked, spot: Spot, light: tuple[float, float] | None
) -> Excluded | None:
    """Give why a site is not gone to at all; None where nothing forbids it."""
    site_id = spot.site_id or 0
    rule = known.ruled_out.rules.get(site_id, "")
    only_look = site_id in asked.look_only
    if rule == REST or (rule and not only_look):
        return Excluded(spot, rule, known.ruled_out.sites[site_id])
    full = [limit for limit in known.limits_at(site_id) if limit.reached]
    if full and not only_look:
        return Excluded(spot, "permission", f"The limit is reached. {full[0].line.words}")
    if site_id in asked.bar:
        return Excluded(spot, "barred", "You barred it for this day.")
    if site_id in asked.done:
        return Excluded(spot, "barred", "Visited already on this day.")
    if light is None:
        return Excluded(spot, "hours", "The sun does not rise on this day.")
    return None


def _is_contaminated(known: DayKnown, asked: DayAsked, site_id: int) -> bool:
    review = known.reviews.get(site_id)
    return review is not None and (review.place_class or 0) >= asked.look_only_from


def _look_only(known: DayKnown, asked: DayAsked, site_id: int) -> str:
    """Give why a site is only looked at; "" where it is one to gather at."""
    if _is_contaminated(known, asked, site_id):
        review = known.reviews[site_id]
        reason = f" {review.because[0].words}" if review.because else ""
        return f"Not to gather: {review.class_said}.{reason}"
    if site_id in known.ruled_out.sites:
        return f"Only to look: {known.ruled_out.sites[site_id]}"
    if any(limit.reached for limit in known.limits_at(site_id)):
        return "Only to look: the limit of what may be taken is reached."
    return "Only to look, as you asked." if site_id in asked.look_only else ""


def _nothing_words(why_look: str) -> str:
    if why_look:
        return f"{why_look} Nothing little known is there to look at either."
    return "Nothing that counts is to be expected there on this day, and nothing little known is there."


def _hours(
    known: DayKnown, asked: DayAsked, site_id: int, light: tuple[float, float] | None
) -> tuple[Hours, ...]:
    """Give the spans in which work at a site may begin; none where it cannot on this day."""
    spans = [light or (0.0, 0.0)]
    for permission in known.permissions.get(site_id, ()):
        spans = _both(spans, _open_spans(permission))
    stay = asked.stay_at(site_id)
    hours = (open_between(begins, ends, stay) for begins, ends in spans)
    return tuple(
        one
        for one in hours
        if max(one.begin_min, asked.starts_min) <= min(one.until_min, asked.latest_end_min)
    )


def _open_spans(permission: Permission) -> list[tuple[float, float]]:
    """Give the minutes of a day in which a permission holds; hours over midnight are two spans."""
    opens = minute_of(permission.opens_at) if permission.opens_at else 0.0
    closes = minute_of(permission.closes_at) if permission.closes_at else float(MINUTES_A_DAY)
    return [(opens, closes)] if opens < closes else [(0.0, closes), (opens, float(MINUTES_A_DAY))]


def _both(
    ones: Iterable[tuple[float, float]], others: Sequence[tuple[float, float]]
) -> list[tuple[float, float]]:
    """Give what two sets of spans share."""
    shared = [(max(a, c), min(b, d)) for a, b in ones for c, d in others]
    return [(begins, ends) for begins, ends in shared if begins < ends]


def _hours_words(known: DayKnown, asked: DayAsked, site_id: int) -> str:
    said = [
        f"{p.manager}: open {p.opens_at or '00:00'} to {p.closes_at or '24:00'}"
        for p in known.permissions.get(site_id, ())
        if p.opens_at or p.closes_at
    ]
    span = f"{clock(asked.starts_min)} to {clock(asked.latest_end_min)}"
    stay = f"{asked.stay_at(site_id):g} minutes of looking"
    return f"{'; '.join(said) or 'Daylight'}: no room for {stay} between {span}."


def _place(
    known: DayKnown,
    asked: DayAsked,
    site: tuple[Spot, str, BaseGeometry],
    own: Mapping[Key, Sequence[Valued]],
    why_look: str,
) -> DayPlace:
    spot, key, shape = site
    site_id = spot.site_id or 0
    review = known.reviews.get(site_id)
    trees = _trees(known, own)
    at = shape.representative_point()
    lon, lat = (trees[0].lon, trees[0].lat) if trees else (at.x, at.y)
    weighted = {key_: [(one.wanted.weight, one.value) for one in values] for key_, values in own.items()}
    return DayPlace(
        key=key,
        spot=spot,
        lon=lon,
        lat=lat,
        purpose="look only" if why_look else "gather",
        purpose_said=why_look,
        stay_min=asked.stay_at(site_id),
        scouting=scouting_worth(weighted, asked.stay_at(site_id) * asked.searchers),
        expected=_expected(known, own),
        trees=trees,
        class_said=review.class_said if review else "not known",
        permission=known.permission_said.get(site_id, ()),
        cautions=tuple(_cautions(known, site_id, review)),
    )


def _stop(asked: DayAsked, place: DayPlace, hours: tuple[Hours, ...]) -> Stop:
    """Give a site as the search needs it: what is found at a site only looked at counts nothing."""
    gather = place.purpose == "gather"
    chances = {one.taxon_name: one.worthwhile for one in place.expected if gather and one.weight > 0.0}
    return Stop(
        place.key, place.stay_min, chances, scouting=asked.scouting_share * place.scouting, hours=hours
    )


def _expected(known: DayKnown, own: Mapping[Key, Sequence[Valued]]) -> tuple[ExpectedTaxon, ...]:
    """Give the taxa of a site, each at its likeliest spot, the weightiest first.

    What counts, and what a poisoning class or a protection is noted for, is never left away.
    """
    by_taxon: dict[int, list[Valued]] = defaultdict(list)
    for values in own.values():
        for one in values:
            by_taxon[one.fitted.taxon_id].append(one)
    told = [_expected_taxon(known, values) for values in by_taxon.values()]
    told.sort(key=lambda one: (-one.weight * one.worthwhile, -one.chance.chance, one.taxon_name))
    others = [one for one in told if not _must_be_told(one) and _is_likely(one)]
    shown = set(map(id, others[: round(MOST_TAXA.value)]))
    return tuple(one for one in told if _must_be_told(one) or id(one) in shown)


def _must_be_told(one: ExpectedTaxon) -> bool:
    return one.weight * one.worthwhile > 0.0 or bool(one.poisoning or one.look_only)


def _is_likely(one: ExpectedTaxon) -> bool:
    return one.chance.chance >= SHOWN_FROM.value


def _expected_taxon(known: DayKnown, values: Sequence[Valued]) -> ExpectedTaxon:
    best = max(values, key=lambda one: (one.value.chance.chance, one.value.spot.tree_id is not None))
    fitted, wanted, value = best.fitted, best.wanted, best.value
    counts = known.counts.get(fitted.taxon_id, ())
    return ExpectedTaxon(
        taxon_id=fitted.taxon_id,
        taxon_name=fitted.taxon_name,
        chance=value.chance,
        worthwhile=worthwhile(value.chance.chance, counts, wanted.fewest_bodies),
        at=value.spot.tag,
        weight=wanted.weight,
        looks=sum(one.value.looks for one in values),
        looks_with_find=sum(one.value.looks_with_find for one in values),
        crop=value.crop,
        look_only=known.protected.get(fitted.taxon_id, ""),
        poisoning=known.dangers.words(fitted.taxon_id),
        look_alikes=known.look_alikes.get(fitted.taxon_id, ()),
    )


def _trees(known: DayKnown, own: Mapping[Key, Sequence[Valued]]) -> tuple[TreeToLookAt, ...]:
    """Give the trees of a site worth a look, those that may yield most first, then those little known."""
    ranked = sorted(
        ((_pull(values), key, values) for key, values in own.items() if key[1] in known.seasons.trees),
        key=lambda one: (-one[0], known.seasons.spots[one[1]].tag.casefold()),
    )
    return tuple(
        _tree(known, key[1] or 0, values) for pull, key, values in ranked[: round(MOST_TREES.value)] if pull
    )


def _pull(values: Iterable[Valued]) -> float:
    """Give how much speaks for a look at a tree: chances by weight, and what is little known by its doubt."""
    return math.fsum(
        one.wanted.weight * (one.value.chance.chance + (one.value.doubt if one.value.little_known else 0.0))
        for one in values
    )


def _tree(known: DayKnown, tree_id: int, values: Sequence[Valued]) -> TreeToLookAt:
    tree = known.seasons.trees[tree_id]
    best = max(values, key=lambda one: one.wanted.weight * (one.value.chance.chance + one.value.doubt))
    value = best.value
    span = f"{100 * value.chance.low:.0f} to {100 * value.chance.high:.0f}"
    said = f"{best.fitted.taxon_name}: chance {100 * value.chance.chance:.0f} % ({span} %)"
    if value.last_find is not None:
        said += f"; last found {value.last_find.isoformat()}"
    elif value.looks:
        said += f"; not found in {value.looks} {'look' if value.looks == 1 else 'looks'}"
    else:
        said += "; never looked at for it"
    point = tree.geom.centroid
    pictures = known.pictures.get(tree_id, ())[: round(MOST_PHOTOS.value)]
    return TreeToLookAt(value.spot, point.x, point.y, f"{said}.", pictures)


def _cautions(known: DayKnown, site_id: int, review: PlaceReview | None) -> Iterable[str]:
    yield from known.ruled_out.to_heed.get(site_id, ())
    if review is None or review.place_class is None:
        yield "No map of the book covers this place: what lies near is not known."
    else:
        yield from (reason.words for reason in review.because[:1] if reason.place_class)
        if review.could_be is not None and review.could_be > review.place_class:
            yield f"Within what is not known it could be class {review.could_be}."
    note = known.seasons.sites[site_id].note
    if note:
        yield f"You noted: {note.rstrip('.')}."


def _lone_trees(known: DayKnown, asked: DayAsked) -> list[Excluded]:
    """Name the trees in none of the sites where something that counts was found."""
    if asked.in_order is not None:
        return []
    lone = {
        spot
        for fitted in known.seasons.fitted
        if known.wanted.get(fitted.taxon_id, NOT_WANTED).weight > 0.0
        for spot in known.seasons.spots_of(fitted)
        if spot.site_id is None and spot.tree_id is not None
    }
    said = "It stands in none of your sites; a site drawn round it can be planned."
    return [Excluded(spot, "no site", said) for spot in sorted(lone, key=lambda spot: spot.tag)]

"""Gathers what the page of a planned day says of one stop."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from markupsafe import Markup

from sitebook.pages import day_words
from sitebook.pages.day_photos import DayPhotos
from sitebook.pages.day_words import count, lasting
from sitebook.pages.revisit import capital
from sitebook.quantities import clock
from sitebook.records.results.day_plan import DayPlace, DayPlan, ExpectedTaxon
from sitebook.records.results.route import RouteStop


def stop_times(stop: RouteStop) -> dict[str, str]:
    """Give the times of a stop in words."""
    return {
        "arrives": clock(stop.arrives_min),
        "begins": clock(stop.begins_min),
        "leaves": clock(stop.leaves_min),
        "stays": lasting(stop.leaves_min - stop.begins_min),
    }


def stop_part(
    plan: DayPlan, turn: int, drawn: Markup, photos: DayPhotos, names: Mapping[int, Mapping[str, object]]
) -> dict[str, object]:
    """Give what the page says of one stop.

    Parameters
    ----------
    plan
        The day.
    turn
        Place of the stop in the order, from 1.
    drawn
        Map of the ground round it; empty for none.
    photos
        Photos of trees that are shown.
    names
        What is noted of each taxon it may yield, by its id.
    """
    stop = plan.plan.route.stops[turn - 1]
    place = plan.places[stop.key]
    return {
        "turn": turn,
        "name": place.spot.site_name,
        "kind": "gather" if place.purpose == "gather" else "look",
        "purpose": capital(place.purpose),
        "purpose_said": place.purpose_said,
        "expected": [_expected(one, names) for one in place.expected],
        "trees": [
            {
                "tag": tree.spot.tag,
                "host": tree.spot.host_name,
                "words": tree.words,
                "photos": photos.of(tree),
            }
            for tree in place.trees
        ],
        "map": drawn,
        "heed": list(_heed(place)),
        "class_said": capital(place.class_said),
        "permission": place.permission or ("Nobody was asked yet.",),
        **stop_times(stop),
    }


def _heed(place: DayPlace) -> Iterator[str]:
    """Give the cautions of a place, each once and those that its permission says already left away."""
    asked = "Nobody was asked yet"
    for caution in dict.fromkeys(place.cautions):
        if place.permission or not caution.startswith(asked):
            yield caution


def _expected(one: ExpectedTaxon, names: Mapping[int, Mapping[str, object]]) -> dict[str, object]:
    chance = one.chance
    looks = count(one.looks, "look", "looks")
    return {
        "name": one.taxon_name,
        "anchor": names[one.taxon_id]["anchor"],
        "chance": day_words.percent(chance.chance),
        "interval": day_words.interval(chance),
        "low": f"{100 * chance.low:.0f}",
        "reach": f"{max(100 * (chance.high - chance.low), 1):.0f}",
        "middle": f"{100 * chance.chance:.0f}",
        "books": chance.mostly_from_books,
        "worthwhile": _worthwhile(one),
        "at": one.at,
        "looks": f"{looks} here, {one.looks_with_find} found it" if one.looks else "no look here yet",
        "notes": list(_notes(one)),
        "poisoning": capital(one.poisoning),
    }


def _worthwhile(one: ExpectedTaxon) -> str:
    """Say the chance of a worthwhile find where it is another one."""
    if one.weight <= 0.0:
        return "counts nothing in this plan"
    said = day_words.percent(one.worthwhile)
    return "" if said == day_words.percent(one.chance.chance) else f"{said} for a worthwhile find"


def _notes(one: ExpectedTaxon) -> Iterator[str]:
    if one.look_only:
        yield f"Only to look: {one.look_only}"
    if one.crop is not None:
        yield (
            f"Picked on {one.crop.picked_on.isoformat()}; {day_words.percent(one.crop.share)} of a full crop "
            f"may stand again. {one.crop.life_said}"
        )

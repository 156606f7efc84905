"""Says what the carried page tells of each stop: when, what may be there, what to heed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from sitebook.pages.day_words import interval, lasting, leg_words, percent
from sitebook.pages.fruiting_words import looks_words
from sitebook.pages.pack_names import gravity, look_alikes
from sitebook.pages.poison_words import in_short
from sitebook.quantities import clock
from sitebook.records.results.day_plan import DayPlace, DayPlan, ExpectedTaxon, TreeToLookAt
from sitebook.records.results.route import Leg, RouteStop

BRIEF = 130
"""Longest caution that is told whole beside a stop [signs]."""


SMALL = 0.02
"""A smaller chance is told by the name alone."""


@dataclass(frozen=True)
class Expected:
    """A taxon as a stop tells of it.

    Parameters
    ----------
    name
        The taxon.
    anchor
        Where on the page its look-alikes stand, or that none is noted.
    class_said
        Poisoning class noted for it, in few words; "" where none is, which says nothing.
    chance, looks
        Chance of a find and where, and looks made for it; "" where the chance is very small.
    notes
        Why it is only to be looked at, and the chance of a worthwhile one, as far as there is anything.
    """

    name: str
    anchor: str
    class_said: str
    chance: str
    looks: str
    notes: tuple[str, ...]


@dataclass(frozen=True)
class StopWords:
    """A stop as the page tells it.

    Parameters
    ----------
    turn, name, uuid
        Its place in the order, and its site.
    times, way
        When, how long and what for; how to get there.
    heed, heed_in_full
        What is to be heeded, each briefly; and those of which that is not all, whole.
    expected, hardly, trees
        What may be there, what has a very small chance, the most dangerous first, and where to look.
    class_said, permission
        As in `DayPlace`.
    """

    turn: int
    name: str
    uuid: str
    times: str
    way: str
    heed: tuple[str, ...]
    heed_in_full: tuple[str, ...]
    expected: tuple[Expected, ...]
    hardly: tuple[Expected, ...]
    trees: tuple[TreeToLookAt, ...]
    class_said: str
    permission: tuple[str, ...]


def stops_in_words(plan: DayPlan) -> list[StopWords]:
    """Give the stops of a day in their order."""
    anchors = {alike.name: alike.anchor for alike in look_alikes(plan)}
    stops = plan.plan.route.stops
    legs: list[Leg | None] = [*plan.legs[: len(stops)]]
    legs += [None] * (len(stops) - len(legs))
    return [
        _stop(turn, plan.places[stop.key], stop, leg, anchors)
        for turn, (stop, leg) in enumerate(zip(stops, legs, strict=True), start=1)
    ]


def _stop(turn: int, place: DayPlace, stop: RouteStop, leg: Leg | None, anchors: dict[str, str]) -> StopWords:
    what_for = "to look, and to take what is wanted" if place.purpose == "gather" else "to look only"
    stay = stop.leaves_min - stop.begins_min
    wait = stop.begins_min - stop.arrives_min
    until = f", after a wait of {lasting(wait)}" if wait >= 1.0 else ""
    return StopWords(
        turn=turn,
        name=place.spot.site_name,
        uuid=place.key,
        times=f"{clock(stop.arrives_min)} to {clock(stop.leaves_min)}: {lasting(stay)}{until}, {what_for}",
        way=leg_words(leg) if leg is not None else lasting(stop.travel_min),
        heed=heed_of(place),
        heed_in_full=tuple(said for said in place.cautions if briefly(said) != said),
        expected=tuple(_expected(one, anchors) for one in place.expected if not _is_small(one)),
        hardly=_by_gravity(_hardly(one, anchors) for one in place.expected if _is_small(one)),
        trees=place.trees,
        class_said=place.class_said,
        permission=place.permission,
    )


def heed_of(place: DayPlace) -> tuple[str, ...]:
    """Give what is to be heeded at a place, each as briefly as a small screen needs.

    Short cautions of one giver, as "Town parks: open 07:00 to 20:00.", are told in one.
    """
    said = [sentence for sentence in (place.purpose_said, *place.cautions) if sentence]
    by_giver: dict[str, list[str]] = {}
    for sentence in dict.fromkeys(said):
        giver, colon, what = sentence.partition(": ")
        key = giver if colon and len(sentence) <= BRIEF else sentence
        by_giver.setdefault(key, []).append(what if key == giver else "")
    return tuple(_of_one(giver, whats) for giver, whats in by_giver.items())


def _of_one(giver: str, whats: list[str]) -> str:
    if not whats[0]:
        return briefly(giver)
    return f"{giver}: {'; '.join(what.rstrip('.') for what in whats)}."


def briefly(said: str) -> str:
    """Cut a long caution after a sentence or a word, and show that more was said."""
    if len(said) <= BRIEF:
        return said
    head = said[:BRIEF]
    sentence = head.rfind(". ") + 1
    return f"{head[:sentence] if sentence >= BRIEF // 3 else head.rsplit(' ', 1)[0]} …"


def _is_small(one: ExpectedTaxon) -> bool:
    return one.chance.chance < SMALL


def _expected(one: ExpectedTaxon, anchors: dict[str, str]) -> Expected:
    where = f" at {one.at}" if one.at else ""
    little = ", little known yet" if one.chance.mostly_from_books else ""
    chance = percent(one.chance.chance)
    notes = [one.look_only] if one.look_only else []
    if not one.look_only and percent(one.worthwhile) != chance:
        notes = [f"a worthwhile one {percent(one.worthwhile)}"]
    return replace(
        _hardly(one, anchors),
        chance=_together(f"{chance} ({interval(one.chance)}{little}){where}"),
        looks=looks_words(one.looks, one.looks_with_find),
        notes=tuple(map(_together, notes)),
    )


def _hardly(one: ExpectedTaxon, anchors: dict[str, str]) -> Expected:
    notes = (one.look_only,) if one.look_only else ()
    return Expected(one.taxon_name, anchors[one.taxon_name], in_short(one.poisoning), "", "", notes)


def _together(line: str) -> str:
    return line.replace(" %", "\u00a0%")


def gravest_first(stop: StopWords) -> StopWords:
    """Give a stop with the names it may yield in the order of their danger."""
    return replace(stop, expected=_by_gravity(stop.expected))


def _by_gravity(names: Iterable[Expected]) -> tuple[Expected, ...]:
    return tuple(sorted(names, key=lambda one: gravity(one.class_said)))

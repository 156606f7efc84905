"""Says what the carried page tells of each stop: when, what may be there, what to heed."""

from __future__ import annotations

from dataclasses import dataclass

from sitebook.pages.day_words import clock, interval, lasting, leg_words, percent
from sitebook.pages.fruiting_words import FROM_BOOKS, looks_words
from sitebook.records.results.day_plan import DayPlace, DayPlan, ExpectedTaxon, LookAlikeLine, TreeToLookAt
from sitebook.records.results.route import Leg, RouteStop


BRIEF = 130
"""Longest caution that is told whole beside a stop [signs]."""


@dataclass(frozen=True)
class Expected:
    """A taxon as a stop tells of it.

    Parameters
    ----------
    name
        The taxon.
    anchor
        Where on the page its look-alikes stand; "" where none is noted.
    lines
        Chance, looks, poisoning and what else there is to say, one each.
    """

    name: str
    anchor: str
    lines: tuple[str, ...]


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
    expected, trees
        What may be there, and where to look.
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
    trees: tuple[TreeToLookAt, ...]
    class_said: str
    permission: tuple[str, ...]


@dataclass(frozen=True)
class Alike:
    """A taxon of the day with all it may be mistaken for.

    Parameters
    ----------
    name, anchor
        The taxon, and its place on the page.
    poisoning
        As in `ExpectedTaxon`.
    lines
        The others, each with the character that tells them apart.
    """

    name: str
    anchor: str
    poisoning: str
    lines: tuple[LookAlikeLine, ...]


def stops_in_words(plan: DayPlan) -> list[StopWords]:
    """Give the stops of a day in their order."""
    anchors = {alike.name: alike.anchor for alike in look_alikes(plan) if alike.lines}
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
        expected=tuple(_expected(one, anchors) for one in place.expected),
        trees=place.trees,
        class_said=place.class_said,
        permission=place.permission,
    )


def heed_of(place: DayPlace) -> tuple[str, ...]:
    """Give what is to be heeded at a place, each as briefly as a small screen needs."""
    said = (place.purpose_said, *place.cautions)
    return tuple(dict.fromkeys(briefly(sentence) for sentence in said if sentence))


def briefly(said: str) -> str:
    """Cut a long caution after a sentence or a word, and show that more was said."""
    if len(said) <= BRIEF:
        return said
    head = said[:BRIEF]
    sentence = head.rfind(". ") + 1
    return f"{head[:sentence] if sentence >= BRIEF // 3 else head.rsplit(' ', 1)[0]} …"


def _expected(one: ExpectedTaxon, anchors: dict[str, str]) -> Expected:
    where = f" at {one.at}" if one.at else ""
    books = f", {FROM_BOOKS}" if one.chance.mostly_from_books else ""
    chance = f"{percent(one.chance.chance)} ({interval(one.chance)}{books})"
    lines = [f"{chance}{where}; {looks_words(one.looks, one.looks_with_find)}"]
    lines += [one.look_only] if one.look_only else [f"a worthwhile one {percent(one.worthwhile)}"]
    lines += [one.poisoning] if one.poisoning else []
    return Expected(one.taxon_name, anchors.get(one.taxon_name, ""), tuple(lines))


def look_alikes(plan: DayPlan) -> list[Alike]:
    """Give each expected taxon of the day once, with what it may be mistaken for."""
    found: dict[str, Alike] = {}
    for key in plan.plan.route.keys:
        for one in plan.places[key].expected:
            before = found.get(one.taxon_name)
            lines = dict.fromkeys((*(before.lines if before else ()), *one.look_alikes))
            anchor = before.anchor if before else f"alike-{len(found) + 1}"
            poisoning = one.poisoning or (before.poisoning if before else "")
            found[one.taxon_name] = Alike(one.taxon_name, anchor, poisoning, tuple(lines))
    return list(found.values())

"""Says what the carried page tells of each stop: when, what may be there, what to heed."""

from __future__ import annotations

from dataclasses import dataclass

from sitebook.pages.day_words import clock, interval, lasting, leg_words, percent
from sitebook.pages.fruiting_words import looks_words
from sitebook.records.results.day_plan import DayPlace, DayPlan, ExpectedTaxon, LookAlikeLine, TreeToLookAt
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
    expected, hardly, trees
        What may be there, names whose chance is very small, and where to look.
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
    hardly: tuple[str, ...]
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
        expected=tuple(_expected(one, anchors) for one in place.expected if not _is_small(one)),
        hardly=tuple(one.taxon_name for one in place.expected if _is_small(one)),
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
    chance = f"{percent(one.chance.chance)} ({interval(one.chance)}{little})"
    lines = [f"{chance}{where}; {looks_words(one.looks, one.looks_with_find)}"]
    worthwhile = percent(one.worthwhile)
    if one.look_only:
        lines.append(one.look_only)
    elif worthwhile != percent(one.chance.chance):
        lines.append(f"a worthwhile one {worthwhile}")
    lines += [one.poisoning] if one.poisoning else []
    together = tuple(line.replace(" %", "\u00a0%") for line in lines)
    return Expected(one.taxon_name, anchors.get(one.taxon_name, ""), together)


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

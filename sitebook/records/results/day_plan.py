"""The plan of a day out: which sites in which order, why, what to heed, and what was left out and why."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from sitebook.records.results.fruiting import Chance, Spot
from sitebook.records.results.outlook import StandingCrop, StationUsed
from sitebook.records.results.route import Leg, RoutePlan

PLANNED_STOP = "planned stop"
"""Type of a GPX waypoint that a plan put there, by which a reader knows that nothing was found at it."""


@dataclass(frozen=True)
class LookAlikeLine:
    """A name that an expected taxon may be mistaken for.

    Parameters
    ----------
    name
        The other taxon.
    danger
        What it can do; "" where not noted.
    excluding_character
        The one character that tells them apart; "" where not noted.
    mark
        How well that is known.
    """

    name: str
    danger: str
    excluding_character: str
    mark: str


@dataclass(frozen=True)
class ExpectedTaxon:
    """A taxon that a stop may yield.

    Parameters
    ----------
    taxon_id, taxon_name
        The taxon.
    chance
        Chance of at least one find in the time planned there.
    worthwhile
        Chance of a worthwhile find, as the plan weighs it: enough bodies, what was picked lately taken
        off, only what may be gathered there [1].
    at
        Tag of the likeliest tree; "" for the site itself.
    weight
        Worth of a worthwhile find [1].
    looks, looks_with_find
        Looks made there for it, and how many of them found it.
    crop
        What grew again since the last picking; None where nothing was picked lately.
    look_only
        Why it is not to be gathered there, as a legal protection; "" where nothing forbids it.
    poisoning
        Poisoning classes noted for the name; "" where none is, which says nothing.
    look_alikes
        Names it may be mistaken for; never a complete list.
    """

    taxon_id: int
    taxon_name: str
    chance: Chance
    worthwhile: float
    at: str
    weight: float
    looks: int
    looks_with_find: int
    crop: StandingCrop | None
    look_only: str
    poisoning: str
    look_alikes: tuple[LookAlikeLine, ...]


@dataclass(frozen=True)
class TreeToLookAt:
    """A tree of a stop worth a look.

    Parameters
    ----------
    spot
        The tree.
    lon, lat
        Foot of its trunk, WGS 84 [deg].
    words
        Why, in a sentence: which taxon, what chance, when it was last found there.
    photos
        SHA-256 of photos of the tree or of finds there, newest first, in hex.
    """

    spot: Spot
    lon: float
    lat: float
    words: str
    photos: tuple[str, ...]


@dataclass(frozen=True)
class DayPlace:
    """A site that the day may hold, with what is known of it.

    Parameters
    ----------
    key
        Key of its stop in the route: the site's UUID.
    spot
        The site.
    lon, lat
        Where the stop is, WGS 84 [deg].
    purpose
        "gather" or "look only".
    purpose_said
        Why only to look, in a sentence; "" for gathering.
    stay_min
        Time planned there [min].
    scouting
        What the look alone is worth [1].
    expected
        Taxa it may yield, weightiest first.
    trees
        Trees worth a look, the likeliest first.
    class_said
        Contamination class of the place in words; "not known" where no map covers it.
    permission
        What is allowed there, one line each; empty where nobody was asked.
    cautions
        What else is to be heeded there, one sentence each.
    """

    key: str
    spot: Spot
    lon: float
    lat: float
    purpose: str
    purpose_said: str
    stay_min: float
    scouting: float
    expected: tuple[ExpectedTaxon, ...]
    trees: tuple[TreeToLookAt, ...]
    class_said: str
    permission: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class Excluded:
    """A site that is not proposed, whatever it may yield.

    Parameters
    ----------
    spot
        The site.
    rule
        "contamination", "permission", "rest", "hours", "nothing expected", "barred", "no site" or
        "out of reach". A site left away for contamination may still be one to look at.
    reason
        Why, in a sentence.
    """

    spot: Spot
    rule: str
    reason: str


@dataclass(frozen=True)
class Daylight:
    """Sun of the day at its start, local time.

    Parameters
    ----------
    rises, sets
        HH:MM; "" where the sun stays up or down.
    said
        In a sentence, also what that means for the end asked for.
    """

    rises: str
    sets: str
    said: str


@dataclass(frozen=True)
class TakenLine:
    """A limit of a permission, and how much of it is used.

    Parameters
    ----------
    words
        The limit, what was taken, and what is left, in a sentence.
    left
        What may still be taken, in the unit of the limit; None where what was taken was not weighed or
        counted.
    """

    words: str
    left: float | None


@dataclass(frozen=True)
class DayPlan:
    """A day, planned.

    Parameters
    ----------
    foray_uuid
        The foray it is kept as; "" where it is not kept.
    on
        Local date.
    start, end
        Where it starts and ends, WGS 84 lon, lat [deg].
    mode
        "foot", "bicycle" or "car".
    starts_min, latest_end_min
        Minutes of the local day.
    searchers
        How many go.
    places
        Sites the day may hold, by their key; those of the route and those left.
    plan
        The route with its proof, bound, alternatives and runners-up.
    legs
        Way to each stop of the route in order, and home.
    excluded
        Sites not proposed.
    daylight
        Sun of the day.
    stations
        Weather station used, by the id of the site.
    weather_said
        What the weather was so far, in a sentence.
    limits
        Limits of permissions of the places planned.
    travel_said
        How ways and times were reckoned, and what is not known of them, one sentence each.
    scouting_share
        Share of the worth that looks at little-known trees make, as asked for [1].
    seed
        Seed of the search.
    """

    foray_uuid: str
    on: datetime.date
    start: tuple[float, float]
    end: tuple[float, float]
    mode: str
    starts_min: float
    latest_end_min: float
    searchers: int
    places: dict[str, DayPlace]
    plan: RoutePlan
    legs: tuple[Leg, ...]
    excluded: tuple[Excluded, ...]
    daylight: Daylight
    stations: dict[int, StationUsed]
    weather_said: str
    limits: tuple[TakenLine, ...]
    travel_said: tuple[str, ...]
    scouting_share: float
    seed: int


@dataclass(frozen=True)
class StopDone:
    """One stop of a foray, as planned and as done.

    Parameters
    ----------
    spot
        The site.
    turn
        Place in the plan, from 1; None where it was not planned.
    planned_at, planned_min
        Arrival HH:MM and time planned [min]; "" and None where not planned.
    chance
        Chance of a worthwhile find planned for; None where none was given.
    arrived_at, search_min
        When the visit began, HH:MM, and its search time [min]; "" and None where not visited or not noted.
    finds
        What was found, one line each: label, name as it stands, how many.
    looks, looks_empty
        Looks made there, and how many saw nothing.
    said
        What the visit says to the plan, in a sentence.
    """

    spot: Spot
    turn: int | None
    planned_at: str
    planned_min: float | None
    chance: float | None
    arrived_at: str
    search_min: float | None
    finds: tuple[str, ...]
    looks: int
    looks_empty: int
    said: str


@dataclass(frozen=True)
class Learned:
    """What a foray moved in the season model.

    Parameters
    ----------
    taxon_name, spot
        Which taxon, where.
    before, after
        Chance of a 30-minute look on the day of the foray, without and with what it brought [1].
    said
        The same in a sentence.
    poisoning
        Poisoning classes noted for the name; "" where none is, which says nothing.
    """

    taxon_name: str
    spot: Spot
    before: float
    after: float
    said: str
    poisoning: str = ""


@dataclass(frozen=True)
class ForayDone:
    """A foray afterwards.

    Parameters
    ----------
    foray_uuid, on, mode
        The foray.
    stops
        Planned and visited, in the order of the day, those not reached last.
    kilometres
        Length of the tracks of the day [km]; None where none was recorded.
    planned_kilometres
        Length of the way planned [km]; None where it is not kept.
    finds, looks, looks_empty
        Counts over the day.
    hours_planned, hours_out
        Time planned and time between the first and last thing noted [h]; None where not known.
    learned
        What moved most, strongest first.
    waiting
        What still waits: conflicts, unnamed finds, photos not joined, one sentence each.
    """

    foray_uuid: str
    on: datetime.date
    mode: str
    stops: tuple[StopDone, ...]
    kilometres: float | None
    planned_kilometres: float | None
    finds: int
    looks: int
    looks_empty: int
    hours_planned: float
    hours_out: float | None
    learned: tuple[Learned, ...]
    waiting: tuple[str, ...]

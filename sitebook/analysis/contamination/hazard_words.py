"""Says in words why a source counts at a place, and what is not known of it."""

from __future__ import annotations

from collections.abc import Iterator

from sitebook.analysis.contamination.hazard_ground import SourceGround
from sitebook.ground.distance import metres_words
from sitebook.records.map_data import Hazard

STANDINGS = {
    "confirmed": "confirmed",
    "told": "told",
    "suspected": "suspected only",
}


AS_TOLD = "Where it lies is taken exactly as told."
"""Said of what no map shows: nobody noted how exact its place or outline is."""

SPRAYED = "sprayed? not known"
"""How the spray history of a ground is asked for."""


def reason_of(ground: SourceGround, member: Hazard, distance_m: float, direction: str, *, hard: bool) -> str:
    """Say why a source counts.

    Parameters
    ----------
    ground
        The source with those like it.
    member
        The one of them that lies nearest.
    distance_m
        Distance to its edge, 0 inside it [m].
    direction
        In which direction its nearest point lies.
    hard
        Whether its hard rule holds.
    """
    return " ".join(_sentences(ground, member, distance_m, direction, hard=hard))


def unknown_of(ground: SourceGround, member: Hazard, *, asked: bool) -> tuple[str, ...]:
    """Say what is not known of a source.

    Parameters
    ----------
    ground, member
        As in `reason_of`.
    asked
        Whether the place lies near enough that its history is asked.
    """
    return tuple(_unknown(ground, member, asked=asked))


def spraying_asked(ground: SourceGround, member: Hazard, *, asked: bool) -> str:
    """Give the entry of `unknown_of` that asks for sprayings, "" where none does."""
    return f"{called(ground, member)}: {SPRAYED}" if asked and ground.kind.asks_spraying else ""


def called(ground: SourceGround, member: Hazard) -> str:
    """Give a source's title with its name, where it has one."""
    return f"{ground.kind.title} ({member.name})" if member.name else ground.kind.title


def _sentences(
    ground: SourceGround, member: Hazard, distance_m: float, direction: str, *, hard: bool
) -> Iterator[str]:
    kind, several = ground.kind, len(ground.members)
    where = f"{metres_words(distance_m)} to the {direction}" if distance_m else "the place lies on it"
    nearest = f", the nearest of {several}" if several > 1 else ""
    yield f"{called(ground, member)}{nearest}, {where}, {_standing(member)}: {kind.what}."
    if member.origin != "extract":
        yield AS_TOLD
    if hard:
        yield "Inside it everything is left, by our rule."
    elif kind.hard_may_be and not distance_m:
        yield "If it was so before about 1950, our rule is to leave everything; so the class could be 4."
    elif kind.distance_m is not None and distance_m <= kind.distance_m.value:
        yield f"That is within {kind.distance_m.value:,g} m: {kind.distance_m.said}."
    if member.vehicles_per_day is not None:
        yield f"It once carried about {member.vehicles_per_day:,.0f} vehicles a day."
    if member.past_use:
        yield f"Used before as: {member.past_use}."
    if ground.gone and member.valid_to is not None:
        gone = "Not on the map any more since" if member.origin == "extract" else "There until"
        yield f"{gone} {member.valid_to.isoformat()}; the soil may keep what it left."


def _answered(ground: SourceGround, member: Hazard) -> bool:
    """Tell whether what a kind asks was told with the source itself."""
    told = {"past use": member.past_use, "vehicles": member.vehicles_per_day}
    return told.get(ground.extent.answered_by) not in {None, ""}


def _standing(member: Hazard) -> str:
    """Say how firm a source is: what a map tag alone tells was confirmed by nobody."""
    by_tag = member.origin == "extract" and member.standing == "told"
    return "by its map tag alone" if by_tag else STANDINGS[member.standing]


def _unknown(ground: SourceGround, member: Hazard, *, asked: bool) -> Iterator[str]:
    said = called(ground, member)
    if member.standing == "suspected":
        yield f"{said}: is it so, or only suspected?"
    if ground.mended:
        yield f"{said}: an outline crosses itself and was taken as the ground it encloses"
    if history := spraying_asked(ground, member, asked=asked):
        yield history
    if asked and ground.extent.asks and not _answered(ground, member):
        yield f"{said}: {ground.extent.asks}?"

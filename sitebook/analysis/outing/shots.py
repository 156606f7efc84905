"""Puts photos together that were taken at one spot at one time."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from sitebook.citations import Cited
from sitebook.ground.apart import apart_m

LONGEST_PAUSE_S = Cited(180.0, "s", "ours", "our choice")
"""Photos farther apart in time than this show two finds."""

REACH_M = Cited(15.0, "m", "ours", "our choice")
"""Photos farther apart than this show two finds: below leaves a telephone errs by five to ten metres."""


@dataclass(frozen=True)
class Shot:
    """One photo as it is sorted.

    Parameters
    ----------
    key
        The photo.
    at_s
        Its instant in seconds since any beginning [s].
    name
        Its file name, which orders photos of one instant.
    lon, lat
        Where it was taken, WGS 84 [deg]; None where not known.
    tag_number
        Number on the tag it shows; None where it shows none.
    at_home
        Whether it was taken at home.
    """

    key: int
    at_s: float
    name: str
    lon: float | None = None
    lat: float | None = None
    tag_number: int | None = None
    at_home: bool = False


@dataclass
class Group:
    """Photos of one spot and time, in the order they were taken.

    Parameters
    ----------
    shots
        The photos; never empty.
    """

    shots: list[Shot] = field(default_factory=list)

    @property
    def tag_number(self) -> int | None:
        """Number on the tag the group begins with; None where it begins with none."""
        return self.shots[0].tag_number

    @property
    def at_home(self) -> bool:
        """Whether it was taken at home."""
        return self.shots[0].at_home

    @property
    def placed(self) -> Shot | None:
        """The first of its photos that carries a position; None where none does."""
        return next((shot for shot in self.shots if shot.lon is not None), None)

    def takes(self, shot: Shot) -> bool:
        """Whether a photo belongs here: soon after the last one, and near the first that is placed."""
        if shot.at_home != self.at_home or shot.at_s - self.shots[-1].at_s > LONGEST_PAUSE_S.value:
            return False
        if shot.tag_number is not None and shot.tag_number != self.tag_number:
            return False
        return self.at_home or away_m(self.placed, shot) <= REACH_M.value


def away_m(one: Shot | None, other: Shot) -> float:
    """Give how far two photos were taken from each other [m]; zero where one carries no position."""
    if one is None or one.lon is None or one.lat is None or other.lon is None or other.lat is None:
        return 0.0
    return apart_m(one.lon, one.lat, other.lon, other.lat)


def grouped(shots: Iterable[Shot]) -> list[Group]:
    """Put photos into groups, whatever the order they come in.

    A photo of a tag with another number opens a group. Any other joins, of the groups that take it,
    the one whose last photo is the latest, so that photos after a tag stay with that tag until the next.
    """
    groups: list[Group] = []
    open_groups: list[Group] = []
    for shot in sorted(shots, key=lambda shot: (shot.at_s, shot.name, shot.key)):
        open_groups = [g for g in open_groups if shot.at_s - g.shots[-1].at_s <= LONGEST_PAUSE_S.value]
        takes = [group for group in open_groups if group.takes(shot)]
        if takes:
            chosen = takes[-1]
            chosen.shots.append(shot)
            open_groups.remove(chosen)
        else:
            chosen = Group([shot])
            groups.append(chosen)
        open_groups.append(chosen)
    return groups

"""Says which weather stations speak for which sites, and from how far."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence

from sitebook.ground.distance import metres_words
from sitebook.records.results.outlook import StationUsed

KILOMETRE_M = 1000.0
FIRST = re.compile(r"; (?:known to \d{4}-\d\d-\d\d|no day known)\. ?")
"""How the first sentence on a station ends; its name may hold full stops."""


def weather_lines(stations: Sequence[StationUsed]) -> list[tuple[str, int]]:
    """Give each station used once in a sentence or two, with how many sites use it; 0 where it is none.

    Parameters
    ----------
    stations
        The station of each site.
    """
    by_code: dict[str, list[StationUsed]] = defaultdict(list)
    for one in stations:
        by_code[one.code].append(one)
    return [(station_words(uses), len(uses) if code else 0) for code, uses in by_code.items()]


def station_words(uses: Sequence[StationUsed], names: Sequence[str] = ()) -> str:
    """Say of one station how far it lies from the sites that use it, and what is doubtful about it.

    Parameters
    ----------
    uses
        What is known of it for each of the sites; one at least.
    names
        Names of these sites in the same order, given with the nearest and the farthest; none to leave out.
    """
    nearest = min(uses, key=lambda one: one.distance_m or 0.0)
    farthest = max(uses, key=lambda one: one.distance_m or 0.0)
    if not nearest.code or nearest.distance_m is None or farthest.distance_m is None:
        return nearest.said
    near, far = far_words(nearest.distance_m), far_words(farthest.distance_m)
    if near == far:
        return farthest.said
    last = f"known to {nearest.last_day.isoformat()}" if nearest.last_day else "no day known"
    where = f"from {_with(near, uses, nearest, names)} to {_with(far, uses, farthest, names)} away"
    doubts = dict.fromkeys(said for one in uses for said in _doubts(one.said))
    return " ".join((f"Weather of {nearest.name} ({nearest.code}), {where}; {last}.", *doubts))


def far_words(distance_m: float) -> str:
    """Give a distance in metres, or from a kilometre on in kilometres."""
    return metres_words(distance_m) if distance_m < KILOMETRE_M else f"{distance_m / KILOMETRE_M:.1f} km"


def _with(far: str, uses: Sequence[StationUsed], one: StationUsed, names: Sequence[str]) -> str:
    return f"{far} ({names[list(uses).index(one)]})" if names else far


def _doubts(said: str) -> list[str]:
    """Give what is said of a station after its first sentence, a sentence each."""
    _, _, rest = FIRST.sub("\n", said, count=1).partition("\n")
    return [f"{sentence.rstrip('.')}." for sentence in rest.split(". ") if sentence]

"""Says the times, ways and choices of a planned day in words."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence

from sitebook.records.results.day_plan import DayPlan
from sitebook.records.results.fruiting import Chance
from sitebook.records.results.route import Alternative, Bound, Leg, LegPart, Route, RoutePlan, RunnerUp

BY = {"foot": "on foot", "bicycle": "by bicycle", "car": "by car"}

RULES = {
    "contamination": "Contamination of the ground",
    "permission": "No permission that holds on this day",
    "rest": "Resting",
    "no site": "In none of your sites",
    "hours": "Not open in these hours",
    "nothing expected": "Nothing expected",
    "barred": "Barred for this day",
    "out of reach": "Out of reach in this time",
}
"""Rules by which a site is left out, in the order they are told."""


def day_in_words(on: datetime.date) -> str:
    """Write a date with its weekday."""
    return f"{on:%A} {on.day} {on:%B} {on.year}"


def lasting(minutes: float) -> str:
    """Write a time as hours and minutes."""
    hours, rest = divmod(round(minutes), 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest:02d} min" if rest else f"{hours} h"


def far(metres: float) -> str:
    """Write the length of a way, to ten metres below a kilometre."""
    return f"{metres / 1000.0:.1f} km" if metres >= 995.0 else f"{round(metres, -1):.0f} m"


def count(number: int, one: str, many: str) -> str:
    """Write a number with its noun."""
    return f"{number:,} {one if number == 1 else many}"


def listed(names: Sequence[str]) -> str:
    """Write names as a list in a sentence."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def percent(chance: float) -> str:
    """Write a chance in percent; never none and never all, which no chance can promise."""
    whole = round(100.0 * chance)
    return "under 1 %" if whole <= 0 else "over 99 %" if whole >= 100 else f"{whole} %"


def interval(chance: Chance) -> str:
    """Write the interval of a chance."""
    low, high = percent(chance.low), percent(chance.high)
    if low == high:
        return f"about {low}"
    return f"{low.removesuffix(' %') if 'under' not in low else low} to {high}"


def leg_words(leg: Leg) -> str:
    """Say how a way is gone: its time, and the length of each of its pieces by mode."""
    said = [f"{far(metres)} {mode}" for mode, metres in _by_mode(leg.parts)]
    unmapped = "; on a part of it no way is mapped" if any(part.unmapped for part in leg.parts) else ""
    return ", ".join([lasting(leg.minutes), *said]) + unmapped


def _by_mode(parts: Iterable[LegPart]) -> list[tuple[str, float]]:
    """Give the lengths of a way's pieces, neighbours of one mode added up."""
    found: list[tuple[str, float]] = []
    for part in parts:
        mode = BY.get(part.mode, part.mode)
        if found and found[-1][0] == mode:
            found[-1] = mode, found[-1][1] + part.metres
        else:
            found.append((mode, part.metres))
    return [(mode, metres) for mode, metres in found if metres > 0.0]


def day_length(legs: Sequence[Leg]) -> str:
    """Say how far the day goes, by mode."""
    totals: dict[str, float] = {}
    for leg in legs:
        for part in leg.parts:
            mode = BY.get(part.mode, part.mode)
            totals[mode] = totals.get(mode, 0.0) + part.metres
    return ", ".join(f"{far(metres)} {mode}" for mode, metres in totals.items() if metres > 0.0)


def how_good(plan: RoutePlan) -> str:
    """Say in plain words whether a better day may exist."""
    if not plan.route.stops:
        return "No stop is planned, so there is nothing to compare."
    if plan.proved:
        return (
            "Proved best: every choice of these stops that fits into the day was weighed, and none is worth "
            "more. That holds for the chances and times on this page, which are themselves uncertain."
        )
    missing = _missing(plan.route, plan.bound)
    return (
        f"Not proved best. No choice of stops can be worth more than {worth(plan.bound.score)}, and this one "
        f"is worth {worth(plan.route.score)}: at most {missing} could be missing."
    )


def _missing(route: Route, bound: Bound) -> str:
    share = 100.0 * max(bound.score - route.score, 0.0) / bound.score if bound.score > 0.0 else 0.0
    return "1 %" if share < 1.0 else f"{share:.0f} %"


def worth(score: float) -> str:
    """Write a worth no finer than it says something."""
    return f"{score:.2f}"


def share_of(part: float, whole: float) -> str:
    """Write a worth as a share of another; empty where that is nothing."""
    return f"{100.0 * part / whole:.0f} %" if whole > 0.0 else ""


def differs(plan: DayPlan, other: Alternative) -> str:
    """Say which stops another route leaves and which it takes in their place."""
    ours, theirs = plan.plan.route.keys, other.route.keys
    lost = [plan.places[key].spot.site_name for key in ours if key not in theirs]
    new = [plan.places[key].spot.site_name for key in theirs if key not in ours]
    parts = [f"without {listed(lost)}"] if lost else []
    parts += [f"with {listed(new)}"] if new else []
    return "; ".join(parts) or "the same stops in another order"


def runner_costs(runner: RunnerUp) -> str:
    """Say what another stop would cost in minutes."""
    if runner.costs_min is None or runner.over_min is None:
        return "no place in this order: the hours of a stop forbid it"
    longer = f"{lasting(runner.costs_min)} longer" if runner.costs_min >= 0.5 else "no longer"
    if runner.over_min < 0.5:
        return f"{longer}, still within the day"
    return f"{longer}, {lasting(runner.over_min)} past the end"

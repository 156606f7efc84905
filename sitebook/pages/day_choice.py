"""Tells how a day was chosen: what else it might have been, what it leaves out, and by which rule."""

from __future__ import annotations

from sitebook.pages.day_map import letters_of, told_runners
from sitebook.pages.day_words import (
    RULES,
    count,
    differs,
    how_good,
    lasting,
    runner_costs,
    share_of,
    worth,
)
from sitebook.pages.revisit import capital
from sitebook.quantities import clock
from sitebook.records.results.day_plan import DayPlan


def choice(plan: DayPlan) -> dict[str, object]:
    """Give what the page says of the choice of stops."""
    found = plan.plan
    return {
        "how_good": how_good(found),
        "method": f"{capital(found.method)}. The limit: {found.bound.said}.",
        "proved": found.proved,
        "worth": worth(found.route.score),
        "scouting": f"{100.0 * plan.scouting_share:.0f} %",
        "seed": plan.seed,
        "alternatives": _alternatives(plan),
        "runners": _runners(plan),
        "more_runners": sum(one.would_add > 0.0 for one in found.runners_up) - len(told_runners(plan)),
        "excluded": _excluded(plan),
    }


def _alternatives(plan: DayPlan) -> list[dict[str, str]]:
    best = plan.plan.route.score
    return [
        {
            "differs": capital(differs(plan, other)),
            "order": ", ".join(plan.places[key].spot.site_name for key in other.route.keys),
            "worth": worth(other.route.score),
            "share": share_of(other.route.score, best),
            "stops": count(len(other.route.stops), "stop", "stops"),
            "ends": clock(other.route.ends_min),
            "way": lasting(other.route.travel_min),
        }
        for other in plan.plan.alternatives
    ]


def _runners(plan: DayPlan) -> list[dict[str, str]]:
    letters, best = letters_of(plan), plan.plan.route.score
    return [
        {
            "letter": letters[runner.key],
            "name": plan.places[runner.key].spot.site_name,
            "adds": worth(runner.would_add),
            "share": share_of(runner.would_add, best),
            "costs": capital(runner_costs(runner)),
        }
        for runner in told_runners(plan)
    ]


def _excluded(plan: DayPlan) -> list[tuple[str, list[tuple[str, str]]]]:
    """Give the places left out by rule, in the order the rules are told."""
    by_rule: dict[str, list[tuple[str, str]]] = {rule: [] for rule in RULES}
    for one in plan.excluded:
        by_rule.setdefault(one.rule, []).append((one.spot.where, one.reason))
    return [(RULES.get(rule, capital(rule)), found) for rule, found in by_rule.items() if found]

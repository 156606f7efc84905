"""Draws the day and its field sheet on leaves of A6, for when the phone fails."""

from __future__ import annotations

from collections.abc import Sequence

from sitebook import vocabulary
from sitebook.pages import frame
from sitebook.pages.day_words import BY, day_in_words
from sitebook.pages.entry_sheet import numbers_words, tag_labels
from sitebook.pages.own_parts import rendered, text_of
from sitebook.pages.pack import of_the_day
from sitebook.pages.pack_names import look_alikes, on_paper
from sitebook.pages.pack_tags import in_heaps
from sitebook.pages.pack_words import gravest_first, stops_in_words
from sitebook.quantities import clock
from sitebook.records.results.day_plan import DayPlan
from sitebook.records.results.entry_sheet import EntrySheet

A_LEAF = 4
"""Finds on a leaf."""

FINDS = 12
"""Finds there is room for where no numbers were set aside."""


def draw_paper(plan: DayPlan, sheet: EntrySheet, *, changed: Sequence[str] = ()) -> str:
    """Draw the leaves: the stops of the day, look-alikes, what was looked at, and room for each find.

    Parameters
    ----------
    plan
        The day.
    sheet
        Its sites with their trees, and the numbers set aside.
    changed
        What became of stops since the day was planned, one sentence each; told first.
    """
    alikes = look_alikes(plan)
    labels = tag_labels(sheet) or [f"{sheet.collector.initials} ____"] * FINDS
    trees = {site.uuid: site.trees for site in sheet.sites}
    route = plan.plan.route
    return frame.page(
        title=f"On paper: {day_in_words(plan.on)}",
        subtitle=f"{sheet.title}; {numbers_words(sheet)}",
        body=rendered(
            "pack_paper.html.j2",
            day=day_in_words(plan.on),
            title=sheet.title,
            times=f"{clock(route.starts_min)} to {clock(route.ends_min)}, {BY.get(plan.mode, plan.mode)}",
            sun=plan.daylight.said,
            changed=changed,
            stops=[(gravest_first(stop), trees.get(stop.uuid, ())) for stop in stops_in_words(plan)],
            alikes=on_paper(alikes),
            alone=[one.name for one in alikes if not one.lines],
            sheet=of_the_day(plan, sheet),
            limits=[line.words for line in plan.limits],
            leaves=in_heaps(labels, A_LEAF),
            counted=", ".join(vocabulary.COUNT_OF.all),
            stages=", ".join(vocabulary.GROWTH_STAGE.all),
            poison_centre=sheet.poison_centre,
        ),
        style=text_of("pack_paper.css"),
        poison_centre=sheet.poison_centre,
    )

"""Draws the page that is carried along: the day, its map, and the sheet on which finds are entered."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from sitebook.pages import frame
from sitebook.pages.day_words import BY, day_in_words, day_length
from sitebook.pages.entry_sheet import numbers_words, paper_form, sheet_data
from sitebook.pages.own_parts import rendered, text_of
from sitebook.pages.pack_map import PackMap, pack_map
from sitebook.pages.pack_names import look_alikes
from sitebook.pages.pack_words import heed_of, stops_in_words
from sitebook.quantities import clock
from sitebook.records.results.day_plan import DayPlan
from sitebook.records.results.entry_sheet import EntrySheet, SheetSite, SheetTaxon
from sitebook.records.results.map_view import GroundMap

SCRIPTS = (
    "entry_sum.js",
    "entry_memory.js",
    "entry_widgets.js",
    "pack_map.js",
    "pack_position.js",
    "entry_visit.js",
    "entry_find.js",
    "entry_list.js",
    "entry_out.js",
    "pack_day.js",
    "entry_start.js",
)
STYLES = ("entry_sheet.css", "entry_paper.css", "pack.css", "pack_map.css")

MOST_BYTES = 3_000_000
"""Largest page."""


def draw_pack(plan: DayPlan, sheet: EntrySheet, *, ground: GroundMap, changed: Sequence[str] = ()) -> str:
    """Draw the page of a day to carry along; with scripts off it tells the day and is a form to print.

    Parameters
    ----------
    plan
        The day; of its places only those of the route are on the page.
    sheet
        What can be entered: the sites of the route in its order, and the numbers set aside.
    ground
        Land and ways below the map.
    changed
        What became of stops since the day was planned, one sentence each; told first.
    """
    entered = of_the_day(plan, sheet)
    drawn = pack_map(plan, ground)
    body = rendered(
        "pack.html.j2",
        **paper_form(entered),
        stops=stops_in_words(plan),
        alikes=look_alikes(plan),
        drawn=drawn,
        ground=ground,
        changed=changed,
        day=_day_lines(plan),
        limits=[line.words for line in plan.limits],
        travel=plan.travel_said,
        home=_home(plan),
    )
    return frame.page(
        title=f"Field pack: {day_in_words(plan.on)}",
        subtitle=f"{sheet.title}, revision {sheet.revision}; {numbers_words(sheet)}",
        body=body,
        style="".join(text_of(name) for name in STYLES),
        scripts=[text_of(name) for name in SCRIPTS],
        data=_data(plan, entered, drawn),
        poison_centre=sheet.poison_centre,
    )


def of_the_day(plan: DayPlan, sheet: EntrySheet) -> EntrySheet:
    """Let each site of a sheet say what the plan says is to be heeded there, and know what is expected."""
    sites = tuple(_with_heed(plan, site) for site in sheet.sites)
    return dataclasses.replace(sheet, sites=sites, taxa=tuple(_with_sites(plan, t) for t in sheet.taxa))


def _with_heed(plan: DayPlan, site: SheetSite) -> SheetSite:
    place = plan.places.get(site.uuid)
    return dataclasses.replace(site, heed=heed_of(place)) if place is not None else site


def _with_sites(plan: DayPlan, taxon: SheetTaxon) -> SheetTaxon:
    keys = [key for key in plan.plan.route.keys if taxon.name in _names_at(plan, key)]
    return dataclasses.replace(taxon, sites=tuple(dict.fromkeys((*taxon.sites, *keys)))) if keys else taxon


def _names_at(plan: DayPlan, key: str) -> list[str]:
    return [one.taxon_name for one in plan.places[key].expected]


def _data(plan: DayPlan, sheet: EntrySheet, drawn: PackMap) -> dict[str, object]:
    """Give what the scripts read: what those of the sheet read, and what belongs to the day."""
    data = sheet_data(sheet)
    uuids = {taxon.name: taxon.uuid for taxon in sheet.taxa}
    for site in data["sites"]:  # type: ignore[attr-defined]
        place = plan.places[site["uuid"]]
        site["expected"] = [uuids[name] for name in _names_at(plan, place.key) if name in uuids]
        site["lon"], site["lat"] = place.lon, place.lat
    return data | {
        "afield": True,
        "day": plan.on.isoformat(),
        "searchers": plan.searchers,
        "map": drawn.data,
        "alikes": {
            one.name: [[line.name, line.danger, line.excluding_character] for line in one.lines]
            for one in look_alikes(plan)
        },
        "poisoning": {one.name: one.poisoning for one in look_alikes(plan) if one.poisoning},
    }


def _day_lines(plan: DayPlan) -> list[str]:
    """Give what holds for the whole day, a line each."""
    route, party = plan.plan.route, f", {plan.searchers} go" if plan.searchers > 1 else ""
    length = day_length(plan.legs)
    times = f"{clock(route.starts_min)} to {clock(route.ends_min)}, back by {clock(plan.latest_end_min)}"
    lines = [f"{times}; {BY.get(plan.mode, plan.mode)}{party}{f'; {length}' if length else ''}."]
    return [*lines, *(said for said in (plan.daylight.said, plan.weather_said) if said)]


def _home(plan: DayPlan) -> str:
    """Say when the day is over."""
    return f"Over at {clock(plan.plan.route.ends_min)}."

"""Turns main roads of the years of leaded petrol into roads that may be added up like those of today."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence

import shapely

from sitebook.analysis.contamination import parameters, traffic_words
from sitebook.analysis.contamination.hazard_ground import extents
from sitebook.analysis.contamination.traffic import Road
from sitebook.citations import Mark
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import Hazard
from sitebook.records.results.contamination import Band

KIND = "old main road"
PAST_USE = "main road of the years of leaded petrol"

MARKS: dict[str, Mark] = {"confirmed": "confirmed", "told": "memory", "suspected": "memory"}
"""How well the number of vehicles is known, by how firm the record is."""


def old_roads(hazards: Sequence[Hazard], frame: LocalMetres, today: datetime.date) -> tuple[Road, ...]:
    """Give a road for each told or mapped main road of the past whose vehicles are known.

    Lead stays in the ground, so a road that has ended counts like one that has not. Records without a
    number of vehicles, points and areas are left to the term of other sources.

    Parameters
    ----------
    hazards
        Sources of any kind.
    frame
        Metres round the place.
    today
        Day of the review; what begins later is left aside.

    Returns
    -------
    tuple of Road
        Each named as past use, its traffic within `traffic_band` of the road model.
    """
    wanted = [
        h for h in hazards if h.kind == KIND and h.withdrawn_at is None and h.vehicles_per_day is not None
    ]
    there = [h for h in wanted if h.valid_from is None or h.valid_from <= today]
    return tuple(road for hazard in there for road in _roads(hazard, frame))


def _roads(hazard: Hazard, frame: LocalMetres) -> Iterator[Road]:
    number, factor = float(hazard.vehicles_per_day or 0.0), parameters.value("traffic_band")
    band = Band(number, number / factor, number * factor)
    lines = [part for part in shapely.get_parts(hazard.geom) if part.geom_type == "LineString"]
    for line_m in frame.lines_to_metres(lines):
        yield Road(
            name=hazard.name or "old main road without a name",
            road_class="",
            line_m=line_m,
            traffic=band,
            source=f"{traffic_words.vehicles(band)} in its day, past use as {PAST_USE}, {_says(hazard)}",
            mark=MARKS[hazard.standing],
            half_width_m=extents()[KIND].line_half_width_m.value,
            past_use=PAST_USE,
        )


def _says(hazard: Hazard) -> str:
    return f"{hazard.standing}: {hazard.source}"

"""What one spraying left at one place, as far as it can be told."""

from __future__ import annotations

from dataclasses import dataclass

from sitebook.citations import Mark
from sitebook.records.results.contamination import Band


@dataclass(frozen=True)
class ActiveLeft:
    """One active substance of a spraying, and what may be left of it.

    Parameters
    ----------
    active
        Common name of the substance, or element.
    element
        Whether it is an element, which does not decay.
    rate_g_ha
        What was brought out, all applications together [g/ha]; None where not told, or given by tree.
    rate_words
        The rate as told; "" where none was.
    soil_left
        Share of it left in soil with its range, 0 to 1; None where neither half-life nor day is known.
    soil_mg_kg
        What that is in the top soil at the place [mg/kg dry]; None where the rate is not known.
    foliage_left
        Share left on leaves and caps with its range, 0 to 1; None where no half-life on leaves is known.
    said
        Half-life used, with its range and source, in words.
    source
        Where the half-life is written; "" where none is.
    mark
        How well it is known.
    """

    active: str
    element: bool
    rate_g_ha: float | None
    rate_words: str
    soil_left: Band | None
    soil_mg_kg: Band | None
    foliage_left: Band | None
    said: str
    source: str
    mark: Mark


@dataclass(frozen=True)
class SprayTerm:
    """One spraying near a place, or somebody's word that there was none.

    Parameters
    ----------
    spraying_id
        Its id in the book; 0 for one that is not kept yet.
    ground
        What was sprayed, in words.
    state
        done, planned, never or not known.
    distance_m
        Distance from the place to the edge of the ground, 0 inside it [m].
    nearest_m
        The same less the uncertainty of the position, 0 or more [m].
    direction
        In which of eight directions its nearest point lies; "" inside it.
    inside
        Whether the place lies on the ground.
    days_words
        When it was, with what is not known of the day.
    drift_percent
        Share of the rate that settled at the place, with its range over position [percent]; 100 inside.
    drift_group
        Crop group of the curve used.
    floor_class
        Least class of the place by this spraying, 0 to 4; time lowers it never.
    could_be_floor
        The same at the near end of the position's range, and if what is planned or not known was done.
    ended
        Who ended it and how: a closing note with a name, or a laboratory result; "" while it stands.
    actives
        What was in it; empty where nobody said.
    reason
        Why it counts, in one or more sentences.
    source
        Who said so, and when.
    mark
        How well the drift is known.
    unknown
        What is not known of it; what somebody may be asked is a question. Empty where nothing is.
    whom
        Who may be asked; "" where nobody can be named.
    """

    spraying_id: int
    ground: str
    state: str
    distance_m: float
    nearest_m: float
    direction: str
    inside: bool
    days_words: str
    drift_percent: Band
    drift_group: str
    floor_class: int
    could_be_floor: int
    ended: str
    actives: tuple[ActiveLeft, ...]
    reason: str
    source: str
    mark: Mark
    unknown: tuple[str, ...]
    whom: str = ""

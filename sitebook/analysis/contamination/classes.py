"""The class of a place, in a number and in words: one table, total and exclusive."""

from __future__ import annotations

import math
from collections.abc import Callable

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.hazards import model as areas_model

STEPS: tuple[tuple[int, str], ...] = ((4, "class_4"), (3, "class_3"), (2, "class_2"), (1, "class_1"))
"""Classes by the traffic index from the highest down, each with the name of the index it begins at."""

AREA_STEPS: tuple[tuple[int, str], ...] = ((3, "area_3"), (2, "area_2"), (1, "area_1"))
"""The same by the area term; a ground makes class 4 by a rule alone, never by its area term."""

CLOSE_CLASS = 2
"""Lowest class of a place that lies close to a motor road."""

HIGHEST = 4

CLOSING = (
    "A laboratory test of the mushroom is the only measurement. "
    "This speaks of what is mapped or was told, and of nothing else."
)

SENTENCES: dict[int, str] = {
    4: "The highest class of this book. Our advice: leave what grows here, for the reasons given.",
    3: "A strong source lies here or very near. Our advice: have the soil tested, or leave what grows here.",
    2: "A source is near enough to matter at this place.",
    1: "A weak mapped signal. This does not tell whether the ground is polluted.",
}
"""What each class means; 0 is said by what was looked for."""

NOT_TOLD = "This does not tell whether the ground is polluted."


def index_class(index: float) -> int:
    """Give the class that a traffic index alone makes, 0 to 4."""
    return _by_steps(index, STEPS, parameters.value)


def area_class(area_term: float) -> int:
    """Give the class that an area term alone makes, 0 to 3."""
    return _by_steps(area_term, AREA_STEPS, lambda name: areas_model()[name].value)


def class_of(index: float, edge_m: float, area_term: float = 0.0, floor_class: int = 0) -> int:
    """Give the class, 0 to 4, of a place.

    Parameters
    ----------
    index
        Traffic index [1].
    edge_m
        Distance to the edge of the nearest motor road [m]; inf where there is none.
    area_term
        Area term of sources that are no roads [1].
    floor_class
        Highest class that rules, distances and sprayings make.

    Returns
    -------
    int
        The highest class that any of the four makes; every place has exactly one.

    Raises
    ------
    ValueError
        When a number is below zero or missing, or the floor is no class.
    """
    if any(math.isnan(value) or value < 0.0 for value in (index, edge_m, area_term)):
        raise ValueError("a class needs an index, a distance and an area term of 0 or more")
    if not 0 <= floor_class <= HIGHEST:
        raise ValueError(f"{floor_class} is no class; classes are 0 to {HIGHEST}")
    close = CLOSE_CLASS if edge_m <= parameters.value("close_road") else 0
    return max(index_class(index), area_class(area_term), close, floor_class)


def words_of(place_class: int | None, looked_for: str, remarks: tuple[str, ...] = ()) -> str:
    """Say a class in words that end in what they do not speak of.

    Parameters
    ----------
    place_class
        The class, or None where nothing is known.
    looked_for
        What was looked for and how far, as "road with motor traffic within 1,000 m".
    remarks
        Sentences that belong before the closing ones.
    """
    return " ".join([*_opening(place_class, looked_for), *remarks, CLOSING])


def _opening(place_class: int | None, looked_for: str) -> list[str]:
    if place_class is None:
        return ["Nothing is known of what lies round this place.", NOT_TOLD]
    if place_class > 0:
        return [SENTENCES[place_class]]
    return [f"Nothing that this book can weigh was found: {looked_for}.", NOT_TOLD]


def _by_steps(value: float, steps: tuple[tuple[int, str], ...], limit: Callable[[str], float]) -> int:
    return next((number for number, name in steps if value >= limit(name)), 0)

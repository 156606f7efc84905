"""The class of a place by roads alone, in a number and in words."""

from __future__ import annotations

import math

from sitebook.analysis.contamination import parameters

STEPS: tuple[tuple[int, str], ...] = ((4, "class_4"), (3, "class_3"), (2, "class_2"), (1, "class_1"))
"""Classes from the highest down, each with the name of the index from which it holds."""

CLOSE_CLASS = 2
"""Lowest class of a place that lies close to a motor road."""

CLOSING = "A laboratory test of the mushroom is the only measurement. This speaks of roads only."

SENTENCES: dict[int, str] = {
    4: "Traffic weighs on this place as on the kerb of a busy road. Our advice: leave what grows here.",
    3: "Traffic weighs strongly on this place. Our advice: have the soil tested, or leave what grows here.",
    2: "A mapped road is near enough to matter at this place.",
    1: "Traffic weighs weakly on this place.",
}

NOT_TOLD = "This does not tell whether the ground is polluted."


def class_of(index: float, motor_road_m: float) -> int:
    """Give the class, 0 to 4, that a traffic index and the nearest motor road make.

    Parameters
    ----------
    index
        Traffic index [1].
    motor_road_m
        Distance to the centre line of the nearest motor road [m]; inf where there is none.

    Returns
    -------
    int
        The class; every index from 0 up has exactly one.

    Raises
    ------
    ValueError
        When index or distance is below zero or missing.
    """
    if math.isnan(index) or index < 0.0 or math.isnan(motor_road_m) or motor_road_m < 0.0:
        raise ValueError("a class needs an index and a distance of 0 or more")
    by_index = next((number for number, name in STEPS if index >= parameters.value(name)), 0)
    is_close = motor_road_m <= parameters.value("close_road")
    return max(by_index, CLOSE_CLASS) if is_close else by_index


def words_of(place_class: int | None, motor_road_m: float, remarks: tuple[str, ...] = ()) -> str:
    """Say a class in words that end in what they do not speak of.

    Parameters
    ----------
    place_class
        The class, or None where nothing is known of roads.
    motor_road_m
        Distance to the nearest motor road [m]; inf where none is in reach.
    remarks
        Sentences that belong before the closing ones.
    """
    return " ".join([*_opening(place_class, motor_road_m), *remarks, CLOSING])


def _opening(place_class: int | None, motor_road_m: float) -> list[str]:
    reach = f"{parameters.value('reach'):,.0f} m"
    if place_class is None:
        return ["Nothing is known of the roads round this place.", NOT_TOLD]
    if place_class > 0:
        close = motor_road_m <= parameters.value("close_road")
        return [SENTENCES[place_class], *([_close_words()] if close else [])]
    if math.isinf(motor_road_m):
        return [f"No mapped road with motor traffic within {reach}.", NOT_TOLD]
    return [f"What mapped roads within {reach} bring here is too little for the index to resolve.", NOT_TOLD]


def _close_words() -> str:
    return f"It lies within {parameters.value('close_road'):g} m of the centre line of a motor road."

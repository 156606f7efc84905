"""Gathers what is noted of the names a day may bring: their poison, and what they are mistaken for."""

from __future__ import annotations

from collections.abc import Sequence

from sitebook.pages.revisit import capital
from sitebook.records.results.day_plan import DayPlace, ExpectedTaxon, LookAlikeLine

NO_DANGER = "not noted"
NO_CHARACTER = "none noted: nothing here tells the two apart"


def names_to_heed(stops: Sequence[DayPlace]) -> dict[int, dict[str, object]]:
    """Give each taxon that a stop may yield once, by its id, in the order of the day.

    Parameters
    ----------
    stops
        Places of the route in order.

    Returns
    -------
    dict
        Name, anchor, poisoning, stops it may be met at, and its look-alikes; those that one character
        tells apart stand together.
    """
    found: dict[int, dict[str, object]] = {}
    turns: dict[int, list[str]] = {}
    for turn, place in enumerate(stops, start=1):
        for one in place.expected:
            turns.setdefault(one.taxon_id, []).append(str(turn))
            found.setdefault(one.taxon_id, _name(one, turns[one.taxon_id]))
    return found


def _name(one: ExpectedTaxon, turns: list[str]) -> dict[str, object]:
    return {
        "name": one.taxon_name,
        "anchor": f"name-{one.taxon_id}",
        "poisoning": capital(one.poisoning),
        "turns": turns,
        "look_alikes": _together(one.look_alikes),
    }


def _together(lines: Sequence[LookAlikeLine]) -> list[dict[str, object]]:
    """Put names together that do the same harm and are told apart by the same character."""
    groups: dict[tuple[str, str, str], list[str]] = {}
    for line in lines:
        groups.setdefault((line.danger, line.excluding_character, line.mark), []).append(line.name)
    return [
        {
            "names": names,
            "danger": danger or NO_DANGER,
            "grave": danger == "deadly",
            "character": capital(character) if character else capital(NO_CHARACTER),
            "mark": mark,
        }
        for (danger, character, mark), names in groups.items()
    ]

"""Draws a class as a plate: its number on the hatch of the map, so that no colour is needed."""

from __future__ import annotations

from markupsafe import Markup

from sitebook.pages.hatches import HATCHES

ROAD_HATCHES = tuple(hatch for hatch in HATCHES if hatch[0].startswith("road-"))
SIDE = 64


def letter(place_class: int | None) -> str:
    """Give the sign of a class: its number, or U where none is known."""
    return "U" if place_class is None else str(place_class)


def plate(place_class: int | None, *, could_be: bool = False) -> Markup:
    """Draw a large plate of a class.

    Parameters
    ----------
    place_class
        The class; None for not known.
    could_be
        Whether it is a class that could be; then its edge is broken.
    """
    sign = letter(place_class)
    kind = "plate could-be" if could_be else "plate"
    return Markup(
        '<svg class="{}" viewBox="0 0 {} {}" aria-hidden="true">'
        '<rect class="area area-road-{}" x="2" y="2" width="60" height="60"/>'
        '<rect class="plate-ground" x="17" y="12" width="30" height="40" rx="3"/>'
        '<text x="32" y="43">{}</text></svg>'
    ).format(kind, SIDE, SIDE, sign, sign)


def tile(place_class: int | None) -> Markup:
    """Draw the hatch of a class alone, as it stands beside a number in a table."""
    return Markup(
        '<svg class="tile" viewBox="0 0 32 32" aria-hidden="true">'
        '<rect class="area area-road-{}" x="1.5" y="1.5" width="29" height="29"/></svg>'
    ).format(letter(place_class))


def class_cell(place_class: int | None, could_be: int | None, *, unknown: bool = False) -> Markup:
    """Draw a class as a cell of a table shows it: hatch, number, what it could be, and U beside it.

    Parameters
    ----------
    place_class, could_be
        The class, None for not known, and what it could be.
    unknown
        Whether something is not known beside the class.
    """
    worse = place_class is not None and could_be is not None and could_be > place_class
    beside = unknown and place_class is not None
    more = f"{f'–{could_be}' if worse else ''}{' U' if beside else ''}"
    said = f"class {place_class}{f', could be {could_be}' if worse else ''}"
    said += ", some things not known" if beside else ""
    return Markup(
        '<span class="classed">{}<b aria-hidden="true">{}{}</b><span class="out-of-sight">{}</span></span>'
    ).format(tile(place_class), letter(place_class), more, "class not known" if place_class is None else said)

"""Draws her home area, inside which pictures make no finds."""

from __future__ import annotations

import datetime
import math

import shapely
from shapely.errors import ShapelyError
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitebook import errors
from sitebook.citations import Cited
from sitebook.ground.projection import LocalMetres
from sitebook.records.photo import Photo
from sitebook.records.results.listing import SettingLine
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.store.history import Act, acting
from sitebook.work.opening import book_row
from sitebook.work.photos.placing import is_at_home

KEY = "home_area"
MEANING = "ground inside which pictures make no finds: LON,LAT,RADIUS_M, or an outline as POLYGON ((…))"
MOST_RADIUS_M = Cited(5_000.0, "m", "ours", "our choice")
_HOW = "Write LON,LAT,RADIUS in metres, as -19.41,48.60,80, or an outline as POLYGON ((lon lat, …))."
_CORNERS = 16
"""Corners of a quarter of the circle round a point."""


def home_area_words(book: Book) -> str:
    """Give the home area as text; empty where none is drawn."""
    home = book_row(book).geom
    return str(shapely.to_wkt(home, rounding_precision=6)) if home is not None else ""


def home_area_line(book: Book) -> SettingLine:
    """Give the home area as one line among her settings."""
    said = home_area_words(book)
    return SettingLine(KEY, MEANING, said, "", bool(said), "our choice")


def set_home_area(book: Book, text: str | None, *, now: datetime.datetime) -> int:
    """Draw the home area, or take it away where None is given; gives how many photos it changes.

    Photos of the book are looked at again: those inside it, and those that are so no longer. Finds
    that were made of them stay.

    Raises
    ------
    ValueImpossible
        When the text is neither a point with a radius nor an outline.
    """
    home = None if text is None else read_area(text)
    changed = 0
    with acting(book, Act("settings", now)):
        history.amend(book, book_row(book), {"geom": home})
        for photo in rows.records(book, Photo):
            changed += history.amend(book, photo, {"at_home": is_at_home(home, photo.geom)})
    return changed


def read_area(text: str) -> BaseGeometry:
    """Read a point with a radius, or an outline.

    Raises
    ------
    ValueImpossible
        When it is neither.
    """
    if text.lstrip().upper().startswith("POLYGON"):
        return _outline(text)
    try:
        lon, lat, radius_m = (float(part) for part in text.split(","))
    except ValueError as error:
        raise _impossible(text) from error
    possible = math.isfinite(lon + lat) and abs(lon) <= 180 and abs(lat) < 90
    if not (possible and 0 < radius_m <= MOST_RADIUS_M.value):
        raise _impossible(text)
    circle = shapely.get_coordinates(Point(0.0, 0.0).buffer(radius_m, quad_segs=_CORNERS))
    return shapely.Polygon(LocalMetres(lon, lat).to_degrees(circle).round(7))


def _outline(text: str) -> BaseGeometry:
    try:
        shape = shapely.from_wkt(text)
    except ShapelyError as error:
        raise _impossible(text) from error
    west, south, east, north = shape.bounds if not shape.is_empty else (0.0, 0.0, 0.0, 0.0)
    on_earth = -180 <= west < east <= 180 and -90 <= south < north <= 90
    if not (shape.is_valid and on_earth and shape.geom_type == "Polygon"):
        raise _impossible(text)
    return shapely.force_2d(shape)


def _impossible(text: str) -> errors.ValueImpossible:
    return errors.ValueImpossible(f"'{text}' is no home area", remedy=_HOW)

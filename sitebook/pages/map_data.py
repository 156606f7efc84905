"""Turns a map view into what the scripts of the map page read."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Sequence

import shapely

from sitebook.pages.calendar_words import MONTHS
from sitebook.pages.map_chances import MapSeasons, map_seasons
from sitebook.pages.map_ground import ground_layers
from sitebook.pages.map_photos import PagePhotos
from sitebook.pages.packing import STEPS_PER_DEGREE, packed
from sitebook.records.results.map_view import FindMark, MapView, SiteMark, TreeMark
from sitebook.records.results.review import PlaceReview

NOT_REVIEWED = "–"


def map_data(
    view: MapView, photos: PagePhotos | None = None, seasons: MapSeasons | None = None
) -> dict[str, object]:
    """Give the data of the page as plain lists and words, ready for JSON."""
    photos = photos or PagePhotos()
    finds = placed_first(view.finds)
    seasons = seasons or map_seasons(view.fruiting, view.outlook, view.today)
    return {
        "steps": STEPS_PER_DEGREE,
        "ground": ground_layers(view.ground),
        "sites": [_site(site) for site in view.sites],
        "shapes": packed([site.geom for site in view.sites]),
        "trees": _trees(view.trees),
        "finds": _finds(finds, photos),
        "photos": photos.pictures,
        "season": seasons.taxa,
        "ahead": seasons.ahead,
        "rows_left_out": seasons.left_out,
        "weeks": week_words(view.today.year),
        "week": min(view.today.isocalendar().week, weeks_in(view.today.year)),
    }


def placed_first(finds: Sequence[FindMark]) -> list[FindMark]:
    """Sort finds so that those with a position come first, newest first among either kind."""
    newest = sorted(finds, key=lambda find: find.found_on or datetime.date.min, reverse=True)
    return sorted(newest, key=lambda find: find.lon is None or find.lat is None)


def badge(review: PlaceReview | None) -> str:
    """Give the class of a place in a few letters: class, what it could be, U for things not known."""
    if review is None:
        return NOT_REVIEWED
    if review.place_class is None:
        return "U"
    worse = review.could_be is not None and review.could_be > review.place_class
    could_be = f"–{review.could_be}" if worse else ""
    return f"{review.place_class}{could_be}{' U' if review.unknown else ''}"


def badge_words(review: PlaceReview | None) -> str:
    """Give the class of a place spelled out."""
    if review is None:
        return "not reviewed yet"
    if review.place_class is None:
        return "class not known"
    worse = review.could_be is not None and review.could_be > review.place_class
    could_be = f", could be {review.could_be}" if worse else ""
    return f"class {review.place_class}{could_be}{', some things not known' if review.unknown else ''}"


def weeks_in(year: int) -> int:
    """Count the ISO weeks of a year, 52 or 53."""
    return datetime.date(year, 12, 28).isocalendar().week


def week_words(year: int) -> list[str]:
    """Give the days of each ISO week of a year, as "28 Sep to 4 Oct"."""
    mondays = (datetime.date.fromisocalendar(year, week, 1) for week in range(1, weeks_in(year) + 1))
    return [f"{_day(monday)} to {_day(monday + datetime.timedelta(days=6))}" for monday in mondays]


def _day(day: datetime.date) -> str:
    """Give day and month, the month in English whatever the machine speaks."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def _site(site: SiteMark) -> dict[str, object]:
    """Give one site, its outline apart."""
    middle = shapely.point_on_surface(site.geom)
    review = site.review
    return {
        "id": site.site_id,
        "name": site.name,
        "badge": badge(review),
        "said": badge_words(review),
        "class": "U" if review is None or review.place_class is None else str(review.place_class),
        "radius": site.radius_m,
        "at": [round(float(middle.y), 6), round(float(middle.x), 6)],
    }


def _trees(trees: Sequence[TreeMark]) -> dict[str, object]:
    """Give the trees as columns."""
    return {
        "id": [tree.tree_id for tree in trees],
        "label": [tree.tag for tree in trees],
        "name": [tree.taxon_name for tree in trees],
        "site": [tree.site_id for tree in trees],
        "finds": [tree.finds for tree in trees],
        "looks": [tree.looks for tree in trees],
        "last": [tree.last_look.isoformat() if tree.last_look else "" for tree in trees],
        "note": [tree.note for tree in trees],
        "xy": packed([shapely.Point(tree.lon, tree.lat) for tree in trees])["xy"],
    }


def _finds(finds: Sequence[FindMark], photos: PagePhotos) -> dict[str, object]:
    """Give the finds as columns, words that come back often by their place in one list."""
    words = _WordList()
    return {
        "id": [find.find_id for find in finds],
        "label": [find.label for find in finds],
        "name": [words.place(find.taxon_name) for find in finds],
        "named": [words.place(find.name_words) for find in finds],
        "date": [words.place(find.date_words) for find in finds],
        "site": [find.site_id for find in finds],
        "error": [find.uncertainty_m for find in finds],
        "many": [words.place(find.count_words) for find in finds],
        "hosts": [words.place("\n".join(find.hosts)) for find in finds],
        "note": [words.place(find.note) for find in finds],
        "photos": [photos.of_find.get(find.find_id, []) for find in finds],
        "missing": [photos.left_out.get(find.find_id, 0) for find in finds],
        "xy": packed(list(_positions(finds)))["xy"],
        "words": words.all,
    }


def _positions(finds: Iterable[FindMark]) -> Iterator[shapely.Point]:
    """Give the positions of those finds that have one."""
    for find in finds:
        if find.lon is not None and find.lat is not None:
            yield shapely.Point(find.lon, find.lat)


class _WordList:
    """Words, each once, in the order they were first met."""

    def __init__(self) -> None:
        self._places: dict[str, int] = {}

    def place(self, word: str) -> int:
        """Give the place of a word, adding it if it is new."""
        return self._places.setdefault(word, len(self._places))

    @property
    def all(self) -> list[str]:
        """The words."""
        return list(self._places)

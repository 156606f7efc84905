"""What the map page shows: places, trees, finds and the ground below them."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from sitebook.records.results.fruiting import FruitingCalendar
from sitebook.records.results.outlook import Outlook
from sitebook.records.results.review import PlaceReview
from sitebook.records.results.surface import SurfaceView


@dataclass(frozen=True)
class SiteMark:
    """One site as the map shows it.

    Parameters
    ----------
    site_id, name
        The site.
    geom
        Outline or point, WGS 84 [deg].
    radius_m
        Reach round a point [m]; None where an outline is drawn.
    review
        Review of the roads round it; None where none was made.
    permission
        What is allowed there, one line each; empty where nobody was asked.
    note
        Her note; empty where there is none.
    """

    site_id: int
    name: str
    geom: BaseGeometry
    radius_m: float | None
    review: PlaceReview | None
    permission: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True)
class TreeMark:
    """One host tree as the map shows it.

    Parameters
    ----------
    tree_id, tag
        The tree, and what she calls it.
    taxon_name
        What kind it is; empty where nobody named it.
    site_id
        Site it stands in; None for none.
    lon, lat
        Foot of the trunk, WGS 84 [deg].
    finds, looks
        Finds that stand with it, and looks made at it.
    last_look
        Day of the newest look; None where nobody looked.
    note
        Her note, or the tree's state; empty where there is none.
    """

    tree_id: int
    tag: str
    taxon_name: str
    site_id: int | None
    lon: float
    lat: float
    finds: int
    looks: int
    last_look: datetime.date | None
    note: str = ""


@dataclass(frozen=True)
class PhotoMark:
    """One photo of a find as the map shows it.

    Parameters
    ----------
    sha256
        SHA-256 of its original, in hex.
    words
        Its file name and when it was taken.
    width_px, height_px
        Size of its small picture [px].
    """

    sha256: str
    words: str
    width_px: int
    height_px: int


@dataclass(frozen=True)
class FindMark:
    """One find as the map shows it.

    Parameters
    ----------
    find_id, label
        The find, and its label, as "VE 12", or "draft" where it has no number.
    taxon_name
        Name alone, for the letter on the map and for search; empty where it was not named.
    name_words
        Name with its qualifier, who gave it and when, or "not named yet".
    date_words
        When it was found, as exactly as is known.
    found_on
        First day it may have been; None where not known. Newest finds are listed first.
    site_id
        Site it was found in; None for none.
    lon, lat
        Where, WGS 84 [deg]; None where no position was noted, and then it is in the lists only.
    uncertainty_m
        Error of the position [m]; None where not noted.
    count_words
        How many, as "3 bodies, 2 taken".
    hosts
        Each host in words.
    note
        Her note; empty where there is none.
    photos
        Its photos, in the order they were taken.
    """

    find_id: int
    label: str
    taxon_name: str
    name_words: str
    date_words: str
    found_on: datetime.date | None
    site_id: int | None
    lon: float | None
    lat: float | None
    uncertainty_m: float | None = None
    count_words: str = ""
    hosts: tuple[str, ...] = ()
    note: str = ""
    photos: tuple[PhotoMark, ...] = ()


@dataclass(frozen=True)
class GroundShape:
    """One shape of the map below the marks.

    Parameters
    ----------
    kind
        Value of the highway tag, kind of ground, or kind of hazard in words.
    name
        Its name; empty where it has none.
    geom
        Point, line or area, WGS 84 [deg].
    """

    kind: str
    name: str
    geom: BaseGeometry


@dataclass(frozen=True)
class GroundMap:
    """The map below the marks, from map extracts.

    Parameters
    ----------
    ways
        Roads and paths, by their highway tag.
    land
        Ground, by its kind.
    hazards
        Railways and other sources of pollution, by their kind in words.
    covered
        Ground the extracts cover, WGS 84; None where there is no extract.
    attributions
        Whom to name on the map.
    data_date
        Date of the map data; None where no extract says.
    """

    ways: tuple[GroundShape, ...] = ()
    land: tuple[GroundShape, ...] = ()
    hazards: tuple[GroundShape, ...] = ()
    covered: BaseGeometry | None = None
    attributions: tuple[str, ...] = ()
    data_date: datetime.date | None = None


@dataclass(frozen=True)
class MapView:
    """Everything one map page is drawn from.

    Parameters
    ----------
    title
        Heading of the page.
    sites, trees, finds
        What is marked on the map.
    ground
        The map below.
    class_meanings
        Class of a place, as "0" to "4" and "U", with its meaning in words, in the order of the key.
    flag_words
        What a class is and what it does not say, in a sentence or two.
    today
        Day the page is drawn for.
    zone
        IANA name of the zone local dates are told in.
    surface
        The road index over the ground; None where none was reckoned.
    review_page
        Name of the file beside the map that holds the full reviews; "" where there is none.
    fruiting
        The usual year of taxa at sites and trees; None where none was computed.
    outlook
        The coming days at sites and trees; None where none was computed.
    """

    title: str
    sites: tuple[SiteMark, ...]
    trees: tuple[TreeMark, ...]
    finds: tuple[FindMark, ...]
    ground: GroundMap
    class_meanings: tuple[tuple[str, str], ...]
    flag_words: str
    today: datetime.date
    zone: str
    surface: SurfaceView | None = None
    review_page: str = ""
    fruiting: FruitingCalendar | None = None
    outlook: Outlook | None = None

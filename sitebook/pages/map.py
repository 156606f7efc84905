"""Draws the map page: the whole book on one map that needs no network."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Protocol, TypeVar

from markupsafe import Markup

from sitebook.pages.frame import page
from sitebook.pages.hatches import HATCHES, hatch_rules
from sitebook.pages.map_chances import MapSeasons, map_seasons
from sitebook.pages.map_data import badge, badge_words, map_data, placed_first, weeks_in
from sitebook.pages.map_ground import kinds_of
from sitebook.pages.map_photos import LinkPhoto, photos_within_budget
from sitebook.pages.map_site_season import SiteSeason, site_seasons
from sitebook.pages.map_surface import SurfaceLayer, missing_words, surface_layer
from sitebook.pages.own_parts import rendered, text_of
from sitebook.pages.third_party import leaflet_script, leaflet_style
from sitebook.records.results.map_view import FindMark, GroundMap, MapView, SiteMark, TreeMark

FINDS_LISTED = 40
"""Finds listed in one record; the search reaches the others."""

REASONS_LISTED = 3
"""Reasons of a class listed in one record."""

UNKNOWN_LISTED = 6
"""Things not known that are listed in one record."""

SCRIPTS: Final[tuple[str, ...]] = (
    "map_unpack.js",
    "map_canvas.js",
    "map_ground.js",
    "map_surface.js",
    "map_labels.js",
    "map_sites.js",
    "map_badges.js",
    "map_spots.js",
    "map_record.js",
    "map_search.js",
    "map_season.js",
    "map_side.js",
    "map_start.js",
)
"""Our own scripts in the order they run, after Leaflet."""

STYLES: Final[tuple[str, ...]] = ("map.css", "map_side.css", "fruiting_grid.css")
"""Our own style sheets, after Leaflet's."""


class _AtSite(Protocol):
    """A mark that may belong to a site."""

    @property
    def site_id(self) -> int | None:
        """Site it belongs to."""


Mark = TypeVar("Mark", bound=_AtSite)


@dataclass(frozen=True)
class _SiteWords:
    """One site with everything its record says."""

    mark: SiteMark
    badge: str
    trees: Sequence[TreeMark]
    find_count: int
    record: Markup


def draw_map(view: MapView, *, poison_centre: str = "", link_photo: LinkPhoto | None = None) -> str:
    """Draw the map page.

    Parameters
    ----------
    view
        What the page shows.
    poison_centre
        Telephone of the poison centre; empty where none is set.
    link_photo
        From the SHA-256 of a photo to the address of its small picture; None for a page without pictures.

    Returns
    -------
    str
        The page as HTML; the records stand in it as plain words too, for print and without scripts.

    Raises
    ------
    PartMissing
        If Leaflet is not installed.
    PageNotSelfContained
        If anything in the page would be loaded from outside.
    """
    scripts = [leaflet_script().text, *(text_of(name) for name in SCRIPTS)]
    style = leaflet_style().text + "".join(map(text_of, STYLES)) + hatch_rules()
    photos = photos_within_budget(view.finds, link_photo)
    shown = view.surface if view.surface is not None and view.surface.current else None
    surface = surface_layer(shown) if shown is not None and shown.parts else None
    seasons = map_seasons(view.fruiting, view.outlook, view.today)
    data = {
        **map_data(view, photos, seasons),
        "credit": _credit(view.ground),
        "surface": surface.data if surface else None,
    }
    return page(
        title=view.title,
        subtitle=_subtitle(view),
        body=_body(view, photos.said(), surface, seasons),
        style=style,
        scripts=scripts,
        data=data,
        poison_centre=poison_centre,
    )


def _body(view: MapView, photos_said: str, surface: SurfaceLayer | None, seasons: MapSeasons) -> Markup:
    """Draw what stands between heading and cautions."""
    trees, finds = _by_site(view.trees), _by_site(placed_first(view.finds))
    drawn = site_seasons(view.fruiting, view.today)
    sites = [_site_words(site, trees, finds, drawn.get(site.site_id), view) for site in view.sites]
    loose = finds[None]
    return rendered("map_hatches.html.j2", hatches=HATCHES) + rendered(
        "map.html.j2",
        view=view,
        sites=sites,
        loose={"find_count": len(loose), "finds": loose[:FINDS_LISTED]},
        seasons=seasons,
        weeks=weeks_in(view.today.year),
        key=_key(view, photos_said, surface),
        data_words=f"; {_source_words(view.ground)}",
    )


def _site_words(
    site: SiteMark,
    trees: dict[int | None, list[TreeMark]],
    finds: dict[int | None, list[FindMark]],
    season: SiteSeason | None,
    view: MapView,
) -> _SiteWords:
    """Draw the record of one site."""
    here, found = trees[site.site_id], finds[site.site_id]
    reasons = site.review.because if site.review else ()
    unknown = site.review.unknown if site.review else ()
    record = rendered(
        "map_site.html.j2",
        mark=site,
        badge=badge(site.review),
        badge_words=badge_words(site.review),
        reasons=reasons[:REASONS_LISTED],
        reasons_left_out=max(0, len(reasons) - REASONS_LISTED),
        unknown=unknown[:UNKNOWN_LISTED],
        unknown_left_out=max(0, len(unknown) - UNKNOWN_LISTED),
        review_page=view.review_page,
        trees=here,
        finds=found[:FINDS_LISTED],
        find_count=len(found),
        season=season,
    )
    return _SiteWords(site, badge(site.review), here, len(found), record)


def _by_site(marks: Iterable[Mark]) -> dict[int | None, list[Mark]]:
    """Sort marks by the site they belong to; None holds those of no site."""
    sorted_marks: dict[int | None, list[Mark]] = defaultdict(list)
    for mark in marks:
        sorted_marks[mark.site_id].append(mark)
    return sorted_marks


def _key(view: MapView, photos_said: str, surface: SurfaceLayer | None) -> Markup:
    """Draw the key."""
    return rendered(
        "map_key.html.j2",
        class_meanings=view.class_meanings,
        flag_words=view.flag_words,
        hazard_kinds=kinds_of(view.ground.hazards),
        source_words=_source_words(view.ground),
        zone=view.zone,
        photos_said=photos_said,
        surface=surface,
        surface_missing=missing_words(view.surface),
    )


def _subtitle(view: MapView) -> str:
    """Say in one line what the map holds and when it was drawn."""
    counts = (
        f"{len(marks):,} {one if len(marks) == 1 else many}"
        for marks, one, many in (
            (view.sites, "site", "sites"),
            (view.trees, "tree", "trees"),
            (view.finds, "find", "finds"),
        )
    )
    return f"{', '.join(counts)}; drawn {view.today.isoformat()}"


def _source_words(ground: GroundMap) -> str:
    """Say where the map data comes from and how old it is."""
    if not ground.attributions:
        return "no map data in the book"
    dated = f"of {ground.data_date.isoformat()}" if ground.data_date else "of unknown date"
    return f"map data {dated}, {'; '.join(ground.attributions)}"


def _credit(ground: GroundMap) -> str:
    """Give the line that stands on the map itself."""
    words = _source_words(ground)
    return words[0].upper() + words[1:]

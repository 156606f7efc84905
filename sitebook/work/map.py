"""Gathers everything the map page shows and has it drawn."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterable, Mapping

import shapely

from sitebook import errors
from sitebook.analysis.contamination.classes import CLOSING, NOT_TOLD, SENTENCES
from sitebook.pages.map import draw_map
from sitebook.records.find import Determination, Find, FindHost
from sitebook.records.host_tree import HostTree
from sitebook.records.map_data import Extract, Hazard, LandCover, Way
from sitebook.records.outing import Look, Visit
from sitebook.records.person import Person
from sitebook.records.results.map_view import FindMark, GroundMap, GroundShape, MapView, SiteMark, TreeMark
from sitebook.records.site import Site
from sitebook.records.taxon import Taxon
from sitebook.reference.map_tags import HazardKind, hazard_kinds
from sitebook.store import map_data, rows
from sitebook.store.book import Book
from sitebook.store.names import standing_determinations
from sitebook.vocabulary import VERIFICATION_LEVEL
from sitebook.work import contamination
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.asking import find_label, name_words
from sitebook.work.bring_in.names import Names, names_in
from sitebook.work.dangers import Dangers, dangers_of
from sitebook.work.opening import book_row
from sitebook.work.outlook import outlook_of
from sitebook.work.permission_words import permission_words
from sitebook.work.photos.showing import photo_link, photo_marks
from sitebook.work.season import fruiting_of
from sitebook.work.seasons import Seasons, seasons_of
from sitebook.work.settings import settings_of
from sitebook.work.surface import surface_for_map


def draw(
    book: Book,
    *,
    today: datetime.date,
    now: datetime.datetime | None = None,
    review_page: str = "",
    seasons: Seasons | None = None,
    progress: Progress = silent,
) -> Answer[MapView]:
    """Answer the map of the whole book.

    Parameters
    ----------
    book
        The book.
    today
        Day the map is drawn for.
    now
        Instant noted where a kept surface of the road index must be reckoned anew, and for fits of seasons
        that are kept, UTC; None where the surface is then rather left away and no fit kept.
    review_page
        Name of the file beside the map that will hold the full reviews, drawn by `draw_reviews`; "" for a
        map alone.
    seasons
        What was loaded and fitted already; None to do it here.
    progress
        Hears how far it is.

    Raises
    ------
    NothingToShow
        When the book holds neither a place nor a map.
    """
    view = view_of(book, today=today, now=now, review_page=review_page, seasons=seasons, progress=progress)
    if not (view.sites or view.trees or view.finds or view.ground.ways or view.ground.land):
        raise errors.NothingToShow(
            "the book holds no place, find or map extract yet",
            where=str(book.path),
            remedy="Bring files in with `sitebook import`.",
        )
    page = draw_map(view, poison_centre=settings_of(book).poison_centre, link_photo=photo_link(book))
    return Answer(view, page)


def view_of(
    book: Book,
    *,
    today: datetime.date,
    now: datetime.datetime | None = None,
    review_page: str = "",
    seasons: Seasons | None = None,
    progress: Progress = silent,
) -> MapView:
    """Gather what the map shows."""
    about, names = book_row(book), names_in(book)
    taxa = {t.id or 0: t.scientific_name for t in rows.records(book, Taxon)}
    fitted = seasons or seasons_of(book, now=now, progress=progress)
    progress("drawing the map", 0, 1)
    return MapView(
        title=about.title,
        sites=_sites(book, today, progress, with_drawings=bool(review_page)),
        trees=_trees(book, taxa),
        finds=_finds(book, names, taxa),
        ground=_ground(book),
        class_meanings=class_meanings(),
        flag_words=f"The class weighs mapped and told sources, not what no map shows. {CLOSING}",
        today=today,
        zone=about.zone,
        surface=surface_for_map(book, today=today, now=now, progress=progress),
        review_page=review_page,
        fruiting=fruiting_of(book, today=today, seasons=fitted),
        outlook=outlook_of(book, fitted, on=today, most=None),
    )


def draw_reviews(book: Book, view: MapView) -> str | None:
    """Draw the page of full reviews that a map links to; None where no site was reviewed."""
    reviews = [site.review for site in view.sites if site.review is not None]
    return contamination.page_of_all(book, reviews, today=view.today) if reviews else None


def review_page_name(map_name: str) -> str:
    """Name the page of reviews after the map it lies beside."""
    if map_name.startswith("map"):
        return f"contamination{map_name.removeprefix('map')}"
    stem, dot, ending = map_name.rpartition(".")
    return f"{stem}-contamination.{ending}" if dot else f"{map_name}-contamination"


NOT_KNOWN = (
    "Not known: no map data covers the place, and nobody told of anything. "
    "Beside a class: something is not known, so the class may be too low."
)


def class_meanings() -> tuple[tuple[str, str], ...]:
    """Give each class of a place with its meaning, highest first, and what is not known last."""
    known = [(str(number), sentence) for number, sentence in sorted(SENTENCES.items(), reverse=True)]
    nothing = ("0", f"Nothing that this book can weigh was found. {NOT_TOLD}")
    return (*known, nothing, ("U", NOT_KNOWN))


def _sites(
    book: Book, today: datetime.date, progress: Progress, *, with_drawings: bool
) -> tuple[SiteMark, ...]:
    reviews = contamination.reviews_by_site(book, today=today, with_drawings=with_drawings, progress=progress)
    allowed = permission_words(book)
    return tuple(
        SiteMark(
            site_id=site.id or 0,
            name=site.name,
            geom=site.geom,
            radius_m=site.radius_m,
            review=reviews.get(site.id or 0),
            permission=allowed.get(site.id or 0, ()),
            note=_site_note(site, today),
        )
        for site in rows.records(book, Site)
    )


def _site_note(site: Site, today: datetime.date) -> str:
    parts = [site.note or ""]
    if site.rest_until is not None and site.rest_until >= today:
        parts.insert(0, f"Resting until {site.rest_until.isoformat()}.")
    return " ".join(part for part in parts if part)


def _trees(book: Book, taxa: Mapping[int, str]) -> tuple[TreeMark, ...]:
    visits = {v.id: v for v in rows.records(book, Visit)}
    finds = Counter(h.host_tree_id for h in rows.records(book, FindHost))
    looks: Counter[int | None] = Counter()
    last: dict[int | None, datetime.date] = {}
    for look in rows.records(book, Look):
        if (visit := visits.get(look.visit_id)) is not None:
            looks[look.host_tree_id] += 1
            last[look.host_tree_id] = max(visit.local_date, last.get(look.host_tree_id, visit.local_date))
    return tuple(
        TreeMark(
            tree_id=tree.id or 0,
            tag=tree.tag,
            taxon_name=taxa.get(tree.taxon_id or 0, ""),
            site_id=tree.site_id,
            lon=tree.geom.centroid.x,
            lat=tree.geom.centroid.y,
            finds=finds[tree.id],
            looks=looks[tree.id],
            last_look=last.get(tree.id),
            note=_tree_note(tree),
        )
        for tree in rows.records(book, HostTree)
    )


def _tree_note(tree: HostTree) -> str:
    parts = [tree.tree_condition or "", tree.note or ""]
    if tree.felled_on is not None:
        parts.insert(0, f"felled or fallen {tree.felled_on.isoformat()}")
    return "; ".join(part for part in parts if part)


def _finds(book: Book, names: Names, taxa: Mapping[int, str]) -> tuple[FindMark, ...]:
    named, dangers = {d.find_id: d for d in standing_determinations(book)}, dangers_of(book)
    sites = {v.id: v.site_id for v in rows.records(book, Visit)}
    people = {p.id: p.initials for p in rows.records(book, Person, withdrawn=True)}
    trees = {t.id: t for t in rows.records(book, HostTree)}
    hosts: dict[int, list[str]] = {}
    photos = photo_marks(book)
    for host in rows.records(book, FindHost):
        hosts.setdefault(host.find_id, []).append(host_words(host, trees, taxa))
    return tuple(
        FindMark(
            find_id=find.id or 0,
            label=find_label(find, names),
            taxon_name=_taxon_name(named.get(find.id or 0), taxa),
            name_words=_named(named.get(find.id or 0), people, dangers),
            date_words=date_words(find),
            found_on=find.found_on,
            site_id=sites.get(find.visit_id),
            lon=find.geom.centroid.x if find.geom is not None else None,
            lat=find.geom.centroid.y if find.geom is not None else None,
            uncertainty_m=find.uncertainty_m,
            count_words=count_words(find),
            hosts=tuple(hosts.get(find.id or 0, ())),
            note=find.note or "",
            photos=photos.get(find.id or 0, ()),
        )
        for find in rows.records(book, Find)
    )


def _taxon_name(determination: Determination | None, taxa: Mapping[int, str]) -> str:
    return taxa.get(determination.taxon_id or 0, "") if determination else ""


def _named(determination: Determination | None, people: Mapping[int | None, str], dangers: Dangers) -> str:
    if determination is None:
        return "not named yet"
    by = people.get(determination.determined_by, "?")
    on = f"on {determination.determined_on.isoformat()}" if determination.determined_on else "on no noted day"
    level = VERIFICATION_LEVEL.meanings[determination.verification_level]
    poison = dangers.words(determination.taxon_id) if determination.taxon_id is not None else ""
    parts = [name_words(determination), f"named by {by} {on}", level, *([poison] if poison else [])]
    return "; ".join(parts)


def date_words(find: Find) -> str:
    """Say when a find was made, as exactly as is known."""
    if find.found_on is None:
        return "date not known"
    if find.found_on_end is None or find.found_on_end == find.found_on:
        return find.found_on.isoformat()
    return f"{find.found_on.isoformat()} to {find.found_on_end.isoformat()}"


def count_words(find: Find) -> str:
    """Say how many there were, were taken and were left."""
    parts = []
    if find.individual_count is not None:
        parts.append(f"{find.individual_count} {find.count_of}")
    if find.taken_count is not None:
        parts.append(f"{find.taken_count} taken")
    if find.fresh_mass_g is not None:
        parts.append(f"{find.fresh_mass_g:g} g fresh")
    return ", ".join(parts)


def host_words(host: FindHost, trees: Mapping[int | None, HostTree], taxa: Mapping[int, str]) -> str:
    """Say what a find stands with, how far off, and how that is known."""
    tree = trees.get(host.host_tree_id)
    kind = taxa.get(host.taxon_id or (tree.taxon_id if tree else None) or 0, "kind not named")
    called = f"{tree.tag} ({kind})" if tree is not None else kind
    distance = f", {host.distance_m:g} m" if host.distance_m is not None else ""
    return f"{host.role} {called}{distance}; {host.how_known}"


def _ground(book: Book) -> GroundMap:
    kinds, extracts = hazard_kinds(), rows.records(book, Extract)
    dates = [e.data_date for e in extracts if e.data_date is not None and e.superseded_by is None]
    covered = [extract.geom for extract in extracts]
    return GroundMap(
        ways=_shapes((way.road_class, way) for way in map_data.standing(book, Way)),
        land=_shapes((land.kind, land) for land in map_data.standing(book, LandCover)),
        hazards=_shapes((_title(h, kinds), h) for h in map_data.standing(book, Hazard)),
        covered=shapely.union_all(covered) if covered else None,
        attributions=tuple(sorted({extract.attribution for extract in extracts})),
        data_date=min(dates, default=None),
    )


def _title(hazard: Hazard, kinds: Mapping[str, HazardKind]) -> str:
    return kinds[hazard.kind].title if hazard.kind in kinds else hazard.kind


def _shapes(found: Iterable[tuple[str, Way | LandCover | Hazard]]) -> tuple[GroundShape, ...]:
    return tuple(GroundShape(kind, row.name or "", row.geom) for kind, row in found)

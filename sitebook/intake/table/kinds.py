"""Declares for each record kind what its table has beyond the record's own columns."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass

from sitebook.intake.cells import CellError
from sitebook.intake.table.columns import UUID, TableColumn, borrowed, columns_of
from sitebook.intake.table.darwin_core import FIND_NAMES
from sitebook.intake.table.told_columns import ACTIVES, EXAMPLES, GROUND, HAZARD_KIND, RESULTS
from sitebook.vocabulary import Words


@dataclass(frozen=True)
class Layout:
    """One kind of table.

    Parameters
    ----------
    kind
        Record kind of its rows.
    columns
        All columns it may have, in the order of its template.
    key
        Headers whose cells tell one row from another.
    told_by
        Headers that must all be there for the kind to be recognised.
    day
        Header of the local date that an hour alone belongs to; None where there is none.
    other_names
        Further names of columns, to their headers.
    also_key
        Headers that tell one row from another where they are filled.
    told_by_one_of
        Headers of which one must be there too; empty where none must.
    """

    kind: str
    columns: tuple[TableColumn, ...]
    key: tuple[str, ...]
    told_by: tuple[str, ...]
    day: str | None = None
    other_names: dict[str, str] = dataclasses.field(default_factory=dict)
    also_key: tuple[str, ...] = ()
    told_by_one_of: tuple[str, ...] = ()

    @property
    def by_header(self) -> dict[str, TableColumn]:
        """Columns by header."""
        return {c.header: c for c in self.columns}

    @property
    def required(self) -> tuple[str, ...]:
        """Headers whose cells must be filled."""
        return tuple(c.header for c in self.columns if c.required)


def _layout(
    kind: str,
    key: str,
    *,
    without: str = "",
    first: tuple[TableColumn, ...] = (),
    extra: tuple[TableColumn, ...] = (),
    optional: dict[str, str] | None = None,
    words: dict[str, Words] | None = None,
    told_by: str = "",
    day: str | None = None,
    other_names: dict[str, str] | None = None,
    by_export: str = "",
    also_key: str = "",
    told_by_one_of: str = "",
) -> Layout:
    own = columns_of(kind, frozenset(without.split()))
    eased = (
        dataclasses.replace(
            c,
            doc=_with_example(kind, c),
            null=(optional or {}).get(c.header, c.null),
            words=(words or {}).get(c.header, c.words),
            by_export=c.header in by_export.split(),
        )
        for c in own
    )
    columns = (*first, *eased, *extra, UUID)
    required = tuple(c.header for c in columns if c.required)
    return Layout(
        kind,
        columns,
        tuple(key.split()),
        tuple(told_by.split()) or required,
        day,
        other_names or {},
        tuple(also_key.split()),
        tuple(told_by_one_of.split()),
    )


def _with_example(kind: str, column: TableColumn) -> str:
    if column.reads_as == "outline" and kind in EXAMPLES:
        return f"outline or line as well-known text, lon before lat, as {EXAMPLES[kind][column.header]}"
    example = EXAMPLES.get(kind, {}).get(column.header)
    doc = column.doc.partition(", as ")[0] if example else column.doc
    return f"{doc}, as {example}" if example else doc


def own_headers(kind: str, cells: Mapping[str, str]) -> dict[str, str]:
    """Give typed cells under the headers of a kind; one told twice, by two names, raises CellError."""
    others = CHANGEABLE[kind].other_names if kind in CHANGEABLE else {}
    own: dict[str, str] = {}
    for written, text in cells.items():
        header = others.get(written, written)
        if header in own:
            raise CellError(f"{written} and {header} are two names of one field: give one of them")
        own[header] = text
    return own


SITE = TableColumn("site", "name of the site", "reference", "outside all her sites", refers="site")
VISIT_COLUMNS = (
    dataclasses.replace(SITE, null=None, unless="visit"),
    TableColumn("local_date", "local date of the visit", "day", unless="visit"),
    borrowed("visit", "started_at", "started_at"),
)
"""The columns by which a look says which visit it belongs to."""

FIND_FIRST = (
    dataclasses.replace(SITE, null="found outside all sites: give lon and lat"),
    borrowed("visit", "started_at", "started_at", null="the only visit of that day"),
)
FIND_EXTRA = (
    TableColumn(
        "name",
        "scientific name as it was given; cf., aff., agg., sp. or ? in it becomes the qualifier",
        "text",
        "not named",
    ),
    borrowed("determination", "qualifier", "qualifier"),
    borrowed("determination", "determined_by", "determined_by", null="the collector"),
    borrowed("determination", "determined_on", "determined_on"),
    borrowed("determination", "verification_level", "verification_level"),
    borrowed("determination", "source_used", "source_used"),
    borrowed("determination", "remarks", "determination_remarks"),
    borrowed("find_host", "host_tree_id", "host_tree", null="no tree named"),
    borrowed("find_host", "taxon_id", "host_taxon"),
    borrowed("find_host", "role", "host_role", null="possible"),
    borrowed("find_host", "distance_m", "host_distance_m"),
    borrowed("find_host", "bearing_deg", "host_bearing_deg"),
    borrowed("find_host", "how_known", "host_how_known"),
    TableColumn(
        "habitat", "surroundings; a word of the substrate list becomes the substrate, other text goes into "
        "the note", "text", "nothing noted",
    ),
    TableColumn("occurrence_status", "present or absent; an absent line is left out", "text", "present"),
)  # fmt: skip

LAYOUTS: dict[str, Layout] = {
    layout.kind: layout
    for layout in (
        _layout("person", "initials"),
        _layout(
            "taxon",
            "scientific_name authorship",
            optional={"taxon_rank": "read from the name", "authorship": "read from the name, else not noted"},
        ),
        _layout("vernacular_name", "taxon vernacular language"),
        _layout("taxon_trait", "taxon trait qualifier value_text source_key"),
        _layout("look_alike", "taxon other"),
        _layout("site", "name", told_by="name"),
        _layout(
            "permission",
            "manager basis permit_number valid_from sites",
            extra=(
                TableColumn(
                    "sites", "names of the sites it holds for, parted by ; or |", "list", "none named"
                ),
                TableColumn(
                    "closed_weekdays",
                    "weekdays on which it does not hold, parted by blanks; 1 or Mon is Monday",
                    "list",
                    "every weekday is open",
                ),
                TableColumn(
                    "closed_dates", "dates on which it does not hold, parted by blanks", "list", "none named"
                ),
            ),
        ),
        _layout("host_tree", "site tag"),
        _layout(
            "visit",
            "site local_date started_at lon lat",
            by_export="track effort_assumed",
            extra=(
                TableColumn(
                    "companions", "initials of those who came along, parted by blanks", "list", "nobody noted"
                ),
            ),
            day="local_date",
        ),
        _layout(
            "look",
            "site local_date started_at host_tree taxon",
            first=VISIT_COLUMNS,
            optional={"visit": "told by site, local_date and started_at"},
            by_export="visit",
            day="local_date",
        ),
        _layout(
            "find",
            "site found_on name lon lat",
            first=FIND_FIRST,
            extra=FIND_EXTRA,
            optional={
                "visit": "told by site, found_on and started_at",
                "collector": "the owner of the book",
                "lon": "at its site",
                "lat": "at its site",
            },
            by_export="visit",
            told_by="found_on",
            day="found_on",
            other_names=FIND_NAMES | {"taxon": "name"},
        ),
        _layout("find_host", "find host_tree taxon"),
        _layout(
            "determination",
            "find verbatim_name determined_by determined_on",
            optional={"determined_by": "the owner of the book", "taxon": "read from verbatim_name"},
            other_names={"name": "verbatim_name"},
        ),
        _layout("photo_tag", "file_name tag_number", without="photo_id"),
        _layout(
            "traffic_count",
            "lon lat counted_on source",
            optional={"vehicles_per_day": "reckoned from the count: counted_vehicles and the two beside it"},
            told_by="lon lat source",
            told_by_one_of="vehicles_per_day counted_vehicles",
            also_key="counted_hour",
        ),
        _layout(
            "hazard",
            "kind name lon lat outline_wkt",
            without="osm_ref extract_id raw_tags",
            words={"kind": HAZARD_KIND},
            extra=GROUND,
            other_names={"line_wkt": "outline_wkt"},
            also_key="site",
        ),
        _layout(
            "spraying",
            "ground applied_on site lon lat outline_wkt told_by",
            extra=(*GROUND, ACTIVES),
            optional={"ground": "the name of the site in `site`"},
            other_names={"line_wkt": "outline_wkt"},
        ),
        _layout("spraying_active", "spraying active"),
        _layout("lab_test", "laboratory report_number", extra=(RESULTS,)),
        _layout("lab_result", "lab_test analyte basis"),
        _layout("weather_station", "code", optional={"zone": "the zone of the book"}),
        _layout("taxon_weight", "person taxon", told_by="taxon weight"),
        _layout("setting", "person setting_key"),
    )
}
"""Each kind of table a person may fill, in an order in which they can be brought in one by one."""

OF_THE_CAMERA = "sha256 file_name media_type camera clock_offset_s zone_assumed position_from elevation_m"
CHANGEABLE: dict[str, Layout] = LAYOUTS | {"photo": _layout("photo", "taken_at", without=OF_THE_CAMERA)}
"""Each kind whose fields can be changed: a photo comes as a picture, but what she says of it is hers."""

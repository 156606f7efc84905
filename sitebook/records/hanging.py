"""Says which rows are read only through another one, and so go out of view with it."""

from __future__ import annotations

READ_THROUGH: dict[str, tuple[str, ...]] = {
    "refused_line": ("batch_id",),
    "vernacular_name": ("taxon_id",),
    "taxon_trait": ("taxon_id",),
    "look_alike": ("taxon_id", "other_id"),
    "permission_site": ("permission_id", "site_id"),
    "permission_closed_day": ("permission_id",),
    "host_tree": ("site_id",),
    "visit": ("site_id",),
    "visit_person": ("visit_id",),
    "look": ("visit_id", "host_tree_id"),
    "find": ("visit_id",),
    "find_host": ("find_id", "host_tree_id"),
    "determination": ("find_id",),
    "way": ("extract_id",),
    "land_cover": ("extract_id",),
    "map_point": ("extract_id",),
    "mapped_tree": ("extract_id",),
    "hazard": ("extract_id",),
    "weather_day": ("station_id", "batch_id"),
    "photo_link": ("photo_id", "find_id", "site_id", "host_tree_id", "visit_id", "permission_id"),
    "photo_thumbnail": ("photo_id",),
    "spraying_active": ("spraying_id",),
    "lab_test": ("site_id", "host_tree_id", "find_id"),
    "lab_result": ("lab_test_id",),
    "surface_cells": ("surface_id",),
    "surface_contour": ("surface_id",),
    "foray_stop": ("foray_id", "site_id"),
    "taxon_weight": ("person_id", "taxon_id"),
}
"""Table to the columns that name what a row hangs on; an empty column hangs on nothing."""

PARTS: frozenset[tuple[str, str]] = frozenset(
    (
        ("refused_line", "batch_id"),
        ("vernacular_name", "taxon_id"),
        ("taxon_trait", "taxon_id"),
        ("look_alike", "taxon_id"),
        ("look_alike", "other_id"),
        ("permission_site", "permission_id"),
        ("permission_site", "site_id"),
        ("permission_closed_day", "permission_id"),
        ("visit_person", "visit_id"),
        ("find_host", "find_id"),
        ("determination", "find_id"),
        ("weather_day", "station_id"),
        ("photo_tag", "photo_id"),
        ("photo_link", "photo_id"),
        ("photo_link", "find_id"),
        ("photo_link", "site_id"),
        ("photo_link", "host_tree_id"),
        ("photo_link", "visit_id"),
        ("photo_link", "permission_id"),
        ("photo_thumbnail", "photo_id"),
        ("spraying_active", "spraying_id"),
        ("lab_result", "lab_test_id"),
        ("surface_cells", "surface_id"),
        ("surface_contour", "surface_id"),
        ("foray_stop", "foray_id"),
        ("taxon_weight", "person_id"),
        ("taxon_weight", "taxon_id"),
    )
)
"""References by which a row is a part of what it names, so that nobody misses it when that goes."""

ENDS: dict[str, str] = {"import_batch": "undone_at"}
"""Column that says of a row without `withdrawn_at` that what hangs on it is out of view."""

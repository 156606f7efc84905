"""Says which permissions each site has, and what they allow, one line each."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from sitebook.ground.outline import ground_of
from sitebook.records.site import Permission, PermissionSite, Site
from sitebook.store import rows
from sitebook.store.book import Book

A_TURN_DEG = 360.0


def permissions_by_site(book: Book) -> dict[int, list[Permission]]:
    """Give the permissions of each site: those that name it, and those whose ground it touches."""
    permissions = {p.id or 0: p for p in rows.records(book, Permission)}
    found: dict[int, dict[int, Permission]] = defaultdict(dict)
    for link in rows.records(book, PermissionSite):
        if link.permission_id in permissions:
            found[link.site_id][link.permission_id] = permissions[link.permission_id]
    grounds = [(key, one.geom) for key, one in permissions.items() if one.geom is not None]
    for site in rows.records(book, Site) if grounds else ():
        shapes = _shapes(site)
        for key, ground in grounds:
            if any(ground.intersects(shape) for shape in shapes):
                found[site.id or 0][key] = permissions[key]
    return {site_id: list(own.values()) for site_id, own in found.items()}


def covers(permission: Permission, site: Site) -> bool:
    """Tell whether the ground of a permission holds the whole of a site; one without a ground always does."""
    ground = permission.geom
    return ground is None or any(ground.covers(shape) for shape in _shapes(site))


def _shapes(site: Site) -> tuple[BaseGeometry, ...]:
    """Give the ground of a site, WGS 84; a circle across 180 degrees once for each side of it."""
    shape = ground_of(site)
    west, _, east, _ = shape.bounds
    if site.radius_m is None or east - west <= A_TURN_DEG / 2:
        return (shape,)
    eastward = shapely.transform(shape, _eastward)
    return eastward, translate(eastward, xoff=-A_TURN_DEG)


def _eastward(lonlat: NDArray[np.float64]) -> NDArray[np.float64]:
    """Count longitudes eastward only, from 0 to 360."""
    return np.column_stack([lonlat[:, 0] % A_TURN_DEG, lonlat[:, 1]])


def permission_words(book: Book) -> dict[int, tuple[str, ...]]:
    """Give what each site's permissions say, one line each, by the site's id."""
    return {
        site_id: tuple(permission_line(permission) for permission in own)
        for site_id, own in permissions_by_site(book).items()
    }


def permission_line(permission: Permission) -> str:
    """Say what a permission allows, from when to when, and when it was last asked about."""
    parts = [f"{permission.manager}: {permission.basis}"]
    if permission.valid_from or permission.valid_to:
        start, end = permission.valid_from or "…", permission.valid_to or "…"
        parts.append(f"valid {start} to {end}")
    parts += terms(permission)
    checked = permission.last_checked
    parts.append(f"last asked {checked.isoformat()}" if checked else "not checked")
    return "; ".join(parts)


def terms(permission: Permission) -> Iterator[str]:
    """Say the hours, limits and method of a permission."""
    unit = f" {permission.limit_unit}" if permission.limit_unit else ""
    each = " a person" if permission.per_person else ""
    if permission.opens_at or permission.closes_at:
        yield f"open {permission.opens_at or '00:00'} to {permission.closes_at or '24:00'}"
    if permission.daily_limit is not None:
        yield f"at most {permission.daily_limit:g}{unit} a day{each}"
    if permission.season_limit is not None:
        yield f"at most {permission.season_limit:g}{unit} a season{each}"
    if permission.method_rule:
        yield permission.method_rule

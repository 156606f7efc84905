"""Says which permissions each site has, and what they allow, one line each."""

from __future__ import annotations

from collections import defaultdict

from sitebook.records.site import Permission, PermissionSite, Site
from sitebook.store import rows
from sitebook.store.book import Book


def permissions_by_site(book: Book) -> dict[int, list[Permission]]:
    """Give the permissions of each site: those that name it, and those whose ground it lies in or touches."""
    permissions = {p.id or 0: p for p in rows.records(book, Permission)}
    found: dict[int, dict[int, Permission]] = defaultdict(dict)
    for link in rows.records(book, PermissionSite):
        if link.permission_id in permissions:
            found[link.site_id][link.permission_id] = permissions[link.permission_id]
    grounds = [(key, one.geom) for key, one in permissions.items() if one.geom is not None]
    for site in rows.records(book, Site) if grounds else ():
        for key, ground in grounds:
            if ground.intersects(site.geom):
                found[site.id or 0][key] = permissions[key]
    return {site_id: list(own.values()) for site_id, own in found.items()}


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
    if permission.daily_limit is not None:
        parts.append(f"at most {permission.daily_limit:g} {permission.limit_unit} a day")
    if permission.method_rule:
        parts.append(permission.method_rule)
    checked = permission.last_checked
    parts.append(f"last asked {checked.isoformat()}" if checked else "not checked")
    return "; ".join(parts)

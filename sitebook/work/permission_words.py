"""Says what the permissions of each site allow, one line each."""

from __future__ import annotations

from sitebook.records.site import Permission, PermissionSite
from sitebook.store import rows
from sitebook.store.book import Book


def permission_words(book: Book) -> dict[int, tuple[str, ...]]:
    """Give what each site's permissions say, one line each, by the site's id."""
    permissions = {p.id: p for p in rows.records(book, Permission)}
    words: dict[int, list[str]] = {}
    for link in rows.records(book, PermissionSite):
        if (permission := permissions.get(link.permission_id)) is not None:
            words.setdefault(link.site_id, []).append(_permission_line(permission))
    return {site_id: tuple(lines) for site_id, lines in words.items()}


def _permission_line(permission: Permission) -> str:
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

"""Where a row's UUID comes from: the same source gives the same UUID each time."""

from __future__ import annotations

import uuid

NAMESPACE = uuid.uuid5(uuid.NAMESPACE_URL, "https://sitebook.example/rows")
"""Every UUIDv5 of the project lies in this namespace; the address names nothing and is never asked."""


def uuid_of(kind: str, identity: str) -> str:
    """Give the UUIDv5 of a row by its table and what its source calls it."""
    return str(uuid.uuid5(NAMESPACE, f"{kind}:{identity}"))

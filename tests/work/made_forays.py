"""Keeps forays for the tests, as a plan keeps them."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Sequence
from pathlib import Path

import shapely

from sitebook.records.foray import Foray, ForayStop
from sitebook.records.site import Site
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.store.history import Act, acting
from sitebook.work.identity_keys import uuid_of
from sitebook.work.opening import opened
from tests.work import books

DAY = datetime.date(2025, 10, 4)


def keep(
    path: Path,
    *sites: str,
    on: datetime.date = DAY,
    name: str = "one",
    now: datetime.datetime = books.NOW,
    stay_min: float = 40.0,
) -> str:
    """Keep a foray with a planned stop at each of these sites, from 09:30 on, hourly; gives its UUID."""
    with opened(path) as book, acting(book, Act("plan", now)):
        foray = _foray(on, name, now)
        (foray_id,) = rows.insert(book, [foray])
        history.note_made(book, [foray])
        stops = _stops(book, dataclasses.replace(foray, id=foray_id), sites, stay_min)
        rows.insert(book, stops)
        history.note_made(book, stops)
    return foray.uuid


def _foray(on: datetime.date, name: str, now: datetime.datetime) -> Foray:
    return Foray(
        uuid=uuid_of("foray", name),
        created_at=now,
        changed_at=now,
        local_date=on,
        starts_at="09:00",
        ends_at="16:00",
        mode="foot",
        geom=shapely.Point(-19.405, 48.605),
    )


def _stops(book: Book, foray: Foray, sites: Sequence[str], stay_min: float) -> list[ForayStop]:
    ids = {site.name: site.id or 0 for site in rows.records(book, Site)}
    return [
        ForayStop(
            uuid=uuid_of("foray_stop", f"{foray.uuid}|{site}"),
            created_at=foray.created_at,
            changed_at=foray.changed_at,
            foray_id=foray.id or 0,
            site_id=ids[site],
            turn=turn,
            purpose="gather",
            arrives_at=f"{8 + turn:02d}:30",
            stay_minutes=stay_min,
            chance=0.35,
        )
        for turn, site in enumerate(sites, 1)
    ]

"""Writes tables of invented sites in the parks of a real town, visited over six autumns."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path

SITES = {
    "Birch lawn": (24.9448, 60.1748),
    "Glasshouse beds": (24.9478, 60.1756),
    "Lower pond bank": (24.9455, 60.1758),
    "Old churchyard": (24.9398, 60.1660),
    "Mare green": (24.9500, 60.1735),
}
"""Name to place, WGS 84 [deg]; all lie in the extract of the open data."""

TREES = (
    ("Birch lawn", "B1", "Betula pendula"),
    ("Birch lawn", "B2", "Betula pendula"),
    ("Lower pond bank", "L1", "Tilia cordata"),
    ("Old churchyard", "L2", "Tilia cordata"),
)

FOUND_AT = {
    "Birch lawn": ("Leccinum scabrum", "B1"),
    "Glasshouse beds": ("Agaricus campestris", ""),
    "Lower pond bank": ("Boletus reticulatus", "L1"),
    "Old churchyard": ("Boletus reticulatus", "L2"),
    "Mare green": ("Marasmius oreades", ""),
}
YEARS = range(2019, 2025)
DAYS = ((8, 20), (9, 5), (9, 19), (10, 3), (10, 24))
"""Days on which every site was visited in each year."""

SATURDAY = datetime.date(2025, 9, 13)


def write(folder: Path) -> list[str]:
    """Write the tables and give their names."""
    return [_table(folder, name, *lines) for name, lines in _tables().items()]


def _tables() -> dict[str, list[str]]:
    sites = [f"{name},{lon},{lat},30" for name, (lon, lat) in SITES.items()]
    trees = [
        f"{site},{tag},{taxon},{SITES[site][0] + 1e-4 * number},{SITES[site][1]}"
        for number, (site, tag, taxon) in enumerate(TREES)
    ]
    return {
        "site": ["name,lon,lat,radius_m", *sites],
        "host_tree": ["site,tag,taxon,lon,lat", *trees],
        "visit": ["site,local_date,search_minutes,reason,looked_for_all", *_visits()],
        "find": [
            "site,found_on,collector,collection_number,lon,lat,individual_count,name,host_tree,host_role",
            *_finds(),
        ],
    }


def _days() -> Iterator[tuple[int, str, datetime.date]]:
    for year in YEARS:
        for month, day in DAYS:
            for number, site in enumerate(SITES):
                yield number, site, datetime.date(year, month, day)


def _visits() -> list[str]:
    return [f"{site},{day.isoformat()},{15 + number},planned,yes" for number, site, day in _days()]


def _finds() -> list[str]:
    """Let each site bear in its own years, most of them in September."""
    lines: list[str] = []
    for number, site, day in _days():
        bears = site in FOUND_AT and (day.year + number) % 3 != 0 and day.month in (9, 10) and day.day < 20
        if bears:
            taxon, tree = FOUND_AT[site]
            lon, lat = SITES[site]
            lines.append(
                f"{site},{day.isoformat()},OV,{len(lines) + 1},{lon},{lat},{2 + number % 4},{taxon},"
                f"{tree},{'under' if tree else ''}"
            )
    return lines


def _table(folder: Path, kind: str, *lines: str) -> str:
    path = folder / f"{kind}.csv"
    path.write_text("\n".join((f"# sitebook table: {kind}", *lines, "")), "utf-8")
    return path.name

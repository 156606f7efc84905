"""Makes the files of the invented island town, the same to the byte each time.

Vennaray lies at about 48.6 N 19.4 W, where in truth there is open sea; no name, person or place in
it is real. Run ``python -m demo_data.make`` from the top of the project to write ``demo_data/files``
anew, or name another folder with ``--to``.

What each file shows, and what hidden truth the finds are drawn from, stands in ``docs/demo.md``.
Every draw comes from the standard library's generator, seeded with a word for each subject, so that
a change in one subject leaves the others as they were. The photos are the same to the byte with the same
Pillow; another one may pack the same pixels differently.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from demo_data.making import outings_tables, pictures, places_tables, told_tables
from demo_data.making.outings import all_visits
from demo_data.making.town import town_map
from demo_data.making.walk import walk
from demo_data.making.weather import all_days, written

FILES = Path(__file__).parent / "files"


def all_files() -> dict[str, bytes]:
    """Make every file: its name and its bytes."""
    days = all_days()
    visits = all_visits(days)
    texts = {
        "vennaray.osm": town_map(),
        "people.csv": places_tables.people(),
        "taxa.csv": places_tables.taxa(),
        "sites.csv": places_tables.sites(),
        "trees.csv": places_tables.trees(),
        "permissions.csv": places_tables.permissions(),
        "traffic_counts.csv": told_tables.traffic_counts(),
        "hazards.csv": told_tables.hazards(),
        "sprayings.csv": told_tables.sprayings(),
        "lab_tests.csv": told_tables.lab_tests(),
        "visits.csv": outings_tables.visits_table(visits),
        "looks.csv": outings_tables.looks_table(visits),
        "finds.csv": outings_tables.finds_table(visits),
        "weather_vennarhaven.csv": written(days),
        "saturday_walk.gpx": walk(),
        "photo_tags.csv": pictures.numbers(),
    }
    files = {name: text.encode("utf-8") for name, text in texts.items()}
    files |= pictures.pictures()
    files["foray_list_2024.csv"] = outings_tables.foray_list().encode("utf-8-sig")
    return files


def write_files(folder: Path) -> None:
    """Write every file into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in all_files().items():
        (folder / name).write_bytes(content)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description="Make the files of the invented island town.")
    parser.add_argument("--to", type=Path, default=FILES, help="folder to write into")
    write_files(parser.parse_args().to)

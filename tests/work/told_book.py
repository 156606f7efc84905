"""Gives the invented town with sprayings, hazards and laboratory tests told of it."""

from __future__ import annotations

from pathlib import Path

from sitebook.records.results.review import PlaceReview
from sitebook.work import contamination, opened
from tests.work import books
from tests.work.bring_in import town

FINDS = (
    "Mill Park,2025-09-01,OV,31,-19.40005,48.60205,,soil,Agaricus campestris,B1",
    "Mill Park,2025-09-02,OV,32,-19.40005,48.60205,12,treated wood,Pleurotus ostreatus,",
    "Mill Park,2025-09-03,OV,33,-19.40005,48.60205,5,imported chip,Cyclocybe aegerita,",
    "Quay Wood,2025-09-04,OV,34,,,,soil,Boletus edulis,",
)
SPRAYINGS = (
    "Mill Park,Mill Park,done,2025-04-10,boom,glyphosate 1440 g/ha,the parks office,2025-04-12,,,",
    "Quay Wood,Quay Wood,done,2024-04-10,boom,glyphosate,the parks office,,2025-03-01,Mira Dask,soil changed",
)
TESTS = (
    "R1,Mill Park,,,,2025-08-01,Island laboratory,soil,Pb 86 mg/kg dry",
    "R2,,Mill Park/B1,,,2025-08-02,Island laboratory,plant,Zn 240 mg/kg dry",
    "R3,,,OV 31,,2025-09-03,Island laboratory,mushroom,Cd 4.6 mg/kg dry; Hg <0.1 mg/kg dry",
    "R4,Quay Wood,,,,2025-08-04,Island laboratory,soil,Pb 30 mg/kg dry",
)


def told(folder: Path) -> Path:
    """Give a book of the town with everything told."""
    path = town.built(folder)
    town.bring(
        path,
        books.table(
            folder,
            "find",
            "site,found_on,collector,collection_number,lon,lat,uncertainty_m,substrate,name,host_tree",
            *FINDS,
            name="told_finds",
        ),
        books.table(
            folder,
            "spraying",
            "site,ground,state,applied_on,method,actives,told_by,told_on,closed_on,closed_by,closing_note",
            *SPRAYINGS,
        ),
        books.table(
            folder,
            "lab_test",
            "report_number,site,host_tree,find,spraying,sampled_on,laboratory,material,results",
            *TESTS,
        ),
    )
    return path


def site(path: Path, name: str) -> PlaceReview:
    """Review one site."""
    with opened(path) as book:
        return contamination.review_site(book, name, today=books.TODAY).result


def find(path: Path, label: str) -> PlaceReview:
    """Review one find."""
    with opened(path) as book:
        return contamination.review_find(book, label, today=books.TODAY).result


def at(path: Path, lon: float, lat: float, uncertainty_m: float | None = None) -> PlaceReview:
    """Review one position."""
    with opened(path) as book:
        return contamination.review_at(book, lon, lat, today=books.TODAY, uncertainty_m=uncertainty_m).result


def reports(review: PlaceReview) -> list[str]:
    """Give the numbers of the reports shown."""
    return [test.report_number for test in review.tests]

"""Tests that what was said of the whole of a site takes the ground the site has."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook import errors
from sitebook.ground.outline import ground_of
from sitebook.records.map_data import Hazard
from sitebook.records.site import Site
from sitebook.records.spraying import Spraying
from sitebook.store import rows
from sitebook.work import opened
from tests.work import books
from tests.work.bring_in import town

SPRAYED = "site,state,applied_on,told_by,actives"
LINE = "mill park,done,2025-05-12,Orm Tolvane,glyphosate 1440 g/ha; mowex"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return books.fresh(tmp_path)


def test_site_and_spraying_of_one_command_meet_whatever_the_order(book: Path, tmp_path: Path) -> None:
    sprayed = books.table(tmp_path, "spraying", SPRAYED, LINE, name="a_first")
    report = town.bring(book, sprayed, town.sites(tmp_path))
    assert town.added(report) == {"site": 2, "spraying": 1, "spraying_active": 2}
    with opened(book) as found:
        (spraying,) = rows.records(found, Spraying)
        park = next(site for site in rows.records(found, Site) if site.name == "Mill Park")
    assert spraying.geom.equals_exact(ground_of(park), 1e-9)
    assert spraying.ground == "Mill Park"
    assert [r for r in report.remarks if "mowex" in r]


def test_the_same_table_again_doubles_nothing(book: Path, tmp_path: Path) -> None:
    town.bring(book, town.sites(tmp_path), books.table(tmp_path, "spraying", SPRAYED, LINE))
    again = books.table(tmp_path, "spraying", SPRAYED, LINE, "# once more", name="again")
    report = town.bring(book, again, now=books.LATER)
    assert town.added(report) == {}
    assert town.lines_of(report) == []
    assert [file.already for file in report.files] == [3]


def test_a_hazard_may_be_the_whole_of_a_site(book: Path, tmp_path: Path) -> None:
    told = books.table(tmp_path, "hazard", "kind,origin,source,site", "old orchard,told,Mira Dask,Quay Wood")
    assert town.added(town.bring(book, told, town.sites(tmp_path)))["hazard"] == 1
    with opened(book) as found:
        (hazard,) = rows.records(found, Hazard)
    assert hazard.geom.geom_type == "Polygon"


def test_a_site_nobody_knows_is_refused_with_the_nearest(book: Path, tmp_path: Path) -> None:
    town.bring(book, town.sites(tmp_path))
    told = books.table(tmp_path, "spraying", SPRAYED, LINE.replace("mill park", "Mil Park"))
    with pytest.raises(
        errors.LinesRefused, match=r"line 3: no site is called 'Mil Park'.*nearest: Mill Park"
    ):
        town.bring(book, told)
    assert books.asked(book, "SELECT * FROM spraying_active") == []

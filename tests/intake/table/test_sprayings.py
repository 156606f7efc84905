"""Tests that a line of a table of sprayings gives the spraying and its actives, or one clear refusal."""

from __future__ import annotations

import datetime
from collections.abc import Mapping

import pytest
import shapely

from sitebook.intake.cells import CellError
from sitebook.intake.table.sprayings import NO_DAY, read_active
from sitebook.intake.table.typed import read_typed
from sitebook.records.incoming import Draft

LAWN = {"ground": "the lawn", "lon": "-19.4", "lat": "48.6", "state": "done", "told_by": "Orm Tolvane"}


def _read(cells: Mapping[str, str], **more: str) -> tuple[Draft, ...]:
    reading = read_typed("spraying", {**cells, **more})
    assert reading.sorted_lines == (), reading.sorted_lines
    return reading.drafts


def _refusal(cells: Mapping[str, str], **more: str) -> str:
    (line,) = read_typed("spraying", {**cells, **more}).sorted_lines
    assert line.sorting == "refused"
    assert "\n" not in line.reason
    return line.reason


@pytest.mark.parametrize(
    ("text", "name", "rate", "unit"),
    [
        ("2,4-D", "2,4-D", None, None),
        ("2,4-D 900 g/ha", "2,4-D", 900.0, "g/ha"),
        ("glyphosate 1440g/ha", "glyphosate", 1440.0, "g/ha"),
        ("lead arsenate 2,5 KG/HA", "lead arsenate", 2.5, "kg/ha"),
        ("imidacloprid 0.8 g/tree", "imidacloprid", 0.8, "g/tree"),
        ("copper/sulphur mixture", "copper/sulphur mixture", None, None),
    ],
)
def test_an_active_is_read_with_and_without_its_rate(
    text: str, name: str, rate: float | None, unit: str | None
) -> None:
    assert read_active(text) == (name, rate, unit)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("glyphosate 1440", "rate without a unit; write one of: g/ha, kg/ha, ml/ha, g/tree"),
        ("glyphosate 2 lb/ac", "'lb/ac' in 'glyphosate 2 lb/ac' is not one of: g/ha"),
        ("glyphosate -3 g/ha", "must be above 0"),
        ("glyphosate 0 g/ha", "must be above 0"),
        ("1440 g/ha", "names no substance"),
    ],
)
def test_an_active_that_cannot_be_is_refused(text: str, said: str) -> None:
    with pytest.raises(CellError, match="actives: ") as refused:
        read_active(text)
    assert said in str(refused.value)


def test_a_line_gives_the_spraying_and_a_draft_for_each_active() -> None:
    spraying, glyphosate, other = _read(LAWN, applied_on="2026-05", actives="glyphosate 1440 g/ha; 2,4-D")
    assert spraying.values["applied_on"] == datetime.date(2026, 5, 1)
    assert spraying.values["applied_on_end"] == datetime.date(2026, 5, 31)
    assert glyphosate.values == {"active": "glyphosate", "rate": 1440.0, "rate_unit": "g/ha"}
    assert other.values == {"active": "2,4-D"}
    assert {d.refers["spraying_id"] for d in (glyphosate, other)} == {spraying.identity}
    assert [d.remarks for d in (spraying, glyphosate, other)] == [(), (), ()]


def test_an_active_of_which_nothing_is_known_is_kept_and_remarked() -> None:
    _, known, unknown = _read(LAWN, applied_on="2026-05-04", actives="MCPP; mowex")
    assert known.remarks == ()
    assert unknown.remarks == (
        "No half-life of mowex is known here: how much of it is left is not reckoned.",
    )


def test_a_spraying_that_is_done_may_have_no_day_and_that_is_said() -> None:
    (spraying,) = _read(LAWN)
    assert spraying.remarks == (NO_DAY,)
    assert _read(LAWN, state="planned")[0].remarks == ()


def test_a_point_with_a_radius_is_ground() -> None:
    point, disc = _read(LAWN)[0].values["geom"], _read(LAWN, radius_m="10")[0].values["geom"]
    assert isinstance(point, shapely.Point)
    assert isinstance(disc, shapely.Polygon)
    assert disc.contains(point)


def test_a_line_is_ground_too() -> None:
    cells = {k: v for k, v in LAWN.items() if k not in ("lon", "lat")}
    (spraying,) = _read(cells, outline_wkt="LINESTRING (-19.4 48.6, -19.41 48.61)")
    assert isinstance(spraying.values["geom"], shapely.LineString)


def test_the_whole_of_a_site_is_told_by_its_name_and_names_the_ground() -> None:
    (spraying,) = _read({"site": "Mill Park", "state": "never", "told_by": "Orm Tolvane"})
    assert spraying.refers == {"geom": "Mill Park"}
    assert spraying.values["ground"] == "Mill Park"
    assert "geom" not in spraying.values


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"told_by": ""}, "told_by is empty; it must be filled (who said so"),
        ({"state": "never", "told_by": ""}, "told_by is empty"),
        ({"state": "perhaps"}, "'perhaps' is not one of: done, planned, never, not known"),
        ({"state": "never", "applied_on": "2026"}, "state says never, and applied_on is filled"),
        ({"state": "never", "actives": "2,4-D"}, "state says never, and actives is filled"),
        ({"closed_on": "2026-06-01"}, "closed_by is empty: a closing note needs closed_on, closed_by"),
        ({"closing_note": "soil renewed", "closed_by": "Orm"}, "closed_on is empty"),
        (
            {"applied_on": "2026-05-04", "closed_on": "2026-05-01", "closed_by": "O", "closing_note": "x"},
            "closed_on 2026-05-01 comes before applied_on 2026-05-04",
        ),
        ({"applied_on": "2026-05-04/2026-05-01"}, "ends before it begins"),
        ({"ground": ""}, "ground is empty"),
        ({"lon": "", "lat": ""}, "where was it?"),
        ({"lat": ""}, "lon and lat go together"),
        ({"lon": "", "lat": "", "radius_m": "5"}, "radius_m goes with lon and lat"),
        ({"site": "Mill Park"}, "not two of them"),
        ({"applications": "0"}, "at least 1"),
        ({"actives": "2,4-D; 2,4-d"}, "stands there twice"),
        ({"drift_group": "lawns"}, "is not one of: arable_below_50cm"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(more: dict[str, str], said: str) -> None:
    assert said in _refusal(LAWN, **more)


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ({"rate": "4"}, "rate and rate_unit go together"),
        ({"rate_unit": "g/ha"}, "rate and rate_unit go together"),
        ({"rate": "0", "rate_unit": "g/ha"}, "rate is 0"),
        ({"rate": "-4", "rate_unit": "g/ha"}, "at least 0"),
    ],
)
def test_an_active_of_a_table_of_its_own_is_held_to_the_same(cells: dict[str, str], said: str) -> None:
    reading = read_typed("spraying_active", {"spraying": "the lawn", "active": "2,4-D", **cells})
    assert said in reading.sorted_lines[0].reason

"""The invented island: made the same each time, one file agreeing with the next, nothing real in it."""

from __future__ import annotations

import csv
import datetime
import io
import itertools
import math
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from collections import Counter
from pathlib import Path

import pytest
import shapely
from PIL import Image, ImageChops
from shapely import Point, wkt
from shapely.geometry.base import BaseGeometry

from sitebook import vocabulary
from sitebook.intake.photo import read_photo
from sitebook.intake.table.told_columns import HAZARD_KIND

ROOT = Path(__file__).parents[2]
FILES = ROOT / "demo_data" / "files"
WEST, SOUTH, EAST, NORTH = -19.43, 48.58, -19.37, 48.62
METRES_LAT = 111_195.0
METRES_LON = METRES_LAT * math.cos(math.radians(48.6))
Row = dict[str, str]


def rows(name: str) -> list[Row]:
    text = (FILES / name).read_text(encoding="utf-8-sig")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return list(csv.DictReader(io.StringIO("\n".join(lines)), delimiter=";" if ";" in lines[0] else ","))


def sites() -> dict[str, BaseGeometry]:
    """Sites in metres from the first corner of the map."""
    found: dict[str, BaseGeometry] = {}
    for row in rows("sites.csv"):
        if row["outline_wkt"]:
            ring = wkt.loads(row["outline_wkt"])
            found[row["name"]] = shapely.transform(
                ring, lambda xy: (xy - (WEST, SOUTH)) * (METRES_LON, METRES_LAT)
            )
        else:
            found[row["name"]] = metres(row).buffer(float(row["radius_m"]))
    return found


def metres(row: Row) -> Point:
    lon, lat = (float(row[key].replace(",", ".")) for key in ("lon", "lat"))
    return Point((lon - WEST) * METRES_LON, (lat - SOUTH) * METRES_LAT)


def osm() -> ET.Element:
    return ET.fromstring((FILES / "vennaray.osm").read_bytes())  # noqa: S314 - our own file


def test_making_them_again_gives_the_same_bytes(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "demo_data.make", "--to", str(tmp_path)]
    subprocess.run(command, cwd=ROOT, check=True, timeout=120)
    made = {path.name: path for path in tmp_path.iterdir()}
    kept = {path.name: path for path in FILES.iterdir()}
    assert set(made) == set(kept)
    for name, path in made.items():
        assert same_picture(path, kept[name]) if path.suffix == ".jpg" else same_bytes(path, kept[name]), name


def same_bytes(one: Path, other: Path) -> bool:
    return one.read_bytes() == other.read_bytes()


def same_picture(one: Path, other: Path) -> bool:
    """Compare tags and pixels, since another release of Pillow may pack the same pixels differently."""
    if same_bytes(one, other):
        return True
    with Image.open(one) as made, Image.open(other) as kept:
        tags = [(dict(i.getexif().get_ifd(34665)), dict(i.getexif().get_ifd(34853))) for i in (made, kept)]
        apart = ImageChops.difference(made, kept).getextrema()
    return tags[0] == tags[1] and all(isinstance(band, tuple) and band[1] < 40 for band in apart)


def test_tags_of_photos_are_those_of_finds_at_that_place_and_day() -> None:
    numbered = {row["collection_number"]: row for row in rows("finds.csv")}
    tags = rows("photo_tags.csv")
    assert len(tags) == 2
    for tag in tags:
        find = numbered[tag["tag_number"]]
        values = read_photo(FILES / tag["file_name"]).drafts[0].values
        place, at = values["geom"], values["taken_at"]
        assert isinstance(place, Point)
        assert isinstance(at, datetime.datetime)
        assert (place.x, place.y) == pytest.approx((float(find["lon"]), float(find["lat"])), abs=1e-6)
        assert at.date().isoformat() == find["found_on"]
        assert (FILES / tag["file_name"]).stat().st_size < 20_000


def test_the_files_stay_small() -> None:
    assert sum(path.stat().st_size for path in FILES.iterdir()) < 1_500_000


def test_there_is_enough_to_show() -> None:
    assert len(rows("finds.csv")) >= 75
    assert len(rows("sites.csv")) >= 16
    assert len(rows("trees.csv")) >= 24
    assert 260 <= len(rows("visits.csv")) <= 400
    assert {int(row["local_date"][:4]) for row in rows("visits.csv")} == {2021, 2022, 2023, 2024, 2025}


def test_most_visits_found_nothing() -> None:
    finds = {(row["site"], row["found_on"]) for row in rows("finds.csv")}
    visits = [(row["site"], row["local_date"]) for row in rows("visits.csv")]
    assert 0.2 < sum(visit in finds for visit in visits) / len(visits) < 0.4
    season = [
        row["outcome"] == "found" for row in rows("looks.csv") if row["local_date"][5:7] in "08 09 10 11"
    ]
    assert 0.12 < sum(season) / len(season) < 0.3


def test_no_two_visits_share_a_site_and_a_day() -> None:
    assert max(Counter((row["site"], row["local_date"]) for row in rows("visits.csv")).values()) == 1


@pytest.mark.parametrize("name", ["finds.csv", "foray_list_2024.csv"])
def test_finds_lie_in_their_site(name: str) -> None:
    outlines = sites()
    placed = [row for row in rows(name) if row["lon"]]
    assert len(placed) >= 4
    for row in placed:
        assert outlines[row["site"]].buffer(0.2).covers(metres(row)), row


def test_distance_and_bearing_lead_from_the_trunk_to_the_find() -> None:
    trunks = {row["tag"]: metres(row) for row in rows("trees.csv")}
    measured = [row for row in rows("finds.csv") if row["host_distance_m"]]
    assert len(measured) > 40
    for row in measured:
        trunk, find = trunks[row["host_tree"]], metres(row)
        bearing = math.degrees(math.atan2(find.x - trunk.x, find.y - trunk.y)) % 360
        assert trunk.distance(find) == pytest.approx(float(row["host_distance_m"]), abs=0.06)
        assert abs((bearing - float(row["host_bearing_deg"]) + 180) % 360 - 180) <= 1.0


def test_trees_stand_in_their_site() -> None:
    outlines = sites()
    assert all(outlines[row["site"]].covers(metres(row)) for row in rows("trees.csv"))


def test_every_find_has_its_visit_and_an_hour_within_it() -> None:
    visits = {(row["site"], row["local_date"]): row for row in rows("visits.csv")}
    for row in rows("finds.csv"):
        visit = visits[row["site"], row["found_on"]]
        if row["found_at"]:
            late = datetime.datetime.fromisoformat(row["found_at"]) - datetime.datetime.fromisoformat(
                visit["started_at"]
            )
            assert datetime.timedelta() <= late < datetime.timedelta(hours=2)


def test_looks_say_found_where_a_find_is_and_nowhere_else() -> None:
    finds = {(row["site"], row["found_on"], row["host_tree"]) for row in rows("finds.csv")}
    club = {(row["site"], row["found_on"]) for row in rows("foray_list_2024.csv")}
    visits = {(row["site"], row["local_date"]): row["started_at"] for row in rows("visits.csv")}
    looked = [row for row in rows("looks.csv") if (row["site"], row["local_date"]) not in club]
    for row in looked:
        assert visits[row["site"], row["local_date"]] == row["started_at"]
        found = (row["site"], row["local_date"], row["host_tree"]) in finds
        assert (row["outcome"] == "found") == found, row
    noted = {(row["site"], row["local_date"]) for row in looked}
    trees = {(row["site"], row["local_date"], row["host_tree"]) for row in looked}
    assert all(find in trees for find in finds if find[:2] in noted)


def test_collection_numbers_run_up_with_gaps() -> None:
    for collector in ("AC", "MD"):
        numbers = [int(r["collection_number"]) for r in rows("finds.csv")
                   if r["collector"] == collector and r["collection_number"]]  # fmt: skip
        assert numbers == sorted(set(numbers))
        assert not numbers or numbers[-1] - numbers[0] > len(numbers) - 1
    assert any(not row["name"] and not row["collection_number"] for row in rows("finds.csv"))


def test_names_agree_from_file_to_file() -> None:
    people = {row["initials"] for row in rows("people.csv")}
    taxa = {row["scientific_name"] for row in rows("taxa.csv")}
    tags = {(row["site"], row["tag"]) for row in rows("trees.csv")}
    places = set(sites())
    finds = rows("finds.csv") + rows("foray_list_2024.csv")
    assert {row["name"] for row in finds} - {""} <= taxa
    assert {row["taxon"] for row in rows("trees.csv")} <= taxa
    assert {row[key] for row in finds for key in ("collector", "determined_by")} - {""} <= people
    assert {i for row in rows("visits.csv") for i in row["companions"].split()} <= people
    for row in finds + rows("looks.csv"):
        assert not row["host_tree"] or (row["site"], row["host_tree"]) in tags
    assert {row["site"] for row in finds + rows("visits.csv") + rows("trees.csv")} <= places
    held = {name.strip() for row in rows("permissions.csv") for name in row["sites"].split(";")}
    assert held <= places


@pytest.mark.parametrize(
    ("name", "column", "words"),
    [
        ("sites.csv", "sensitivity", vocabulary.SENSITIVITY),
        ("permissions.csv", "basis", vocabulary.PERMISSION_BASIS),
        ("trees.csv", "how_known", vocabulary.HOW_KNOWN),
        ("trees.csv", "tree_condition", vocabulary.TREE_CONDITION),
        ("visits.csv", "reason", vocabulary.VISIT_REASON),
        ("looks.csv", "outcome", vocabulary.LOOK_OUTCOME),
        ("finds.csv", "substrate", vocabulary.SUBSTRATE),
        ("finds.csv", "growth_stage", vocabulary.GROWTH_STAGE),
        ("finds.csv", "count_of", vocabulary.COUNT_OF),
        ("finds.csv", "position_source", vocabulary.POSITION_SOURCE),
        ("finds.csv", "host_role", vocabulary.FIND_HOST_ROLE),
        ("finds.csv", "qualifier", vocabulary.QUALIFIER),
        ("finds.csv", "verification_level", vocabulary.VERIFICATION_LEVEL),
        ("foray_list_2024.csv", "qualifier", vocabulary.QUALIFIER),
        ("hazards.csv", "standing", vocabulary.HAZARD_STANDING),
        ("hazards.csv", "kind", HAZARD_KIND),
        ("sprayings.csv", "state", vocabulary.SPRAYING_STATE),
        ("sprayings.csv", "method", vocabulary.SPRAYING_METHOD),
        ("sprayings.csv", "drift_group", vocabulary.DRIFT_GROUP),
        ("lab_tests.csv", "material", vocabulary.TESTED_MATERIAL),
    ],
)
def test_words_are_those_of_the_book(name: str, column: str, words: vocabulary.Words) -> None:
    used = {row[column] for row in rows(name)} - {""}
    assert used
    assert used <= set(words.all)


def test_what_was_told_of_the_ground_shows_every_state_and_names_who_said_so() -> None:
    told = rows("sprayings.csv")
    assert {row["state"] for row in told} == set(vocabulary.SPRAYING_STATE.all)
    assert all(row["told_by"] and bool(row["site"]) != bool(row["outline_wkt"]) for row in told)
    assert {row["site"] for row in told} - {""} <= set(sites())
    (closed,) = [row for row in told if row["closing_note"]]
    assert closed["closed_on"] > closed["applied_on"]
    assert {row["standing"] for row in rows("hazards.csv")} == set(vocabulary.HAZARD_STANDING.all)


def test_each_test_is_of_one_thing_that_another_file_holds() -> None:
    trees = {f"{row['site']}/{row['tag']}" for row in rows("trees.csv")}
    finds = {f"{row['collector']} {row['collection_number']}": row for row in rows("finds.csv")}
    tested = rows("lab_tests.csv")
    for row in tested:
        assert len([header for header in ("site", "host_tree", "find") if row[header]]) == 1
        assert not row["site"] or row["site"] in sites()
        assert not row["host_tree"] or row["host_tree"] in trees
        assert not row["find"] or finds[row["find"]]["found_on"] == row["sampled_on"]
    asked = [row for row in tested if row["spraying"]]
    assert {row["spraying"] for row in asked} <= {row["site"] for row in rows("sprayings.csv")}
    assert all("<" in row["results"] for row in asked)
    assert any("<" in row["results"] for row in tested if row["find"])


def test_of_the_counts_two_are_on_one_road() -> None:
    spots = Counter((row["lon"], row["lat"]) for row in rows("traffic_counts.csv"))
    assert sorted(spots.values()) == [1, 2]


def test_the_club_list_is_a_spreadsheet_of_another_country() -> None:
    raw = (FILES / "foray_list_2024.csv").read_bytes()
    listed = rows("foray_list_2024.csv")
    assert raw.startswith(b"\xef\xbb\xbf")
    assert any(re.fullmatch(r"-19,\d+", row["lon"]) for row in listed)
    assert {"cf.", "aff.", "group"} <= {row["qualifier"] for row in listed}
    assert "Oct 1994" in {row["found_on"] for row in listed}


def test_everything_lies_within_the_extent() -> None:
    spots = [(float(p.get("lon", "")), float(p.get("lat", ""))) for p in osm().iter("node")]
    gpx = ET.fromstring((FILES / "saturday_walk.gpx").read_bytes())  # noqa: S314 - our own file
    spots += [(float(p.get("lon", "")), float(p.get("lat", ""))) for p in gpx.iter() if p.get("lon")]
    for name in (
        "sites.csv",
        "trees.csv",
        "finds.csv",
        "foray_list_2024.csv",
        "traffic_counts.csv",
        "hazards.csv",
    ):
        spots += [
            (metres(r).x / METRES_LON + WEST, metres(r).y / METRES_LAT + SOUTH)
            for r in rows(name)
            if r["lon"]
        ]
    (bounds,) = osm().iter("bounds")
    west, south, east, north = (float(bounds.get(k, "")) for k in ("minlon", "minlat", "maxlon", "maxlat"))
    assert WEST < west < east < EAST
    assert SOUTH < south < north < NORTH
    assert all(west <= lon <= east and south <= lat <= north for lon, lat in spots)


def test_the_map_is_one_network_of_a_small_town() -> None:
    tree = osm()
    nodes = {node.get("id") for node in tree.iter("node")}
    ways = [({t.get("k"): t.get("v") for t in w.iter("tag")}, [n.get("ref") for n in w.iter("nd")])
            for w in tree.iter("way")]  # fmt: skip
    assert 400 <= len(ways) <= 900
    assert all(set(refs) <= nodes and len(refs) > 1 for _, refs in ways)
    streets = [set(refs) for tags, refs in ways if tags.get("highway") in
               {"primary", "secondary", "tertiary", "residential"}]  # fmt: skip
    reached, rest = streets[0], streets[1:]
    while True:
        joined = [s for s in rest if s & reached]
        if not joined:
            break
        reached = reached.union(*joined)
        rest = [s for s in rest if s not in joined]
    assert len(rest) <= 1
    assert len([1 for tags, _ in ways if tags.get("bridge") == "yes"]) == 2
    assert {"level_crossing", "station"} <= {t.get("v") for t in tree.iter("tag") if t.get("k") == "railway"}


def test_the_walk_has_a_pace_for_searching_and_one_for_riding() -> None:
    gpx = ET.fromstring((FILES / "saturday_walk.gpx").read_bytes())  # noqa: S314 - our own file
    space = "{http://www.topografix.com/GPX/1/1}"
    fixes = [
        (metres({"lon": p.get("lon", ""), "lat": p.get("lat", "")}),
         datetime.datetime.fromisoformat(p.findtext(f"{space}time") or ""))
        for p in gpx.iter(f"{space}trkpt")
    ]  # fmt: skip
    pairs = list(itertools.pairwise(fixes))
    speeds = [3.6 * a.distance(b) / (t - s).total_seconds() for (a, s), (b, t) in pairs]
    outlines = sites()
    walked = [a for ((a, _), _), speed in zip(pairs, speeds, strict=True) if speed < 6]
    slow = {name for name, ring in outlines.items() if sum(map(ring.covers, walked)) > 20}
    assert {"Birch row", "Park lawn", "Riverside poplars"} <= slow
    assert max(speeds) > 14
    assert len(list(gpx.iter(f"{space}wpt"))) == 4
    days = {(row["site"], row["local_date"]) for row in rows("visits.csv")}
    assert not {(name, "2025-10-11") for name in outlines} & days


def test_the_weather_has_gaps_traces_and_possible_days() -> None:
    days = rows("weather_vennarhaven.csv")
    assert 1800 <= len(days) < 1826
    assert any(row["trace"] == "yes" and row["rain_mm"] == "0.0" for row in days)
    assert any(row["rain_mm"] == "" for row in days)
    assert all(float(r["temp_min_degc"]) < float(r["temp_max_degc"]) for r in days if r["temp_min_degc"])
    head = (FILES / "weather_vennarhaven.csv").read_text(encoding="utf-8").splitlines()[:8]
    assert {"# station: VEN", "# zone: Etc/GMT+1"} <= set(head)


def test_nothing_real_is_named() -> None:
    keys = {tag.get("k", "") for tag in osm().iter("tag")}
    assert not {
        key for key in keys if re.search(r"brand|operator|wiki|website|phone|mail|addr|contact|source", key)
    }
    for path in (path for path in FILES.iterdir() if path.suffix != ".jpg"):
        addresses = set(re.findall(r"https?://[^\s\"<>]+", path.read_text(encoding="utf-8")))
        assert addresses <= {"http://www.topografix.com/GPX/1/1"}
        assert "@" not in path.read_text(encoding="utf-8")
    assert "invented for the demo" in (osm().get("attribution") or "")

"""Checks that waypoints and tracks of a GPX file become drafts, and bad points are refused by line."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point

from sitebook.errors import BadArgument, FileNotRecognised, FileTooLarge, FileUnreadable
from sitebook.intake import gpx_elements
from sitebook.intake.gpx import ONE_PLACE, ONE_POINT, SAME_SEGMENT, SAME_WAYPOINT, read_gpx
from sitebook.records.columns import meanings
from sitebook.records.incoming import Draft, Reading
from sitebook.records.kinds import KINDS

Write = Callable[..., Path]
NAMESPACES = {"1.0": "http://www.topografix.com/GPX/1/0", "1.1": "http://www.topografix.com/GPX/1/1", "": ""}


@pytest.fixture
def gpx(tmp_path: Path) -> Write:
    """Give a function from what stands inside a GPX file to the file; its line 1 is the root element."""

    def write(inside: str, *, version: str = "1.1", encoding: str = "utf-8") -> Path:
        path = tmp_path / "round.gpx"
        namespace = f' xmlns="{NAMESPACES[version]}"' if NAMESPACES[version] else ""
        head = f'<?xml version="1.0" encoding="{encoding}"?><gpx{namespace}>'
        path.write_bytes(f"{head}\n{inside}\n</gpx>".encode(encoding))
        return path

    return write


def _left_out(reading: Reading, reason: str) -> int:
    return sum(line.how_many for line in reading.sorted_lines if line.reason == reason)


def _of(reading: Reading, kind: str) -> list[Draft]:
    return [draft for draft in reading.drafts if draft.kind == kind]


def _segment(*points: str) -> str:
    return "<trk><name>Round</name><trkseg>\n" + "\n".join(points) + "\n</trkseg></trk>"


def _point(lat: float, lon: float, inside: str = "") -> str:
    return f'<trkpt lat="{lat}" lon="{lon}">{inside}</trkpt>'


@pytest.mark.parametrize("version", ["1.0", "1.1", ""])
def test_a_waypoint_becomes_a_draft_find(gpx: Write, version: str) -> None:
    inside = (
        '<wpt lat="48.612345" lon="-19.4"><ele>41.5</ele><time>2025-10-03T23:40:00.5Z</time>'
        "<name>W 12</name><cmt>under the birch</cmt><desc>W 12</desc><hdop>1.2</hdop></wpt>"
    )
    reading = read_gpx(gpx(inside, version=version), zone="Europe/Paris")
    (find,) = reading.drafts
    assert reading.recognised_as == f"GPX {version}".strip()
    assert find.identity == "gpx-waypoint:2025-10-03T23:40:00.500000+00:00|-19.400000|48.612345|W 12"
    assert find.line_number == 2
    assert find.values == {
        "collection_number": None,
        "found_on": datetime.date(2025, 10, 4),
        "found_at": datetime.datetime(2025, 10, 3, 23, 40, 0, 500000, tzinfo=datetime.UTC),
        "uncertainty_m": pytest.approx(6.0),
        "position_source": "gpx",
        "elevation_m": 41.5,
        "note": "W 12; under the birch",
        "geom": Point(-19.4, 48.612345),
    }
    assert set(find.values) <= set(meanings(KINDS["find"]))
    assert reading.sorted_lines == ()


def test_a_waypoint_becomes_a_site_where_she_says_so(gpx: Write) -> None:
    inside = (
        '<wpt lat="48.6" lon="-19.4"><name>Orchard</name><cmt>Orchard</cmt><desc>old trees</desc></wpt>'
        '<wpt lat="-1.5" lon="19.25"/>'
    )
    orchard, unnamed = read_gpx(gpx(inside), waypoints="sites").drafts
    assert (orchard.kind, orchard.values["name"], orchard.values["note"]) == ("site", "Orchard", "old trees")
    assert orchard.values["radius_m"] == 30.0
    assert unnamed.values["name"] == "1.50000 S 19.25000 E"
    assert set(orchard.values) <= set(meanings(KINDS["site"]))


def test_a_site_has_no_date_in_its_identity(gpx: Write) -> None:
    inside = "".join(
        f'<wpt lat="48.6" lon="-19.4"><time>2025-10-0{day}T08:00:00Z</time><name>A</name></wpt>'
        for day in (1, 2)
    )
    assert len(read_gpx(gpx(inside)).drafts) == 2
    assert len(read_gpx(gpx(inside), waypoints="sites").drafts) == 1


def test_a_track_keeps_time_and_height_of_each_point(gpx: Write) -> None:
    inside = _segment(
        _point(48.6, -19.4, "<ele>3</ele><time>2025-10-03T08:00:00Z</time>"),
        _point(48.6, -19.401, "<time>2025-10-03T08:00:10.25Z</time>"),
        _point(48.6, -19.402, "<ele>4.5</ele>"),
    )
    (track,) = read_gpx(gpx(inside)).drafts
    assert track.values["point_seconds"] == "0,10.25,"
    assert track.values["point_elevations_m"] == "3,,4.5"
    assert track.values["started_at"] == datetime.datetime(2025, 10, 3, 8, tzinfo=datetime.UTC)
    assert track.values["ended_at"] == datetime.datetime(2025, 10, 3, 8, 0, 10, 250000, tzinfo=datetime.UTC)
    assert (track.values["name"], track.values["piece"]) == ("Round", 1)
    assert track.identity == "gpx-track:2025-10-03T08:00:00+00:00|-19.400000|48.600000|3"
    assert set(track.values) <= set(meanings(KINDS["track"]))


def test_pieces_are_counted_within_their_track_and_need_no_times(gpx: Write) -> None:
    first, second, third = (
        f"<trkseg>{_point(48.6, -19.4)}{_point(48.6, lon)}</trkseg>" for lon in (-19.3, -19.2, -19.1)
    )
    tracks = read_gpx(gpx(f"<trk>{first}{second}</trk><trk>{third}</trk>")).drafts
    assert [track.values["piece"] for track in tracks] == [1, 2, 1]
    assert len({track.identity for track in tracks}) == 3
    assert tracks[0].values["started_at"] is None
    assert tracks[0].values["point_seconds"] is None


def test_pieces_and_tracks_without_a_way_are_left_out(gpx: Write) -> None:
    here = _point(48.6, -19.4)
    reading = read_gpx(gpx(_segment() + _segment(here) + _segment(here, here) + "<rte/><rte/>"))
    assert reading.drafts == ()
    assert (_left_out(reading, ONE_POINT), _left_out(reading, ONE_PLACE)) == (2, 1)
    assert [line.how_many for line in reading.sorted_lines if "routes" in line.reason] == [2]


def test_the_same_waypoint_twice_is_one_draft_and_two_notes_are_two(gpx: Write) -> None:
    wpt = '<wpt lat="48.6" lon="-19.4"><name>A</name><desc>{}</desc></wpt>'
    reading = read_gpx(gpx(wpt.format("one") * 2 + wpt.format("two") * 2))
    assert [draft.values["note"] for draft in reading.drafts] == ["A; one", "A; two"]
    assert len({draft.identity for draft in reading.drafts}) == 2
    assert _left_out(reading, SAME_WAYPOINT) == 2


@pytest.mark.parametrize(
    ("position", "inside", "says"),
    [
        ('lat="91" lon="3"', "", "latitude 91 lies beyond a pole"),
        ('lat="3" lon="-180.5"', "", "longitude -180.5 is impossible"),
        ('lat="0" lon="0.000"', "", "0/0"),
        ('lat="north" lon="3"', "", "'north' is not a number"),
        ('lat="" lon="3"', "", "has no latitude"),
        ('lat="nan" lon="3"', "", "'nan' is not a number"),
        ('lat="48" lon="3"', "<time>2201-01-01T00:00:00Z</time>", "after the year 2200"),
        ('lat="48" lon="3"', "<time>2025-02-30T00:00:00Z</time>", "does not exist"),
        ('lat="48" lon="3"', "<time>yesterday</time>", "'yesterday' is not a time"),
        ('lat="48" lon="3"', "<time>9999-12-31T23:00:00-05:00</time>", "does not exist"),
    ],
)
@pytest.mark.parametrize("element", ["wpt", "trkpt"])
def test_impossible_points_are_refused_with_their_line(
    gpx: Write, position: str, inside: str, says: str, element: str
) -> None:
    bad = f"<{element} {position}>{inside}</{element}>"
    good = _segment(_point(48.6, -19.4), _point(48.6, -19.3))
    reading = read_gpx(gpx(good + "\n" + (bad if element == "wpt" else _segment(bad))))
    (refused,) = reading.refused
    assert says in refused.reason
    assert refused.line_number == (6 if element == "wpt" else 7)
    assert refused.line_text == f"<{element} {position}>"
    assert len(reading.drafts) == 1


def test_a_missing_longitude_is_refused(gpx: Write) -> None:
    (refused,) = read_gpx(gpx('<wpt lat="48.6"/>')).refused
    assert refused.reason == "the point has no longitude"


def test_a_clock_that_was_not_set_costs_the_time_and_not_the_place(gpx: Write) -> None:
    reading = read_gpx(gpx('<wpt lat="48.6" lon="-19.4"><time>1970-01-01T00:00:00Z</time></wpt>'))
    assert reading.drafts[0].values["found_at"] is None
    assert [(line.sorting, line.how_many) for line in reading.sorted_lines] == [("left out", 1)]
    assert "before 1980" in reading.sorted_lines[0].reason


def test_a_time_without_a_zone_is_utc_and_said_once(gpx: Write) -> None:
    wpt = '<wpt lat="48.6" lon="-19.{}"><time>2025-10-03T23:40:00</time></wpt>'
    reading = read_gpx(gpx(wpt.format(1) + wpt.format(2)))
    assert reading.drafts[0].values["found_at"] == datetime.datetime(2025, 10, 3, 23, 40, tzinfo=datetime.UTC)
    assert [line.how_many for line in reading.sorted_lines] == [2]


def test_a_time_with_an_offset_is_turned_into_utc(gpx: Write) -> None:
    reading = read_gpx(gpx('<wpt lat="48.6" lon="-19.4"><time>2025-10-03T00:30:00+02:00</time></wpt>'))
    assert reading.drafts[0].values["found_on"] == datetime.date(2025, 10, 2)


def test_impossible_heights_and_dilutions_are_dropped_and_said(gpx: Write) -> None:
    inside = '<wpt lat="48.6" lon="-19.4"><ele>1.0e25</ele><hdop>99.9</hdop></wpt>'
    reading = read_gpx(gpx(inside + inside.replace("1.0e25", "NaN").replace("48", "47")))
    assert [draft.values["elevation_m"] for draft in reading.drafts] == [None, None]
    assert [draft.values["uncertainty_m"] for draft in reading.drafts] == [None, None]
    assert sorted(line.how_many for line in reading.sorted_lines) == [2, 2]


def test_extensions_and_elements_of_other_namespaces_are_passed_over(gpx: Write) -> None:
    inside = (
        '<wpt lat="48.6" lon="-19.4"><extensions><name>no</name><x:wpt xmlns:x="urn:x" lat="1" lon="1"/>'
        '<wpt lat="2" lon="2"/></extensions><name>yes <b>and</b> so</name></wpt>'
    )
    (find,) = read_gpx(gpx(inside)).drafts
    assert find.values["note"] == "yes and so"


def test_an_empty_round_says_so(gpx: Write) -> None:
    reading = read_gpx(gpx(""))
    assert [line.reason for line in reading.sorted_lines] == ["the file holds no waypoint and no track"]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "iso-8859-1", "windows-1252"])
def test_encodings(gpx: Write, encoding: str) -> None:
    path = gpx('<wpt lat="48.6" lon="-19.4"><name>Ö</name></wpt>', encoding=encoding)
    assert read_gpx(path).drafts[0].values["note"] == "Ö"


BOMB = '<!DOCTYPE gpx [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]><gpx><wpt lat="1" lon="1"/>&b;</gpx>'
OUTSIDE = '<!DOCTYPE gpx [<!ENTITY a SYSTEM "file:///etc/hostname">]><gpx>&a;</gpx>'


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (BOMB.encode(), "defines XML entities"),
        (OUTSIDE.encode(), "defines XML entities"),
        (b"<gpx><wpt lat='1' lon='1'>", "breaks off or breaks down at line 1"),
        (b"<gpx>\n<wpt lat='1' lon='1'></gpx>", "at line 2"),
        (b"<?xml version='1.0' encoding='utf-8'?><gpx><name>\xff\xfe</name></gpx>", "breaks down"),
        (b"<?xml version='1.0' encoding='no-such'?><gpx/>", "encoding"),
        (b"not xml", "breaks down"),
        (b"<gpx>&nbsp;</gpx>", "breaks down"),
        (b"", "empty"),
    ],
)
def test_broken_and_hostile_files_are_refused_in_words(tmp_path: Path, content: bytes, says: str) -> None:
    path = tmp_path / "bad.gpx"
    path.write_bytes(content)
    with pytest.raises(FileUnreadable, match=says):
        read_gpx(path)


def test_other_xml_a_large_file_and_an_unknown_zone(
    tmp_path: Path, gpx: Write, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "map.gpx"
    path.write_text("<osm/>", "utf-8")
    with pytest.raises(FileNotRecognised, match="<osm>"):
        read_gpx(path)
    with pytest.raises(BadArgument, match="no time zone"):
        read_gpx(gpx(""), zone="Atlantic/Nowhere")
    limit = gpx_elements.MOST_MIB
    monkeypatch.setattr(gpx_elements, "MOST_MIB", type(limit)(0.00001, limit.unit, "ours", "our choice"))
    with pytest.raises(FileTooLarge):
        read_gpx(gpx(""))


LATITUDES = st.sampled_from([48.6, 48.60001, -3.0, 0.0, 91.0, -90.0])
LONGITUDES = st.sampled_from([-19.4, -19.39, 0.0, 180.0, 181.0])
TIMES = st.sampled_from(["", "2025-10-03T08:00:00Z", "1970-01-01T00:00:00Z", "2201-01-01T00:00:00Z"])
POINTS = st.lists(st.tuples(LATITUDES, LONGITUDES, TIMES), max_size=12)


@settings(deadline=None)
@given(POINTS, st.sampled_from(["finds", "sites"]))
def test_every_waypoint_is_kept_left_out_or_refused(
    tmp_path_factory: pytest.TempPathFactory,
    points: Sequence[tuple[float, float, str]],
    waypoints: Literal["finds", "sites"],
) -> None:
    path = tmp_path_factory.mktemp("gpx") / "any.gpx"
    inside = "".join(f'<wpt lat="{a}" lon="{o}"><time>{t}</time></wpt>' for a, o, t in points)
    path.write_text(f"<gpx>{inside}</gpx>", "utf-8")
    reading = read_gpx(path, waypoints=waypoints)
    impossible = sum(abs(a) > 90 or abs(o) > 180 or a == o == 0 or "2201" in t for a, o, t in points)
    assert len(reading.refused) == impossible
    kept_or_twice = len(reading.drafts) + _left_out(reading, SAME_WAYPOINT)
    assert kept_or_twice + impossible == len(points)
    assert len({draft.identity for draft in reading.drafts}) == len(reading.drafts)


@settings(deadline=None)
@given(st.lists(POINTS, max_size=6))
def test_every_piece_is_kept_or_left_out_and_every_point_is_kept_or_refused(
    tmp_path_factory: pytest.TempPathFactory, segments: Sequence[Sequence[tuple[float, float, str]]]
) -> None:
    path = tmp_path_factory.mktemp("gpx") / "any.gpx"
    inside = "".join(
        _segment(*(_point(a, o, f"<time>{t}</time>") for a, o, t in segment)) for segment in segments
    )
    path.write_text(f"<gpx>{inside}</gpx>", "utf-8")
    reading = read_gpx(path)
    left_out = sum(_left_out(reading, reason) for reason in (ONE_POINT, ONE_PLACE, SAME_SEGMENT))
    assert len(reading.drafts) + left_out == len(segments)
    for draft in reading.drafts:
        way = draft.values["geom"].coords  # type: ignore[attr-defined]
        seconds = draft.values["point_seconds"]
        assert seconds is None or len(str(seconds).split(",")) == len(way)

"""Small valid files of every format, and seeded ways to spoil them."""

from __future__ import annotations

import bz2
import functools
import gzip
import io
import random
import re
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from PIL import Image

from sitebook.intake.field_return.line import with_sum
from tests.intake.field_return import made_lines
from tests.intake.osm import extracts

GPX = """<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="hand" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="48.6012" lon="-19.4081"><ele>12.5</ele><time>2025-10-03T09:30:00Z</time><name>014</name>
<cmt>under the beech</cmt><hdop>1.2</hdop></wpt>
<wpt lat="48.6031" lon="-19.4015"><time>2025-10-03T10:05:00.250Z</time><name>015</name></wpt>
<rte><name>to the wood</name><rtept lat="48.6" lon="-19.4"/></rte>
<trk><name>morning</name><trkseg><trkpt lat="48.6010" lon="-19.4085"><ele>10</ele>
<time>2025-10-03T09:20:00Z</time></trkpt><trkpt lat="48.6014" lon="-19.4079"><time>2025-10-03T09:40:00Z</time>
</trkpt><trkpt lat="48.6020" lon="-19.4060"><time>2025-10-03T09:55:00Z</time></trkpt></trkseg></trk></gpx>
"""
SITE = """# sitebook table: site
name,lon,lat,radius_m,outline_wkt,wooded,irrigated,note
Harbour Wood,-19.4081,48.6012,40,,yes,no,"beech, old"
Chapel Green,,,,"POLYGON ((-19.402 48.603, -19.401 48.603, -19.401 48.604, -19.402 48.603))",no,,
"""
VISIT = """# sitebook table: visit
site,local_date,started_at,search_minutes,searchers,reason,looked_for_all,remarks,companions
Harbour Wood,2025-10-03,09:20,35,2,planned,yes,after rain,AC
Chapel Green,2025-10-04,,,1,passing,no,,
"""
FIND = """# sitebook table: find
site;found_on;found_at;collection_number;lon;lat;name;qualifier;individual_count;substrate;host_tree;host_role;note
Harbour Wood;2025-10-03;09:35;14;-19,4081;48,6012;Boletus edulis;cf.;3;soil;B1;possible;"firm; dry"
Harbour Wood;Oct 1994;;;;;Amanita muscaria;;;;;;
"""
DARWIN = """scientificName,eventDate,decimalLatitude,decimalLongitude,recordedBy,recordNumber,locality,habitat
Russula cf. cyanoxantha (Schaeff.) Fr.,1994-10-03/1994-10-05,48.6,-19.4,A. Corvell,12,Mill lane,litter
Cantharellus cibarius Fr.,1908-10-00,48.61,-19.41,O. Vennar,,,moss
"""
TREE = "site,tag,taxon,lon,lat,girth_cm\nHarbour Wood,B1,Fagus sylvatica,-19.4080,48.6013,180\n"
LOOK = """# sitebook table: look
site,local_date,host_tree,taxon,minutes,outcome
Harbour Wood,2025-10-03,B1,Boletus edulis,5,not seen
"""
PERMISSION = (
    "# sitebook table: permission\nmanager,basis,sites,valid_from,valid_to,closed_weekdays,opens_at\n"
    "Harbour office,permit,Harbour Wood;Chapel Green,2025-01-01,2025-12-31,Sun,08:00\n"
)
PLAIN = (
    "# station: VEN\n# lon: -19.408\n# lat: 48.601\n# elevation_m: 6\n"
    "# zone: Etc/GMT+1\n# rain_day_offset_d: -1\n"
    "local_date,temp_min_degc,temp_max_degc,rain_mm,covers_days,flags\n2025-10-01,8.2,14.1,3.4,,\n"
    "2025-10-02,7,13.5,T,,E\n2025-10-05,,,12,3,\n"
)
OTHER_NAMES = "date,precipitation,temp_max,temp_min,wind,weather\n2025/10/01,0.0,12.8,5.0,4.7,drizzle\n"
GAUGE = "gauge;read_on;rain_mm\nGarden;2025-10-01;\nGarden;2025-10-04;12,5\nGarden;2025-10-05;T\n"
BY_STATION = (
    '"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME",'
    '"PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES"\n'
    '"VRM00001234","2025-10-01","48.6009","-19.4081","6.1","HARBOUR, VR","   30",",,7,0800","  156",",,7"\n'
    '"VRM00001234","2025-10-02","48.6009","-19.4081","6.1","HARBOUR, VR","    0","T,,7,0800","  999",",I,7"\n'
)
YEAR = (
    "VRM00001234,20251001,PRCP,30,,,7,0800\nVRM00001234,20251001,TMIN,-12,,,7,\n"
    "VRM00001234,20251004,MDPR,250,,,7,\nVRM00001234,20251004,DAPR,3,,,7,\n"
)
GSOD = (
    '"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","MAX","MAX_ATTRIBUTES",'
    '"MIN","MIN_ATTRIBUTES","PRCP","PRCP_ATTRIBUTES","FRSHTT"\n'
    '"03999","2025-10-01","48.6","-19.4","6","HARBOUR"," 59.0"," "," 50.0","*"," 0.50","G","010000"\n'
    '"03999","2025-10-02","48.6","-19.4","6","HARBOUR","9999.9"," ","41","*","99.99","I",""\n'
)
HOSTILE = (
    b"91", b"-181", b"2201", b"0000", b"-9999", b"9999.9", b"NaN", b"inf", b"1e309", b"9" * 25, b"\x00",
    b"\xff\xfe", b"\xc3", b"\x1b[2J", b"=1+1", b"<", b"&a;", b'"', b"\r", b"\n", b"#", b",,,,", b";", b"T",
    b"-0.0", b"\xe2\x80\xae",
    b"POLYGON ((0 0))", b"<script>", b"../..", b"24:00", b"2025-02-30", b"1/0",
)  # fmt: skip

VALUE = re.compile(rb'-?[0-9][0-9.:TZ-]*|(?<=[">,;])[A-Za-z ]{3,}(?=[",<;\n])')
VALUES = (
    b"91", b"-181", b"0", b"-0.0", b"2201-01-01", b"2201-01-01T00:00:00Z", b"0001-01-01T00:00:00Z", b"1e309",
    b"9" * 25, b"9223372036854775808", b"-9999", b"NaN", b"inf", b"", b"x" * 300, b"=1+1", b"\xc2\x9b2J",
    b"tree", b"primary", b"2025-10-03T24:00:00Z", b"9999-12-31T23:59:59-12:00", b"1,5", b"1-2-3",
)  # fmt: skip


def _month(element: str, *values: int) -> str:
    cells = "".join(f"{value:5d}   " for value in values)
    return f"VRM00001234202510{element}{cells}{'-9999   ' * (31 - len(values))}\n"


DLY = _month("PRCP", 30, 0, 127) + _month("TMAX", 156, 111) + _month("TMIN", -50, 12) + _month("SNOW", 0, 5)


def _entries() -> bytes:
    lines = (
        made_lines.visit(),
        made_lines.look("look", taxon="Boletus edulis"),
        made_lines.find("find", name="Boletus"),
    )
    return ("\n".join(lines) + "\n").encode()


def _photo() -> bytes:
    exif = Image.Exif()
    exif[0x0132] = "2025:10:03 09:35:00"
    position = exif.get_ifd(0x8825)
    position.update({1: "N", 2: (48.0, 36.0, 4.3), 3: "W", 4: (19.0, 24.0, 29.2), 5: b"\x00", 6: 12.0})
    exif.get_ifd(0x8769).update({0x9003: "2025:10:03 09:35:00", 0x9011: "-01:00"})
    made = io.BytesIO()
    Image.new("RGB", (16, 12), "tan").save(made, "JPEG", exif=exif)
    return made.getvalue()


def _maps() -> dict[str, bytes]:
    with tempfile.TemporaryDirectory() as folder:
        plain = extracts.write(
            Path(folder) / "a.osm",
            extracts.node(1, -19.408, 48.601, natural="tree", species="Fagus sylvatica"),
            *extracts.square(10, -19.406, 48.602, 0.002),
            extracts.way(5, [10, 11, 12, 13, 10], landuse="forest", name="Harbour Wood"),
            extracts.way(6, [10, 12], highway="primary", lanes="2", width="7,5 m", oneway="yes"),
            extracts.outline(7, [(5, "outer")], landuse="meadow"),
        )
        pbf = extracts.rewrite(plain, Path(folder) / "a.osm.pbf").read_bytes()
        text = plain.read_bytes()
    return {"osm": text, "pbf": pbf, "gz": gzip.compress(text, mtime=0), "bz2": bz2.compress(text)}


@functools.cache
def samples() -> Mapping[str, bytes]:
    """Give one small valid file of each format, by its name."""
    texts = {
        "gpx": GPX, "site": SITE, "visit": VISIT, "find": FIND, "darwin": DARWIN, "tree": TREE, "look": LOOK,
        "permission": PERMISSION, "plain": PLAIN, "other names": OTHER_NAMES, "gauge": GAUGE, "dly": DLY,
        "by station": BY_STATION, "year": YEAR, "gsod": GSOD,
    }  # fmt: skip
    return {
        **{name: text.encode() for name, text in texts.items()},
        "entries": _entries(),
        "photo": _photo(),
        **_maps(),
    }


def _flip(content: bytes, chance: random.Random) -> bytes:
    spoilt = bytearray(content)
    for _ in range(chance.randint(1, 4)):
        spoilt[chance.randrange(len(spoilt))] ^= 1 << chance.randrange(8)
    return bytes(spoilt)


def _truncate(content: bytes, chance: random.Random) -> bytes:
    return content[: chance.randrange(len(content))]


def _splice(content: bytes, chance: random.Random) -> bytes:
    other = chance.choice(list(samples().values()))
    start = chance.randrange(len(other))
    at = chance.randrange(len(content))
    return content[:at] + other[start : start + chance.randint(1, 80)] + content[at:]


def _swap_tokens(content: bytes, chance: random.Random) -> bytes:
    tokens = re.split(rb'([,;<>"\n =])', content)
    one, other = (chance.randrange(len(tokens)) for _ in range(2))
    tokens[one], tokens[other] = tokens[other], tokens[one]
    return b"".join(tokens)


def _plant(content: bytes, chance: random.Random) -> bytes:
    tokens = re.split(rb'([,;<>"\n =])', content)
    tokens[chance.randrange(len(tokens))] = chance.choice(HOSTILE)
    return b"".join(tokens)


def _replace_value(content: bytes, chance: random.Random) -> bytes:
    """Put another value where one stood, so that the form stays whole and the reader must judge it."""
    values = list(VALUE.finditer(content))
    if not values:
        return content
    chosen = chance.choice(values)
    return content[: chosen.start()] + chance.choice(VALUES) + content[chosen.end() :]


def _repeat(content: bytes, chance: random.Random) -> bytes:
    start = chance.randrange(len(content))
    piece = content[start : start + chance.randint(1, 200)]
    return content[:start] + piece * chance.randint(2, 5) + content[start:]


Way = Callable[[bytes, random.Random], bytes]
WAYS: tuple[Way, ...] = (
    _flip, _truncate, _splice, _swap_tokens, _plant, _replace_value, _replace_value, _repeat,
)  # fmt: skip


def spoilt(seed: int) -> tuple[str, bytes]:
    """Give the name of a sample and what is left of it after one to three ways of spoiling."""
    chance = random.Random(seed)  # noqa: S311 - the same each time, and no secret
    name = chance.choice(list(samples()))
    content = samples()[name]
    packed = name in {"gz", "bz2"} and chance.random() < 0.5
    if packed:
        content = samples()["osm"]
    ways: tuple[Way, ...] = (_replace_value,) if chance.random() < 0.4 else WAYS
    for _ in range(chance.randint(1, 3)):
        content = chance.choice(ways)(content or b"\n", chance)
    if name == "entries" and chance.random() < 0.7:
        content = _summed_anew(content)
    if packed:
        content = gzip.compress(content, mtime=0) if name == "gz" else bz2.compress(content)
    return name, content


def _summed_anew(content: bytes) -> bytes:
    """Give every line of an entry sheet a checksum that fits again, so that its values are looked at."""
    lines = content.decode("utf-8", errors="replace").split("\n")
    bare = [re.sub(r',"sum":"[0-9a-f]{16}"\}', "}", line) for line in lines]
    return "\n".join(with_sum(line) if line.endswith("}") else line for line in bare).encode()

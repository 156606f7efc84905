"""Writes small map extracts for the tests of their reader."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from xml.sax.saxutils import quoteattr

import osmium

from sitebook.records.incoming import Draft, Reading

BOUNDS = '<bounds minlat="48.59" minlon="-19.42" maxlat="48.62" maxlon="-19.38"/>'


def tag_lines(tags: Mapping[str, str]) -> str:
    return "".join(f"<tag k={quoteattr(k)} v={quoteattr(v)}/>" for k, v in tags.items())


def node(number: int, lon: float, lat: float, more: str = "", **tags: str) -> str:
    return f'<node id="{number}" lon="{lon}" lat="{lat}" {more}>{tag_lines(tags)}</node>'


def way(number: int, points: Iterable[int], more: str = "", **tags: str) -> str:
    refs = "".join(f'<nd ref="{point}"/>' for point in points)
    return f'<way id="{number}" {more}>{refs}{tag_lines(tags)}</way>'


def outline(number: int, members: Iterable[tuple[int, str]], **tags: str) -> str:
    lines = "".join(f'<member type="way" ref="{ref}" role="{role}"/>' for ref, role in members)
    return f'<relation id="{number}">{lines}{tag_lines({"type": "multipolygon", **tags})}</relation>'


def square(first: int, west: float, south: float, side: float) -> list[str]:
    corners = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)]
    return [node(first + i, round(west + x, 7), round(south + y, 7)) for i, (x, y) in enumerate(corners)]


def write(path: Path, *elements: str, root: str = "", bounds: str = BOUNDS) -> Path:
    body = "\n".join((bounds, *elements))
    path.write_text(f'<?xml version="1.0"?>\n<osm version="0.6" {root}>\n{body}\n</osm>\n', "utf-8")
    return path


def rewrite(source: Path, target: Path) -> Path:
    """Write an extract in another form, by osmium alone."""
    with osmium.io.Reader(str(source)) as reader:
        header = reader.header()
    with osmium.SimpleWriter(str(target), header=header, overwrite=True) as writer:
        for entity in osmium.FileProcessor(str(source)):
            if not isinstance(entity, osmium.osm.Area):
                writer.add(entity)
    return target


def of_kind(reading: Reading, kind: str) -> list[Draft]:
    return [draft for draft in reading.drafts if draft.kind == kind]


def only(reading: Reading, kind: str) -> Mapping[str, object]:
    (draft,) = of_kind(reading, kind)
    return draft.values


def told(reading: Reading) -> dict[str, int]:
    return {line.reason: line.how_many for line in reading.sorted_lines}

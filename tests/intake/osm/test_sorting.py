"""Tests that any set of elements is sorted entirely into kept, left out and refused."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sitebook.errors import FileUnreadable
from sitebook.intake.osm import read_osm, tally
from sitebook.reference.map_tags import tag_rows
from tests.intake.osm.extracts import node, outline, way, write

TAGS = st.dictionaries(
    st.sampled_from(
        sorted({row.key for row in tag_rows()} | {"area", "name", "start_date", "type", "width"})
    ),
    st.one_of(
        st.sampled_from(sorted({row.value for row in tag_rows()} | {"yes", "no", "1936", "multipolygon"})),
        st.text(st.characters(codec="utf-8", exclude_categories=["C"]), max_size=8),
    ),
    max_size=4,
)
IDS = st.integers(-3, 12).filter(bool)
MORE = st.sampled_from(["", 'version="2"', 'visible="false"', 'timestamp="2024-01-01T00:00:00Z"'])


def _along(base: float) -> st.SearchStrategy[float]:
    steps = st.integers(0, 4).map(lambda step: round(base + step * 0.001, 7))
    return st.one_of(steps, st.just(200.0))


def with_tags(element: str, tags: dict[str, str]) -> str:
    drawn = node(1, 0, 0, **tags)
    inner = drawn[drawn.index(">") + 1 : drawn.rindex("</node>")]
    close = element.rindex("</")
    return element[:close] + inner + element[close:]


NODES = st.builds(
    lambda n, x, y, m, t: with_tags(node(n, x, y, m), t), IDS, _along(-19.4), _along(48.6), MORE, TAGS
)
WAYS = st.builds(
    lambda n, p, ring, m, t: with_tags(way(n, p + p[:1] * ring, m), t),
    IDS, st.lists(IDS, max_size=6), st.booleans(), MORE, TAGS,
)  # fmt: skip
RELATIONS = st.builds(
    lambda n, members, t: with_tags(outline(n, members).replace('<tag k="type" v="multipolygon"/>', ""), t),
    IDS,
    st.lists(st.tuples(IDS, st.sampled_from(["outer", "inner", ""])), max_size=4),
    st.one_of(TAGS, TAGS.map(lambda tags: tags | {"type": "multipolygon"})),
)
ELEMENTS = st.lists(st.one_of(NODES, NODES, WAYS, WAYS, RELATIONS), min_size=1, max_size=30)


@settings(max_examples=150, deadline=None)
@given(elements=ELEMENTS)
def test_every_element_is_kept_left_out_or_refused(
    elements: list[str], tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = write(tmp_path_factory.mktemp("drawn") / "a.osm", *elements)
    try:
        reading = read_osm(path)
    except FileUnreadable:
        pytest.fail("a file of well-formed elements was called unreadable")
    kept = {draft.values["osm_ref"] for draft in reading.drafts[1:]}
    counted = sum(line.how_many for line in reading.sorted_lines if line.reason not in tally.PARTS)
    assert len(kept) + counted == len(elements)
    identities = [(draft.kind, draft.identity) for draft in reading.drafts]
    assert len(identities) == len(set(identities))
    assert {line.reason for line in reading.refused} <= set(tally.REFUSED)

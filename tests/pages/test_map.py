"""Tests of the map page as text: the kept page, odd names, and what it says without scripts."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest

from sitebook.pages.map import FINDS_LISTED, SCRIPTS, STYLES, draw_map
from sitebook.pages.own_parts import text_of
from sitebook.pages.third_party import leaflet_script, leaflet_style
from sitebook.records.results.fruiting import FruitingCalendar
from sitebook.records.results.map_view import GroundMap, MapView
from tests.pages.sample_map import sample_map

KEPT = Path(__file__).parent / "kept" / "map.html"
BAD = "<script>window.broken=1</script></script><img src=x onerror=window.broken=1>\"'&"


class Reader(HTMLParser):
    """Gathers elements, and text outside scripts and styles."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.said: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002
        """Note an element's name."""
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        """Note text that is seen."""
        if self.tags[-1:] not in (["script"], ["style"]):
            self.said.append(data)


def short_view() -> MapView:
    """Cut the sample down to two sites, for a page that can be read."""
    view = sample_map()
    return replace(
        view,
        sites=view.sites[:2],
        trees=view.trees[:2],
        finds=view.finds[:2],
        fruiting=FruitingCalendar(
            tuple(
                replace(one, sites=one.sites[:1], trees=(), lasting=())
                for one in (view.fruiting.taxa if view.fruiting else ())
                if one.taxon_name == "Leccinum scabrum"
            ),
            view.today,
        ),
        outlook=None,
        ground=replace(view.ground, ways=view.ground.ways[:1], land=(), hazards=view.ground.hazards[:1]),
    )


def scrubbed(html: str) -> str:
    """Put names in the place of other people's files, our scripts and styles, hashes and rows of weeks."""
    for asset in (leaflet_script(), leaflet_style()):
        assert asset.text in html
        html = html.replace(asset.text, f"[{asset.said}]\n")
    for name in ("frame.css", *STYLES, *SCRIPTS):
        assert text_of(name) in html
        html = html.replace(text_of(name), f"[{name}]\n")
    html = re.sub(r"sha256-[A-Za-z0-9+/=]+", "sha256-[hash]", html)
    return re.sub(r'<svg viewBox="-1 0 .*?</svg>', "[weeks]", html, flags=re.DOTALL)


def test_the_page_is_the_kept_page() -> None:
    assert scrubbed(draw_map(short_view())) == KEPT.read_text(encoding="utf-8"), (
        f"compare with {KEPT.name}, then write it anew"
    )


def test_the_same_view_gives_the_same_page() -> None:
    assert draw_map(sample_map()) == draw_map(sample_map())


def test_odd_names_stay_names() -> None:
    view = sample_map(BAD)
    view = replace(
        view,
        title=BAD,
        trees=(replace(view.trees[0], tag=BAD, taxon_name=BAD, note=BAD), *view.trees[1:]),
        finds=(replace(view.finds[0], label=BAD, name_words=BAD, note=BAD, hosts=(BAD,)), *view.finds[1:]),
        ground=replace(view.ground, attributions=(BAD,), ways=(replace(view.ground.ways[0], name=BAD),)),
    )
    reader = Reader(draw_map(view))
    assert "img" not in reader.tags
    assert reader.tags.count("script") == len(SCRIPTS) + 2
    assert BAD in "".join(reader.said)


def test_every_site_is_told_in_plain_words() -> None:
    view = sample_map()
    said = " ".join("".join(Reader(draw_map(view)).said).split())
    for site in view.sites:
        assert site.name in said
        assert site.review is not None
        assert site.review.words in said


@pytest.mark.parametrize("word", ["safe", "clean", "edible", "ok to eat", "harmless"])
def test_the_page_promises_nothing(word: str) -> None:
    said = " ".join(Reader(draw_map(sample_map())).said).lower()
    assert not re.search(rf"\b{word}\b", said)


def test_an_empty_book_has_a_page_too() -> None:
    view = replace(
        sample_map(), sites=(), trees=(), finds=(), ground=GroundMap(), fruiting=None, outlook=None
    )
    said = "".join(Reader(draw_map(view)).said)
    assert "The book holds no site yet." in said
    assert "no map data in the book" in said


def test_long_lists_say_what_they_leave_out() -> None:
    view = sample_map()
    many = tuple(replace(view.finds[0], find_id=i, label=f"AV {i}") for i in range(FINDS_LISTED + 7))
    said = "".join(Reader(draw_map(replace(view, finds=many))).said)
    assert "and 7 older ones, which the search finds" in said


def test_scripts_are_short_and_ask_for_nothing() -> None:
    for name in SCRIPTS:
        text = text_of(name)
        assert len(text.splitlines()) <= 400
        assert not re.search(
            r"localStorage|sessionStorage|geolocation|fetch\(|XMLHttpRequest|innerHTML|eval\(", text
        )


if __name__ == "__main__":
    KEPT.write_text(scrubbed(draw_map(short_view())), encoding="utf-8")

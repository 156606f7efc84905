"""Tests of photos on the map page: the budget, whose come first, what is left out, and how they look."""

from __future__ import annotations

import base64
import datetime
import io
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from sitebook.pages import map_photos
from sitebook.pages.map import draw_map
from sitebook.pages.map_photos import photos_within_budget
from sitebook.records.results.map_view import FindMark, MapView, PhotoMark
from tests.pages.sample_map import sample_map

if TYPE_CHECKING:
    from playwright.sync_api import Page


def mark(name: str) -> PhotoMark:
    """Make a photo of a find."""
    return PhotoMark(sha256=name, words=f"{name}.jpg, 2026-09-01 10:00", width_px=64, height_px=48)


def find(find_id: int, day: int, *names: str) -> FindMark:
    """Make a find with photos."""
    plain = sample_map().finds[0]
    on = datetime.date(2026, 9, day)
    return replace(plain, find_id=find_id, found_on=on, photos=tuple(map(mark, names)))


def address_of(sha256: str) -> str:
    """Give a picture as a page links it."""
    colour = tuple(sum(map(ord, sha256)) * factor % 256 for factor in (7, 13, 29))
    packed = io.BytesIO()
    Image.new("RGB", (64, 48), colour).save(packed, "JPEG")
    return f"data:image/jpeg;base64,{base64.b64encode(packed.getvalue()).decode()}"


def with_photos(*names: str) -> MapView:
    """Give the sample map, its first find with photos."""
    view = sample_map()
    return replace(view, finds=(replace(view.finds[0], photos=tuple(map(mark, names))), *view.finds[1:]))


def test_each_picture_stands_once_in_the_page() -> None:
    page = photos_within_budget([find(1, 3, "a", "b"), find(2, 4, "b")], address_of)
    assert [picture["said"] for picture in page.pictures] == [mark(n).words for n in ("b", "a")]
    assert page.of_find == {2: [0], 1: [1, 0]}
    assert page.said() == ""


def test_the_newest_finds_come_first_and_every_find_before_a_second_picture() -> None:
    page = photos_within_budget([find(1, 3, "old", "older"), find(2, 9, "new", "newer")], address_of)
    said = [str(picture["said"]).split(".")[0] for picture in page.pictures]
    assert said == ["new", "old", "newer", "older"]


def test_what_goes_over_the_budget_is_left_out_and_said(monkeypatch: pytest.MonkeyPatch) -> None:
    budget = replace(map_photos.BUDGET_BYTES, value=2.5 * len(address_of("a")))
    monkeypatch.setattr(map_photos, "BUDGET_BYTES", budget)
    page = photos_within_budget([find(1, 3, "a", "b"), find(2, 9, "c", "d")], address_of)
    assert page.of_find == {2: [0], 1: [1]}
    assert page.left_out == {1: 1, 2: 1}
    assert "2 of 4 photos of finds are not in this page" in page.said()
    assert sum(len(str(picture["src"])) for picture in page.pictures) <= budget.value


def test_a_photo_without_a_small_picture_is_counted_as_left_out() -> None:
    page = photos_within_budget([find(1, 3, "a")], lambda _: "")
    assert page.pictures == []
    assert page.left_out == {1: 1}
    assert photos_within_budget([find(1, 3, "a")], None).left_out == {1: 1}


def test_the_key_says_what_is_left_out() -> None:
    assert "1 of 1 photos of finds are not in this page" in draw_map(with_photos("a"))
    assert "photos of finds are not" not in draw_map(with_photos("a"), link_photo=address_of)


def test_the_record_of_a_find_shows_its_photos(browser_page: Page, tmp_path: Path) -> None:
    path = tmp_path / "map.html"
    path.write_text(draw_map(with_photos("a", "b</script>"), link_photo=address_of), encoding="utf-8")
    browser_page.goto(path.as_uri())
    browser_page.evaluate("sitebook.choose('find', sitebook.data.finds.id.indexOf(1))")
    pictures = browser_page.locator("#record .photos img")
    assert pictures.count() == 2
    assert pictures.first.get_attribute("alt") == "Photo a.jpg, 2026-09-01 10:00"
    assert browser_page.locator("#record figcaption").last.inner_text().startswith("b</script>.jpg")
    assert pictures.first.evaluate("image => image.complete && image.naturalWidth") == 64

"""Tests of the frame: nothing is loaded, everything is escaped, cautions stand on every page."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from typing import TYPE_CHECKING

import pytest
from markupsafe import Markup, escape

from sitebook.errors import PageNotSelfContained
from sitebook.pages.frame import CAUTIONS, PRIVATE_WORDS, page

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

BAD = '</script><script>window.broken=1</script><img src=x onerror="window.broken=1">\'"&'


class Reader(HTMLParser):
    """Gathers the elements of a page and the text of its data."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002
        """Note an element's name."""
        self.tags.append(tag)


def test_everything_that_is_given_is_escaped() -> None:
    html = page(title=BAD, subtitle=BAD, body=Markup("<p>{}</p>").format(BAD), data={"name": BAD})
    reader = Reader(html)
    assert "img" not in reader.tags
    assert reader.tags.count("script") == 1
    found = re.search(r'id="page-data">(.*?)</script>', html, re.DOTALL)
    assert found is not None
    assert json.loads(found.group(1)) == {"name": BAD}


@pytest.mark.parametrize(
    "body",
    [
        '<img src="https://example.org/a.png">',
        '<img srcset="a.png 2x">',
        '<link rel="stylesheet" href="http://example.org/a.css">',
        '<svg><image href="//example.org/a.png"/></svg>',
        '<svg><use xlink:href="a.svg#x"/></svg>',
        '<p style="background:url(https://example.org/a.png)">x</p>',
        '<form action="https://example.org"></form>',
        '<iframe srcdoc="x"></iframe>',
        '<base href="https://example.org/">',
        '<meta http-equiv="refresh" content="0;url=https://example.org">',
        '<script src="a.js"></script>',
    ],
)
def test_what_would_load_is_refused(body: str) -> None:
    with pytest.raises(PageNotSelfContained):
        page(title="A", body=Markup(body))  # noqa: S704


@pytest.mark.parametrize("style", ["@import 'a.css';", "a{b:url(a.png)}", 'a{b:URL( "http://example.org" )}'])
def test_style_that_would_load_is_refused(style: str) -> None:
    with pytest.raises(PageNotSelfContained):
        page(title="A", body=Markup(""), style=style)


@pytest.mark.parametrize(
    "body",
    [
        '<a href="https://example.org">further</a>',
        "<p>see https://example.org/a.png</p>",
        '<img src="data:image/png;base64,AA==">',
        '<p style="fill:url(#hatch)">x</p>',
    ],
)
def test_what_does_not_load_may_stand(body: str) -> None:
    assert body in page(title="A", body=Markup(body))  # noqa: S704


def test_cautions_and_banner_stand_on_the_page() -> None:
    html = page(title="A", body=Markup(""))
    for words in (*CAUTIONS, PRIVATE_WORDS):
        assert escape(words) in html
    assert PRIVATE_WORDS not in page(title="A", body=Markup(""), private=False)


def test_no_words_of_the_frame_promise_anything() -> None:
    said = " ".join(CAUTIONS).lower()
    assert not re.search(r"\b(safe|clean|clear|edible)\b", said)


def test_the_policy_admits_our_scripts_and_no_others(
    browser_page: Page, browser_log: object, tmp_path: Path
) -> None:
    html = page(
        title="A",
        body=Markup('<p id="said"></p>'),
        scripts=["document.getElementById('said').textContent = '</script>\\r\\n<!--';\r\n"],
    )
    strange = html.replace("</body>", "<script>window.strange = 1</script></body>")
    (tmp_path / "a.html").write_text(strange, encoding="utf-8", newline="")
    browser_page.goto((tmp_path / "a.html").as_uri())
    assert "</script>" in (browser_page.text_content("#said") or "")
    assert browser_page.evaluate("window.strange") is None
    errors = browser_log.errors  # type: ignore[attr-defined]
    assert len(errors) == 1
    assert "Content Security Policy" in errors[0]
    errors.clear()

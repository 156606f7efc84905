"""Refuses a page that would load anything from outside its own file."""

from __future__ import annotations

import re
from html.parser import HTMLParser

from sitebook.errors import PageNotSelfContained

LOADING_ATTRIBUTES = frozenset(
    {"src", "srcset", "imagesrcset", "poster", "background", "action", "formaction", "manifest", "ping"}
)
"""Attributes whose address a browser fetches or sends to, on any element."""

ANCHORS = frozenset({"a", "area"})
"""Elements whose href only waits to be followed."""

FORBIDDEN_ELEMENTS = frozenset({"base", "iframe", "frame", "object", "embed", "applet", "portal"})
"""Elements that bring in another document or move every address."""

STYLE_LOAD = re.compile(
    r"url\(\s*['\"]?\s*(?!data:|#|['\"]?\s*\))([^'\")]{0,80})|(@import[^;]{0,80})", re.IGNORECASE
)


def refuse_loads(html: str) -> None:
    """Raise unless every address that a browser would load is a data URI or lies in the page itself.

    Parameters
    ----------
    html
        A whole page.

    Raises
    ------
    PageNotSelfContained
        Naming the first address that would be loaded.
    """
    reader = _LoadReader()
    reader.feed(html)
    reader.close()
    if reader.loads:
        raise PageNotSelfContained(
            f"the page would load {reader.loads[0]!r} from outside",
            remedy="Nothing was written; please report this with the command you gave.",
        )


class _LoadReader(HTMLParser):
    """Walks a page and gathers each address that would be loaded."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.loads: list[str] = []
        self._in_style = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Look at one element's attributes."""
        self._in_style = tag == "style"
        if tag in FORBIDDEN_ELEMENTS:
            self.loads.append(f"<{tag}>")
        for name, value in attrs:
            self._look_at(tag, name, value or "")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Look at an element that closes itself."""
        self.handle_starttag(tag, attrs)
        self._in_style = False

    def handle_endtag(self, tag: str) -> None:
        """Note that a style sheet ended."""
        if tag == "style":
            self._in_style = False

    def handle_data(self, data: str) -> None:
        """Look through a style sheet."""
        if self._in_style:
            self._look_through(data)

    def _look_at(self, tag: str, name: str, value: str) -> None:
        """Gather the address of one attribute if it loads."""
        is_link = name in {"href", "xlink:href"} and tag not in ANCHORS
        if name in LOADING_ATTRIBUTES or is_link:
            address = value.strip()
            if address and not address.startswith(("data:", "#")):
                self.loads.append(address[:80])
        elif name == "style":
            self._look_through(value)
        elif tag == "meta" and name == "http-equiv" and value.strip().lower() == "refresh":
            self.loads.append("<meta refresh>")

    def _look_through(self, css: str) -> None:
        """Gather each url() and @import of a style that loads."""
        self.loads.extend(next(filter(None, found.groups()), "url()") for found in STYLE_LOAD.finditer(css))

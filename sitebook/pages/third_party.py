"""Takes scripts and styles of other people out of installed packages."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import dataclass
from functools import cache
from importlib import metadata

from sitebook.errors import PartMissing

LEAFLET_PACKAGE = "XStatic-Leaflet"

URL = re.compile(r"url\(\s*['\"]?([^'\")]+)['\"]?\s*\)")


@dataclass(frozen=True)
class Asset:
    """One file of an installed package, as it goes into a page.

    Parameters
    ----------
    package
        Name of the package it was taken from.
    version
        Version of the package.
    file_name
        Its file name there.
    sha256
        SHA-256 of the file as installed, in hex.
    text
        What goes into the page.
    """

    package: str
    version: str
    file_name: str
    sha256: str
    text: str

    @property
    def said(self) -> str:
        """Package, file name and hash in one line."""
        return f"{self.package} {self.file_name} {self.sha256}"


@cache
def leaflet_script() -> Asset:
    """Give Leaflet's script, with the note of its source map left out.

    Raises
    ------
    PartMissing
        If the package is not installed.
    """
    content = _file_of(LEAFLET_PACKAGE, "leaflet.js")
    text = re.sub(r"^//# sourceMappingURL=.*$", "", content.decode("utf-8"), flags=re.MULTILINE)
    return _asset(LEAFLET_PACKAGE, "leaflet.js", content, text)


@cache
def leaflet_style() -> Asset:
    """Give Leaflet's style sheet, its pictures set into it as data URIs.

    Raises
    ------
    PartMissing
        If the package is not installed.
    """
    content = _file_of(LEAFLET_PACKAGE, "leaflet.css")
    text = URL.sub(lambda found: _inlined(LEAFLET_PACKAGE, found), content.decode("utf-8"))
    return _asset(LEAFLET_PACKAGE, "leaflet.css", content, text)


def _asset(package: str, file_name: str, content: bytes, text: str) -> Asset:
    """Put an asset together."""
    digest = hashlib.sha256(content).hexdigest()
    return Asset(package, metadata.version(package), file_name, digest, text)


def _inlined(package: str, found: re.Match[str]) -> str:
    """Turn the address of a picture into the picture; one that is no PNG is dropped."""
    address = found.group(1).strip()
    if address.startswith(("data:", "#")):
        return "none" if address.startswith("#") else found.group(0)
    if not address.endswith(".png"):
        return "none"
    picture = base64.b64encode(_file_of(package, address.rsplit("/", 1)[-1])).decode("ascii")
    return f"url(data:image/png;base64,{picture})"


def _file_of(package: str, file_name: str) -> bytes:
    """Read one file of a package by its name."""
    try:
        listed = metadata.files(package) or []
    except metadata.PackageNotFoundError as error:
        raise _missing(package, file_name) from error
    path = next((entry for entry in listed if entry.name == file_name), None)
    if path is None:
        raise _missing(package, file_name)
    return path.read_binary()


def _missing(package: str, file_name: str) -> PartMissing:
    """Give the error for a part that is not installed."""
    return PartMissing(
        f"{file_name} of {package} is not installed",
        remedy=f"Install sitebook again, or its part alone: python -m pip install {package}",
    )

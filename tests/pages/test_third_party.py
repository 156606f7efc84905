"""Tests that other people's files come from installed packages, whole and known by their hash."""

from __future__ import annotations

import base64
from importlib import metadata

import pytest

from sitebook.errors import PartMissing
from sitebook.pages import third_party


@pytest.mark.parametrize("asset", [third_party.leaflet_script(), third_party.leaflet_style()])
@pytest.mark.source(
    item="",
    what="SHA-256 of Leaflet's files as they go into pages",
    value="equal to the package's own record",
    source="RECORD of the installed XStatic-Leaflet",
    mark="confirmed",
)
def test_the_file_is_the_one_the_package_lists(asset: third_party.Asset) -> None:
    listed = next(f for f in metadata.files(asset.package) or [] if f.name == asset.file_name)
    assert listed.hash is not None
    recorded = base64.urlsafe_b64decode(listed.hash.value + "==").hex()
    assert asset.sha256 == recorded
    assert asset.said.startswith("XStatic-Leaflet leaflet.")


def test_pictures_of_the_style_sheet_lie_in_it() -> None:
    style = third_party.leaflet_style().text
    assert "url(data:image/png;base64,iVBOR" in style
    assert "url(images" not in style
    assert "url(#" not in style


def test_a_missing_package_is_told_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    def none(name: str) -> list[metadata.PackagePath]:
        raise metadata.PackageNotFoundError(name)

    monkeypatch.setattr(metadata, "files", none)
    with pytest.raises(PartMissing, match="is not installed"):
        third_party._file_of("XStatic-Leaflet", "leaflet.js")
    monkeypatch.setattr(metadata, "files", lambda _: [])
    with pytest.raises(PartMissing, match="python -m pip install"):
        third_party._file_of("XStatic-Leaflet", "leaflet.js")

"""Puts small pictures of finds into the map page, within its budget."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from sitebook.citations import Cited
from sitebook.records.results.map_view import FindMark, PhotoMark

BUDGET_BYTES = Cited(3_000_000.0, "byte", "ours", "our choice")
"""Most that all pictures of one page may take: about two hundred."""

LinkPhoto = Callable[[str], str]
"""From the SHA-256 of a photo to the address of its small picture; empty where there is none."""


@dataclass
class PagePhotos:
    """The pictures of one page.

    Parameters
    ----------
    pictures
        Each with its address, its size and its words, in the order they are numbered.
    of_find
        Numbers of the pictures of each find, by the find's id.
    left_out
        How many of its pictures each find is without here, by the find's id.
    left_bytes
        What is left of the budget.
    numbers
        Number of each picture, by the SHA-256 of its photo.
    """

    pictures: list[dict[str, object]] = field(default_factory=list)
    of_find: dict[int, list[int]] = field(default_factory=dict)
    left_out: dict[int, int] = field(default_factory=dict)
    left_bytes: int = field(default_factory=lambda: int(BUDGET_BYTES.value))
    numbers: dict[str, int] = field(default_factory=dict)

    def put(self, find: FindMark, photo: PhotoMark, link_photo: LinkPhoto | None) -> None:
        """Put one picture into the page if it fits, else count it as left out."""
        if photo.sha256 not in self.numbers:
            address = link_photo(photo.sha256) if link_photo is not None and self.left_bytes > 0 else ""
            if not address or len(address) > self.left_bytes:
                self.left_out[find.find_id] = self.left_out.get(find.find_id, 0) + 1
                return
            self.left_bytes -= len(address)
            self.numbers[photo.sha256] = len(self.pictures)
            picture = {"src": address, "w": photo.width_px, "h": photo.height_px, "said": photo.words}
            self.pictures.append(picture)
        self.of_find.setdefault(find.find_id, []).append(self.numbers[photo.sha256])

    def said(self) -> str:
        """Say how many pictures are left out; empty where none is."""
        missing = sum(self.left_out.values())
        if not missing:
            return ""
        budget_mb = BUDGET_BYTES.value / 1e6
        return (
            f"{missing:,} of {missing + sum(map(len, self.of_find.values())):,} photos of finds are not in "
            f"this page: it holds at most {budget_mb:g} MB of pictures, those of the newest finds first."
        )


def photos_within_budget(finds: Sequence[FindMark], link_photo: LinkPhoto | None) -> PagePhotos:
    """Choose the pictures of the newest finds until the budget is used up.

    The first picture of every find goes before the second of any.
    """
    newest = sorted(finds, key=lambda find: find.found_on or datetime.date.min, reverse=True)
    page = PagePhotos()
    for turn in range(max((len(find.photos) for find in newest), default=0)):
        for find in newest:
            if turn < len(find.photos):
                page.put(find, find.photos[turn], link_photo)
    return page

"""Chooses the photos of trees that fit onto the page of a planned day."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from sitebook.citations import Cited
from sitebook.records.results.day_plan import TreeToLookAt

BUDGET_BYTES = Cited(2_000_000.0, "byte", "ours", "our choice")
"""Most that all photos of one day's page may take."""

MOST_OF_A_TREE = 3
"""Photos shown of one tree at most."""

LinkPhoto = Callable[[str], str]
"""From the SHA-256 of a photo to the address of its small picture; empty where there is none."""


@dataclass
class DayPhotos:
    """The photos of one page.

    Parameters
    ----------
    addresses
        Address of each photo that is shown, by its SHA-256.
    left_bytes
        What is left of the budget.
    left_out
        Photos that are not shown, by their SHA-256.
    """

    addresses: dict[str, str] = field(default_factory=dict)
    left_bytes: int = field(default_factory=lambda: int(BUDGET_BYTES.value))
    left_out: set[str] = field(default_factory=set)

    def put(self, sha256: str, link_photo: LinkPhoto | None) -> None:
        """Show a photo if it fits, else note that it is left out."""
        if sha256 in self.addresses or sha256 in self.left_out:
            return
        address = link_photo(sha256) if link_photo is not None else ""
        if not address or len(address) > self.left_bytes:
            self.left_out.add(sha256)
            return
        self.left_bytes -= len(address)
        self.addresses[sha256] = address

    def of(self, tree: TreeToLookAt) -> list[str]:
        """Give the addresses of the photos of a tree that are shown, newest first."""
        return [self.addresses[sha] for sha in tree.photos[:MOST_OF_A_TREE] if sha in self.addresses]

    @property
    def said(self) -> str:
        """How many photos are left out; empty where none is."""
        if not self.left_out:
            return ""
        left, whole = len(self.left_out), len(self.left_out) + len(self.addresses)
        return (
            f"{left:,} of {whole:,} photos of these trees are not on this page: it shows at most "
            f"{MOST_OF_A_TREE} of a tree and holds at most {BUDGET_BYTES.value / 1e6:g} MB of pictures, the "
            "newest of every tree first."
        )


def photos_of(trees: Sequence[TreeToLookAt], link_photo: LinkPhoto | None) -> DayPhotos:
    """Choose photos until the budget is used up: the first of every tree before the second of any."""
    page = DayPhotos()
    for turn in range(MOST_OF_A_TREE):
        for tree in trees:
            if turn < len(tree.photos):
                page.put(tree.photos[turn], link_photo)
    page.left_out |= {sha for tree in trees for sha in tree.photos[MOST_OF_A_TREE:]} - page.addresses.keys()
    return page

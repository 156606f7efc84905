"""Fits seasons, or takes a fit that the book kept and that still holds."""

from __future__ import annotations

import contextlib
import datetime

from sitebook import errors
from sitebook.analysis.season import held_out, kept_fit, model
from sitebook.analysis.season.design import Looks
from sitebook.analysis.season.kept_fit import KeptFit
from sitebook.analysis.season.prior import SeasonPrior
from sitebook.store import derived
from sitebook.store.book import Book

KIND = "season fit"
OF_PAST_DAY = " to a past day"
"""What the key of a fit ends in that leaves later looks out; it takes no place of one of all looks."""


class Shelf:
    """What the book kept of fits, and what was fitted since; close it to keep that too."""

    def __init__(self, book: Book, now: datetime.datetime | None, *, is_of_past_day: bool = False) -> None:
        self._book = book
        self._now = now
        self._ending = OF_PAST_DAY if is_of_past_day else ""
        self._kept = derived.kept(book, KIND)
        self._fresh: dict[str, tuple[str, bytes]] = {}

    def fit(self, key: str, looks: Looks, prior: SeasonPrior) -> KeptFit:
        """Give the fit of a taxon, and the way used for it.

        Parameters
        ----------
        key
            Which taxon, and which side of the equator.
        looks, prior
            What the fit rests on; a kept fit of anything else is passed over.
        """
        wanted = kept_fit.hash_of(looks, prior)
        for known in (self._kept.get(key), self._kept.get(key + OF_PAST_DAY)):
            if known is not None and known.input_hash == wanted:
                with contextlib.suppress(ValueError):
                    found = kept_fit.unpacked(known.payload)
                    if _is_of(found, looks, prior):
                        return found
        made = KeptFit(model.fit(looks, prior), held_out.way_to_use(looks, prior))
        self._fresh[key + self._ending] = (wanted, kept_fit.packed(made))
        return made

    def close(self) -> None:
        """Keep what was fitted anew, where the book can be written just now."""
        if self._now is not None:
            with contextlib.suppress(errors.BookBusy, errors.BookNotWritable):
                derived.put_in_place(self._book, KIND, self._fresh, now=self._now)


def _is_of(kept: KeptFit, looks: Looks, prior: SeasonPrior) -> bool:
    """Tell whether a fit says itself that it is of these looks, whatever the hash beside it claims."""
    counts = (kept.fit.looks, kept.fit.finds)
    return kept.fit.prior == prior and counts == (len(looks), int(looks.found.sum()))

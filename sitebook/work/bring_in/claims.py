"""Remembers which row on its way claims a key that no two rows may share."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from sitebook.work.bring_in.gathering import Arrival

Claim = tuple[Arrival, Mapping[str, object]]


@dataclass
class Claims:
    """Unique keys of one table that rows of this command claim.

    Parameters
    ----------
    groups
        Groups of columns that no two rows share.
    held
        Who claims which key, with the values of that row.
    """

    groups: Iterable[tuple[str, ...]]
    held: dict[tuple[object, ...], Claim] = field(default_factory=dict)

    def first(self, values: Mapping[str, object]) -> Claim | None:
        """Give the earlier row that claims a key of these values."""
        return next((self.held[key] for key in self._keys(values) if key in self.held), None)

    def take(self, arrival: Arrival, values: Mapping[str, object]) -> None:
        """Let a row claim its keys; a key with an empty column is none."""
        self.held |= dict.fromkeys(self._keys(values), (arrival, values))

    def _keys(self, values: Mapping[str, object]) -> Iterator[tuple[object, ...]]:
        for group in self.groups:
            key = tuple(values.get(name) for name in group)
            if None not in key:
                yield (group, *key)

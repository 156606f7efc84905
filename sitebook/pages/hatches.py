"""Names the hatches that tell classes and chances apart where colour alone would not."""

from __future__ import annotations

from typing import Final

HATCHES: Final[tuple[tuple[str, int, str], ...]] = (
    ("road-1", 14, "M6.5 7H7.5"),
    ("road-2", 12, "M0 12L12 0M-3 3L3 -3M9 15L15 9"),
    ("road-3", 6, "M0 6L6 0M-1.5 1.5L1.5 -1.5M4.5 7.5L7.5 4.5"),
    ("road-4", 6, "M0 0L6 6M0 6L6 0"),
    ("road-U", 16, "M5 8A3 3 0 1 1 11 8A3 3 0 1 1 5 8"),
    ("chance-1", 18, "M9 0V18"),
    ("chance-2", 11, "M5.5 0V11"),
    ("chance-3", 7, "M3.5 0V7"),
    ("chance-4", 4, "M2 0V4"),
    ("chance-books", 12, "M6 6H6.1"),
    ("chance-unknown", 16, "M5 5L11 11M5 11L11 5"),
)
"""Hatch of a site: name, width of one tile [px], and its path. Only chances have upright lines."""


def hatch_rules() -> str:
    """Give each hatch as the filling of the areas that carry its name."""
    return "".join(f".area-{name}{{fill:url(#hatch-{name})}}" for name, _, _ in HATCHES)

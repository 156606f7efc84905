"""The years a date in the book may lie in."""

from __future__ import annotations

from sitebook.citations import Cited

EARLIEST_YEAR = Cited(1700.0, "year", "ours", "our choice")
LATEST_YEAR = Cited(2200.0, "year", "ours", "our choice")
"""A year outside these two is taken for a slip of the pen."""

"""Keeps a text from being taken for a formula by a spreadsheet, and gives it back as it stood."""

from __future__ import annotations

GUARD = "'"
RISKY_FIRST = frozenset("=+-@#\t\r\n＝＋－＠")
"""What a spreadsheet takes for the beginning of a formula, and a table for that of a comment; the wide
forms of the signs count as the plain ones do."""


def guarded(text: str) -> str:
    """Put an apostrophe before a text that begins as a formula does, or as a guarded text does.

    `unguarded` takes exactly this one away, so that any text comes back as it stood.
    """
    return GUARD + text if text[:1] in RISKY_FIRST or _looks_guarded(text) else text


def unguarded(cell: str) -> str:
    """Take the apostrophe away that `guarded` put; any other, as in 's-Gravenhage, stays."""
    return cell[1:] if _looks_guarded(cell) else cell


def _looks_guarded(text: str) -> bool:
    return text[:1] == GUARD and (text[1:2] in RISKY_FIRST or text[1:2] == GUARD) and len(text) > 1

"""What waits for her, each with what to type next."""

from __future__ import annotations

from dataclasses import dataclass

TOPICS: dict[str, str] = {
    "conflict": "Two values, and you have not said which stands",
    "sheet": "Numbers held back for a sheet that has not come home",
    "no name": "Finds without a name",
    "no number": "Finds without a collection number",
    "photo": "Photos that show no find yet",
    "at home": "Pictures taken at home, with the finds of that day",
    "not asked": "Sites without a permission",
    "permission": "Permissions that ended, or were not checked for a year",
    "review": "Sites you wanted to think about again",
    "rest": "Sites whose rest ends",
    "felled": "Trees noted as fallen or taken away, without the day",
    "overlap": "Visits to one site at the same hours: one walk noted twice counts twice",
    "effort": "Visits made of tracks: say what you looked for",
}
"""Topic to the heading it stands under, the most pressing first."""


@dataclass(frozen=True)
class Due:
    """One thing that waits.

    Parameters
    ----------
    topic
        A key of `TOPICS`.
    record
        What it concerns, as a person calls it.
    words
        What is missing or due, in a few words.
    next_step
        What to type next.
    """

    topic: str
    record: str
    words: str
    next_step: str

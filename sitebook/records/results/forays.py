"""One foray in a list of those that the book keeps."""

from __future__ import annotations

import datetime
from dataclasses import dataclass


@dataclass(frozen=True)
class ForayLine:
    """A foray, in short.

    Parameters
    ----------
    foray_uuid, on, starts_at, ends_at, mode
        The foray, its date, its local hours HH:MM, and the way of getting about.
    planned, visited, unplanned
        Stops planned, those of them visited, and sites visited that were not planned.
    finds
        Finds of the visits joined to it.
    """

    foray_uuid: str
    on: datetime.date
    starts_at: str
    ends_at: str
    mode: str
    planned: int
    visited: int
    unplanned: int
    finds: int

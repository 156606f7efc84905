"""What one source of pollution that is no road adds to one place."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from sitebook.citations import Mark
from sitebook.records.results.contamination import Band


@dataclass(frozen=True)
class SourceTerm:
    """One source near a place, with what it adds, why, and what is not known of it.

    Sources of one kind that agree in name, standing and past use are one term; ground that lies in two
    terms of one kind counts in the first alone, so the values of one kind may be added up.

    Parameters
    ----------
    kind
        Word of the table of hazard kinds.
    title
        The kind as a page prints it.
    name
        Its name; "" where it has none.
    members
        How many mapped or told things the term takes together; 0 for what she noted of the find itself.
    distance_m
        Distance from the place to its edge, 0 inside it [m].
    nearest_m
        The same less the uncertainty of the position, 0 or more [m].
    direction
        In which of eight directions its nearest point lies; "" inside it.
    value
        Area term A with the ends of its range over length scale and position [1].
    weighs
        Whether that term counts for the class; where not, the history of the ground alone decides.
    floor_class
        Least class of the place by rule and distance alone, 0 to 4.
    could_be_floor
        The same at the near end of the position's range, and if what is suspected is so.
    hard
        Whether the rule to leave everything holds at the place.
    standing
        confirmed, told or suspected.
    past_use
        What the ground was used for before; "" where that is not known.
    since, until
        First and last day of it; None where not known, or where it is still there.
    length_scale_m
        Length of the kernel [m].
    limit_m
        Published or agreed distance [m]; None where there is none.
    reason
        Why it counts, in one or more sentences.
    source
        Who says that it is there.
    kind_source
        Where it is written what may be in its ground.
    mark
        How well that is known.
    unknown
        What is not known of it and may be asked, in words; empty where nothing is asked.
    whom
        Who may know that.
    spraying_asked
        Which of `unknown` asks whether the ground was sprayed; "" where that is not asked.
    """

    kind: str
    title: str
    name: str
    members: int
    distance_m: float
    nearest_m: float
    direction: str
    value: Band
    weighs: bool
    floor_class: int
    could_be_floor: int
    hard: bool
    standing: str
    past_use: str
    since: datetime.date | None
    until: datetime.date | None
    length_scale_m: float
    limit_m: float | None
    reason: str
    source: str
    kind_source: str
    mark: Mark
    unknown: tuple[str, ...]
    whom: str
    spraying_asked: str = ""

    @property
    def called(self) -> str:
        """Its kind with its name, where it has one."""
        return f"{self.title} ({self.name})" if self.name else self.title

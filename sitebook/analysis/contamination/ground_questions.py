"""Gives plain questions for whoever manages the ground of one place, with the reason for each matter."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from sitebook.analysis.contamination.sampling import counts, road_counts, sprayed_or_maybe
from sitebook.records.results.review import PlaceReview
from sitebook.records.results.sampling import ManagerSheet, QuestionGroup
from sitebook.reference import reader

NOT_KNOWN_HERE = "Not known of this place"
EVER_SPRAYED = "was anything sprayed or spread here, when, and with what?"

WORDS = (
    "Write down who answered, on which day, and what was not answered. An answer with a name and a day is "
    "kept as told; it proves nothing, and no answer is no answer."
)


def questions_for_manager(review: PlaceReview) -> ManagerSheet:
    """Give the questions for the place of a review: all matters, those with a reason here first.

    Parameters
    ----------
    review
        The review of the place.
    """
    near = _near(review)
    groups = [_group(title, near) for title in _titles()]
    groups.sort(key=lambda group: not group.because)
    open_here = tuple(dict.fromkeys(_open_here(review)))
    if open_here:
        because = ("It follows from what is mapped or told near the place.",)
        groups.insert(0, QuestionGroup(NOT_KNOWN_HERE, because, open_here))
    return ManagerSheet(review.name, tuple(groups), WORDS)


@cache
def _titles() -> tuple[str, ...]:
    return tuple(dict.fromkeys(row["title"] for row in reader.rows("ground_questions")))


def _group(title: str, near: dict[str, str]) -> QuestionGroup:
    rows = [row for row in reader.rows("ground_questions") if row["title"] == title]
    kinds = dict.fromkeys(kind for row in rows for kind in row["asked_for"].split("|"))
    because = dict.fromkeys(near[kind] for kind in kinds if kind in near)
    return QuestionGroup(title, tuple(because), tuple(row["question"] for row in rows))


def _near(review: PlaceReview) -> dict[str, str]:
    """Give, by kind, what gives reason to ask here."""
    near: dict[str, str] = {}
    for term in review.terms:
        if counts(term):
            near.setdefault(term.kind, f"{term.called}, {_away(term.distance_m)}.")
    for road in review.sources:
        if road_counts(road):
            near.setdefault("road", f"{road.name}, {_away(road.edge_m)}.")
    for spray in review.sprayings:
        if sprayed_or_maybe(spray):
            near.setdefault("spraying", f"{spray.ground}, {_away(spray.distance_m)}.")
    return near


def _away(distance_m: float) -> str:
    return f"{distance_m:.0f} m away" if distance_m >= 1.0 else "on the place itself"


def _open_here(review: PlaceReview) -> Iterator[str]:
    """Give what may be asked of terms and sprayings as questions; what nobody can answer is left out."""
    for term in review.terms:
        if term.spraying_asked:
            yield f"{term.called}: {EVER_SPRAYED}"
        yield from (what for what in term.unknown if what.endswith("?"))
    for spray in review.sprayings:
        if spray.state == "not known":
            yield f"{spray.ground}: {EVER_SPRAYED}"
        yield from (what for what in spray.unknown if what.endswith("?"))

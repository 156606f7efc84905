"""Draws the contamination review of one place."""

from __future__ import annotations

import datetime
from itertools import groupby

from markupsafe import Markup

from sitebook.pages import contamination_numbers, contamination_words, frame
from sitebook.pages.class_plate import ROAD_HATCHES, class_cell, plate, tile
from sitebook.pages.contamination_effects import drawn_effects
from sitebook.pages.contamination_map import GROUND_HATCHES, small_map
from sitebook.pages.contamination_profile import profile_svg
from sitebook.pages.hatches import hatch_rules
from sitebook.pages.own_parts import rendered, text_of
from sitebook.records.results.review import PlaceReview, Question
from sitebook.records.results.sampling import ManagerSheet, QuestionGroup, SamplingLine, SamplingPlan

BLANK_SAMPLES = 6
"""Empty lines for samples on the sheet for the laboratory."""

SAMPLE_HEADS = (
    "Sample number",
    "Date",
    "Soil, litter, or which mushroom",
    "Depth (cm)",
    "Takes mixed",
    "Vessel",
)
"""What is noted of each sample by hand."""


def draw_review(
    review: PlaceReview,
    *,
    title: str,
    today: datetime.date,
    plan: SamplingPlan | None = None,
    questions: ManagerSheet | None = None,
    poison_centre: str = "",
) -> str:
    """Draw the review of one place as one self-contained page that works without scripts.

    Parameters
    ----------
    review
        What is known of the place.
    title
        Heading of the page.
    today
        Day the page is drawn for.
    plan
        What a laboratory is asked; None for a page without that sheet.
    questions
        What whoever manages the ground is asked; None for what the review does not know alone.
    poison_centre
        Telephone of the poison centre; empty where none is set.

    Raises
    ------
    PageNotSelfContained
        If anything in the page would be loaded from outside.
    """
    body = hatches() + review_body(review) + rules_body() + _sheets(review, today, plan, questions)
    return frame.page(
        title=title,
        subtitle=f"{'' if review.name in title else f'{review.name}; '}drawn {today.isoformat()}",
        body=body,
        style=style(),
        poison_centre=poison_centre,
    )


def hatches() -> Markup:
    """Draw every hatch that plates and small maps use, once for a page."""
    return rendered("map_hatches.html.j2", hatches=(*ROAD_HATCHES, *GROUND_HATCHES))


def style() -> str:
    """Give the style sheet of a page that holds reviews."""
    ground = "".join(f".ground.{name}{{fill:url(#hatch-{name})}}" for name, _, _ in GROUND_HATCHES)
    return text_of("contamination.css") + hatch_rules() + ground + text_of("contamination_drawings.css")


def review_body(review: PlaceReview, *, level: int = 2, prefix: str = "") -> Markup:
    """Draw a review without its frame and sheets.

    Parameters
    ----------
    review
        What is known of the place.
    level
        Level of its headings.
    prefix
        What its anchors begin with, so that several stand on one page.
    """
    central = review.traffic_index.central if review.traffic_index else 0.0
    return rendered(
        "contamination_review.html.j2",
        review=review,
        level=level,
        prefix=prefix,
        w=contamination_words,
        n=contamination_numbers,
        plate=plate,
        tile=tile,
        class_cell=class_cell,
        map=small_map(review.name, review.surroundings) if review.surroundings else None,
        profile=profile_svg(review.profile) if review.profile else None,
        effects=drawn_effects(review.effects, central),
        questions=open_questions(review),
    )


def rules_body(level: int = 2) -> Markup:
    """Draw the table of the classes with the rule that makes each."""
    return rendered(
        "contamination_rules.html.j2", level=level, w=contamination_words, tile=tile, rules=_rules()
    )


def _rules() -> list[tuple[int | None, str, str]]:
    """Give each class with its meaning and its rule, the highest first."""
    return [
        (number, contamination_words.SHORT[number], rule)
        for sign, rule in contamination_words.class_rules()
        for number in (None if sign == "U" else int(sign),)
    ]


def open_questions(review: PlaceReview) -> tuple[Question, ...]:
    """Give everything not known with whom to ask, also what no question was made of."""
    asked = {question.what for question in review.questions}
    return (*review.questions, *(Question(what, "") for what in review.unknown if what not in asked))


def _sheets(
    review: PlaceReview, today: datetime.date, plan: SamplingPlan | None, questions: ManagerSheet | None
) -> Markup:
    """Draw the two sheets that are filled in by hand."""
    reasons = list(
        dict.fromkeys(words for line in (plan.lines if plan else ()) for words in _reasons_of(line))
    )
    return rendered(
        "contamination_sheets.html.j2",
        review=review,
        today=today,
        plan=plan,
        plan_lines=_by_material(plan),
        reasons=reasons,
        written=_written(plan),
        reasons_of=lambda line: [reasons.index(words) + 1 for words in _reasons_of(line)],
        groups=_groups(review, questions),
        manager_words=questions.words if questions else "",
        blank_samples=BLANK_SAMPLES,
        sample_heads=SAMPLE_HEADS,
        w=contamination_words,
        n=contamination_numbers,
    )


def _reasons_of(line: SamplingLine) -> list[str]:
    """Give why an analyte is asked for, as sentences that stand alone."""
    return [contamination_words.sentence(words) for words in line.because]


def _written(plan: SamplingPlan | None) -> dict[str, list[str]]:
    """Give each source of a plan with the analytes it speaks of, in the order of the sheet."""
    found: dict[str, list[str]] = {}
    for line in plan.lines if plan else ():
        analytes = found.setdefault(contamination_words.said_source(line.source, line.mark) or line.mark, [])
        if line.analyte not in analytes:
            analytes.append(line.analyte)
    return found


def _by_material(plan: SamplingPlan | None) -> list[tuple[str, list[SamplingLine]]]:
    """Part the lines of a plan by what is tested, in the order they came."""
    lines = plan.lines if plan else ()
    return [(material, list(own)) for material, own in groupby(lines, lambda line: line.material)]


def _groups(review: PlaceReview, questions: ManagerSheet | None) -> list[QuestionGroup]:
    """Give the questions by matter; without any, those that somebody may know of this very place."""
    if questions:
        return list(questions.groups)
    here = tuple(
        f"{question.what} (may know: {question.whom})" for question in review.questions if question.whom
    )
    return [QuestionGroup("Not known of this place", (), here)] if here else []

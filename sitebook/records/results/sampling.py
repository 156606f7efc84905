"""What to ask a laboratory for, how to take the sample, and what to ask whoever manages the ground."""

from __future__ import annotations

from dataclasses import dataclass

from sitebook.citations import Mark


@dataclass(frozen=True)
class SamplingLine:
    """One analyte to ask for, in one material.

    Parameters
    ----------
    material
        "soil" or "mushroom".
    analyte
        What to ask for, in words with its symbol, as "lead (Pb)".
    because
        Why here, one sentence a reason: a source near the place, a spraying, the species, or every mushroom.
    how
        What to ask for with it, as the form or the extraction; "" for nothing.
    source, mark
        Who measured or named it near such a source, and how well that is known; "ours" where nobody did.
    """

    material: str
    analyte: str
    because: tuple[str, ...]
    how: str
    source: str
    mark: Mark


@dataclass(frozen=True)
class SamplingStep:
    """One thing to do, or to write down, when a sample is taken.

    Parameters
    ----------
    material
        "soil", "mushroom", or "both".
    step
        What it is about, as "depth".
    said
        What to do, in a sentence.
    source, mark
        Where it is written, and how well that is known.
    """

    material: str
    step: str
    said: str
    source: str
    mark: Mark


@dataclass(frozen=True)
class SamplingPlan:
    """What a laboratory is asked for one place.

    Parameters
    ----------
    place
        Name of the place.
    lines
        Analytes, soil before mushroom, the weightiest reason first.
    steps
        How to take and label the samples, in the order of doing.
    words
        What such a test can tell and what it cannot, in a sentence or two.
    """

    place: str
    lines: tuple[SamplingLine, ...]
    steps: tuple[SamplingStep, ...]
    words: str


@dataclass(frozen=True)
class QuestionGroup:
    """Questions on one matter.

    Parameters
    ----------
    title
        The matter, as "Sprayings".
    because
        Why it is asked here, one sentence a reason; empty where it is asked everywhere.
    questions
        Plain questions.
    """

    title: str
    because: tuple[str, ...]
    questions: tuple[str, ...]


@dataclass(frozen=True)
class ManagerSheet:
    """Questions for whoever manages the ground of one place.

    Parameters
    ----------
    place
        Name of the place.
    groups
        Questions by matter; those with a reason at this place first.
    words
        How an answer counts, in a sentence or two.
    """

    place: str
    groups: tuple[QuestionGroup, ...]
    words: str

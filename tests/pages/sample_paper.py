"""An invented sampling plan and questions for a manager, for tests of the contamination pages."""

from __future__ import annotations

from sitebook.records.results.sampling import (
    ManagerSheet,
    QuestionGroup,
    SamplingLine,
    SamplingPlan,
    SamplingStep,
)

LINES = (
    SamplingLine(
        "soil",
        "lead (Pb)",
        ("Through Road lies 15 m off.", "The ground may be an old orchard."),
        "total content, by aqua regia",
        "Werkenthin and others 2014 (werkenthin2014)",
        "confirmed",
    ),
    SamplingLine(
        "soil", "arsenic (As)", ("The ground may be an old orchard.",), "", "our choice", "our choice"
    ),
    SamplingLine(
        "mushroom",
        "cadmium (Cd)",
        ("Agaricus campestris gathers it wherever it grows.",),
        "ask for the dry matter too",
        "Kalač and Svoboda 2000 (kalac_svoboda2000)",
        "confirmed",
    ),
    SamplingLine(
        "mushroom",
        "lead (Pb)",
        ("Through Road lies 15 m off.",),
        "",
        "García 2009 (garcia2009)",
        "confirmed",
    ),
)

STEPS = (
    SamplingStep(
        "both",
        "before",
        "Ring the laboratory first: ask for its smallest mass and its vessel.",
        "",
        "common practice",
    ),
    SamplingStep(
        "soil",
        "increments",
        "Mix 15 to 25 small takes from all over the place into one sample.",
        "",
        "common practice",
    ),
    SamplingStep(
        "mushroom",
        "part",
        "Pick whole fruit bodies of one kind, brush them, do not wash them.",
        "",
        "our choice",
    ),
)


def plan() -> SamplingPlan:
    """Give what a laboratory is asked."""
    return SamplingPlan(
        place="Rector's Garth <lower & upper>",
        lines=LINES,
        steps=STEPS,
        words="A test of soil tells of the ground; a test of the mushroom is the only measurement "
        "of what it holds.",
    )


def manager_sheet() -> ManagerSheet:
    """Give what whoever manages the ground is asked."""
    return ManagerSheet(
        place="Rector's Garth <lower & upper>",
        groups=(
            QuestionGroup(
                "Sprayings",
                ("The links were sprayed in May 2026.",),
                (
                    "Was anything sprayed or spread here against weeds, moss, insects or fungi?",
                    "What was the product called, and what was in it?",
                    "On which day, and when will it be done again?",
                ),
            ),
            QuestionGroup("Ground", (), ("Was soil, ash or rubble ever brought here, and from where?",)),
        ),
        words="An answer counts as told by whoever gave it, with the day; it ends nothing "
        "unless a name stands under it.",
    )

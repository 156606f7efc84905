"""Invented laboratory tests, for tests of the contamination pages."""

from __future__ import annotations

import datetime

from sitebook.records.results.test_reading import Comparison, IntakeLine, ResultReading, TestReading

LEAD = "lead: a benchmark dose for the child's nerves of 0.5 µg a day and kg (efsa2010)"


def mushroom_test() -> TestReading:
    """Give a test of fruit bodies."""
    lead = ResultReading(
        analyte="lead (Pb)",
        value=0.5,
        unit="mg/kg dry",
        below_limit=True,
        written="<0.5 mg/kg dry",
        comparisons=(),
        intakes=(
            IntakeLine(
                "child",
                20.0,
                100.0,
                5.0,
                None,
                14.0,
                LEAD,
                "No intake of lead is known to do nothing.",
                "EFSA (efsa2010)",
                "confirmed",
                at_most=True,
            ),
        ),
        remarks=("For lead no share of a limit is given, only the distance from a benchmark dose.",),
    )
    return TestReading(
        lab_test_id=2,
        report_number="26-4711 <b>",
        laboratory="Laboratory & Sons, Vennarhaven",
        sampled_on=datetime.date(2026, 9, 3),
        of_what="find AV 12, Agaricus campestris",
        material="fruit bodies, whole, 5 takes mixed",
        results=(_cadmium(), lead),
        unknown=("the dry matter",),
        words="A test of the mushroom is the only measurement of what it holds. It holds for the fruit "
        "bodies in the sample and for what was asked for.",
    )


def _cadmium() -> ResultReading:
    return ResultReading(
        analyte="cadmium (Cd)",
        value=4.1,
        unit="mg/kg dry",
        below_limit=False,
        written="4.1 mg/kg dry",
        comparisons=(
            Comparison(
                against="maximum for wild mushrooms on sale, European Union",
                value=0.5,
                unit="mg/kg fresh",
                result=0.41,
                relation="at or below",
                caveat="It is a limit for sale, which was not set for what a gatherer eats.",
                assumed="10 % dry matter, by convention",
                source="Regulation (EU) 2023/915 (eu2023_915)",
                mark="secondary",
            ),
        ),
        intakes=(_intake("adult", 70.0, 200.0, 82.0, 47.0), _intake("child", 20.0, 100.0, 41.0, 82.0)),
        remarks=(),
    )


def _intake(eater: str, body_mass_kg: float, fresh_g: float, intake_ug: float, share: float) -> IntakeLine:
    return IntakeLine(
        eater,
        body_mass_kg,
        fresh_g,
        intake_ug,
        share,
        None,
        "tolerable weekly intake of cadmium, 2.5 µg a week and kg",
        "Other food brings cadmium too.",
        "EFSA (efsa2009)",
        "confirmed",
    )


def soil_test() -> TestReading:
    """Give a test of soil."""
    lead = ResultReading(
        analyte="lead (Pb)",
        value=145.0,
        unit="mg/kg dry",
        below_limit=False,
        written="145 mg/kg dry",
        comparisons=(
            Comparison(
                against="soil value for playgrounds, an invented authority",
                value=200.0,
                unit="mg/kg dry",
                result=145.0,
                relation="at or below",
                caveat="It was not derived for eating what grows on the ground.",
                assumed="",
                source="an invented ordinance (ours)",
                mark="memory",
                words="145 mg/kg dry is at or below 200 mg/kg dry, a soil value for playgrounds, which was "
                "not derived for eating what grows on the ground.",
            ),
        ),
        intakes=(),
        remarks=(),
    )
    return TestReading(
        lab_test_id=1,
        report_number="26-0815",
        laboratory="Laboratory & Sons, Vennarhaven",
        sampled_on=datetime.date(2026, 4, 14),
        of_what="the site",
        material="soil, 0 to 10 cm deep, 20 takes mixed, extracted with aqua regia",
        results=(lead,),
        unknown=(),
        words="A test of soil tells of the ground that was sampled, to the depth that was sampled.",
    )

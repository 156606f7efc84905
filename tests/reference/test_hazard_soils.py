"""Tests soils quoted beside kinds of source against the papers' own unit."""

from __future__ import annotations

import re

import pytest

from sitebook.reference.map_tags import hazard_kinds

G_A_MOL = {"Pb": 207.2, "As": 74.922}


def _quoted(kind: str) -> list[float]:
    return [
        float(number.replace(",", "")) for number in re.findall(r"\d[\d,]*", hazard_kinds()[kind].locator)
    ]


@pytest.mark.source(
    item="C42",
    what="lead and arsenic in soils of old orchards",
    value="Pb 2.15-10.69 and As 0.77-4.85 mmol/kg",
    source="Peryea and Creger 1994",
    mark="confirmed",
)
def test_old_orchards_from_mmol() -> None:
    mmol = {"Pb": (2.15, 10.69), "As": (0.77, 4.85)}
    turned = [amount * G_A_MOL[element] for element, ends in mmol.items() for amount in ends]
    assert turned == pytest.approx([445.48, 2214.968, 57.69, 363.37], abs=0.01)
    assert _quoted("old orchard") == [round(number) for number in turned]


@pytest.mark.source(
    item="C43",
    what="highest arsenic in soil at treated poles",
    value="38.9 mmol/kg",
    source="Coles and others 2014",
    mark="confirmed",
)
def test_treated_pole_from_mmol() -> None:
    assert 38.9 * G_A_MOL["As"] == pytest.approx(2914.47, abs=0.01)
    assert _quoted("treated timber")[0] == pytest.approx(38.9 * G_A_MOL["As"], abs=0.5)

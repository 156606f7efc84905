"""Tests that a guarded text comes back as it stood, and begins with no sign of a formula."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.intake.guard import RISKY_FIRST, guarded, unguarded

APOSTROPHES_AND_SIGNS = st.text(st.sampled_from("'=+-@#\ta "), max_size=8)


@given(st.one_of(st.text(), APOSTROPHES_AND_SIGNS))
def test_every_text_comes_back(text: str) -> None:
    assert unguarded(guarded(text)) == text


@given(st.one_of(st.text(), APOSTROPHES_AND_SIGNS))
def test_no_guarded_text_begins_as_a_formula_does(text: str) -> None:
    assert guarded(text)[:1] not in RISKY_FIRST


@pytest.mark.source(
    item="",
    what="signs a cell must not begin with: = + - @, tab, carriage return, line feed, and their wide forms",
    value="= + - @ 0x09 0x0D 0x0A",
    source="OWASP, CSV Injection",
    mark="memory",
)
def test_the_signs_are_those_that_are_warned_of() -> None:
    assert set("=+-@\t\r\n") <= RISKY_FIRST


@pytest.mark.parametrize("text", ["'s-Gravenhage", "'t Hof", "'", "Mill's wood", "''"[:1], "5 = 5", ""])
def test_an_apostrophe_of_hers_stays(text: str) -> None:
    assert unguarded(text) == text


def test_a_guard_is_one_apostrophe() -> None:
    assert guarded("=1+1") == "'=1+1"
    assert unguarded("''=1+1") == "'=1+1"

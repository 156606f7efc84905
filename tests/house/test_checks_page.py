"""Tests that every outside value is tested or says why not."""

from __future__ import annotations

import ast

import pytest

from tests.house import checks_page


def test_every_item_is_tested_or_has_its_reason() -> None:
    items = set(checks_page.read_pairs(checks_page.ITEMS))
    tested = {check.item for check in checks_page.checks()} - {""}
    reasons = set(checks_page.read_pairs(checks_page.LEFT_OUT))
    assert tested <= items, "a test names an item that is not in the list"
    assert not tested & reasons, "tested, and said to be left out"
    assert not items - tested - reasons, "neither tested nor left out with a reason"


def test_the_list_holds_every_item() -> None:
    expected = {f"C{n}" for n in range(1, 46)} | {f"S{n}" for n in range(1, 38)}
    assert set(checks_page.read_pairs(checks_page.ITEMS)) == expected


@pytest.mark.parametrize("wrong", ["pytest.mark.source(item='C1')", "pytest.mark.source('C1')"])
def test_marker_with_missing_parts_is_refused(wrong: str) -> None:
    call = ast.parse(wrong, mode="eval").body
    assert isinstance(call, ast.Call)
    with pytest.raises(ValueError, match="takes item"):
        checks_page._check(call, "here", {})

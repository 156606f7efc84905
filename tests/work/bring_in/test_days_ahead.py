"""Tests that what is told as done cannot lie on a day that has not come."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from sitebook import errors
from sitebook.work.bring_in.days_ahead import day_ahead, local_day
from tests.work import books
from tests.work.bring_in import town

TODAY = datetime.date(2025, 10, 1)
TOMORROW = TODAY + datetime.timedelta(days=1)


@pytest.mark.parametrize(
    ("kind", "values", "said"),
    [
        ("lab_test", {"sampled_on": TOMORROW}, "sampled_on 2025-10-02 lies in the future"),
        ("spraying", {"state": "done", "applied_on": TOMORROW}, "a spraying to come is state=planned"),
        ("spraying", {"state": "planned", "told_on": TOMORROW}, "told_on 2025-10-02 lies in the future"),
        ("spraying", {"state": "done", "closed_on": TOMORROW}, "closed_on 2025-10-02 lies in the future"),
        ("spraying", {"state": "planned", "applied_on": TOMORROW}, None),
        ("lab_test", {"sampled_on": TODAY}, None),
        ("permission", {"valid_to": TOMORROW}, None),
    ],
)
def test_a_day_ahead_is_told(kind: str, values: dict[str, object], said: str | None) -> None:
    found = day_ahead(kind, values, TODAY)
    assert found is None if said is None else said in str(found)


def test_the_day_is_that_of_the_book(tmp_path: Path) -> None:
    night = datetime.datetime(2025, 10, 1, 0, 20, tzinfo=datetime.UTC)
    assert local_day("Etc/GMT+1", night) == datetime.date(2025, 9, 30)
    assert local_day("UTC", night) == TODAY
    book = books.fresh(tmp_path)
    told = books.table(
        tmp_path,
        "lab_test",
        "site,report_number,laboratory,sampled_on,material,results",
        "Mill Park,V-1,island laboratory,2025-10-02,soil,Pb 34 mg/kg dry",
    )
    with pytest.raises(errors.LinesRefused, match="line 3: sampled_on 2025-10-02 lies in the future"):
        town.bring(book, told, town.sites(tmp_path))
    report = town.bring(book, told, town.sites(tmp_path), accept_rest=True)
    assert town.added(report) == {"site": 2}

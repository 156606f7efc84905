"""Puts the counted days of a weather station into lines for a person."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sitebook.records.results.weather import Gap, StationDays

TOLD = 10
DAY_OF_RAIN = {
    -1: "the rain under a date fell on the day before",
    0: "the rain under a date fell on that day",
    1: "the rain under a date fell on the day after",
}


def lines(days: StationDays) -> Iterator[str]:
    """Give what is known and what is missing, a line each."""
    if days.first is None or days.last is None:
        yield "no day of this station is known"
        return
    length_d = (days.last - days.first).days + 1
    yield f"days from {days.first} to {days.last}: {length_d}"
    yield f"rain known on {days.rain_days}; {DAY_OF_RAIN[days.rain_day_offset_d]}"
    if days.rain_days_in_part:
        yield f"  {days.rain_days_in_part} of them reported for a part of the day only"
    if days.days_in_totals:
        yield f"  {days.days_in_totals} more days only as totals of several days"
    yield f"lowest and highest temperature known on {days.temperature_days}"
    yield from _gaps("rain", days.rain_gaps)
    yield from _gaps("temperatures", days.temperature_gaps)
    yield from _left_out(days.left_out)


def _gaps(what: str, gaps: Sequence[Gap]) -> Iterator[str]:
    if not gaps:
        yield f"{what}: no day is missing"
        return
    told = ", ".join(
        str(gap.first) if gap.length_d == 1 else f"{gap.first} to {gap.last}" for gap in gaps[:TOLD]
    )
    more = f" and {len(gaps) - TOLD} more stretches; --json has them all" if len(gaps) > TOLD else ""
    length_d = sum(gap.length_d for gap in gaps)
    days = "1 day is" if length_d == 1 else f"{length_d} days are"
    yield f"{what}: {days} missing: {told}{more}"


def _left_out(reasons: Sequence[str]) -> Iterator[str]:
    if reasons:
        yield f"values that were left out: {len(reasons)}"
    yield from (f"  {reason}" for reason in reasons[:TOLD])
    if len(reasons) > TOLD:
        yield f"  and {len(reasons) - TOLD} more; `sitebook list refused_line` has them all"

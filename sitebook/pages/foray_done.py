"""Draws the page of a day out that is over: planned beside done, what it taught, and what waits."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sitebook.pages import frame
from sitebook.pages.day_words import BY, count, day_in_words, lasting, percent
from sitebook.pages.own_parts import rendered, text_of
from sitebook.pages.revisit import capital
from sitebook.records.results.day_plan import ForayDone, Learned, StopDone

HOUR = 60.0
SHORTEST_BAR = 1.5
"""Width of the shortest bar, in percent of the day."""


def draw_foray_done(done: ForayDone, *, title: str, hours: tuple[str, str], poison_centre: str = "") -> str:
    """Draw a day out as one self-contained page that works without scripts and prints on A4.

    Parameters
    ----------
    done
        Planned against done.
    title
        Heading of the page.
    hours
        Start and latest end as planned, local time HH:MM.
    poison_centre
        Telephone of the poison centre; empty where none is set.
    """
    span, top = _span(done, hours), _top(done)
    body = rendered(
        "foray_done.html.j2",
        large=_large(done),
        facts=_facts(done, hours),
        stops=[_stop(stop, span) for stop in done.stops],
        hours=span.ticks(),
        has_times=any(stop.planned_at or stop.arrived_at for stop in done.stops),
        learned=[_learned(one, top) for one in done.learned],
        top=top,
        looked=done.looks > 0,
        waiting=[_parted(said) for said in done.waiting],
    )
    return frame.page(
        title=title,
        body=body,
        style=text_of("foray_done.css"),
        subtitle=f"{day_in_words(done.on)}, {BY.get(done.mode, done.mode)}",
        poison_centre=poison_centre,
    )


def _large(done: ForayDone) -> str:
    planned = [stop for stop in done.stops if stop.turn is not None]
    visited = sum(_is_visited(stop) for stop in planned)
    extra = len(done.stops) - len(planned)
    if not visited and not extra:
        return f"{count(len(planned), 'stop', 'stops')} planned; no visit of this day is in the book yet."
    said = f"{visited} of {count(len(planned), 'planned stop', 'planned stops')} visited"
    said += (
        f", and {count(extra, 'site', 'sites')} that {'was' if extra == 1 else 'were'} not planned"
        if extra
        else ""
    )
    return f"{said}. {count(done.finds, 'find', 'finds')}; {_looks(done.looks, done.looks_empty)}."


def _is_visited(stop: StopDone) -> bool:
    return bool(stop.looks or stop.arrived_at or stop.finds)


def _looks(looks: int, empty: int) -> str:
    """Say how many looks there were, and how many of them were empty."""
    if not looks:
        return "no look"
    if looks == 1:
        return "1 look, which saw nothing" if empty else "1 look"
    seen = "all of them empty" if empty == looks else f"{empty or 'none'} of them empty"
    return f"{looks:,} looks, {seen}"


def _facts(done: ForayDone, hours: tuple[str, str]) -> list[tuple[str, str]]:
    out = "not noted" if done.hours_out is None else lasting(done.hours_out * HOUR)
    facts = [("Planned", f"{hours[0]} to {hours[1]}, {lasting(done.hours_planned * HOUR)}"), ("Out", out)]
    if done.planned_kilometres is not None:
        facts.append(("Way planned", f"{done.planned_kilometres:.1f} km"))
    gone = "no track of this day" if done.kilometres is None else f"{done.kilometres:.1f} km by the track"
    return [*facts, ("Way gone", gone)]


@dataclass(frozen=True)
class _Span:
    """The hours a day is drawn over, in whole hours [min]."""

    first: float
    last: float

    def ticks(self) -> list[tuple[str, str]]:
        """Give each second hour with where it lies, in percent; every hour of a short day."""
        step = 1 if self.last - self.first <= 6 * HOUR else 2
        at = range(round(self.first / HOUR), round(self.last / HOUR) + 1, step)
        return [(f"{hour:02d}", f"{self.part(hour * HOUR):.2f}") for hour in at]

    def part(self, minute: float) -> float:
        """Give where a minute lies in the day, in percent."""
        return 100.0 * (min(max(minute, self.first), self.last) - self.first) / (self.last - self.first)

    def bar(self, begins: str, minutes: float | None) -> dict[str, str] | None:
        """Give left edge and width of a bar, in percent; None where its hour is not known."""
        if not begins:
            return None
        left, right = self.part(_minute(begins)), self.part(_minute(begins) + (minutes or 0.0))
        width = max(right - left, SHORTEST_BAR)
        return {"left": f"{min(left, 100.0 - width):.2f}", "width": f"{width:.2f}"}


def _span(done: ForayDone, hours: tuple[str, str]) -> _Span:
    ends = [_minute(hours[0]), _minute(hours[1])]
    for stop in done.stops:
        for begins, minutes in ((stop.planned_at, stop.planned_min), (stop.arrived_at, stop.search_min)):
            if begins:
                ends += [_minute(begins), _minute(begins) + (minutes or 0.0)]
    first, last = math.floor(min(ends) / HOUR), math.ceil(max(ends) / HOUR)
    return _Span(first * HOUR, max(last, first + 1) * HOUR)


def _minute(text: str) -> float:
    hour, minute = text.split(":")
    return int(hour) * HOUR + int(minute)


def _stop(stop: StopDone, span: _Span) -> dict[str, object]:
    planned = [part for part in (stop.planned_at, _spent(stop.planned_min)) if part]
    done = [part for part in (stop.arrived_at, _spent(stop.search_min)) if part]
    visited = _is_visited(stop)
    return {
        "turn": str(stop.turn) if stop.turn is not None else "+",
        "kind": "extra" if stop.turn is None else "done" if visited else "left",
        "name": stop.spot.where,
        "said": stop.said,
        "planned": ", ".join(planned),
        "done": ", ".join(done) or ("not timed" if visited else ""),
        "planned_bar": span.bar(stop.planned_at, stop.planned_min) if stop.turn is not None else None,
        "done_bar": span.bar(stop.arrived_at, stop.search_min),
        "chance": "" if stop.chance is None else percent(stop.chance),
        "finds": stop.finds,
        "looks": _looks(stop.looks, stop.looks_empty) if visited else "",
    }


def _spent(minutes: float | None) -> str:
    return "" if minutes is None else lasting(minutes)


def _top(done: ForayDone) -> int:
    """Give the end of the line that chances are drawn on, in looks of 100."""
    highest = max((100.0 * max(one.before, one.after) for one in done.learned), default=0.0)
    return next((end for end in (10, 25, 50) if highest <= end), 100)


def _learned(one: Learned, top: int) -> dict[str, str]:
    low, high = (10_000.0 * chance / top for chance in sorted((one.before, one.after)))
    return {
        "said": one.said,
        "poisoning": capital(one.poisoning),
        "before": f"{10_000.0 * one.before / top:.1f}",
        "after": f"{10_000.0 * one.after / top:.1f}",
        "low": f"{low:.1f}",
        "width": f"{high - low:.1f}",
    }


def _parted(said: str) -> tuple[str, str]:
    """Part a sentence from the command that it ends in."""
    words, _, command = said.rpartition(": ")
    return (words, command) if command.startswith("sitebook ") else (said, "")

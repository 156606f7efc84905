"""Draws the page that says whether the book's own chances came true."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

from markupsafe import Markup

from sitebook.analysis.season.held_out import DRAWS, YEARS_FOR_INTERVAL
from sitebook.pages import frame
from sitebook.pages.own_parts import rendered, text_of
from sitebook.pages.palette import COLOURS
from sitebook.records.results.fruiting import SEASON_MODEL
from sitebook.records.results.held_out import Calibration, Gain, HeldOut, ToldShare

SIDE, LEFT, TOP, BELOW = 300.0, 52.0, 12.0, 52.0
HELD = "held"
WIDEST_DOT, SMALLEST_DOT = 10.0, 3.0


def draw_held_out(calibration: Calibration, *, title: str, today: datetime.date, poison_centre: str) -> str:
    """Draw how well held-out years were told as one self-contained page that works without scripts.

    Parameters
    ----------
    calibration
        What is known of each taxon, and of all together.
    title
        Heading of the page.
    today
        Day it is drawn on.
    poison_centre
        Telephone of the poison centre; empty where none is set.
    """
    looks = sum(one.looks for one in calibration.taxa)
    body = rendered(
        "held_out.html.j2",
        looks=looks,
        finds=sum(one.looks_with_find for one in calibration.taxa),
        drawing=_drawing(calibration.together),
        sentences=[_sentence(share) for share in calibration.together],
        taxa=[_taxon(one) for one in calibration.taxa],
        too_few=calibration.too_few,
        simpler=sum(one.way != SEASON_MODEL for one in calibration.taxa),
        by_every_year=sum(one.way_by_every_year not in {"", SEASON_MODEL} for one in calibration.taxa),
        said=calibration.said,
        by_band=[_band(share) for share in calibration.together if _verdict(share) != HELD],
        by_year=calibration.by_year,
        draws=DRAWS,
        gains=_gains(calibration.gains, calibration.years, calibration.years_with_find),
    )
    return frame.page(
        title=title,
        body=body,
        style=text_of("held_out.css"),
        subtitle=f"As of {today.isoformat()}",
        poison_centre=poison_centre,
    )


def _taxon(one: HeldOut) -> dict[str, object]:
    south = ", south of the equator" if one.southern else ""
    return {
        "name": one.taxon_name,
        "south": south,
        "counts": f"{one.looks:,} looks of the seasons {_years(one)}, "
        f"{one.looks_with_find:,} of them with a find",
        "said": one.said,
        "gains": _gains(one.gains, len(one.years), one.years_with_find),
        "shares": [_sentence(share) for share in one.shares],
    }


def _years(one: HeldOut) -> str:
    return f"{one.years[0]} to {one.years[-1]}" if len(one.years) > 2 else " and ".join(one.years)


def _gains(gains: Sequence[Gain], years: int, with_find: int) -> list[dict[str, str]]:
    """Say against each simpler way in how many years the model was nearer, by how much, and how surely."""
    return [
        {
            "way": gain.way,
            "nearer": f"{with_find - gain.years_lost_with_find} of {with_find} years with a find, "
            f"{years - gain.years_lost} of all {years}",
            "surely": _surely(gain),
            "gain": _signed(gain.gain),
            "span": _span(gain),
        }
        for gain in gains
    ]


def _span(gain: Gain) -> str:
    if gain.low is None or gain.high is None:
        return "too few years"
    return f"{_signed(gain.low)} to {_signed(gain.high)}"


def _surely(gain: Gain) -> str:
    """Say on which side the model was over all looks, and whether that may be chance."""
    side = f"over all looks it was {'nearer' if gain.gain > 0.0 else 'farther off'}, by {_signed(gain.gain)}"
    if gain.low is None or gain.high is None:
        return f"{side}; with fewer than {YEARS_FOR_INTERVAL} years, that may be chance"
    span = f"{side} ({_span(gain)})"
    if gain.low > 0.0 or gain.high < 0.0:
        return f"{span}, and hardly by chance, as 0 lies outside"
    return f"{span}, which may be chance, as 0 lies within"


def _signed(loss: float) -> str:
    """Write a difference of log loss for a hundred looks."""
    return f"{100.0 * loss:+.2f}".replace("-", "\N{MINUS SIGN}")


def _sentence(share: ToldShare) -> dict[str, str]:
    """Say of looks given about one chance what came of them."""
    return {
        "told": f"{_percent(share.low)} to {_percent(share.high)} %",
        "looks": f"{share.looks:,}",
        "mean": _of_hundred(share.told),
        "seen": _of_hundred(share.seen),
        "span": f"{_of_hundred(share.seen_low)} to {_of_hundred(share.seen_high)}",
        "verdict": _verdict(share),
    }


def _band(share: ToldShare) -> str:
    """Say of a band of chances that did not hold what was told and what came, in one plain sentence."""
    many = "1 look" if share.looks == 1 else f"{share.looks:,} looks"
    return (
        f"Of {many} given {_percent(share.low)} to {_percent(share.high)} of 100, "
        f"{_of_hundred(share.seen)} of 100 found something."
    )


def _verdict(share: ToldShare) -> str:
    """Tell whether what came fits what was told, as far as the number of looks can say."""
    if share.seen_low <= share.told <= share.seen_high:
        return HELD
    return "was too high" if share.told > share.seen else "was too low"


def _percent(share: float) -> str:
    return f"{100.0 * share:.0f}"


def _of_hundred(share: float) -> str:
    hundred = 100.0 * share
    return f"{hundred:.1f}" if hundred < 10.0 else f"{hundred:.0f}"


def _drawing(shares: Sequence[ToldShare]) -> Markup:
    """Draw what was told against what came: on the slanted line both are the same."""
    most = max((share.looks for share in shares), default=1)
    width, height = LEFT + SIDE + 16.0, TOP + SIDE + BELOW
    right, bottom = LEFT + SIDE, TOP + SIDE
    square = f"M{LEFT} {TOP}H{right}V{bottom}H{LEFT}z"
    ground = f'<path fill="{COLOURS["card"]}" stroke="{COLOURS["line"]}" d="{square}"/>'
    slant = f'<path stroke="{COLOURS["faded"]}" stroke-dasharray="5 4" d="M{LEFT} {bottom}L{right} {TOP}"/>'
    bars = "".join(f"M{_x(s.told):.1f} {_y(s.seen_low):.1f}V{_y(s.seen_high):.1f}" for s in shares)
    dots = "".join(
        f'<circle cx="{_x(s.told):.1f}" cy="{_y(s.seen):.1f}" r="{_radius(s.looks, most):.1f}"/>'
        for s in shares
    )
    parts = [
        f'<svg viewBox="0 0 {width:g} {height:g}" role="img" font-size="13" aria-label="{_said(shares)}">',
        ground,
        slant,
        f'<path fill="none" stroke="{COLOURS["faded"]}" stroke-width="2" d="{bars}"/>',
        f'<g fill="{COLOURS["plum"]}" stroke="{COLOURS["card"]}">{dots}</g>',
        f'<g fill="{COLOURS["ink"]}">{_scale()}</g></svg>',
    ]
    return Markup("".join(parts))  # noqa: S704 (numbers and our own words)


def _said(shares: Sequence[ToldShare]) -> str:
    said = "; ".join(f"told {_of_hundred(s.told)} of 100, came {_of_hundred(s.seen)}" for s in shares)
    return f"Chance told against what came: {said}."


def _scale() -> str:
    texts = []
    for tenth in (0, 2, 4, 6, 8, 10):
        texts.append(
            f'<text x="{_x(tenth / 10):g}" y="{TOP + SIDE + 23:g}" text-anchor="middle">{tenth * 10}</text>'
        )
        texts.append(
            f'<text x="{LEFT - 12:g}" y="{_y(tenth / 10) + 4:g}" text-anchor="end">{tenth * 10}</text>'
        )
    middle = LEFT + SIDE / 2
    texts.append(
        f'<text x="{middle:g}" y="{TOP + SIDE + 44:g}" text-anchor="middle">told: finds in 100 looks</text>'
    )
    texts.append(
        f'<text transform="translate(12 {TOP + SIDE / 2:g}) rotate(-90)" text-anchor="middle">'
        "came: finds in 100 looks</text>"
    )
    return "".join(texts)


def _x(share: float) -> float:
    return LEFT + SIDE * share


def _y(share: float) -> float:
    return TOP + SIDE * (1.0 - share)


def _radius(looks: int, most: int) -> float:
    return max(SMALLEST_DOT, WIDEST_DOT * float((looks / most) ** 0.5))

"""The command that reviews the roads round a place."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sitebook.commands import surface_words
from sitebook.commands.options import book_option, date_option, json_option, now, read_position

if TYPE_CHECKING:
    from sitebook.records.results.review import PlaceReview

SOURCES_TOLD = 5


@click.command("contamination", short_help="Say what mapped roads may have left on a place.")
@book_option
@click.option("--at", "at", callback=read_position, metavar="LON,LAT", help="Review this position.")
@click.option("--site", default=None, help="Review this site.")
@click.option("--all", "every", is_flag=True, help="Review every site.")
@click.option("--surface", is_flag=True, help="Reckon the road index over all ground the maps cover.")
@date_option
@json_option
def command(
    *,
    book_path: Path,
    at: tuple[float, float] | None,
    site: str | None,
    every: bool,
    surface: bool,
    on: datetime.date | None,
    as_json: bool,
) -> None:
    """Say what mapped roads may have left on a place: class, nearest roads, and what is not known."""
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import contamination, opened
    from sitebook.work.adding import local_today

    if [at is not None, site is not None, every, surface].count(True) != 1:
        raise click.UsageError("Say one of --at LON,LAT, --site NAME, --all or --surface.")
    if surface:
        surface_words.answer(book_path, on=on, as_json=as_json)
        return
    with opened(book_path) as book:
        today = on or local_today(book, now())
        if at is not None:
            reviews: tuple[PlaceReview, ...] = (contamination.review_at(book, *at, today=today).result,)
        elif site is not None:
            reviews = (contamination.review_site(book, site, today=today).result,)
        else:
            reviews = contamination.review_all(book, today=today, progress=telling.progress).result
    if as_json:
        answers = [as_documented(review) for review in reviews]
        json_form.echo(answers if every else answers[0])
        return
    for review in reviews:
        for line in _lines(review):
            click.echo(line)


def as_documented(review: PlaceReview) -> dict[str, object]:
    """Give a review in the shape docs/formats.md documents."""
    return {
        "name": review.name,
        "class": review.place_class,
        "could_be": review.could_be,
        "unknown": review.unknown,
        "traffic_index": review.traffic_index,
        "speaks_of": "roads only",
        "range_of": "traffic alone",
        "hazards": review.sources,
        "words": review.words,
        "lon": review.lon,
        "lat": review.lat,
        "reach_m": review.reach_m,
        "data_date": review.data_date,
        "points_looked_at": review.points_looked_at,
    }


def _lines(review: PlaceReview) -> Iterator[str]:
    yield f"{review.name}: {class_words(review)}"
    yield f"  {review.words}"
    if review.traffic_index is not None:
        index = review.traffic_index
        yield (
            f"  traffic index, no amount of metal: {index.central:.3g} "
            f"({index.low:.3g} to {index.high:.3g} by traffic alone), roads only"
        )
    for source in review.sources[:SOURCES_TOLD]:
        yield f"  {source.name}, {source.distance_m:.0f} m: {source.reason} [{source.source}; {source.mark}]"
    for unknown in review.unknown:
        yield f"  not known: {unknown}"


def class_words(review: PlaceReview) -> str:
    """Give the class in words, with what it could be, and that something is not known."""
    if review.place_class is None:
        return "road class not known (U)"
    could = review.could_be
    more = f", could be {could}" if could is not None and could > review.place_class else ""
    return f"road class {review.place_class}{more}{', some things not known (U)' if review.unknown else ''}"

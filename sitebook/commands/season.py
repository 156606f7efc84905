"""The command that draws fruiting calendars."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import click

from sitebook.commands.options import book_option, date_option, json_option, now, page_name, page_option
from sitebook.commands.writing import require_own, write


@click.command("calendar", short_help="Draw when taxa fruit at your sites and trees as one offline page.")
@book_option
@click.option("--taxon", default=None, help="This taxon only, by its scientific or everyday name.")
@click.option("--site", default=None, help="All taxa of this site.")
@click.option("--tree", default=None, help="All taxa of this tree, year by year.")
@click.option("--held-out", is_flag=True, help="How well the chances told years that were held out.")
@click.option("--baseline", is_flag=True, help="The first, simple calendar: looks laid over each other.")
@page_option
@date_option
@json_option
def command(
    *,
    book_path: Path,
    taxon: str | None,
    site: str | None,
    tree: str | None,
    held_out: bool,
    baseline: bool,
    to: Path | None,
    on: datetime.date | None,
    as_json: bool,
) -> None:
    """Draw by site and tree the chance in each week of at least one find in a 30-minute look.

    It comes from what books say of the months, from your looks with the empty ones among them, and from
    host, place, year and weather. It says nothing of whether a find may be eaten.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.work import opened
    from sitebook.work.adding import local_today

    given = {"--site": site is not None, "--tree": tree is not None, "--held-out": held_out}
    typed = [name for name, is_given in given.items() if is_given]
    if baseline:
        typed = ["--baseline", *(name for name in typed if name != "--site")]
    if len(typed) > 1:
        raise click.UsageError(f"{typed[0]} and {typed[1]} exclude each other; give one of them.")
    if held_out and taxon is not None:
        raise click.UsageError("--held-out and --taxon exclude each other: it tells of all taxa.")
    name = page_name(
        "calendar", "first" if baseline else "", "held-out" if held_out else "", tree, site, taxon
    )
    place = to or book_path.with_name(name)
    require_own(place)
    with opened(book_path) as book:
        today = on or local_today(book, now())
        kind, result, page, words = _asked(
            book, today, taxon=taxon, site=site, tree=tree, held_out=held_out, baseline=baseline
        )
    written = write(place, page, quiet=as_json)
    if as_json:
        json_form.echo({"page": written, kind: result})
    else:
        click.echo(f"Drew {written}: {words}.")


def _asked(
    book: Any,  # noqa: ANN401 - an open book, of a room that commands do not see
    today: datetime.date,
    *,
    taxon: str | None,
    site: str | None,
    tree: str | None,
    held_out: bool,
    baseline: bool,
) -> tuple[str, Any, str, str]:
    """Ask work; give the name of the answer, the answer, its page, and what it holds in words."""
    from sitebook.commands.telling import numbered, progress
    from sitebook.work import held_out as told
    from sitebook.work import season, season_baseline

    if baseline:
        first = season_baseline.calendar(book, today=today, taxon=taxon, site=site, progress=progress)
        rows = first.result.rows
        words = _words({row.taxon_id for row in rows}, {row.site_id for row in rows})
        return "calendar", first.result, first.page or "", words
    if held_out:
        kept = told.calibration(book, today=today, now=now(), progress=progress)
        words = f"{_taxa(len(kept.result.taxa))} with years held out"
        return "calibration", kept.result, kept.page or "", words
    if tree is not None:
        one = season.tree_page(book, today=today, tree=tree, taxon=taxon, now=now(), progress=progress)
        words = f"{_taxa(len(one.result.taxa) + len(one.result.lasting))} at tree {one.result.spot.tag}"
        return "tree", one.result, one.page or "", words
    whole = season.calendar(book, today=today, taxon=taxon, site=site, now=now(), progress=progress)
    taxa = whole.result.taxa
    spots = [row.spot for each in taxa for rows in (each.sites, each.trees, each.lasting) for row in rows]
    trees = {spot.tree_id for spot in spots} - {None}
    sites = {spot.site_id for spot in spots} - {None}
    words = f"{_words({each.taxon_id for each in taxa}, sites)}, and {numbered(len(trees), 'trees')}"
    return "calendar", whole.result, whole.page or "", words


def _words(taxa: set[int], sites: set[int | None]) -> str:
    from sitebook.commands.telling import numbered

    return f"{_taxa(len(taxa))} at {numbered(len(sites), 'sites')}"


def _taxa(how_many: int) -> str:
    return "1 taxon" if how_many == 1 else f"{how_many} taxa"

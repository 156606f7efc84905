"""The command that brings files in."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from sitebook.commands import telling
from sitebook.commands.options import book_option, json_option, now, read_kind

if TYPE_CHECKING:
    from sitebook.records.results.bring_in import BringInReport, FileReport

LINES_TOLD = 5


@click.command("import", short_help="Bring files in: GPX, photos, tables, map extracts, daily weather.")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@book_option
@click.option(
    "--as",
    "kind",
    default=None,
    callback=read_kind,
    metavar="KIND",
    help="Read the files as tables of this kind.",
)
@click.option(
    "--waypoints",
    type=click.Choice(("finds", "sites")),
    default="finds",
    show_default=True,
    help="What waypoints of a GPX file become.",
)
@click.option("--accept-rest", is_flag=True, help="Keep the other lines of a file in which some are refused.")
@click.option("--far", is_flag=True, help="Believe positions far from everything in the book.")
@click.option("--dry-run", is_flag=True, help="Do everything, keep nothing.")
@json_option
def command(
    *,
    files: tuple[Path, ...],
    book_path: Path,
    kind: str | None,
    waypoints: Literal["finds", "sites"],
    accept_rest: bool,
    far: bool,
    dry_run: bool,
    as_json: bool,
) -> None:
    """Bring files in, all of them or nothing, in any order.

    GPX 1.0 and 1.1, photos or a folder of them, CSV tables (see `sitebook template`), map extracts
    (.osm.pbf, .osm, .osm.gz) and daily weather (plain, GHCN-Daily, GSOD, a gauge) are told apart by what they
    hold.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.work import opened
    from sitebook.work.bring_in import Wish, bring_in

    wish = Wish(kind, waypoints, accept_rest=accept_rest, far=far, dry_run=dry_run)
    with opened(book_path) as book:
        report = bring_in(book, files, now=now(), wish=wish, progress=telling.progress).result
    if as_json:
        json_form.echo(report)
    else:
        _tell(report)


def _tell(report: BringInReport) -> None:
    for file in report.files:
        _tell_file(file)
    for remark in report.remarks:
        click.echo(remark)
    if report.dry_run:
        click.echo("This was a trial; nothing was kept.")


def _tell_file(file: FileReport) -> None:
    if file.seen_before:
        click.echo(f"{file.file_name}: brought in before, nothing to do")
        return
    parts = [telling.counted(file.added)] if file.added else []
    parts += [f"{telling.counted({kind: n})} set anew" for kind, n in file.changed.items()]
    if file.already:
        parts.append(f"{file.already} already there")
    click.echo(f"{file.file_name}: {file.recognised_as}; {', '.join(parts) or 'nothing new'}")
    for line in file.sorted_lines[:LINES_TOLD]:
        where = f"line {line.line_number}: " if line.line_number else ""
        times = f" ({line.how_many} times)" if line.how_many > 1 else ""
        click.echo(f"  {line.sorting}: {where}{telling.printable(line.reason)}{times}")
    if len(file.sorted_lines) > LINES_TOLD:
        click.echo(
            f"  and {len(file.sorted_lines) - LINES_TOLD} more; `sitebook list refused_line` has them all"
        )

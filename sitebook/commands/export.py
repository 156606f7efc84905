"""The command that writes what the book holds for other programs."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option


@click.command("export", short_help="Write tables, GeoJSON, GPX or SpatiaLite for other programs.")
@book_option
@click.option(
    "--as",
    "form",
    type=click.Choice(("csv", "geojson", "gpx", "spatialite")),
    required=True,
    help="The format; csv is a folder with one table a kind.",
)
@click.option(
    "--to",
    "to",
    type=click.Path(path_type=Path),
    default=None,
    help="The file, of csv the folder; else one whose name says private, beside the book.",
)
@click.option("--with-people", is_flag=True, help="Let persons go out too, not initials alone.")
@click.option("--replace", is_flag=True, help="Write over what an earlier export left there.")
@json_option
def command(
    *, book_path: Path, form: str, to: Path | None, with_people: bool, replace: bool, as_json: bool
) -> None:
    """Write what the book holds for other programs; withdrawn records stay behind.

    Tables (csv) brought into a new book with `sitebook import FOLDER/*` give the same records again.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened
    from sitebook.work.export import export

    with opened(book_path) as book:
        report = export(
            book, form, to, with_people=with_people, replace=replace, progress=telling.progress
        ).result
    if as_json:
        json_form.echo(report)
        return
    for file in report.files:
        held = telling.counted(file.counts)
        click.echo(f"Wrote {file.path}: {held}")
    for remark in report.remarks:
        click.echo(remark)

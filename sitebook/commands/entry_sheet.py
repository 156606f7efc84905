"""The command that writes the entry sheet."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option, now

DEFAULT_NAME = "entry-sheet-private.html"


@click.command("entry-sheet", short_help="Write the offline form for visits, looks and finds.")
@book_option
@click.option("--site", "sites", multiple=True, metavar="NAME", help="A site it holds, once each; else all.")
@click.option(
    "--to",
    "to",
    type=click.Path(path_type=Path),
    default=None,
    help=f"Where the form goes; else {DEFAULT_NAME} beside the book.",
)
@click.option(
    "--numbers", type=int, default=20, show_default=True, help="How many collection numbers it reserves."
)
@click.option("--collector", default=None, metavar="INITIALS", help="Whose numbers; else the owner's.")
@click.option(
    "--give-back",
    "give_back",
    type=int,
    default=None,
    metavar="NUMBER",
    help="Make no sheet; the block that begins with this number is not used: its numbers are free again.",
)
@json_option
def command(
    *,
    book_path: Path,
    sites: tuple[str, ...],
    to: Path | None,
    numbers: int,
    collector: str | None,
    give_back: int | None,
    as_json: bool,
) -> None:
    """Write one offline form for visits, looks and finds; `sitebook import` takes what it saves."""
    from sitebook.commands import as_json as json_form
    from sitebook.work import entry_sheet, opened
    from sitebook.work.adding import local_today

    moment = now()
    if give_back is not None:
        with opened(book_path) as book:
            block = entry_sheet.give_back(book, give_back, now=moment).result
        freed = {"first_number": block.first_number, "last_number": block.last_number}
        if as_json:
            json_form.echo(freed)
        else:
            click.echo(f"The numbers {block.first_number} to {block.last_number} are free again.")
        return
    place = to or book_path.with_name(DEFAULT_NAME)
    with opened(book_path) as book:
        sheet = entry_sheet.make(
            book,
            place,
            today=local_today(book, moment),
            now=moment,
            sites=sites,
            numbers=numbers,
            collector=collector,
        ).result
    if as_json:
        json_form.echo(
            {
                "page": place,
                "sheet": sheet.uuid,
                "revision": sheet.revision,
                "first_number": sheet.first_number,
                "last_number": sheet.last_number,
                "sites": [site.name for site in sheet.sites],
                "taxa": len(sheet.taxa),
            }
        )
        return
    sites_words = "1 site" if len(sheet.sites) == 1 else f"{len(sheet.sites)} sites"
    click.echo(f"Wrote {place}: {sites_words}, {len(sheet.taxa)} names.")
    if sheet.numbers:
        whose = sheet.collector.initials
        click.echo(f"Reserved the numbers {whose} {sheet.first_number} to {sheet.last_number} for it.")
    click.echo(
        "Copy it to the telephone, enter there, save, and bring in what it saved: sitebook import FILE"
    )
    click.echo("It names exact places: keep it to yourself.")

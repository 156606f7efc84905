"""The command that shows or sets values of hers."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from sitebook.commands.options import book_option, json_option, now

if TYPE_CHECKING:
    from sitebook.records.results.listing import SettingLine


@click.command(
    "settings",
    short_help="Show or set values of yours.",
    context_settings={"ignore_unknown_options": True},
)
@click.argument("key", required=False)
@click.argument("value", required=False)
@click.option("--built-in", is_flag=True, help="Go back to the built-in value of KEY.")
@book_option
@json_option
def command(*, key: str | None, value: str | None, built_in: bool, book_path: Path, as_json: bool) -> None:
    """Show all settings, or set KEY to VALUE."""
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import home_area, opened
    from sitebook.work.settings import list_settings, set_value

    with opened(book_path) as book:
        if key == home_area.KEY and (value is not None or built_in):
            home_area.set_home_area(book, None if built_in else value, now=now())
            lines: tuple[SettingLine, ...] = (home_area.home_area_line(book),)
        elif key is not None and (value is not None or built_in):
            lines = (set_value(book, key, None if built_in else value).result,)
        else:
            lines = tuple(line for line in list_settings(book).result if key in (None, line.key))
    if not lines:
        raise click.UsageError(f"There is no setting '{key}'.")
    if as_json:
        json_form.echo(lines)
        return
    rows = [
        {
            "setting": line.key,
            "value": f"{line.value} {line.unit}".strip() or "not set",
            "from": "you" if line.hers else f"built in ({line.mark})",
            "meaning": line.meaning,
        }
        for line in lines
    ]
    telling.table(("setting", "value", "from", "meaning"), rows)

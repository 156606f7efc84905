"""The command that answers a question in SQL."""

from __future__ import annotations

import csv
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sitebook.commands.options import book_option, json_option

if TYPE_CHECKING:
    from sitebook.records.results.going_out import QueryAnswer


@click.command("query", short_help="Answer a question in SQL; the book is only read.")
@click.argument("sql")
@book_option
@click.option("--csv", "as_csv", is_flag=True, help="Print the rows as CSV.")
@click.option("--most", "most_rows", type=click.IntRange(min=1), default=None, help="Most rows; else 1000.")
@json_option
def command(*, sql: str, book_path: Path, as_csv: bool, most_rows: int | None, as_json: bool) -> None:
    """Answer one SELECT, in the SQL of SQLite with the functions of SpatiaLite; the book is only read.

    Tables and columns stand in docs/schema.md, five examples in docs/queries.md. Withdrawn records are
    rows too: add WHERE withdrawn_at IS NULL.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened
    from sitebook.work.query import MOST_ROWS, query

    if as_csv and as_json:
        raise click.UsageError("--csv and --json exclude each other.")
    with opened(book_path) as book:
        answer = query(book, sql, most_rows=most_rows or MOST_ROWS).result
    if as_json:
        json_form.echo(answer)
    elif as_csv:
        _print_csv(answer)
    else:
        telling.table(answer.columns, [dict(zip(answer.columns, row, strict=True)) for row in answer.rows])
        click.echo(f"{len(answer.rows)} rows" if len(answer.rows) != 1 else "1 row")
    for remark in _remarks(answer):
        click.echo(remark, err=as_csv or as_json)


def _print_csv(answer: QueryAnswer) -> None:
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow(answer.columns)
    writer.writerows(
        [getattr(value, "wkt", value if value is not None else "") for value in row] for row in answer.rows
    )


def _remarks(answer: QueryAnswer) -> list[str]:
    cut = [f"There are more than these {len(answer.rows)} rows; --most gives more."] if answer.cut_off else []
    return [*cut, *answer.remarks]

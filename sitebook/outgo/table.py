"""Writes the empty table of a record kind, and the page that says what each of its columns means."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sitebook.errors import BadArgument
from sitebook.intake.table.columns import ReadsAs, TableColumn, columns_of
from sitebook.intake.table.kinds import LAYOUTS
from sitebook.records.kinds import KINDS

WRITTEN: dict[ReadsAs, str] = {
    "text": "",
    "words": "",
    "reference": "",
    "list": "",
    "number": "a number",
    "whole": "a whole number",
    "yes_no": "yes or no",
    "day": "a date, as 2024-10-03",
    "interval": "a date, as 2024-10-03; or 2024-10, 2024, Oct 2024, 2024-10-03/2024-10-05",
    "instant": "an hour of that date, as 14:30, or 2024-10-03T14:30; local unless Z or +02:00 is added",
    "hour": "an hour, as 08:00",
    "zone": "IANA name, as Atlantic/Azores",
    "country": "two letters",
    "language": "code, as en",
    "uuid": "leave it empty for a new record",
    "name": "scientific name",
    "longitude": "as -19.4215",
    "latitude": "as 48.6031",
    "outline": "",
}
"""How a cell is written, by the way it is read."""

WEATHER = "weather"
"""The table of daily weather, which has a reader of its own."""

WEATHER_COLUMNS = columns_of("weather_day")


def template_kinds() -> tuple[str, ...]:
    """Name the kinds of table a template can be had for."""
    return (*LAYOUTS, WEATHER)


def template(kind: str) -> str:
    """Give an empty table of a record kind: its kind, what each column means, and the header.

    Parameters
    ----------
    kind
        One of `template_kinds`.

    Returns
    -------
    str
        Text of the file; every line but the last begins with #.

    Raises
    ------
    BadArgument
        When there is no table of that kind.
    """
    columns = _told_in_template(_columns(kind))
    lines = [
        f"# sitebook table: {kind}",
        f"# Each line: {_what(kind)}",
        "# Write below the last line. Lines that begin with # are not read; columns may stand in any order,",
        "# and those that may be empty may be left away.",
        *(f"# {column.header}: {_told(column)}" for column in columns),
        ",".join(column.header for column in columns),
    ]
    return "\n".join(lines) + "\n"


def tables_page() -> str:
    """Give the text of docs/formats/table.md, made from the records."""
    return "\n".join([*PAGE_OPENING, *(line for kind in template_kinds() for line in _section(kind))])


def _told_in_template(columns: Iterable[TableColumn]) -> list[TableColumn]:
    return [column for column in columns if not column.by_export]


def _columns(kind: str) -> tuple[TableColumn, ...]:
    if kind == WEATHER:
        return WEATHER_COLUMNS
    if kind not in LAYOUTS:
        raise BadArgument(
            f"there is no table of {kind}", remedy=f"Kinds of table are: {', '.join(template_kinds())}."
        )
    return LAYOUTS[kind].columns


def _what(kind: str) -> str:
    record = KINDS["weather_day" if kind == WEATHER else kind]
    return (record.__doc__ or "").strip().splitlines()[0]


def _told(column: TableColumn) -> str:
    parts = [_doc(column), _unit(column), WRITTEN[column.reads_as], _allowed(column), _empty(column)]
    return "; ".join(part for part in parts if part)


def _doc(column: TableColumn) -> str:
    """Give what stands in a column; an instant is written in local time, whatever it becomes."""
    return column.doc.removesuffix(", UTC")


def _unit(column: TableColumn) -> str:
    return f"in {column.unit}" if column.unit else ""


def _allowed(column: TableColumn) -> str:
    return f"one of: {', '.join(column.words.all)}" if column.words else ""


def _by_export(column: TableColumn) -> str:
    return "written by `sitebook export`, in no template" if column.by_export else ""


def _empty(column: TableColumn) -> str:
    return "must be filled" if column.required else f"empty: {column.null}"


def _section(kind: str) -> Iterator[str]:
    yield from ("", f"## {kind}", "", _what(kind), "")
    if kind in LAYOUTS:
        yield from (f"One line is told from another by: {', '.join(LAYOUTS[kind].key)}.", "")
    yield from ("| column | what stands in it | empty |", "|---|---|---|")
    for column in _columns(kind):
        said = [_doc(column), _unit(column), WRITTEN[column.reads_as], _allowed(column), _by_export(column)]
        empty = "**must be filled**" if column.required else column.null
        yield f"| `{column.header}` | {'; '.join(p for p in said if p)} | {empty} |".replace("; |", ", |")
    others = LAYOUTS[kind].other_names if kind in LAYOUTS else {}
    if others:
        pairs = ", ".join(f"`{other}` = `{ours}`" for other, ours in others.items())
        yield from ("", f"Other names that are taken for these columns: {pairs}.")


PAGE_OPENING = (
    "# Tables",
    "",
    "A table holds one kind of record, one record a line. `sitebook template KIND` gives an empty one",
    "that says what each column means. This page is made from the records by",
    "`sitebook.outgo.table.tables_page`.",
    "",
    "- Comma, semicolon or tab between the cells; UTF-8, with or without a byte order mark. A file that",
    "  is not UTF-8 is read as Windows text (cp1252), and the import says so.",
    "- The first line `# sitebook table: KIND` says what the lines are. Without it the names of the",
    "  columns decide; where they fit several kinds alike, say which with `--as KIND`.",
    "- Lines that begin with # are not read. Columns may stand in any order; case, blanks and underscores",
    "  in their names do not matter. A column that the kind does not have is left out, and the import",
    "  names it.",
    "- A decimal comma is taken only where semicolons or tabs part the cells.",
    "- Dates: 2024-10-03. With dots the day comes first: 3.10.2024. Names of months are read in English,",
    "  German, French and Finnish. Where a column takes an interval: 2024-10, 2024, Oct 2024,",
    "  2024-10-03/2024-10-05; day or month 00 is not known. Refused, because they are read in two ways:",
    "  3/10/2024, 03-10-2024, autumn 2024.",
    "- Hours are local in the zone of the book unless they end in Z or an offset. An hour that comes",
    "  twice when the clocks go back is the first of the two; one that was skipped is refused.",
    "- A name may carry cf., aff., agg. (also group, s.l.), sp. or ?; it becomes the qualifier, and the",
    "  name is kept as it was written. Authors after a name may stay there.",
    "- The same line again in one file is left out; a line that says otherwise of the same record is",
    "  refused. Finds without a collection number are counted instead: two lines alike are two finds.",
    "- Text is kept as it stands, also where it looks like a formula or a script; only blanks at its two",
    "  ends are not. An export puts an apostrophe before a text that begins with =, +, -, @, # or a tab, so",
    "  that no spreadsheet takes it for a formula, and before one that begins with an apostrophe and one of",
    "  these. Reading takes exactly this apostrophe away again; any other, as in 's-Gravenhage, stays.",
    "- A reference may be a UUID in place of a name. An export writes one where a name fits several records.",
    "- A table with the line `# sitebook export` holds records as a book keeps them: nothing is read out of",
    "  their names or filled in, an empty taxon of a determination is one that was not matched, and",
    "  companions are parted by semicolons. `sitebook export --as csv` writes such tables; brought into a",
    "  new book they give the same records, the names a new book begins with being there already.",
    "- Tracks go out as GPX beside the tables, with the UUIDs of their pieces in the source (`src`) of each",
    "  track; no visit is made of such a track, since its visits stand in the table of visits. A table of",
    "  photos (`# sitebook table: photo`) is a list for reading and brings nothing in.",
)

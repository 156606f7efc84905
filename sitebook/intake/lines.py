"""Reads a text table into numbered rows, whatever program wrote it."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from sitebook.citations import Cited
from sitebook.errors import FileTooLarge, FileUnreadable
from sitebook.intake.files import read_bytes
from sitebook.intake.guard import unguarded
from sitebook.records.incoming import SortedLine

MOST_MIB = Cited(64.0, "MiB", "ours", "our choice")
"""Largest text table that is read."""

MOST_COLUMNS = Cited(500.0, "1", "ours", "our choice")
"""More columns than this no table of hers has."""

MOST_LINES = Cited(500_000.0, "1", "ours", "our choice")
MOST_CELLS = Cited(5_000_000.0, "1", "ours", "our choice")
"""Lines, and lines times columns, of the largest table that is read."""

LONGEST_LINE = Cited(1_000_000.0, "1", "ours", "our choice")
"""Signs of the longest line that is read."""

DELIMITERS = ",;\t"
LONGEST_TEXT_KEPT = 500
TOO_LONG = f"a cell holds more than {csv.field_size_limit():,} signs"


@dataclass(frozen=True)
class Lines:
    """A text table as it stood in its file.

    Parameters
    ----------
    header
        Names of the columns as written, without surrounding blanks.
    rows
        Line number (from 1) and cells by column name, blanks at both ends and the apostrophe of
        `guard.guarded` taken off; a cell that the line leaves away at its end is empty.
    comments
        Line number and text of each line that began with #, the sign itself taken off.
    notes
        Left-out notes on the file as a whole, as that it was not written in UTF-8.
    refused
        Lines that could not be cut into cells.
    delimiter
        The sign between two cells.
    texts
        Each row as it stood, by line number.
    """

    header: tuple[str, ...]
    rows: tuple[tuple[int, dict[str, str]], ...]
    comments: tuple[tuple[int, str], ...]
    notes: tuple[str, ...]
    refused: tuple[SortedLine, ...]
    delimiter: str
    texts: Mapping[int, str]

    @property
    def sorted_lines(self) -> tuple[SortedLine, ...]:
        """Notes and refused lines as a Reading wants them."""
        return tuple(SortedLine("left out", note) for note in self.notes) + self.refused

    def refuse(self, line_number: int, reason: str) -> SortedLine:
        """Make the refusal of one row, its text beside it."""
        return SortedLine("refused", reason, line_number, self.texts.get(line_number))


def folded(name: str) -> str:
    """Give a column's name without case, blanks and underscores, for names to be compared by."""
    return re.sub(r"[\W_]+", "", name.casefold())


def read_lines(path: Path) -> Lines:
    """Read a text table: comma, semicolon or tab; comments; any of the usual encodings.

    The delimiter is the one that stands most often in the header, which is the first line that is
    neither empty nor a comment. A first line such as "sep=;" is obeyed.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    Lines
        Every line is a row, a comment, refused, or empty.

    Raises
    ------
    FileUnreadable
        When the file is no text, has no header, names a column twice, or a quotation never ends.
    FileTooLarge
        When it has more bytes, columns or cells than are read.
    FileMissing, FileNotRecognised
        As `files.read_bytes`.
    """
    text, notes = read_text(path)
    return table_from_text(text, where=str(path), notes=notes)


def table_from_text(
    text: str, *, where: str, notes: tuple[str, ...] = (), names: tuple[str, ...] = ()
) -> Lines:
    """Cut text into numbered rows; a table without a header takes its names from the caller.

    Raises
    ------
    FileUnreadable, FileTooLarge
        As `read_lines`.
    """
    cutter = _Cutter(where, lines_of(text, where))
    cutter.set_delimiter()
    records = cutter.records()
    if not names:
        _, written = next(records, (0, list[str]()))
        _require_no_giant(len(written), len(cutter.lines), where)
        names = _header(written, where, broken=bool(cutter.refused))
    header = names
    rows, refused = [], list[SortedLine]()
    for line_number, cells in records:
        if len(cells) > len(header) and any(cells[len(header) :]):
            refused.append(
                SortedLine("refused", _too_many(len(cells), header), line_number, cutter.texts[line_number])
            )
        else:
            padded = cells + [""] * (len(header) - len(cells))
            rows.append((line_number, dict(zip(header, padded, strict=False))))
    return Lines(
        header,
        tuple(rows),
        tuple(cutter.comments),
        notes,
        tuple(refused + cutter.refused),
        cutter.delimiter,
        cutter.texts,
    )


def lines_of(text: str, where: str) -> list[str]:
    """Cut a text at its line ends; raises FileTooLarge for a giant among them or too many."""
    lines = list(io.StringIO(text, newline=None))
    longest = max(map(len, lines), default=0)
    if longest > LONGEST_LINE.value:
        number = next(n for n, line in enumerate(lines, start=1) if len(line) == longest)
        raise FileTooLarge(
            f"line {number} holds {longest:,} signs; at most {LONGEST_LINE.value:,.0f} are read",
            remedy="Look whether its line ends were lost.",
            where=where,
        )
    if len(lines) > MOST_LINES.value:
        raise _too_large(
            f"the file holds {len(lines):,} lines; at most {MOST_LINES.value:,.0f} are read", where
        )
    return lines


def _require_no_giant(columns: int, lines: int, where: str) -> None:
    if columns > MOST_COLUMNS.value:
        raise _too_large(f"the table has {columns:,} columns; at most {MOST_COLUMNS.value:g} are read", where)
    if columns * lines > MOST_CELLS.value:
        told = f"the table has {lines:,} lines of {columns} columns"
        raise _too_large(f"{told}; at most {MOST_CELLS.value:,.0f} cells are read", where)


def _too_large(what: str, where: str) -> FileTooLarge:
    return FileTooLarge(what, remedy="Cut it into smaller files.", where=where)


def _too_many(how_many: int, header: tuple[str, ...]) -> str:
    return (
        f"{how_many} cells under {len(header)} columns: put text that holds the sign between cells "
        "in quotation marks"
    )


def _header(cells: list[str], where: str, *, broken: bool) -> tuple[str, ...]:
    while cells and not cells[-1]:
        cells = cells[:-1]
    twice = sorted({name for name in cells if cells.count(name) > 1})
    if broken or not cells:
        what = "the first line does not name the columns"
    elif twice:
        what = f"two columns are called {twice[0]!r}" if twice[0] else "two columns have no name"
    else:
        return tuple(cells)
    remedy = "Begin the table with a line that gives each column one name of its own."
    raise FileUnreadable(what, remedy=remedy, where=where)


def read_text(path: Path, most_mib: Cited | None = None) -> tuple[str, tuple[str, ...]]:
    """Give the text of a file in any of the usual encodings, with notes on how it was written.

    Parameters
    ----------
    path
        The file.
    most_mib
        Largest size taken [MiB]; None: that of a table.

    Raises
    ------
    FileUnreadable
        When the file is no text.
    FileTooLarge, FileMissing, FileNotRecognised
        As `files.read_bytes`.
    """
    raw = read_bytes(path, most_mib or MOST_MIB)
    marked = raw[:2] in {b"\xff\xfe", b"\xfe\xff"}
    encodings = ("utf-16",) if marked else ("utf-8-sig", "cp1252")
    for encoding in encodings:
        try:
            text = raw.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\x00" in text:
            break
        note = "the file is not UTF-8; it was read as Windows text (cp1252): look at its accented letters"
        return text, ((note,) if encoding == "cp1252" else ())
    raise FileUnreadable("this is not text", remedy="Save the table as CSV in UTF-8.", where=str(path))


@dataclass
class _Cutter:
    """A walk through the lines of a table, one record after the other."""

    where: str
    lines: list[str]
    delimiter: str = ","
    position: int = 0
    comments: list[tuple[int, str]] = field(default_factory=list)
    refused: list[SortedLine] = field(default_factory=list)
    texts: dict[int, str] = field(default_factory=dict)

    @property
    def at_end(self) -> bool:
        return self.position >= len(self.lines)

    def skip(self) -> None:
        """Step over empty lines, keeping comments apart."""
        while not self.at_end:
            bare = self.lines[self.position].strip()
            if bare.startswith("#"):
                self.comments.append((self.position + 1, bare.lstrip("#").strip()))
            elif bare.strip(DELIMITERS + '" ') or bare.count('"') % 2:
                return
            self.position += 1

    def set_delimiter(self) -> None:
        """Take the delimiter that the header uses most."""
        self.skip()
        if self.at_end:
            return
        first = self.lines[self.position].strip()
        if first.casefold() in {f"sep={sign}" for sign in DELIMITERS}:
            self.delimiter = first[-1]
            self.position += 1
            return
        unquoted = "".join(first.split('"')[::2])
        self.delimiter = max(DELIMITERS, key=unquoted.count)

    def records(self) -> Iterator[tuple[int, list[str]]]:
        """Give line number and cells of each record."""
        reader = csv.reader(self._feed(), delimiter=self.delimiter, strict=True)
        while True:
            self.skip()
            if self.at_end:
                return
            start = self.position
            try:
                cells = next(reader)
            except csv.Error as reason:
                self._refuse_or_give_up(start, reason)
                continue
            text = "".join(self.lines[start : self.position]).strip()
            self.texts[start + 1] = text[:LONGEST_TEXT_KEPT]
            yield start + 1, [unguarded(cell.strip()) for cell in cells]

    def _feed(self) -> Iterator[str]:
        while not self.at_end:
            self.position += 1
            yield self.lines[self.position - 1]

    def _refuse_or_give_up(self, start: int, reason: csv.Error) -> None:
        if self.position > start + 1 or "unexpected end" in str(reason):
            raise FileUnreadable(
                "a quotation mark that opens here never closes",
                remedy="Close it, or take it away.",
                where=f"{self.where}, line {start + 1}",
            ) from reason
        text = self.lines[start].strip()[:LONGEST_TEXT_KEPT]
        too_long = "field limit" in str(reason)
        why = TOO_LONG if too_long else "a quotation mark stands in the middle of a cell"
        self.refused.append(SortedLine("refused", why, start + 1, text))

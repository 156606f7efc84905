"""Checks that a text table is cut into the same rows whatever program wrote it."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.errors import FileMissing, FileNotRecognised, FileTooLarge, FileUnreadable
from sitebook.intake import lines as lines_file
from sitebook.intake.lines import read_lines, table_from_text

CELL = st.text(st.characters(blacklist_categories=["Cs", "Cc", "Zl", "Zp"]), max_size=8).map(str.strip)


@pytest.fixture
def written(tmp_path: Path) -> Callable[[bytes], Path]:
    """Give a function from bytes to a file that holds them."""

    def write(content: bytes) -> Path:
        path = tmp_path / "table.csv"
        path.write_bytes(content)
        return path

    return write


@pytest.mark.parametrize("sign", [",", ";", "\t"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_delimiter_ending_and_encoding_make_no_difference(
    written: Callable[[bytes], Path], sign: str, ending: str, encoding: str
) -> None:
    text = ending.join(["# made by hand", sign.join(["site", "note"]), "", sign.join(["Näset", "é"]), ""])
    table = read_lines(written(text.encode(encoding)))
    assert table.header == ("site", "note")
    assert table.rows == ((4, {"site": "Näset", "note": "é"}),)
    assert table.comments == ((1, "made by hand"),)
    assert (table.delimiter, table.sorted_lines) == (sign, ())


def test_windows_text_is_read_and_said(written: Callable[[bytes], Path]) -> None:
    table = read_lines(written("site,note\nNäset,bäck\n".encode("cp1252")))
    assert table.rows[0][1] == {"site": "Näset", "note": "bäck"}
    (note,) = table.sorted_lines
    assert note.sorting == "left out"
    assert "cp1252" in note.reason


def test_a_quoted_cell_may_hold_delimiters_lines_and_hashes() -> None:
    table = table_from_text('a;b\n"1;2\n# not a comment";3\n4;5\n', where="t")
    assert table.rows == ((2, {"a": "1;2\n# not a comment", "b": "3"}), (4, {"a": "4", "b": "5"}))
    assert table.texts[2] == '"1;2\n# not a comment";3'


def test_short_lines_are_filled_and_long_ones_refused() -> None:
    table = table_from_text("a,b\n1\n1,2,3\n1,2,,\n", where="t")
    assert [number for number, _ in table.rows] == [2, 4]
    (refused,) = table.refused
    assert (refused.line_number, refused.line_text) == (3, "1,2,3")
    assert "3 cells under 2 columns" in refused.reason


def test_a_stray_quotation_mark_refuses_its_line_alone() -> None:
    table = table_from_text('a,b\n"x"y,1\n2,3\n', where="t")
    assert [line.line_number for line in table.refused] == [2]
    assert table.rows == ((3, {"a": "2", "b": "3"}),)


def test_the_sign_a_spreadsheet_names_is_obeyed() -> None:
    assert table_from_text("sep=;\na,x;b\n1;2\n", where="t").header == ("a,x", "b")


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"# only\n\n# comments\n", "does not name the columns"),
        (b"sep=;\n", "does not name the columns"),
        (b"a,b,a\n1,2,3\n", "two columns are called 'a'"),
        (b"a,,\n,,\n", None),
        (b'a,b\n"1,2\n3,4\n', "line 2: a quotation mark that opens here never closes"),
        (b"a,b\n1,\x00\n", "this is not text"),
        (b"a,b\n\x81\x8d,\n", "this is not text"),
        (b"", "the file is empty"),
    ],
)
def test_a_table_broken_as_a_whole_is_refused_in_words(
    written: Callable[[bytes], Path], content: bytes, says: str | None
) -> None:
    if says is None:
        assert read_lines(written(content)).rows == ()
        return
    with pytest.raises(FileUnreadable, match=says):
        read_lines(written(content))


def test_a_missing_file_a_folder_and_a_large_file_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, written: Callable[[bytes], Path]
) -> None:
    with pytest.raises(FileMissing, match="no such file"):
        read_lines(tmp_path / "none.csv")
    with pytest.raises(FileNotRecognised, match="folder"):
        read_lines(tmp_path)
    path = written(b"a,b\n" * 100)
    limit = lines_file.MOST_MIB
    monkeypatch.setattr(lines_file, "MOST_MIB", type(limit)(0.0001, limit.unit, "ours", "our choice"))
    with pytest.raises(FileTooLarge):
        read_lines(path)


@given(st.lists(st.lists(CELL, min_size=2, max_size=4), max_size=8), st.sampled_from(",;\t"))
def test_every_line_is_a_row_a_comment_refused_or_empty(rows: list[list[str]], sign: str) -> None:
    out = io.StringIO()
    writer = csv.writer(out, delimiter=sign, lineterminator="\n")
    writer.writerow(["first", "second", "third"])
    writer.writerows(rows)
    table = table_from_text(out.getvalue(), where="t")
    kept = dict(table.rows)
    comments = {number for number, _ in table.comments}
    refused = {line.line_number for line in table.refused}
    for number, (row, line) in enumerate(zip(rows, out.getvalue().split("\n")[1:], strict=False), start=2):
        empty = not line.strip(',;\t" ')
        assert [number in kept, number in comments, number in refused, empty].count(True) == 1
        if number in kept:
            assert list(kept[number].values()) == [*row[:3], "", ""][:3]

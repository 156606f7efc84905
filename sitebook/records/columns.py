"""How a record says what each of its columns means."""

from __future__ import annotations

import dataclasses
import types
import typing
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from shapely.geometry.base import BaseGeometry

from sitebook.vocabulary import Words

GeometryKind = Literal["POINT", "LINESTRING", "POLYGON", "MULTIPOLYGON", "GEOMETRY"]


@dataclass(frozen=True)
class Meaning:
    """What one column holds.

    Parameters
    ----------
    doc
        The column in a few words.
    null
        What an empty value says; None for a column that is never empty.
    unit
        Unit printed beside the number.
    words
        The controlled list the value is taken from.
    refers
        Name of the record kind whose id it holds.
    geometry
        Geometry kind, for the one geometry column of a record.
    unique
        Whether no two rows share the value.
    """

    doc: str
    null: str | None = None
    unit: str | None = None
    words: Words | None = None
    refers: str | None = None
    geometry: GeometryKind | None = None
    unique: bool = False


def column(
    doc: str,
    *,
    null: str | None = None,
    unit: str | None = None,
    words: Words | None = None,
    refers: str | None = None,
    geometry: GeometryKind | None = None,
    unique: bool = False,
    default: Any = dataclasses.MISSING,  # noqa: ANN401 - as dataclasses.field itself
) -> Any:  # noqa: ANN401 - as dataclasses.field itself
    """Declare one column of a record; a nullable column defaults to None."""
    meaning = Meaning(doc, null, unit, words, refers, geometry, unique)
    if default is dataclasses.MISSING and null is not None:
        default = None
    return dataclasses.field(default=default, metadata={"meaning": meaning})


@dataclass(frozen=True)
class ColumnType:
    """A column's Python type and whether it may be empty."""

    python: type
    nullable: bool


_FOUND: dict[type, dict[str, Meaning]] = {}


def meanings(record: type) -> dict[str, Meaning]:
    """Give what each column of a record kind means, in order."""
    if record not in _FOUND:
        _FOUND[record] = {field.name: field.metadata["meaning"] for field in dataclasses.fields(record)}
    return _FOUND[record]


def column_types(record: type) -> Mapping[str, ColumnType]:
    """Give the type of each column of a record kind, in order.

    Raises
    ------
    TypeError
        When a column's annotation and its meaning disagree on whether it may be empty.
    """
    if record not in _TYPES:
        hints = typing.get_type_hints(record)
        said = meanings(record)
        _TYPES[record] = {name: _column_type(record, name, hints[name], m) for name, m in said.items()}
    return _TYPES[record]


_TYPES: dict[type, Mapping[str, ColumnType]] = {}
"""Column types of the record kinds asked for so far: they never change, and are asked for with every row."""


def _column_type(record: type, name: str, hint: object, meaning: Meaning) -> ColumnType:
    options = typing.get_args(hint) if isinstance(hint, types.UnionType) else (hint,)
    nullable = type(None) in options
    if nullable != (meaning.null is not None):
        raise TypeError(f"{record.__name__}.{name}: say what empty means, or forbid it")
    (python,) = [o for o in options if o is not type(None)]
    is_geometry = isinstance(python, type) and issubclass(python, BaseGeometry)
    return ColumnType(BaseGeometry if is_geometry else python, nullable)

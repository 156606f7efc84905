"""The column types of the book: geometry and instants beside SQLAlchemy's plain ones."""

from __future__ import annotations

import datetime
from typing import Any

from shapely.geometry.base import BaseGeometry
from sqlalchemy import Dialect, LargeBinary, types

from sitebook.store import geometry_blob


class _NamedColumn(types.UserDefinedType[Any]):
    """A column whose declared type is one word that GeoPackage prescribes."""

    cache_ok = True

    def __init__(self, word: str) -> None:
        self.word = word

    def get_col_spec(self, **_: object) -> str:
        """Give the declared type."""
        return self.word


class Geom(types.TypeDecorator[BaseGeometry]):
    """A shapely geometry, kept as a GeoPackage blob in a column typed POINT, POLYGON and so on."""

    impl = LargeBinary
    cache_ok = True

    def __init__(self, kind: str = "GEOMETRY", srs_id: int = geometry_blob.SRS_ID) -> None:
        super().__init__()
        self.kind = kind
        self.srs_id = srs_id

    def load_dialect_impl(self, dialect: Dialect) -> types.TypeEngine[Any]:
        """Declare the column by the word GeoPackage prescribes."""
        return dialect.type_descriptor(_NamedColumn(self.kind))

    def process_bind_param(self, value: BaseGeometry | None, dialect: Dialect) -> bytes | None:  # noqa: ARG002
        """Write the blob."""
        return None if value is None else geometry_blob.encode(value, self.srs_id)

    def process_result_value(self, value: bytes | None, dialect: Dialect) -> BaseGeometry | None:  # noqa: ARG002
        """Read the blob."""
        return None if value is None else geometry_blob.decode(value)


class Instant(types.TypeDecorator[datetime.datetime]):
    """An aware instant, kept in UTC as GeoPackage asks: 2025-09-14T07:30:00.000Z."""

    impl = types.Text
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> types.TypeEngine[Any]:
        """Declare the column by the word GeoPackage prescribes."""
        return dialect.type_descriptor(_NamedColumn("DATETIME"))

    def process_bind_param(self, value: datetime.datetime | None, dialect: Dialect) -> str | None:  # noqa: ARG002
        """Write the instant in UTC."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("an instant without a time zone cannot be kept")
        text = value.astimezone(datetime.UTC).isoformat(timespec="milliseconds")
        return text.replace("+00:00", "Z")

    def process_result_value(self, value: str | None, dialect: Dialect) -> datetime.datetime | None:  # noqa: ARG002
        """Read the instant, aware."""
        return None if value is None else datetime.datetime.fromisoformat(value)

"""Reads the tables a person keeps in a spreadsheet, one kind of record a table."""

from sitebook.intake.table.reading import read_table

__all__ = ["read_table"]

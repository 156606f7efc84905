"""Reads what comes home from an entry sheet: JSON lines, each with a checksum of its own."""

from sitebook.intake.field_return.reading import read_field_return

__all__ = ["read_field_return"]

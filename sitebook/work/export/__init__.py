"""Writing what the book holds into files that other programs, and another book, can read."""

from sitebook.work.export.request import FORMATS, export

__all__ = ["FORMATS", "export"]

"""Readers: one file a format, bytes in, records and sorted lines out."""

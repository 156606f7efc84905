"""Sitebook keeps one practitioner's places, host trees, finds and evidence in one file."""

__version__ = "0.1.0"

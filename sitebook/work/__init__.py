"""One function for each thing she can ask: load, think, keep, draw."""

from sitebook.work.opening import opened

__all__ = ["opened"]

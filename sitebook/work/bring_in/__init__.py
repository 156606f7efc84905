"""Bringing files into the book: read all, match, keep all or nothing."""

from sitebook.work.bring_in.request import Wish, bring_in

__all__ = ["Wish", "bring_in"]

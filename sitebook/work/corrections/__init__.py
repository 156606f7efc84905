"""Changing, withdrawing, merging and taking back, with all that was before kept as history."""

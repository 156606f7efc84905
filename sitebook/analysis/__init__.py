"""Thinking: pure functions on arrays and records."""

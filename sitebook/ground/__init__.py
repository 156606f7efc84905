"""Metres: local projection, distance to lines and areas."""

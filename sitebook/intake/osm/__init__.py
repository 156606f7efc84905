"""Reads a map extract into drafts of roads, ground, points, trees and hazards."""

from sitebook.intake.osm.extract import read_osm

__all__ = ["read_osm"]

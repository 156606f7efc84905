"""Reads photos: what the camera wrote beside the picture, and the picture made small."""

from sitebook.intake.photo.folder import pictures_in
from sitebook.intake.photo.reading import read_photo

__all__ = ["pictures_in", "read_photo"]

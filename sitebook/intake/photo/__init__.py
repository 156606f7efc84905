"""Reads photos: what the camera wrote beside the picture, and the picture made small."""

from sitebook.intake.photo.folder import name_within, pictures_in
from sitebook.intake.photo.reading import read_photo

__all__ = ["name_within", "pictures_in", "read_photo"]

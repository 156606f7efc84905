"""What becomes of photos: their place, the find they show, and those that wait."""

from sitebook.work.photos.waiting import WaitingPhoto, waiting_photos

__all__ = ["WaitingPhoto", "waiting_photos"]

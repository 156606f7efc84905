"""Makes a picture small, with nothing in it but its pixels."""

from __future__ import annotations

import io
from dataclasses import dataclass

from PIL import Image

from sitebook.citations import Cited
from sitebook.intake.photo.opening import BROKEN, Picture, quiet

LONGEST_SIDE_PX = Cited(320.0, "px", "ours", "our choice")
QUALITY = Cited(80.0, "1", "ours", "our choice")
"""JPEG quality: eleven to fifteen kilobytes a small picture."""

PAPER = (255, 255, 255)
"""What shows through where a picture is see-through."""

TURNS: dict[object, Image.Transpose] = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""What brings a picture upright, by its orientation tag."""


@dataclass(frozen=True)
class SmallPicture:
    """A small picture as it is kept in the book."""

    media_type: str
    width_px: int
    height_px: int
    content: bytes


def small_picture(picture: Picture, orientation: object) -> SmallPicture | None:
    """Make a picture small and upright; None where its pixels cannot be read.

    The pixels are put on a fresh sheet, so no tag, comment, profile or position goes along.

    Parameters
    ----------
    picture
        The picture.
    orientation
        Its orientation tag, 1 to 8; anything else leaves it as it lies.
    """
    side = int(LONGEST_SIDE_PX.value)
    with quiet():
        try:
            image = picture.image
            image.draft("RGB", (2 * side, 2 * side))
            image.thumbnail((side, side), Image.Resampling.LANCZOS, reducing_gap=2.0)
            sheet = _on_paper(image)
            if isinstance(orientation, int) and orientation in TURNS:
                sheet = sheet.transpose(TURNS[orientation])
            kept = io.BytesIO()
            sheet.save(kept, "JPEG", quality=int(QUALITY.value), optimize=True)
        except (*BROKEN, Image.DecompressionBombWarning, Image.DecompressionBombError):
            return None
    return SmallPicture("image/jpeg", sheet.width, sheet.height, kept.getvalue())


def _on_paper(image: Image.Image) -> Image.Image:
    seen = image.convert("RGBA")
    sheet = Image.new("RGB", seen.size, PAPER)
    sheet.paste(seen, (0, 0), seen)
    return sheet

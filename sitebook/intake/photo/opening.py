"""Opens a picture, or says in words why it is none."""

from __future__ import annotations

import hashlib
import io
import struct
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from PIL import Image

from sitebook.citations import Cited
from sitebook.errors import FileNotRecognised, FileTooLarge, FileUnreadable
from sitebook.intake.files import read_bytes

try:
    import pillow_heif
except ImportError:
    READS_HEIC = False
else:
    pillow_heif.register_heif_opener()
    READS_HEIC = True

MOST_MIB = Cited(128.0, "MiB", "ours", "our choice")
"""Largest file that is taken for a photo."""

FORMATS: dict[str, tuple[str, str]] = {
    "JPEG": ("image/jpeg", "JPEG"),
    "MPO": ("image/jpeg", "JPEG"),
    "PNG": ("image/png", "PNG"),
    "TIFF": ("image/tiff", "TIFF"),
    "WEBP": ("image/webp", "WebP"),
    "AVIF": ("image/avif", "AVIF"),
    "HEIF": ("image/heic", "HEIC"),
}
"""Format as Pillow calls it: media type, and what a person calls it."""

BROKEN = (
    OSError,
    SyntaxError,
    ValueError,
    TypeError,
    LookupError,
    ArithmeticError,
    AttributeError,
    EOFError,
    RuntimeError,
    AssertionError,
    MemoryError,
    struct.error,
)
"""What a picture that is broken inside makes Pillow raise."""

_HEIC_BRANDS = frozenset({b"heic", b"heix", b"hevc", b"hevx", b"heim", b"heis", b"hevm", b"mif1", b"msf1"})


@dataclass(frozen=True)
class Picture:
    """One picture with its header read.

    Parameters
    ----------
    path
        Where it lies.
    sha256
        SHA-256 of its bytes, in hex.
    image
        The picture; its pixels are read when they are asked for.
    """

    path: Path
    sha256: str
    image: Image.Image

    @property
    def media_type(self) -> str:
        """Media type, as image/jpeg."""
        return FORMATS[self.image.format or ""][0]

    @property
    def called(self) -> str:
        """What a person calls its format."""
        return FORMATS[self.image.format or ""][1]


def open_picture(path: Path) -> Picture:
    """Open a picture of a kind that cameras write.

    Raises
    ------
    FileUnreadable
        When its beginning is that of a picture, but it is none.
    FileTooLarge
        When the file is too large, or holds more pixels than Pillow thinks wise to unpack.
    FileNotRecognised
        When it is HEIC and the extra that reads it is not installed.
    FileMissing
        When there is no such file.
    """
    raw = read_bytes(path, MOST_MIB)
    if is_heic(raw) and not READS_HEIC:
        raise FileNotRecognised(
            "this is a photo in HEIC, and what reads HEIC is not installed",
            remedy="Install sitebook[heic], or save the photo as JPEG.",
            where=str(path),
        )
    with quiet():
        image = _opened(raw, path)
    return Picture(path, hashlib.sha256(raw).hexdigest(), image)


def is_heic(head: bytes) -> bool:
    """Whether a file begins as HEIC or HEIF does."""
    return head[4:8] == b"ftyp" and head[8:12] in _HEIC_BRANDS


def _opened(raw: bytes, path: Path) -> Image.Image:
    Image.init()
    formats = [name for name in FORMATS if name in Image.OPEN]
    try:
        return Image.open(io.BytesIO(raw), formats=formats)
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as reason:
        raise FileTooLarge(
            f"the picture would unpack to more than {(Image.MAX_IMAGE_PIXELS or 0) / 1e6:.0f} million pixels",
            remedy="Save it smaller, then name that.",
            where=str(path),
        ) from reason
    except BROKEN as reason:
        raise FileUnreadable(
            "it begins as a picture does, but is none, or is cut off in its head",
            remedy="Copy it from the camera again.",
            where=str(path),
        ) from reason


@contextmanager
def quiet() -> Iterator[None]:
    """Keep Pillow from warning of broken tags; its warning of a packed bomb becomes an error."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        yield

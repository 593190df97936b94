"""A picture that somebody brings: made small, and stripped of everything but what is seen."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from PIL.Image import Image as Picture

LARGEST_UPLOAD = 12_000_000  # bytes that are looked at
LARGEST_KEPT = 400_000  # bytes that are stored
# A JPEG is made smaller while it is read; the others stand in memory whole first.
MOST_PIXELS = {"JPEG": 60_000_000, "MPO": 60_000_000, "PNG": 25_000_000, "WEBP": 25_000_000}
LONG_SIDE = 1280
QUALITIES = (85, 75, 60, 45, 30)
FORMATS = ("JPEG", "PNG", "WEBP")  # a JPEG with another one behind it, as some phones write, is opened as MPO
AVERAGED = ("L", "RGB", "RGBA", "CMYK")  # modes in which pixels can be averaged

Why = Literal["nothing", "too_large", "other_kind", "too_many_pixels", "broken"]


class NoPictureError(Exception):
    """Bytes that give no picture, and why."""

    def __init__(self, why: Why) -> None:
        super().__init__(why)
        self.why = why


def small_picture(data: bytes, long_side: int = LONG_SIDE) -> bytes:
    """The picture as a JPEG of 400 kB at most without metadata. Raises NoPictureError.

    long_side: the longer side is made this many pixels at most
    What it is, is told by its bytes, never by its name: JPEG, PNG or WebP. It is turned as its own metadata says before
    that goes.
    """
    if not data:
        raise NoPictureError("nothing")
    if len(data) > LARGEST_UPLOAD:
        raise NoPictureError("too_large")
    turned = _read(data, long_side)
    from PIL import Image  # noqa: PLC0415 - dear to import, and rarely needed

    # A new picture holds pixels alone: no place, no device, no comment goes along.
    clean = Image.new("RGB", turned.size, "white")
    clean.paste(turned, mask=turned)
    made = (_jpeg(clean, quality) for quality in QUALITIES)
    found = next((one for one in made if len(one) <= LARGEST_KEPT), None)
    while found is None:  # nothing but noise is so large
        clean.thumbnail((clean.width // 2, clean.height // 2))
        small = _jpeg(clean, QUALITIES[-1])
        found = small if len(small) <= LARGEST_KEPT else None
    return found


def _read(data: bytes, long_side: int) -> Picture:
    """The picture upright and small, with its transparency."""
    from PIL import Image, ImageOps, UnidentifiedImageError  # noqa: PLC0415 - dear to import

    try:
        with Image.open(BytesIO(data), formats=FORMATS) as read:
            # Its size stands in its head: too many pixels are refused before any of them is unpacked.
            if read.width * read.height > MOST_PIXELS.get(read.format or "", 0):
                raise NoPictureError("too_many_pixels")
            # A palette or 16 bits cannot be made smaller as they are.
            seen = read if read.mode in AVERAGED else read.convert("RGBA")
            # Small first: whatever comes after holds a copy of it.
            seen.thumbnail((long_side, long_side))
            return ImageOps.exif_transpose(seen).convert("RGBA")
    except UnidentifiedImageError:
        raise NoPictureError("other_kind") from None
    except Image.DecompressionBombError:
        raise NoPictureError("too_many_pixels") from None
    except (OSError, ValueError, SyntaxError, EOFError):
        raise NoPictureError("broken") from None


def _jpeg(picture: Picture, quality: int) -> bytes:
    written = BytesIO()
    picture.save(written, "JPEG", quality=quality, optimize=True)
    return written.getvalue()

"""A picture beside a practical: made small, and stripped of everything but what is seen."""

from __future__ import annotations

from io import BytesIO

LARGEST_UPLOAD = 12_000_000  # bytes that are looked at
LARGEST_KEPT = 400_000  # bytes that are stored
MOST_PIXELS = 60_000_000
LONG_SIDE = 1280
QUALITIES = (85, 75, 60, 45, 30)


def small_picture(data: bytes) -> bytes | None:
    """The picture as a JPEG of 400 kB at most without metadata; None where the bytes are no JPEG or PNG, or too large.

    What it is, is told by its bytes, never by its name. It is turned as its own metadata says before that goes.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError  # noqa: PLC0415 - dear to import, and rarely needed

    if not 0 < len(data) <= LARGEST_UPLOAD:
        return None
    try:
        with Image.open(BytesIO(data), formats=("JPEG", "PNG")) as read:
            if read.width * read.height > MOST_PIXELS:
                return None
            read.draft("RGB", (LONG_SIDE, LONG_SIDE))
            turned = ImageOps.exif_transpose(read).convert("RGBA")
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError, ValueError, SyntaxError, EOFError):
        return None
    turned.thumbnail((LONG_SIDE, LONG_SIDE))
    # A new picture holds pixels alone: no place, no device, no comment goes along.
    clean = Image.new("RGB", turned.size, "white")
    clean.paste(turned, mask=turned)
    made = (_jpeg(clean, quality) for quality in QUALITIES)
    return next((one for one in made if len(one) <= LARGEST_KEPT), None)


def _jpeg(picture: object, quality: int) -> bytes:
    written = BytesIO()
    picture.save(written, "JPEG", quality=quality, optimize=True)  # type: ignore[attr-defined]
    return written.getvalue()

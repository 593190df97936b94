"""Pictures made small: turned upright, stripped bare, and whatever is no picture refused for what it is."""

import struct
import zlib
from io import BytesIO

import pytest
from PIL import Image, ImageFile

from trainer.certificates.picture import (
    LARGEST_KEPT,
    LARGEST_UPLOAD,
    MOST_PIXELS,
    NoPictureError,
    small_picture,
)

# Exif 2.3 (JEITA CP-3451C), 4.6.6: the GPS IFD's tags of latitude and longitude, and their references.
LATITUDE_REF, LATITUDE, LONGITUDE_REF, LONGITUDE = 1, 2, 3, 4
GPS_IFD, MAKE, ORIENTATION, COMMENT = 0x8825, 0x010F, 0x0112, 0x9286


def photo(size=(300, 200), kind="JPEG", colour="red", **more):
    written = BytesIO()
    Image.new("RGB", size, colour).save(written, kind, **more)
    return written.getvalue()


def located(**tags):
    """Metadata as a phone writes it: where the photo was taken, and by what."""
    exif = Image.Exif()
    exif[MAKE] = "Phone of somebody"
    exif.get_ifd(GPS_IFD).update(
        {LATITUDE_REF: "N", LATITUDE: (41.0, 52.0, 12.34), LONGITUDE_REF: "W", LONGITUDE: (87.0, 38.0, 56.7)}
    )
    for tag, value in tags.items():
        exif[int(tag)] = value
    return exif


def opened(data):
    return Image.open(BytesIO(data))


def why(data):
    with pytest.raises(NoPictureError) as caught:
        small_picture(data)
    return caught.value.why


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_place_and_device_are_gone_from_the_bytes(kind):
    data = photo(kind=kind, exif=located())
    with opened(data) as before:
        assert before.getexif().get_ifd(GPS_IFD)[LONGITUDE][0] == 87
        assert b"Phone of somebody" in data
    small = small_picture(data)
    with opened(small) as after:
        assert after.format == "JPEG"
        assert after.size == (300, 200)
        assert dict(after.getexif()) == {}
        assert after.getexif().get_ifd(GPS_IFD) == {}
        assert not {"exif", "icc_profile", "comment", "xmp", "photoshop"} & set(after.info)
    assert b"Phone of somebody" not in small
    assert b"Exif" not in small


def test_colour_profile_comment_and_what_hangs_behind_the_picture_are_gone():
    data = (
        photo(icc_profile=b"profile of a camera", comment=b"at the wash of the river") + b"<script>x</script>"
    )
    small = small_picture(data)
    assert small.startswith(b"\xff\xd8\xff")
    assert small.endswith(b"\xff\xd9")
    for hidden in (b"profile of a camera", b"at the wash", b"<script>"):
        assert hidden in data
        assert hidden not in small


@pytest.mark.parametrize(("orientation", "red"), [(1, (0, 0)), (3, (1, 1)), (6, (1, 0)), (8, (0, 1))])
def test_it_is_turned_upright(orientation, red):
    """Exif 2.3, 4.6.4 A: 1 as it is, 3 by 180°, 6 is shown turned 90° clockwise, 8 counter-clockwise."""
    side_on = Image.new("RGB", (200, 100), "white")
    side_on.paste("red", (0, 0, 60, 40))  # the corner that is top left as the sensor saw it
    exif, written = Image.Exif(), BytesIO()
    exif[ORIENTATION] = orientation
    side_on.save(written, "JPEG", exif=exif, quality=95)
    with opened(small_picture(written.getvalue())) as after:
        wide, high = after.size
        assert (wide, high) == ((200, 100) if orientation in (1, 3) else (100, 200))
        r, g, _ = after.getpixel((red[0] * (wide - 10) + 5, red[1] * (high - 10) + 5))
        assert r > 200
        assert g < 60


def test_the_first_picture_of_a_phone_s_pair_is_taken():
    """CIPA DC-007: an MPO file is JPEG pictures one behind the other, told apart by the first one's marker APP2."""
    written, second = BytesIO(), Image.new("RGB", (60, 40), "blue")
    Image.new("RGB", (60, 40), "red").save(written, "MPO", save_all=True, append_images=[second])
    small = small_picture(written.getvalue())
    with opened(small) as after:
        assert (after.format, after.getpixel((30, 20))[0] > 200) == ("JPEG", True)
    assert b"MPF" not in small


def test_the_longer_side_is_what_was_asked_and_nothing_is_blown_up():
    with opened(small_picture(photo((4000, 1000)), 1600)) as after:
        assert after.size == (1600, 400)
    with opened(small_picture(photo((40, 30)), 1600)) as after:
        assert after.size == (40, 30)


def test_the_same_bytes_give_the_same_picture_and_even_noise_is_kept_small():
    written = BytesIO()
    Image.effect_noise((2400, 2400), 120).convert("RGB").save(written, "PNG")
    noise = written.getvalue()
    assert small_picture(noise, 1600) == small_picture(noise, 1600)
    assert len(small_picture(noise, 1600)) <= LARGEST_KEPT


def test_what_can_be_seen_through_becomes_white():
    written = BytesIO()
    Image.new("RGBA", (20, 20), (0, 0, 0, 0)).save(written, "PNG")
    with opened(small_picture(written.getvalue())) as after:
        assert min(after.getpixel((10, 10))) > 250


@pytest.mark.parametrize("mode", ["1", "L", "P", "LA", "I;16", "CMYK"])
def test_every_way_of_keeping_colours_is_read(mode):
    written, kind = BytesIO(), "JPEG" if mode == "CMYK" else "PNG"
    Image.new(mode, (50, 50)).save(written, kind)
    with opened(small_picture(written.getvalue())) as after:
        assert (after.mode, after.size) == ("RGB", (50, 50))


HTML = b"<!doctype html><script>alert(1)</script>"
SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


@pytest.mark.parametrize(
    ("data", "wrong"),
    [
        (b"", "nothing"),
        (HTML, "other_kind"),
        (SVG, "other_kind"),
        (b"GIF89a" + HTML, "other_kind"),
        (photo(kind="GIF"), "other_kind"),
        (photo(kind="TIFF"), "other_kind"),
        (photo(kind="BMP"), "other_kind"),
        (b"%PDF-1.7\n", "other_kind"),
        (b"\x00" * 5000, "other_kind"),
        (b"\xff\xd8\xff" + HTML, "other_kind"),
        (photo((900, 900))[:2000], "broken"),
        (photo((900, 900), "PNG")[:-60], "broken"),
        (photo((900, 900), "WEBP", quality=95)[:300], "broken"),
    ],
    ids=[
        "empty", "html", "svg", "gif-polyglot", "gif", "tiff", "bmp", "pdf", "zeros", "jpeg-magic", "cut-jpeg",
        "cut-png", "cut-webp",
    ],
)  # fmt: skip
def test_what_is_no_whole_picture_of_the_three_kinds_is_refused(data, wrong):
    assert why(data) == wrong


def test_more_bytes_than_are_looked_at_are_refused():
    assert why(photo() + bytes(LARGEST_UPLOAD)) == "too_large"


def bomb(wide, high):
    """A PNG that says it is so large, in as few bytes as it takes (PNG 1.2, chunks IHDR, IDAT and IEND)."""

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0)
    rows = zlib.compress(bytes(1_000_000), 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    "size", [(30_000, 30_000), (8000, MOST_PIXELS["PNG"] // 8000 + 1), (2_000_000_000, 2)]
)
def test_a_picture_of_too_many_pixels_is_refused_before_it_is_unpacked(size, monkeypatch):
    unpacked = []
    monkeypatch.setattr(ImageFile.ImageFile, "load", lambda self: unpacked.append(self.size))
    assert why(bomb(*size)) == "too_many_pixels"
    assert unpacked == []


def test_a_size_that_the_data_does_not_fill_is_refused():
    assert why(bomb(4000, 4000)) == "broken"

"""Photos for a page: upright, small enough, and nothing in the file but the picture."""

import struct
import zlib
from contextlib import suppress
from io import BytesIO

import exifread
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms

from asfitted.model.base import Unusable
from asfitted.pages.photos import LARGE, SMALL, Picture, pictures, tells_place
from tests.conftest import THOROUGH
from tests.pages.shots import MAKER, SECRETS, XMP, exif, scene, shot

FORMS = ("JPEG", "PNG", "WEBP")


def saved(image: Image.Image, form: str = "PNG", **extra: object) -> bytes:
    out = BytesIO()
    image.save(out, form, **extra)
    return out.getvalue()


def opened(picture: Picture) -> Image.Image:
    image = Image.open(BytesIO(picture.data))
    image.load()
    return image


def colour(picture: Picture, x: int, y: int) -> tuple[int, ...]:
    found = opened(picture).getpixel((x, y))
    assert isinstance(found, tuple)
    return found


def markers(jpeg: bytes) -> list[int]:
    """Give the markers of a JPEG up to its first scan, read by the table of ITU-T T.81 annex B and not by Pillow."""
    found, at = [], 2
    assert jpeg[:2] == b"\xff\xd8"
    while True:
        assert jpeg[at] == 0xFF
        found.append(jpeg[at + 1])
        if found[-1] == 0xDA:
            return found
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")


@pytest.mark.parametrize("form", FORMS)
def test_nothing_of_position_camera_profile_or_comment_is_left(form: str) -> None:
    raw = shot(form)
    assert MAKER.encode() in raw
    if form != "WEBP":  # which this reader, that shares nothing with Pillow, finds no Exif in
        before = exifread.process_file(BytesIO(raw))
        assert str(before["Image Make"]) == MAKER
        assert "GPS GPSLatitude" in before
    for picture in pictures(raw):
        assert exifread.process_file(BytesIO(picture.data)) == {}
        assert [secret for secret in SECRETS if secret.encode() in picture.data] == []
        # ITU-T T.81 table B.1: JFIF header (E0), tables (DB, C4), progressive frame (C2), scan (DA): no APP1 (Exif and
        # XMP), no APP2 (colour profile), no COM
        assert set(markers(picture.data)) <= {0xE0, 0xDB, 0xC4, 0xC2, 0xDA}
        assert picture.data.endswith(b"\xff\xd9")


def test_the_fixture_holds_every_secret_that_is_looked_for() -> None:
    together = shot("JPEG") + shot("WEBP")
    assert [secret for secret in SECRETS if secret.encode() not in together] == []


# Exif 2.32, 4.6.4 A, Orientation (as TIFF 6.0, page 36), from memory: where the first row and column of the file stand
# in the picture. 5 to 8 lie on their side.
CORNERS = {
    1: ("top", "left"), 2: ("top", "right"), 3: ("bottom", "right"), 4: ("bottom", "left"),
    5: ("top", "left"), 6: ("top", "right"), 7: ("bottom", "right"), 8: ("bottom", "left"),
}  # fmt: skip


@pytest.mark.parametrize("orientation", CORNERS)
def test_a_photo_is_shown_as_it_was_held(orientation: int) -> None:
    large, _ = pictures(shot(size=(400, 200), orientation=orientation))
    assert (large.width, large.height) == ((400, 200) if orientation < 5 else (200, 400))
    row, column = CORNERS[orientation]
    x = 10 if column == "left" else large.width - 10
    y = 10 if row == "top" else large.height - 10
    red, green, blue = colour(large, x, y)
    assert red > 200
    assert max(green, blue) < 80
    red, green, _ = colour(large, large.width - x, large.height - y)
    assert abs(red - green) < 30


@pytest.mark.parametrize(
    ("size", "large", "small"),
    [
        ((2600, 1950), (1280, 960), (320, 240)),
        ((900, 1800), (640, 1280), (160, 320)),
        ((600, 300), (600, 300), (320, 160)),
        ((50, 40), (50, 40), (50, 40)),
        ((3000, 2), (1280, 1), (320, 1)),
    ],
)
def test_no_side_is_longer_than_a_page_needs_and_no_photo_is_blown_up(
    size: tuple[int, int], large: tuple[int, int], small: tuple[int, int]
) -> None:
    made = pictures(saved(scene(*size), "JPEG"))
    assert [(picture.width, picture.height) for picture in made] == [large, small]
    assert [opened(picture).size for picture in made] == [large, small]
    assert max(large) <= LARGE
    assert max(small) <= SMALL


def test_the_same_photo_gives_the_same_bytes() -> None:
    assert pictures(shot()) == pictures(shot())


def test_what_is_transparent_stands_on_white() -> None:
    (large, _) = pictures(saved(Image.new("RGBA", (40, 40), (0, 0, 0, 0))))
    assert min(colour(large, 20, 20)) > 250


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "CMYK", "I;16"])
def test_every_way_of_storing_colours_becomes_plain_colour(mode: str) -> None:
    image = scene(80, 60).convert("L").convert("I").convert(mode) if mode == "I;16" else scene(80, 60).convert(mode)
    large, small = pictures(saved(image, "JPEG" if mode == "CMYK" else "PNG"))
    assert opened(large).mode == opened(small).mode == "RGB"


def test_the_colours_of_a_profile_are_kept_when_the_profile_goes() -> None:
    # sRGB with the red and green primaries exchanged: what such a file calls red is green on a screen
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    other = profile.replace(b"rXYZ", b"tmp!", 1).replace(b"gXYZ", b"rXYZ", 1).replace(b"tmp!", b"gXYZ", 1)
    red = Image.new("RGB", (40, 40), (255, 0, 0))
    seen, _ = pictures(saved(red, "PNG", icc_profile=other))
    r, g, b = colour(seen, 20, 20)
    assert g > 240
    assert max(r, b) < 30
    unread, _ = pictures(saved(red, "PNG", icc_profile=b"no profile"))
    assert colour(unread, 20, 20)[0] > 240


def png_of(width: int, height: int) -> bytes:
    """Write a PNG of a few bytes that asks for so many pixels (PNG, third edition, clause 11.2.1)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 99)) + chunk(b"IEND", b"")


@pytest.mark.parametrize("size", [(9000, 8000), (12_000, 10_000), (60_000, 60_000), (2**31 - 1, 2**31 - 1)])
def test_a_file_that_asks_for_too_many_pixels_is_refused_before_it_is_unpacked(size: tuple[int, int]) -> None:
    for use in (pictures, lambda raw: tells_place(BytesIO(raw))):
        with pytest.raises(Unusable, match="pixels; expected at most 64 million pixels"):
            use(png_of(*size))


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"GIF89a\x01\x00\x01\x00",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"record: 1\n",
        b"\xff\xd8\xff",
        b"\x89PNG\r\n\x1a\n",
    ],
    ids=["nothing", "gif", "svg", "text", "start of a jpeg", "start of a png"],
)
def test_what_is_no_photo_is_refused_with_a_sentence(raw: bytes) -> None:
    with pytest.raises(Unusable, match="expected a photo saved as JPEG, PNG or WebP"):
        pictures(raw)


@pytest.mark.parametrize("form", FORMS)
def test_half_a_photo_is_refused_with_a_sentence(form: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("PIL.ImageFile.LOAD_TRUNCATED_IMAGES", True)  # as the library for PDF files leaves it
    raw = shot(form, (200, 150))
    with pytest.raises(Unusable, match="a damaged image"):
        pictures(raw[: len(raw) * 3 // 4])


@settings(max_examples=300 if THOROUGH else 15, deadline=None)
@given(
    st.sampled_from(FORMS), st.lists(st.tuples(st.integers(0, 10**6), st.binary(min_size=1, max_size=4)), min_size=1)
)
def test_a_damaged_photo_is_shown_or_refused_and_nothing_else(form: str, damage: list[tuple[int, bytes]]) -> None:
    raw = bytearray(SHOTS[form])
    for at, new in damage:
        start = at % len(raw)
        raw[start : start + len(new)] = new
    for use in (pictures, lambda given: tells_place(BytesIO(given))):
        with suppress(Unusable):
            use(bytes(raw))


SHOTS = {form: shot(form, (48, 32), 6) for form in FORMS}


def test_the_head_of_a_photo_tells_whether_it_holds_the_position() -> None:
    assert tells_place(BytesIO(shot(size=(40, 30))))
    assert not tells_place(BytesIO(shot(size=(40, 30), place=False)))
    assert not tells_place(BytesIO(saved(scene(40, 30), "JPEG")))
    assert tells_place(BytesIO(saved(scene(40, 30), "JPEG", exif=exif())))
    for form in ("JPEG", "WEBP"):
        assert tells_place(BytesIO(saved(scene(40, 30), form, xmp=XMP)))

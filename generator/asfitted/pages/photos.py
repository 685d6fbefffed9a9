"""Photos made fit for a page: upright, no larger than needed, and with nothing but the picture in them.

The only module that knows Pillow. A photo tells more than it shows: where and when it was taken, with which camera, by
whose account, what it looked like before it was cut. Every photo is therefore drawn anew and written without any of it.
"""

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, BinaryIO

from asfitted.model.base import Unusable

if TYPE_CHECKING:
    from PIL.Image import Image

LARGE, SMALL = 1280, 320
"""Pixels of the longest side, of the picture on its own and of the one on a page."""
MOST_PIXELS = 64_000_000
"""A file of a few kilobytes can ask for gigabytes; what a camera takes stays below this."""
QUALITY = 80
_FORMATS = ("JPEG", "PNG", "WEBP")
_ANY_IMAGE = "a photo saved as JPEG, PNG or WebP"
_GPS, _LATITUDE = 0x8825, 2
"""Where Exif keeps a position: the tag of its part, and of the latitude in there (Exif 2.32, 4.6.3 and 4.6.6)."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A JPEG, and its size in pixels."""

    data: bytes
    width: int
    height: int


def tells_place(file: BinaryIO) -> bool:
    """Tell whether a photo carries the position where it was taken, from its head alone.

    Raises:
        Unusable: when it is no photo, or has too many pixels.
    """
    with _opened(file) as image:
        return _LATITUDE in image.getexif().get_ifd(_GPS) or b"GPSLatitude" in image.info.get("xmp", b"")


def pictures(raw: bytes) -> tuple[Picture, Picture]:
    """Make the large and the small picture of a photo. The same bytes give the same pictures.

    Raises:
        Unusable: when it is no photo, is damaged, or has too many pixels.
    """
    from PIL import ImageOps

    with _opened(BytesIO(raw)) as image:
        image.draft("RGB", (2 * LARGE, 2 * LARGE))  # a JPEG is read no larger than needed
        smaller = _smooth(image)
        smaller.thumbnail((LARGE, LARGE))  # before all else, which would take several times the memory
        large = _on_screens(_on_white(ImageOps.exif_transpose(smaller)), image.info.get("icc_profile"))
        small = large.copy()
        small.thumbnail((SMALL, SMALL))
        return _written(large), _written(small)


@contextmanager
def _opened(file: BinaryIO) -> "Iterator[Image]":
    from PIL import Image, ImageFile, UnidentifiedImageError

    lenient = ImageFile.LOAD_TRUNCATED_IMAGES  # the library that makes PDF files lets half a photo pass, for all
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # a damaged tag, or more pixels than Pillow likes, which is judged below
            with Image.open(file, formats=_FORMATS) as image:
                _judge_size(image)
                yield image
    except Unusable:
        raise
    except Image.DecompressionBombError:
        raise _too_many("far too many pixels") from None
    except UnidentifiedImageError:
        raise Unusable("a file that is no such image", _ANY_IMAGE) from None
    except Exception as error:  # noqa: BLE001 - whatever a reader of images stumbles over in a file from outside
        raise Unusable(f"a damaged image ({type(error).__name__})", _ANY_IMAGE) from None
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = lenient


def _judge_size(image: "Image") -> None:
    if image.width * image.height > MOST_PIXELS:
        raise _too_many(f"{image.width} by {image.height} pixels")


def _too_many(found: str) -> Unusable:
    return Unusable(found, f"at most {MOST_PIXELS // 1_000_000} million pixels", "Save it smaller.")


def _smooth(image: "Image") -> "Image":
    """Give the picture in colours that can be made smaller: not by a palette, nor in black and white alone."""
    if image.mode in ("RGB", "RGBA", "L", "LA", "CMYK") and "transparency" not in image.info:
        return image
    return image.convert("RGBA" if image.has_transparency_data else "RGB")


def _on_white(image: "Image") -> "Image":
    """Give the picture with what is transparent on white."""
    from PIL import Image

    if image.mode not in ("RGBA", "LA"):
        return image
    layered = image.convert("RGBA")
    ground = Image.new("RGBA", layered.size, "white")
    return Image.alpha_composite(ground, layered).convert("RGB")


def _on_screens(image: "Image", profile: bytes | None) -> "Image":
    """Give the picture in the colours of every screen (sRGB), in which its own colour profile is not needed."""
    from PIL import Image, ImageCms

    if profile:
        try:
            made = ImageCms.ImageCmsProfile(BytesIO(profile))
            shown = ImageCms.profileToProfile(image, made, ImageCms.createProfile("sRGB"), outputMode="RGB")
        except (ImageCms.PyCMSError, ImportError, OSError, ValueError):
            shown = None  # a damaged profile costs a shade of colour, not the photo
        image = shown or image
    clean = Image.new("RGB", image.size)  # carries nothing over but pixels
    clean.paste(image.convert("RGB"))
    return clean


def _written(image: "Image") -> Picture:
    out = BytesIO()
    image.save(out, "JPEG", quality=QUALITY, optimize=True, progressive=True)
    return Picture(out.getvalue(), image.width, image.height)

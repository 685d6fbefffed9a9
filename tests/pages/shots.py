"""Photos for the tests, drawn here, with all that a telephone writes into a file beside the picture."""

from io import BytesIO

from PIL import Image, ImageCms, ImageDraw, PngImagePlugin

MAKER, MODEL, PLACE = "Ottercam Works", "OC-77 Pocket", "54.0123456"
SECRETS = (MAKER, MODEL, PLACE, "Exif", "GPS", "http://ns.adobe.com", "ICC_PROFILE", "acsp", "taken by the neighbour")
XMP = (
    '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
    f'<rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" exif:GPSLatitude="{PLACE}N"/></rdf:RDF></x:xmpmeta>'
).encode()


def scene(width: int = 1600, height: int = 1200) -> Image.Image:
    """Draw a ceiling with an alarm on it, and a red mark in the corner where the rows and columns begin."""
    image = Image.linear_gradient("L").resize((width, height)).convert("RGB")
    draw = ImageDraw.Draw(image)
    draw.ellipse((width * 0.4, height * 0.35, width * 0.6, height * 0.6), fill="white", outline="gray", width=9)
    draw.rectangle((0, 0, width // 4, height // 4), fill=(255, 0, 0))
    return image


def exif(orientation: int = 1, *, place: bool = True) -> Image.Exif:
    """Give what a camera writes: maker, model, how it was held, and the position."""
    made = Image.Exif()
    made[0x010F], made[0x0110], made[0x0112] = MAKER, MODEL, orientation
    if place:
        made.get_ifd(0x8825).update({1: "N", 2: (54.0, 0.0, 44.44), 3: "W", 4: (2.0, 48.0, 0.0)})
    return made


def shot(form: str = "JPEG", size: tuple[int, int] = (640, 480), orientation: int = 1, *, place: bool = True) -> bytes:
    """Save the scene as a telephone does."""
    out = BytesIO()
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    extra: dict[str, object] = {"exif": exif(orientation, place=place), "icc_profile": profile}
    if form == "PNG":
        told = PngImagePlugin.PngInfo()
        told.add_text("Comment", "taken by the neighbour")
        if place:
            told.add_itxt("XML:com.adobe.xmp", XMP.decode())
        extra |= {"pnginfo": told}
    elif place:
        extra |= {"xmp": XMP}
    if form == "JPEG":
        extra |= {"comment": b"taken by the neighbour"}
    scene(*size).save(out, form, **extra)
    return out.getvalue()

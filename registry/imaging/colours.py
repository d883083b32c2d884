"""Pixels of any kind to sRGB (IEC 61966-2-1) of 8 bits, which every screen shows alike."""

from io import BytesIO

import numpy as np
from PIL import Image, ImageCms

_SRGB = ImageCms.createProfile("sRGB")
_WHITE = (255, 255, 255, 255)


def in_eight_bits(image: Image.Image) -> Image.Image:
    """The picture in a mode that can be made smaller: L, RGB, RGBA or CMYK.

    Grey of 16 bits keeps its upper 8: Pillow's own conversion turns everything above 255 white.
    """
    if image.mode.startswith("I"):
        upper = np.right_shift(np.asarray(image), 8)
        grey = Image.fromarray(np.clip(upper, 0, 255).astype(np.uint8))
        grey.info = image.info
        return grey
    if image.mode in {"LA", "PA", "La", "RGBa"} or "transparency" in image.info:
        return image.convert("RGBA")
    if image.mode in {"L", "RGB", "RGBA", "CMYK"}:
        return image
    return image.convert("L" if image.mode == "1" else "RGB")


def to_srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    """RGB of an L, RGB, RGBA or CMYK picture, through its own colour profile where it has one.

    What can be seen through is laid on white, as paper is. A profile that is damaged, or made for
    another kind of picture, is left aside: the colours are then those of a file without one.
    """
    if image.mode == "RGBA":
        paper = Image.new("RGBA", image.size, _WHITE)
        image = Image.alpha_composite(paper, image).convert("RGB")
    if profile:
        try:
            own = ImageCms.ImageCmsProfile(BytesIO(profile))
            converted = ImageCms.profileToProfile(image, own, _SRGB, outputMode="RGB")
        except (ImageCms.PyCMSError, OSError):
            converted = None
        if converted is not None:
            return converted
    return image if image.mode == "RGB" else image.convert("RGB")

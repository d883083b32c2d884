"""A photo made ready to be looked at: upright, in sRGB, no larger than asked, nothing else left.

The tags, comments, colour profiles and previews of the file name the device, its owner and the
place; none of them reaches a picture made here.
"""

from PIL import Image

from registry.imaging.colours import to_srgb
from registry.imaging.decode import decode
from registry.imaging.kinds import kind_of
from registry.imaging.opening import open_photo
from registry.imaging.turn import noted_turn, upright, upright_size


def develop(data: bytes, longest_px: int | None) -> Image.Image:
    """The photo as seen, its longer side at most `longest_px` (None: as large as it is).

    Never larger than stored. Raises PhotoRefused where the file cannot be decoded.
    """
    kind = kind_of(data)
    with open_photo(data, kind) as image:
        turn = noted_turn(image)
        profile = image.info.get("icc_profile")
        small = decode(data, kind, image, fitted(image.size, longest_px))
        seen = upright(to_srgb(small, profile), turn)
    seen.info.clear()
    return seen


def seen_size(data: bytes) -> tuple[int, int]:
    """Width and height in pixels of the whole photo as seen, from its header alone."""
    with open_photo(data, kind_of(data)) as image:
        return upright_size(image.size, noted_turn(image))


def fitted(size: tuple[int, int], longest_px: int | None) -> tuple[int, int]:
    """Width and height made smaller in proportion to fit, each at least one pixel."""
    longest = max(size)
    if longest_px is None or longest <= longest_px:
        return size
    width, height = (max(1, round(side * longest_px / longest)) for side in size)
    return width, height

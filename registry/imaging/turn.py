"""The eight turns that a camera notes beside a picture, made for view only.

Exif 2.32, 4.6.4 tag 0x0112: what the first row and column of the stored picture are of the
picture as seen. The stored bytes are never turned.
"""

from PIL import Image

from registry.imaging import tags

# value -> what makes the stored picture upright (first row, first column as seen)
_UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,  # top, right
    3: Image.Transpose.ROTATE_180,  # bottom, right
    4: Image.Transpose.FLIP_TOP_BOTTOM,  # bottom, left
    5: Image.Transpose.TRANSPOSE,  # left, top
    6: Image.Transpose.ROTATE_270,  # right, top
    7: Image.Transpose.TRANSVERSE,  # right, bottom
    8: Image.Transpose.ROTATE_90,  # left, bottom
}
_ON_ITS_SIDE = {5, 6, 7, 8}


def noted_turn(image: Image.Image) -> int:
    """The turn still to be made of an opened photo; 1, none, where there is none to be read.

    Of a HEIC it is always 1: its decoder makes the turn that the file states and resets the tag
    (ISO/IEC 23008-12, 6.5.10 and annex A.2.1: the Exif tag is not to be applied on top).
    """
    value = tags.read_tags(image).main.get(tags.ORIENTATION)
    return value if isinstance(value, int) and value in _UPRIGHT else 1


def upright(image: Image.Image, turn: int) -> Image.Image:
    """The picture as seen, for a turn of 1 to 8."""
    return image.transpose(_UPRIGHT[turn]) if turn in _UPRIGHT else image


def upright_size(size: tuple[int, int], turn: int) -> tuple[int, int]:
    """Width and height as seen of a stored (width, height)."""
    return (size[1], size[0]) if turn in _ON_ITS_SIDE else size

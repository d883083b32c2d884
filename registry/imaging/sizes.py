"""The sizes in which a photo is shown: in a list, on a page, and as a copy anybody can read.

All are JPEG, without any tag. A list of 200 must load over a telephone within 1.5 MB: 200 x 6 500
bytes are 1.3 MB, which leaves 1 000 bytes for the row and the answer's headers of each.
"""

from dataclasses import dataclass
from io import BytesIO

from PIL import Image

from registry.imaging.decode import GAP
from registry.imaging.develop import develop, fitted

LIST_PX, LIST_BYTES = 256, 6_500
PAGE_PX, PAGE_BYTES = 1600, 400_000
COPY_QUALITY = 90

# Stone is all detail: the lower steps are for open-graded surfaces in low sun.
_QUALITIES = (80, 70, 60, 50, 40, 30, 20)
_SMALLER = 0.8
_TABLES_PX = 512 * 512


@dataclass(frozen=True)
class View:
    """A JPEG to be shown, and its width and height in pixels as seen."""

    data: bytes
    width_px: int
    height_px: int

    media_type: str = "image/jpeg"


@dataclass(frozen=True)
class Sizes:
    """in_list: longer side up to 256 px, 6 500 bytes; on_page: up to 1600 px, 400 000 bytes."""

    in_list: View
    on_page: View


def make_sizes(data: bytes) -> Sizes:
    """Decode a photo once and make both sizes. Raises PhotoRefused where it cannot be decoded."""
    page = develop(data, PAGE_PX)
    small = page.resize(fitted(page.size, LIST_PX), Image.Resampling.LANCZOS, reducing_gap=GAP)
    return Sizes(in_list=view_within(small, LIST_BYTES), on_page=view_within(page, PAGE_BYTES))


def readable_copy(data: bytes) -> View:
    """A JPEG of every pixel, turned upright: what stands beside a HEIC, and goes out to others."""
    return _view(develop(data, None), COPY_QUALITY)


def view_within(image: Image.Image, most_bytes: int) -> View:
    """The best JPEG of at most `most_bytes`; made smaller where the lowest quality is too large."""
    while True:
        for quality in _QUALITIES:
            view = _view(image, quality)
            if len(view.data) <= most_bytes:
                return view
        longest = max(1, int(max(image.size) * _SMALLER))
        image = image.resize(fitted(image.size, longest), Image.Resampling.LANCZOS)


def _view(image: Image.Image, quality: int) -> View:
    out = BytesIO()
    # Tables made for the picture save a list an eighth of its bytes, and a page a few.
    image.save(out, "JPEG", quality=quality, optimize=image.width * image.height < _TABLES_PX)
    return View(out.getvalue(), image.width, image.height)

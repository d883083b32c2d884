"""Pixels of a photo, decoded once and made smaller on the way, a strip at a time.

A photo of 12 megapixels takes 48 MB as Pillow holds it, one of 100 takes 400 MB; strips averaged
in whole blocks as they come take a few, and a third more time. A JPEG is decoded at a half, quarter
or eighth by its own means. A HEIC lies in its decoder's memory whole, 4.5 bytes a pixel; a large
one, which telephones put together of tiles, is decoded by rows of them.
"""

from collections.abc import Iterator

import pi_heif
from PIL import Image, ImageFile

from registry.imaging import png_rows
from registry.imaging.colours import in_eight_bits
from registry.imaging.faults import PhotoRefused
from registry.imaging.heic_grid import Grid, read_grid
from registry.imaging.kinds import Kind
from registry.imaging.opening import UNREADABLE, load_heic
from registry.imaging.wholeness import is_in_passes

STRIP_PX = 1 << 20

# A PNG up to here is decoded whole: 100 MB.
PNG_WHOLE_PX = 25_000_000

# Pixels are first averaged in whole blocks down to 1.2 times the size asked for, then resampled:
# a third of the time of resampling alone, and no difference to be seen. What is left to be made
# smaller is a ratio under 2.4, for which a window of one pixel does, in half of Lanczos' time.
GAP = 1.2
LAST_STEP = Image.Resampling.HAMMING

# One of 16 bits or in passes has no strips: 383 MB in all as measured, at so many pixels.
PNG_NO_STRIPS_PX = 50_000_000
NO_STRIPS = (
    "It is a PNG of {megapixels:.0f} megapixels with 16 bits a color or written in passes; this "
    f"server has the memory to open {PNG_NO_STRIPS_PX // 1_000_000} so, and 200 with 8 bits row by "
    "row. Send it as JPEG."
)

# In its decoder's memory whole: 225 MB.
HEIC_WHOLE_PX = 50_000_000
IN_ONE_PIECE = (
    "It is a HEIC of {megapixels:.0f} megapixels in one piece; this server has the memory to open "
    f"{HEIC_WHOLE_PX // 1_000_000} so, and 200 of one in tiles, as telephones write it. "
    "Send it as JPEG too."
)


# A JPEG in passes lies whole in its decoder too, up to 8 bytes a pixel: 400 MB.
PASSES_WHOLE_PX = 50_000_000
IN_PASSES = (
    "It is a JPEG of {megapixels:.0f} megapixels written in passes; this server has the memory to "
    f"open {PASSES_WHOLE_PX // 1_000_000} so, and 200 of one written row by row, as cameras do. "
    "Send it as the camera stored it."
)

Size = tuple[int, int]


def decode(data: bytes, kind: Kind, image: ImageFile.ImageFile, size: Size) -> Image.Image:
    """The pixels of an opened photo as stored, made smaller to `size`: L, RGB, RGBA or CMYK.

    data   the whole file, of which `image` is the opened header
    size   (width, height), neither larger than stored

    Raises PhotoRefused where rows are missing or it takes more memory than it may, and what Pillow
    and libheif raise inside `open_photo`.
    """
    if kind is Kind.JPEG:
        pixels = image.width * image.height
        if pixels > PASSES_WHOLE_PX and is_in_passes(data):
            raise PhotoRefused(IN_PASSES.format(megapixels=pixels / 1e6))
        image.draft(None, size)
        image.load()
        return _resized(in_eight_bits(image), image.size, size)
    if kind is Kind.HEIC:
        return _heic(data, image.size, size)
    block = _block(image.size, size)
    rows = _rows(image.size, block)
    if not png_rows.read_header(data).in_strips:
        refuse_too_large_png(png_rows.read_header(data))
        png_rows.check_all_rows(data)
        image.load()
        parts = _cut(image, rows)
    elif image.width * image.height > PNG_WHOLE_PX:
        parts = png_rows.strips(data, rows)
    else:
        parts = iter((png_rows.whole(data, image),))
    return _shrunk(parts, image.size, block, size)


def refuse_too_large_png(header: png_rows.Header) -> None:
    """Raise PhotoRefused where a PNG can only be decoded whole, and that takes too much memory."""
    pixels = header.width * header.height
    if pixels > PNG_NO_STRIPS_PX and not (header.in_strips or header.is_one_byte):
        raise PhotoRefused(NO_STRIPS.format(megapixels=pixels / 1e6))


def _heic(data: bytes, stored: Size, size: Size) -> Image.Image:
    if stored[0] * stored[1] > HEIC_WHOLE_PX:
        return _of_tiles(read_grid(data), stored, size)
    heic = load_heic(data)  # its size is the decoder's, whatever the header said
    block = _block(heic.size, size)
    return _shrunk(_heic_strips(heic, _rows(heic.size, block)), heic.size, block, size)


def _of_tiles(grid: Grid | None, stored: Size, size: Size) -> Image.Image:
    if grid is None:
        raise PhotoRefused(IN_ONE_PIECE.format(megapixels=stored[0] * stored[1] / 1e6))
    if grid.seen_size != stored:
        raise PhotoRefused(UNREADABLE)
    before = size[::-1] if grid.lies_on_its_side else size
    block = _block(grid.size, before)
    rows = _regular(grid.strips(), grid.size[0], _rows(grid.size, block))
    return grid.turned(_shrunk(rows, grid.size, block, before))


def _regular(strips: Iterator[Image.Image], width: int, rows: int) -> Iterator[Image.Image]:
    """The same picture in strips of `rows` rows, fewer at the end."""
    kept = Image.new("RGB", (width, 0))
    for strip in strips:
        both = Image.new("RGB", (width, kept.height + strip.height))
        both.paste(kept, (0, 0))
        both.paste(strip, (0, kept.height))
        whole = both.height - both.height % rows
        yield from _cut(both.crop((0, 0, width, whole)), rows)
        kept = both.crop((0, whole, width, both.height))
    yield from _cut(kept, rows)


def _block(stored: Size, size: Size) -> Size:
    """Columns and rows of the blocks that may be averaged and still leave more than `size`."""
    across, down = (
        max(1, int(whole / part / GAP)) for whole, part in zip(stored, size, strict=True)
    )
    return across, down


def _rows(stored: Size, block: Size) -> int:
    """Rows of a strip: whole blocks, of about STRIP_PX pixels."""
    return block[1] * max(1, STRIP_PX // (stored[0] * block[1]))


def _heic_strips(heic: pi_heif.HeifImage, rows: int) -> Iterator[Image.Image]:
    width, height = heic.size
    pixels = memoryview(heic.data)
    for top in range(0, height, rows):
        count = min(rows, height - top)
        part = pixels[top * heic.stride : (top + count) * heic.stride]
        yield Image.frombytes(heic.mode, (width, count), part, "raw", heic.mode, heic.stride)


def _cut(image: Image.Image, rows: int) -> Iterator[Image.Image]:
    for top in range(0, image.height, rows):
        yield image.crop((0, top, image.width, min(image.height, top + rows)))


def _shrunk(strips: Iterator[Image.Image], stored: Size, block: Size, size: Size) -> Image.Image:
    """One picture of the strips, each averaged in blocks; `size` in the end."""
    whole: Image.Image | None = None
    top = 0
    for strip in strips:
        small = in_eight_bits(strip)
        if block != (1, 1):
            small = small.reduce(block)
        if whole is None:
            across, down = (-(-side // of) for side, of in zip(stored, block, strict=True))
            whole = Image.new(small.mode, (across, down))
        whole.paste(small, (0, top))
        top += small.height
    assert whole is not None, "a photo has at least one row"
    seen = (stored[0] / block[0], stored[1] / block[1])
    return _resized(whole, seen, size)


def _resized(image: Image.Image, used: tuple[float, float], size: Size) -> Image.Image:
    """Resample what is used of the picture, from its upper left corner, to `size`."""
    if image.size == size:
        return image
    return image.resize(size, LAST_STEP, box=(0, 0, *used))

"""Sound JPEGs of every way of writing pass; what was cut, or turned to nought inside, does not."""

from itertools import product

import numpy as np
import pytest
from PIL import Image

from registry.imaging.faults import PhotoRefused
from registry.imaging.jpeg_scans import DAMAGED_INSIDE, check_scans
from registry.imaging.wholeness import CUT_SHORT
from tests.imaging import photos

EVERY_WAY = list(product((False, True), (0, 3), (0, 2), ("L", "RGB", "CMYK")))
IN_PASSES_OR_NOT = pytest.mark.parametrize("progressive", [False, True])


def grain(width: int, height: int) -> Image.Image:
    pixels = np.random.default_rng(6).integers(0, 255, (height, width, 3), dtype=np.uint8)
    return Image.fromarray(pixels)


def written(image: Image.Image, progressive: bool, restarts: int, halved: int, mode: str) -> bytes:
    return photos.jpeg(
        image.convert(mode),
        quality=90,
        progressive=progressive,
        restart_marker_blocks=restarts,
        subsampling=halved,
    )


@pytest.mark.parametrize("size", [(1, 1), (7, 9), (33, 47), (120, 80)])
def test_a_sound_one_passes_however_it_is_written(size: tuple[int, int]):
    for image in (grain(*size), Image.new("RGB", size, (120, 117, 110))):
        for way in EVERY_WAY:
            data = written(image, *way)
            for filling in (b"", bytes(3000), b"\xff" * 3000):
                check_scans(data[:-2] + filling + data[-2:])


def test_one_cut_and_closed_again_is_refused_however_it_is_written():
    for way in EVERY_WAY:
        data = written(grain(120, 80), *way)
        for count in (100, 300):
            with pytest.raises(PhotoRefused, match=CUT_SHORT):
                check_scans(data[: -2 - count] + b"\xff\xd9")


@IN_PASSES_OR_NOT
def test_bytes_left_over_are_refused(progressive: bool):
    data = photos.jpeg(grain(120, 80), progressive=progressive)
    with pytest.raises(PhotoRefused, match=DAMAGED_INSIDE):
        check_scans(data[:-2] + b"\x55" * 100 + data[-2:])


def test_pixels_turned_to_nought_are_found_by_the_count_of_blocks():
    data = photos.jpeg(grain(320, 240))
    for at in range(2000, len(data) - 3000, 4001):
        with pytest.raises(PhotoRefused):
            check_scans(data[:at] + bytes(1024) + data[at + 1024 :])

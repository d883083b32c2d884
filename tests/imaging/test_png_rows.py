"""A PNG decoded a strip at a time is the same picture; rows that are missing are told."""

import tracemalloc
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from registry.imaging import PhotoRefused, make_sizes
from registry.imaging.accept import ROWS_COUNTED_UP_TO_BYTES, accept
from registry.imaging.png_rows import check_all_rows, read_header, strips, whole
from tests.imaging import photos

CHANNELS = {"L": 1, "LA": 2, "RGB": 3, "RGBA": 4}


def noise(mode: str, width: int = 61, height: int = 47) -> Image.Image:
    shape = (height, width, CHANNELS[mode])
    values = np.random.default_rng(9).integers(0, 256, shape, dtype=np.uint8)
    # Soft in one half: there the writer picks the filters that look back to the row above.
    values[:, : width // 2] = np.arange(height, dtype=np.uint8)[:, None, None] * 3
    return Image.fromarray(values.squeeze(), mode)


@pytest.mark.parametrize("rows", [1, 2, 7, 46, 47, 500])
@pytest.mark.parametrize("mode", CHANNELS)
def test_strips_put_together_are_the_picture_that_another_reader_decodes(mode: str, rows: int):
    image = noise(mode)
    data = photos.saved(image, "PNG")
    found = [np.asarray(strip) for strip in strips(data, rows)]
    assert [len(strip) for strip in found[:-1]] == [rows] * (len(found) - 1)
    assert np.array_equal(np.concatenate(found), np.asarray(image))


def decoded_whole(data: bytes) -> np.ndarray:
    with Image.open(BytesIO(data), formats=["PNG"]) as image:
        return np.asarray(whole(data, image))


@pytest.mark.parametrize("mode", CHANNELS)
def test_one_of_few_pixels_is_decoded_whole_and_the_same(mode: str):
    image = noise(mode)
    assert np.array_equal(decoded_whole(photos.saved(image, "PNG")), np.asarray(image))


@pytest.mark.parametrize("grey", [0, 173])
def test_rows_missing_of_one_decoded_whole_are_told_whatever_its_grey(grey: int):
    row = b"\0" + bytes([grey]) * 300
    with pytest.raises(PhotoRefused, match="not arrive whole"):
        decoded_whole(photos.png_raw((100, 100), row * 99))
    assert decoded_whole(photos.png_raw((100, 100), row * 100)).min() == grey


@pytest.mark.parametrize("kind_of_filter", range(5))
def test_each_filter_looks_back_over_the_edge_of_a_strip(kind_of_filter: int):
    # ISO/IEC 15948, 9.2: filtered rows of nothing but ones, worked out by hand below.
    rows = bytes([kind_of_filter]) + b"\1\1\1"
    data = photos.png_raw((1, 6), rows * 6)
    found = np.concatenate([np.asarray(strip) for strip in strips(data, 2)])[:, 0, 0]
    up, average = [1, 2, 3, 4, 5, 6], [1, 1, 1, 1, 1, 1]
    assert list(found) == {0: average, 1: average, 2: up, 3: average, 4: up}[kind_of_filter]


def test_a_colour_that_stands_for_nothing_is_seen_through_in_every_strip():
    red = Image.new("RGB", (8, 8), (255, 0, 0))
    data = photos.saved(red, "PNG", transparency=(255, 0, 0))
    assert all("transparency" in strip.info for strip in strips(data, 3))


@pytest.mark.parametrize("mode", ["1", "P", "I;16"])
def test_palettes_sixteen_bits_and_one_bit_are_decoded_whole(mode: str):
    assert not read_header(photos.saved(Image.new(mode, (9, 9)), "PNG")).in_strips


def test_missing_rows_are_told_by_both_ways_of_reading():
    short = photos.png_raw((100, 100), b"\0" * 301 * 50)
    with pytest.raises(PhotoRefused, match="not arrive whole"):
        list(strips(short, 8))
    with pytest.raises(PhotoRefused, match="not arrive whole"):
        check_all_rows(short)


def test_a_large_png_whose_rows_are_missing_is_refused_when_its_sizes_are_made():
    rows = np.random.default_rng(3).integers(0, 256, (800, 3001), dtype=np.uint8)
    rows[:, 0] = 0
    data = photos.png_raw((1000, 1000), rows.tobytes())
    assert len(data) > ROWS_COUNTED_UP_TO_BYTES
    accept(data)
    with pytest.raises(PhotoRefused, match="not arrive whole"):
        make_sizes(data)


def test_rows_beyond_the_promised_ones_are_left_out():
    data = photos.png_raw((10, 10), b"\0" * 31 * 25)
    assert sum(strip.height for strip in strips(data, 4)) == 10


def test_a_filter_that_there_is_not_is_refused():
    with pytest.raises(PhotoRefused, match="cut short or damaged"):
        make_sizes(photos.png_raw((10, 10), b"\x09" * 31 * 10))


def test_what_swells_behind_the_last_row_is_never_gathered():
    data = photos.png_raw((8, 8), bytes(8 * 25) + bytes(200_000_000))
    tracemalloc.start()
    try:
        (strip,) = strips(data, 8)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert strip.size == (8, 8)
    assert peak < 60_000_000

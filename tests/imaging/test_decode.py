"""Decoded once and made smaller on the way, a photo looks as if it had been resampled whole."""

import struct

import numpy as np
import pytest
from PIL import Image

from registry.imaging import PhotoRefused, accept, make_sizes
from registry.imaging.decode import GAP
from registry.imaging.develop import develop, fitted
from tests.imaging import photos


def ground(width: int, height: int, mode: str = "RGB") -> Image.Image:
    """Soft shades with stones, so that a row or column out of place is seen."""
    rng = np.random.default_rng(width)
    coarse = Image.fromarray(rng.integers(0, 256, (9, 11, 3), dtype=np.uint8))
    shades = np.asarray(coarse.resize((width, height), Image.Resampling.BICUBIC), dtype=np.int16)
    stones = rng.integers(-20, 21, (height, width, 1), dtype=np.int16)
    whole = Image.fromarray(np.clip(shades + stones, 0, 255).astype(np.uint8))
    return whole.convert(mode)


SIZES = [(1500, 1111), (1111, 1500), (2400, 7), (3, 2400), (401, 400)]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("mode", ["RGB", "L", "P"])
def test_a_png_is_shown_as_the_library_resamples_it_whole(size: tuple[int, int], mode: str):
    image = ground(*size, mode)
    found = develop(photos.saved(image, "PNG"), 320)
    whole = image.convert("RGB").resize(
        fitted(size, 320), Image.Resampling.HAMMING, reducing_gap=GAP
    )
    apart = np.abs(np.asarray(found, dtype=int) - np.asarray(whole, dtype=int))
    assert found.size == whole.size
    assert apart.mean() < 0.5
    assert np.percentile(apart, 99) <= 2


@pytest.mark.parametrize("size", [(1500, 1111), (1111, 1500)])
def test_a_heic_is_shown_as_the_library_resamples_it_whole(size: tuple[int, int]):
    data = photos.heic(ground(*size))
    found = develop(data, 320)
    whole = develop(data, None).resize(fitted(size, 320), Image.Resampling.LANCZOS)
    apart = np.abs(np.asarray(found, dtype=int) - np.asarray(whole, dtype=int))
    assert apart.mean() < 1.5


@pytest.mark.parametrize("kind", ["png", "heic"])
def test_at_its_own_size_no_pixel_is_changed(kind: str):
    image = ground(1300, 900)
    if kind == "png":
        assert np.array_equal(develop(photos.saved(image, "PNG"), None), image)
    else:
        data = photos.heic(image)
        with Image.open(photos.BytesIO(data)) as theirs:
            assert np.array_equal(develop(data, None), theirs)


def test_a_heic_that_can_be_seen_through_lies_on_white():
    image = Image.new("RGBA", (64, 64), (0, 0, 0, 0))
    image.paste((0, 0, 0, 255), (32, 0, 64, 64))
    found = np.asarray(develop(photos.heic(image), None))
    assert found[32, 8].min() >= 249
    assert found[32, 56].max() <= 6


def test_a_large_jpeg_in_passes_is_kept_and_its_decoder_is_never_filled_with_it():
    data = photos.jpeg(progressive=True)
    at = data.index(b"\xff\xc2")
    large = data[: at + 5] + struct.pack(">HH", 7100, 7100) + data[at + 9 :]
    assert accept(large).width_px == 7100
    with pytest.raises(PhotoRefused, match="50 megapixels written in passes"):
        make_sizes(large)


@pytest.mark.parametrize("how", [{"bits": 16}, {"interlaced": True}])
def test_a_png_without_strips_is_opened_up_to_50_megapixels(how):
    data = photos.png_raw((10_001, 5_000), b"", **how)
    with pytest.raises(PhotoRefused, match="50 megapixels with 16 bits a color"):
        make_sizes(data)

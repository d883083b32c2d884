"""Colours reach the screen as the file means them."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image, ImageCms

from registry.imaging import make_sizes, readable_copy
from tests.imaging import photos


def shown(data: bytes) -> np.ndarray:
    with Image.open(BytesIO(make_sizes(data).on_page.data)) as image:
        assert image.mode == "RGB"
        return np.asarray(image, dtype=int)


def test_cmyk_is_shown_in_the_colours_that_another_program_gives_it():
    # Inks 0 to 255 without a profile: red = (255 - cyan)(255 - black)/255, and so on.
    cmyk = Image.new("CMYK", (64, 64), (10, 200, 30, 40))
    assert np.abs(shown(photos.jpeg(cmyk)) - (207, 46, 190)).max() <= 4


def test_sixteen_bits_of_grey_are_neither_clipped_nor_white():
    ramp = np.linspace(0, 65_535, 256)[None, :, None].repeat(64, axis=0)
    found = shown(photos.png_16_bit(ramp))
    assert np.abs(found[32, :, 0] - np.arange(256)).max() <= 4


def test_sixteen_bits_of_colour_keep_their_upper_eight():
    values = np.full((64, 64, 3), (200 * 256 + 255, 100 * 256, 50 * 256))
    assert np.abs(shown(photos.png_16_bit(values)) - (200, 100, 50)).max() <= 4


@pytest.mark.parametrize("mode", ["1", "L", "P", "RGB"])
def test_black_and_white_grey_and_palettes_are_shown(mode: str):
    image = Image.new("L", (64, 64), 0)
    image.paste(255, (32, 0, 64, 64))
    found = shown(photos.saved(image.convert(mode), "PNG"))
    assert found[32, 8].max() <= 6
    assert found[32, 56].min() >= 249


@pytest.mark.parametrize("mode", ["RGBA", "LA", "P"])
def test_what_can_be_seen_through_lies_on_white(mode: str):
    image = Image.new("RGBA", (64, 64), (0, 0, 0, 0))
    image.paste((0, 0, 0, 255), (32, 0, 64, 64))
    found = shown(photos.saved(image.convert(mode), "PNG"))
    assert found[32, 8].min() >= 249
    assert found[32, 56].max() <= 6


@pytest.mark.parametrize(("opaque", "red_half"), [(0, (255, 255, 255)), (128, (227, 142, 142))])
def test_so_does_a_heic_that_can_be_seen_through_and_half_through(opaque: int, red_half: tuple):
    image = photos.quarters()
    image.putalpha(opaque)
    image.paste((*photos.RED, 255), (48, 0, 96, 64))
    found = shown(photos.heic(image)).astype(int)
    assert np.abs(found[16, 24] - red_half).max() <= 4
    assert np.abs(found[16, 72] - photos.RED).max() <= 4


def swapped_profile() -> bytes:
    """A matrix profile with red and green changed over: ICC.1:2022, tags rXYZ and gXYZ."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    red, green = profile.index(b"rXYZ"), profile.index(b"gXYZ")
    profile[red : red + 4], profile[green : green + 4] = b"gXYZ", b"rXYZ"
    return bytes(profile)


def test_a_colour_profile_is_followed():
    red = Image.new("RGB", (64, 64), (255, 0, 0))
    assert np.abs(shown(photos.jpeg(red)) - (254, 0, 0)).max() <= 4
    found = shown(photos.jpeg(red, icc_profile=swapped_profile()))[32, 32]
    assert found[1] >= 250 and found[0] <= 8


@pytest.mark.parametrize("profile", [b"not a profile", swapped_profile()[:200], b"\0" * 128])
def test_a_damaged_profile_is_left_aside(profile: bytes):
    found = shown(photos.jpeg(icc_profile=profile))
    assert np.abs(found - shown(photos.jpeg())).max() <= 2


def test_a_profile_for_another_kind_of_picture_is_left_aside():
    grey = Image.new("L", (64, 64), 100)
    assert np.abs(shown(photos.jpeg(grey, icc_profile=swapped_profile())) - 100).max() <= 3


def test_no_profile_goes_out_with_a_view():
    data = photos.jpeg(icc_profile=swapped_profile())
    for view in (make_sizes(data).in_list, make_sizes(data).on_page, readable_copy(data)):
        assert b"ICC_PROFILE" not in view.data

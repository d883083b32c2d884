"""The eight turns, from the words of the standard and against two other readers."""

from io import BytesIO

import numpy as np
import pillow_heif
import pytest
from PIL import Image, ImageOps

from registry.imaging import make_sizes, readable_copy
from registry.imaging.develop import develop, seen_size
from tests.imaging import photos
from tests.imaging.exif_bytes import short, taken, tiff

TURNS = range(1, 9)


def stored(turn: int) -> Image.Image:
    return Image.fromarray(photos.stored_under(np.asarray(photos.quarters()), turn))


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("kind", ["jpeg", "png", "heic"])
def test_each_turn_is_made_for_view(kind: str, turn: int):
    exif = taken(orientation=turn)
    data = {
        "jpeg": lambda: photos.jpeg(stored(turn), exif=exif),
        "png": lambda: photos.saved(stored(turn), "PNG", exif=exif),
        "heic": lambda: photos.heic(stored(turn), exif=exif),
    }[kind]()
    sizes = make_sizes(data)
    for view in (sizes.in_list, sizes.on_page, readable_copy(data)):
        with Image.open(BytesIO(view.data)) as shown:
            assert shown.size == (view.width_px, view.height_px) == (96, 64) == seen_size(data)
            assert photos.corner_colours(shown) == photos.UPRIGHT


@pytest.mark.parametrize("turn", TURNS)
def test_our_turn_is_pillows_exif_transpose(turn: int):
    rng = np.random.default_rng(turn)
    image = Image.fromarray(rng.integers(0, 255, (16, 24, 3), dtype=np.uint8))
    data = photos.jpeg(image, exif=taken(orientation=turn), subsampling=0)
    theirs = ImageOps.exif_transpose(Image.open(BytesIO(data)))
    assert np.array_equal(np.asarray(develop(data, None)), np.asarray(theirs))


@pytest.mark.parametrize("turn", TURNS)
def test_a_heic_is_turned_once_as_another_decoder_turns_it(turn: int):
    data = photos.heic(stored(turn), exif=taken(orientation=turn))
    ours = Image.open(BytesIO(readable_copy(data).data))
    theirs = pillow_heif.open_heif(data).to_pillow()
    assert photos.corner_colours(ours) == photos.corner_colours(theirs) == photos.UPRIGHT


@pytest.mark.parametrize("value", [0, 9, 65_535])
def test_a_turn_that_there_is_not_turns_nothing(value: int):
    data = photos.jpeg(exif=tiff({0x0112: short(value)}))
    with Image.open(BytesIO(make_sizes(data).on_page.data)) as shown:
        assert photos.corner_colours(shown) == photos.UPRIGHT


def test_damaged_tags_turn_nothing_and_the_photo_is_still_shown():
    data = photos.jpeg(exif=taken(orientation=6)[:40])
    with Image.open(BytesIO(make_sizes(data).on_page.data)) as shown:
        assert photos.corner_colours(shown) == photos.UPRIGHT

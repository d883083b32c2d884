"""Covered parts hold nothing of what was there, in every size, and nothing else is touched."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from registry.imaging import (
    Cover,
    MarksRefused,
    copy_to_hand_out,
    covered,
    make_sizes,
    read_covers,
    write_covers,
)
from registry.imaging.cover import FILL, fill
from tests.imaging import photos
from tests.imaging.exif_bytes import taken

PLATE = Cover(0.55, 0.1, 0.9, 0.4)  # in the green quarter as seen


def pixels(data: bytes) -> np.ndarray:
    return np.asarray(Image.open(BytesIO(data)).convert("RGB")).astype(int)


def near(colour, wanted, most=24) -> bool:
    return bool(np.abs(np.asarray(colour) - wanted).max() <= most)


@pytest.mark.parametrize("turn", range(1, 9))
def test_what_is_covered_is_a_place_of_the_picture_as_seen_under_every_turn(turn: int):
    seen = np.asarray(photos.quarters(480, 320))
    stored = Image.fromarray(photos.stored_under(seen, turn))
    data = photos.jpeg(stored, exif=taken(orientation=turn))
    for view in (
        copy_to_hand_out(data, [PLATE], 4096),
        covered(make_sizes(data).on_page.data, [PLATE], 400_000),
    ):
        found = pixels(view.data)
        height, width = found.shape[:2]
        assert (width, height) == (480, 320)
        # Along the edge a JPEG mixes colours within a block of 16 pixels: what lay outside.
        assert near(found[48:112, 280:416], FILL, 4)
        assert near(found[int(0.7 * height), int(0.75 * width)], photos.YELLOW)
        assert near(found[int(0.25 * height), int(0.25 * width)], photos.RED)


def test_every_pixel_under_a_cover_is_filled_and_no_other():
    image = fill(photos.quarters(100, 100), [PLATE])
    found = np.asarray(image)
    was = np.asarray(photos.quarters(100, 100))
    filled = (found == FILL).all(axis=2)
    assert filled[10:40, 55:90].all()
    assert filled.sum() == 30 * 35
    assert (found[~filled] == was[~filled]).all()


def test_a_covered_list_size_keeps_to_its_bytes():
    noise = np.random.default_rng(2).integers(0, 256, (800, 1200, 3), dtype=np.uint8)
    small = make_sizes(photos.jpeg(Image.fromarray(noise))).in_list
    view = covered(small.data, [PLATE], 6_500)
    assert len(view.data) <= 6_500
    assert (view.width_px, view.height_px) == (small.width_px, small.height_px)


@pytest.mark.parametrize("kind", ["jpeg", "heic", "png"])
def test_a_copy_to_hand_out_holds_no_tag_of_device_place_or_time(kind: str):
    exif = taken("2024:04:18 14:20:00", make="Acme", model="Pocket of Ann", position=(-71.4, 41.8))
    data = {
        "jpeg": lambda: photos.jpeg(exif=exif),
        "heic": lambda: photos.heic(exif=exif),
        "png": lambda: photos.saved(photos.quarters(), "PNG", exif=b"Exif\0\0" + exif),
    }[kind]()
    copy = copy_to_hand_out(data, [], 4096)
    image = Image.open(BytesIO(copy.data))
    assert dict(image.getexif()) == {}
    for word in (b"Exif", b"Acme", b"Pocket", b"2024"):
        assert word not in copy.data
    assert photos.corner_colours(image) == photos.UPRIGHT


def test_a_copy_is_no_larger_than_asked_and_never_blown_up():
    data = photos.jpeg(photos.quarters(600, 400))
    assert copy_to_hand_out(data, [], 300).width_px == 300
    assert copy_to_hand_out(data, [], 4096).width_px == 600


def test_a_cover_of_a_sliver_still_fills_a_pixel():
    copy = copy_to_hand_out(photos.jpeg(), [Cover(0.5, 0.5, 0.5001, 0.5001)], 4096)
    assert near(pixels(copy.data)[32, 48], FILL, 90)


def test_covers_come_back_as_they_were_written():
    assert read_covers(write_covers([PLATE])) == (PLATE,)


@pytest.mark.parametrize(
    "stored",
    [
        "0.1 0.2",
        {"left": 0},
        [[0.1, 0.1, 0.2]],
        [[0.1, 0.1, 0.2, "0.3"]],
        [[0.1, 0.1, 0.2, True]],
        [[0.1, 0.1, 0.2, float("nan")]],
        [[0.1, 0.1, 0.2, 10**400]],
        [[0.1, 0.1, 1.2, 0.5]],
        [[-0.1, 0.1, 0.2, 0.5]],
        [[0.5, 0.1, 0.5, 0.5]],
        [[0.1, 0.5, 0.2, 0.1]],
        [[0.1, 0.1, 0.2, 0.2]] * 61,
    ],
)
def test_what_is_no_cover_is_refused_in_words(stored: object):
    with pytest.raises(MarksRefused):
        read_covers(stored)

"""Views are small enough, no larger than the photo, and say nothing of the device."""

import struct
from io import BytesIO

import numpy as np
import pillow_heif
import pytest
from PIL import Image

from registry.imaging import PhotoRefused, make_sizes, readable_copy
from registry.imaging.sizes import LIST_BYTES, PAGE_BYTES
from tests.imaging import photos
from tests.imaging.exif_bytes import taken

OWNER = "Ann Owner's Pocket 3"


def noise(width: int, height: int) -> Image.Image:
    """What no JPEG makes small: every pixel by itself."""
    rng = np.random.default_rng(width)
    return Image.fromarray(rng.integers(0, 256, (height, width, 3), dtype=np.uint8))


@pytest.mark.parametrize("size", [(1600, 1200), (1200, 1600), (3000, 200), (300, 300)])
def test_even_pure_noise_keeps_to_the_sizes_in_bytes(size: tuple[int, int]):
    sizes = make_sizes(photos.jpeg(noise(*size)))
    assert len(sizes.in_list.data) <= LIST_BYTES == 6_500
    assert len(sizes.on_page.data) <= PAGE_BYTES == 400_000


def test_two_hundred_of_a_list_stay_under_a_megabyte_and_a_half():
    assert 200 * (LIST_BYTES + 1_000) <= 1_500_000


def test_a_quiet_photo_is_shown_at_full_size_and_quality():
    sizes = make_sizes(photos.jpeg(photos.quarters(4000, 3000)))
    assert (sizes.on_page.width_px, sizes.on_page.height_px) == (1600, 1200)
    assert (sizes.in_list.width_px, sizes.in_list.height_px) == (256, 192)


def test_a_small_photo_is_not_blown_up():
    sizes = make_sizes(photos.jpeg(photos.quarters(40, 30)))
    assert (sizes.on_page.width_px, sizes.in_list.width_px) == (40, 40)


@pytest.mark.parametrize("size", [(1, 1), (1, 5000), (5000, 1), (7, 3)])
def test_odd_shapes_keep_at_least_one_pixel(size: tuple[int, int]):
    sizes = make_sizes(photos.saved(Image.new("RGB", size), "PNG"))
    assert min(sizes.in_list.width_px, sizes.in_list.height_px) >= 1
    assert max(sizes.in_list.width_px, sizes.in_list.height_px) <= 256


@pytest.mark.parametrize("kind", ["jpeg", "png", "heic", "mpo"])
def test_nothing_of_device_place_or_time_is_left_in_a_view(kind: str):
    exif = taken("2024:04:18 14:20:00", make="Acme", model=OWNER, position=(-71.4, 41.8))
    image = photos.quarters()
    how = {"exif": b"Exif\0\0" + exif, "comment": OWNER.encode(), "xmp": OWNER.encode()}
    data = {
        "jpeg": lambda: photos.saved(image, "JPEG", **how),
        "mpo": lambda: photos.saved(image, "MPO", save_all=True, append_images=[image], **how),
        "png": lambda: photos.png_raw(
            (96, 64),
            b"\0" * 289 * 64,
            before=photos.chunk(b"tEXt", b"Author\0" + OWNER.encode())
            + photos.chunk(b"eXIf", exif),
        ),
        "heic": lambda: photos.heic(exif=exif),
    }[kind]()
    assert OWNER.encode() in data
    sizes = make_sizes(data)
    for view in (sizes.in_list, sizes.on_page, readable_copy(data)):
        for word in (b"Acme", b"Pocket", b"Ann", b"2024", b"Exif", b"http", b"MPF"):
            assert word not in view.data
        with Image.open(BytesIO(view.data)) as shown:
            assert dict(shown.getexif()) == {}
            assert shown.format == "JPEG"
            assert set(shown.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_the_small_picture_within_the_tags_is_not_what_is_shown():
    # Exif 2.32, 4.5.8: IFD1 holds a small JPEG, which a cropping program may leave as it was.
    hidden = photos.jpeg(Image.new("RGB", (40, 30), (0, 0, 255)))
    table = struct.pack(
        "<HHHIIHHIII", 2, 0x0201, 4, 1, 8 + 2 + 4 + 30, 0x0202, 4, 1, len(hidden), 0
    )
    exif = b"II*\0" + struct.pack("<IHI", 8, 0, 14) + table + hidden
    data = photos.jpeg(Image.new("RGB", (400, 300), (255, 0, 0)), exif=exif)
    assert hidden in data
    sizes = make_sizes(data)
    for view in (sizes.in_list, sizes.on_page, readable_copy(data)):
        with Image.open(BytesIO(view.data)) as shown:
            assert shown.convert("RGB").getpixel((5, 5))[0] > 240
        assert view.data.count(b"\xff\xd8\xff") == 1


def test_notes_of_a_heic_are_left_out_of_its_views():
    out = BytesIO()
    pillow_heif.from_pillow(photos.quarters()).save(out, xmp=OWNER.encode())
    assert OWNER.encode() in out.getvalue()
    for view in (make_sizes(out.getvalue()).on_page, readable_copy(out.getvalue())):
        assert OWNER.encode() not in view.data


def test_the_same_photo_gives_the_same_views():
    data = photos.jpeg(noise(400, 300))
    assert make_sizes(data) == make_sizes(data)


def test_a_readable_copy_has_every_pixel():
    copy = readable_copy(photos.heic(photos.quarters(640, 480)))
    assert (copy.width_px, copy.height_px, copy.media_type) == (640, 480, "image/jpeg")
    assert copy.data.startswith(b"\xff\xd8\xff")


def test_damage_inside_a_heic_is_found_when_its_sizes_are_made():
    data = bytearray(photos.heic(noise(256, 256)))
    at = data.index(b"mdat") + 4
    data[at : at + 400] = b"\xff" * 400
    with pytest.raises(PhotoRefused, match="cut short or damaged"):
        make_sizes(bytes(data))


@pytest.mark.parametrize("kind", ["jpeg", "png"])
def test_a_truncated_photo_gives_no_half_grey_view(kind: str):
    image = noise(300, 300)
    data = photos.jpeg(image) if kind == "jpeg" else photos.saved(image, "PNG")
    with pytest.raises(PhotoRefused):
        make_sizes(data[: len(data) // 2])


def test_what_is_no_photo_has_no_sizes():
    with pytest.raises(PhotoRefused, match="web page"):
        make_sizes(b"<html></html>")

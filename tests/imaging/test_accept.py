"""Each file of the set made for this, with its right outcome."""

import hashlib
import time
import tracemalloc
import zlib
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from registry.imaging import Kind, PhotoRefused, accept, make_sizes, readable_copy
from registry.imaging.accept import MOST_BYTES
from tests.imaging import photos
from tests.imaging.exif_bytes import taken, text, tiff

HTML = b"<!DOCTYPE html><html><script>alert(1)</script></html>"
SVG = b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script/></svg>'


@pytest.mark.parametrize("kind", ["jpeg", "png", "heic"])
def test_the_three_kinds_are_accepted_with_their_fingerprint_and_size(kind: str):
    data = {
        "jpeg": photos.jpeg(exif=taken()),
        "png": photos.saved(photos.quarters(), "PNG"),
        "heic": photos.heic(),
    }[kind]
    found = accept(data)
    assert found.kind == kind
    assert found.sha256 == hashlib.sha256(data).hexdigest()
    assert (found.width_px, found.height_px, found.frames) == (96, 64, 1)
    assert found.bytes_long == len(data)


def test_the_same_file_twice_is_one_file_and_one_changed_byte_another():
    data = photos.jpeg()
    assert accept(data) == accept(bytes(data))
    assert accept(data + b"\0").sha256 != accept(data).sha256


def test_media_types_are_by_content():
    assert accept(photos.heic()).kind.media_type == "image/heic"
    assert (Kind.JPEG.media_type, Kind.JPEG.suffix) == ("image/jpeg", ".jpg")


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (HTML, "web page or a drawing"),
        (SVG, "web page or a drawing"),
        (b"\xef\xbb\xbf \n" + SVG, "web page or a drawing"),
        (SVG.decode().encode("utf-16"), "web page or a drawing"),
        (b"GIF89a" + b"\0" * 40, "GIF"),
        (b"%PDF-1.7\n", "PDF"),
        (b"II*\0" + b"\0" * 40, "raw camera"),
        (b"RIFF\0\0\0\0WEBPVP8 ", "WebP"),
        (b"\0\0\0\x18ftypmp42\0\0\0\0mp42isom", "film"),
        (b"\0\0\0\x18ftypavif\0\0\0\0mif1avif", "AVIF"),
        (b"\0\0\0\x18ftypmif1\0\0\0\0mif1avif", "AVIF"),
        (b"\0\0\0\x18ftyphevc\0\0\0\0msf1hevc", "moving"),
        (b"PK\x03\x04" + b"\0" * 40, "ZIP"),
        (b"\0" * 100, "none that this record knows"),
        (b"hello, this is no photo", "none that this record knows"),
        (b"\xff", "none that this record knows"),
        (b"\0\0\0\x08ftyp", "film"),
        (b"\xff\xd8\xff", "cut short or damaged"),
        (b"\xff\xd8\xff\xd9", "cut short or damaged"),
        (b"\x89PNG\r\n\x1a\n", "cut short or damaged"),
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "cut short or damaged"),
    ],
)
def test_what_is_no_photo_is_refused_by_its_content_and_named(data: bytes, words: str):
    with pytest.raises(PhotoRefused, match=words):
        accept(data)


def test_markup_behind_the_first_bytes_of_a_jpeg_is_refused():
    with pytest.raises(PhotoRefused, match="cut short or damaged"):
        accept(b"\xff\xd8\xff\xe0" + HTML * 10)


def moving(kind: str) -> bytes:
    first, second = photos.quarters(), Image.new("RGB", (96, 64))
    return photos.saved(first, kind, save_all=True, append_images=[second], duration=100)


@pytest.mark.parametrize(
    ("kind", "words"), [("GIF", "may move"), ("WEBP", "WebP"), ("PNG", "This PNG moves")]
)
def test_moving_pictures_are_refused_because_no_one_of_them_is_the_photo(kind: str, words: str):
    with pytest.raises(PhotoRefused, match=words):
        accept(moving(kind))


def test_a_second_view_that_a_phone_hangs_on_is_kept_and_the_first_is_the_photo():
    # Multi-Picture Format, CIPA DC-007: two JPEGs in one file.
    first, second = photos.quarters(), Image.new("RGB", (32, 32))
    data = photos.saved(first, "MPO", save_all=True, append_images=[second])
    found = accept(data)
    assert (found.kind, found.frames) == ("jpeg", 2)
    assert (found.width_px, found.height_px) == (96, 64)


def test_a_film_hung_on_a_jpeg_is_kept_with_it_unread():
    assert accept(photos.jpeg() + b"\0\0\0\x18ftypmp42" + b"\0" * 500).kind == "jpeg"


@pytest.mark.parametrize("tail", [HTML, SVG, b"PK\x03\x04" + b"\0" * 60, b"%PDF-1.7"])
def test_another_file_hung_on_a_photo_is_kept_with_it_and_never_shown(tail: bytes):
    data = photos.jpeg() + tail
    found = accept(data)
    assert (found.kind, found.bytes_long) == ("jpeg", len(data))
    sizes = make_sizes(data)
    for view in (sizes.in_list, sizes.on_page, readable_copy(data)):
        assert tail not in view.data
        assert view.data.endswith(b"\xff\xd9")


def test_markup_in_a_comment_of_a_photo_is_never_shown():
    data = photos.saved(photos.quarters(), "JPEG", comment=HTML)
    assert accept(data).kind == "jpeg"
    assert b"script" not in make_sizes(data).on_page.data


def test_profiles_and_notes_of_megabytes_are_accepted_and_left_out_of_views():
    # An ICC profile over many segments (ICC.1:2022 annex B.4), XMP and Exif as long as one takes.
    exif = tiff({0x010E: text("note " * 12_000)})
    data = photos.saved(
        photos.quarters(), "JPEG", exif=b"Exif\0\0" + exif,
        icc_profile=b"profile " * 500_000, xmp=b"<x:xmpmeta>" + b"owner " * 10_000,
    )  # fmt: skip
    assert accept(data).bytes_long > 4_000_000
    sizes = make_sizes(data)
    assert len(sizes.on_page.data) < 20_000
    assert b"owner" not in sizes.on_page.data


@pytest.mark.parametrize("part", [0.2, 0.5, 0.9, 0.999])
@pytest.mark.parametrize("kind", ["jpeg", "progressive", "png", "heic"])
def test_a_truncated_photo_is_refused(kind: str, part: float):
    noise = np.random.default_rng(4).integers(0, 255, (120, 160, 3), dtype=np.uint8)
    image = Image.fromarray(noise)
    data = {
        "jpeg": lambda: photos.jpeg(image),
        "progressive": lambda: photos.jpeg(image, progressive=True),
        "png": lambda: photos.saved(image, "PNG"),
        "heic": lambda: photos.heic(image),
    }[kind]()
    accept(data)
    with pytest.raises(PhotoRefused, match=r"not arrive whole|cut short or damaged"):
        accept(data[: int(len(data) * part)])


def test_a_png_with_one_bit_turned_over_is_refused():
    data = bytearray(photos.saved(photos.quarters(), "PNG"))
    data[data.index(b"IDAT") + 20] ^= 1
    with pytest.raises(PhotoRefused, match=r"not arrive whole|cut short or damaged"):
        accept(bytes(data))


def test_a_png_whose_pixels_are_fewer_than_its_header_promises_is_refused():
    # Pillow shows such a file without a word, its lower half black.
    rows = np.random.default_rng(3).integers(0, 256, (50, 301), dtype=np.uint8)
    rows[:, 0] = 0
    for half in (rows.tobytes(), b"\0" * 301 * 50):
        with pytest.raises(PhotoRefused, match="not arrive whole"):
            accept(photos.png_raw((100, 100), half))


@pytest.mark.parametrize("size", [(1, 1), (3, 5), (8, 8), (17, 9)])
def test_an_interlaced_png_has_as_many_bytes_as_the_seven_passes_take(size: tuple[int, int]):
    # Worked out pixel by pixel from the 8 x 8 pattern of ISO/IEC 15948, 8.2.
    pattern = np.array(
        [
            [1, 6, 4, 6, 2, 6, 4, 6],
            [7, 7, 7, 7, 7, 7, 7, 7],
            [5, 6, 5, 6, 5, 6, 5, 6],
            [7, 7, 7, 7, 7, 7, 7, 7],
            [3, 6, 4, 6, 3, 6, 4, 6],
            [7, 7, 7, 7, 7, 7, 7, 7],
            [5, 6, 5, 6, 5, 6, 5, 6],
            [7, 7, 7, 7, 7, 7, 7, 7],
        ]
    )
    width, height = size
    passes = np.tile(pattern, (3, 3))[:height, :width]
    counts = [(passes == n) for n in range(1, 8)]
    need = sum(int(row.sum()) * 3 + 1 for of_pass in counts for row in of_pass if row.any())
    assert accept(photos.png_raw(size, b"\0" * need, interlaced=True)).width_px == width
    with pytest.raises(PhotoRefused, match="not arrive whole"):
        accept(photos.png_raw(size, b"\0" * (need - 1), interlaced=True))


def bomb(kind: str) -> bytes:
    if kind == "jpeg":
        return photos.with_jpeg_size(photos.jpeg(), 60_000, 60_000)
    if kind == "heic":
        return photos.with_heic_size(photos.heic(), 60_000, 60_000)
    return photos.png_raw((60_000, 60_000), b"\0" * 10_000_000)


@pytest.mark.parametrize("kind", ["jpeg", "png", "heic"])
def test_a_bomb_is_refused_from_its_header_in_little_time_and_memory(kind: str):
    data = bomb(kind)
    assert len(data) < 20_000
    tracemalloc.start()
    started = time.process_time()
    with pytest.raises(PhotoRefused, match="more than 200 megapixels"):
        accept(data)
    assert time.process_time() - started < 0.5
    assert tracemalloc.get_traced_memory()[1] < 5_000_000
    tracemalloc.stop()


def test_just_over_200_megapixels_is_refused_and_just_under_is_not():
    over = photos.png_raw((20_001, 10_000), b"", bits=1, colour=0)
    with pytest.raises(PhotoRefused, match="more than 200 megapixels"):
        accept(over)
    rows = b"\0" * 2501 * 10_000
    under = photos.png_raw((20_000, 10_000), rows, bits=1, colour=0)
    assert accept(under).width_px == 20_000


def test_one_row_as_long_as_no_camera_has_it_is_refused():
    for data in (
        photos.png_raw((65_501, 1), b""),
        photos.png_raw((1, 200_000_000), b""),
        photos.with_heic_size(photos.heic(), 65_536, 10),
        photos.with_jpeg_size(photos.jpeg(), 65_535, 64),
    ):
        with pytest.raises(PhotoRefused, match="up to 65500 are taken"):
            accept(data)


def test_a_hundred_megapixels_are_accepted():
    data = photos.jpeg(Image.new("L", (10_000, 10_000), 128), quality=30)
    found = accept(data)
    assert found.width_px * found.height_px == 100_000_000


def test_over_60_megabytes_is_refused_and_60_is_not():
    photo = photos.jpeg()
    assert accept(photo + bytes(MOST_BYTES - len(photo))).bytes_long == 60_000_000
    with pytest.raises(PhotoRefused, match=r"60\.0 MB; up to 60 MB"):
        accept(photo + bytes(MOST_BYTES - len(photo) + 1))


@pytest.mark.parametrize("size", [(0, 0), (10, 0), (0, 10)])
def test_a_photo_of_no_size_is_refused(size: tuple[int, int]):
    for data in (photos.with_jpeg_size(photos.jpeg(), *size), photos.png_raw(size, b"")):
        with pytest.raises(PhotoRefused, match=r"no size|cut short or damaged"):
            accept(data)
    with pytest.raises(PhotoRefused, match="no size"):
        accept(photos.with_heic_size(photos.heic(), *size))


def test_a_jpeg_of_hundreds_of_passes_is_refused_before_it_is_decoded():
    data = photos.jpeg(progressive=True)
    at = data.rindex(b"\xff\xda")
    last_scan = data[at:-2]
    with pytest.raises(PhotoRefused, match="more than 100 passes"):
        accept(data[:at] + last_scan * 200 + b"\xff\xd9")


@pytest.mark.parametrize("mode", ["CMYK", "L"])
def test_jpegs_of_other_colours_are_accepted(mode: str):
    assert accept(photos.jpeg(photos.quarters().convert(mode))).kind == "jpeg"


def test_sixteen_bits_are_accepted():
    values = np.full((20, 30, 3), 40_000)
    assert accept(photos.png_16_bit(values)).kind == "png"
    assert accept(photos.png_16_bit(values[:, :, :1])).kind == "png"


def test_a_text_in_a_png_that_swells_to_gigabytes_is_refused():
    swollen = photos.chunk(b"zTXt", b"Comment\0\0" + _deflated(20_000_000))
    data = photos.png_raw((4, 4), b"\0" * 13 * 4, before=swollen)
    with pytest.raises(PhotoRefused):
        accept(data)


def _deflated(count: int) -> bytes:
    return zlib.compress(bytes(count), 9)


def test_random_damage_never_does_worse_than_a_refusal():
    rng = np.random.default_rng(20)
    made = [
        photos.jpeg(exif=taken(position=(-71.0, 42.0), orientation=6)),
        photos.saved(photos.quarters(), "PNG"),
        photos.heic(exif=taken()),
    ]
    refused = 0
    for turn in range(300):
        data = bytearray(made[turn % 3])
        for at in rng.integers(12, len(data), rng.integers(1, 6)):
            data[at] = rng.integers(0, 256)
        try:
            accept(bytes(data))
        except PhotoRefused:
            refused += 1
    assert refused > 50


def test_accepting_changes_nothing_of_what_was_sent():
    data = photos.jpeg(exif=taken(orientation=6))
    before = bytes(data)
    accept(data)
    assert data == before
    assert Image.open(BytesIO(data)).getexif()[0x0112] == 6

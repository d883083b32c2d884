"""What the camera noted is read as it stands; tags are written byte by byte (exif_bytes.py)."""

import struct

import numpy as np
import pytest

from registry.imaging import Facing, PhotoRefused, Position, make_sizes, read_stamps
from registry.imaging.develop import seen_size
from tests.imaging import photos
from tests.imaging.exif_bytes import rationals, short, taken, text, tiff


def test_time_device_position_direction_and_turn_are_read_as_stored():
    stamps = read_stamps(
        photos.jpeg(
            exif=taken(
                "2024:04:18 13:22:05",
                offset="-05:00",
                orientation=6,
                position=(-71.4128, 41.8240),
                error_m=4.5,
                direction=137.5,
            )
        )
    )
    assert stamps.camera_time == "2024:04:18 13:22:05"
    assert stamps.camera_offset == "-05:00"
    assert stamps.satellite_time == "2024:04:18 18:20:01"
    assert (stamps.make, stamps.model, stamps.orientation) == ("Acme", "Pocket 3", 6)
    assert stamps.position == Position(
        lon=pytest.approx(-71.4128, abs=1e-7), lat=pytest.approx(41.8240, abs=1e-7), error_m=4.5
    )
    assert stamps.facing == Facing(137.5, "true")
    assert not stamps.undated
    assert stamps.unreadable == ()


@pytest.mark.parametrize("kind", ["jpeg", "png", "heic"])
def test_every_kind_of_photo_carries_its_stamps(kind: str):
    exif = taken(orientation=8, position=(10.5, -33.25))
    data = {
        "jpeg": lambda: photos.jpeg(exif=exif),
        "png": lambda: photos.saved(photos.quarters(), "PNG", exif=exif),
        "heic": lambda: photos.heic(exif=exif),
    }[kind]()
    stamps = read_stamps(data)
    assert stamps.camera_time == "2024:04:18 14:20:00"
    assert stamps.orientation == 8
    assert stamps.position == Position(pytest.approx(10.5), pytest.approx(-33.25), None)


def test_tags_behind_the_pixels_of_a_png_are_read_and_its_turn_made():
    plain = photos.saved(photos.quarters(), "PNG")
    late = plain[:-12] + photos.chunk(b"eXIf", taken(orientation=6)) + plain[-12:]
    assert read_stamps(late).orientation == 6
    assert read_stamps(late).camera_time == "2024:04:18 14:20:00"
    assert seen_size(late) == (64, 96)
    assert make_sizes(late).on_page.width_px == 64


@pytest.mark.parametrize(
    "data", [photos.jpeg(), photos.saved(photos.quarters(), "PNG"), photos.heic()]
)
def test_a_photo_whose_data_were_stripped_is_undated_and_nothing_is_filled_in(data: bytes):
    stamps = read_stamps(data)
    assert stamps.undated
    assert stamps.camera_time is stamps.position is stamps.make is stamps.orientation is None
    assert stamps.unreadable == ()


def test_the_time_of_the_last_change_is_no_camera_time():
    stamps = read_stamps(photos.jpeg(exif=taken(None)))
    assert stamps.undated
    assert stamps.changed_time == "2025:01:01 00:00:00"


@pytest.mark.parametrize("blank", ["0000:00:00 00:00:00", "    :  :     :  :  ", " "])
def test_a_time_that_the_camera_left_blank_is_no_time(blank: str):
    # Exif 2.32, 4.6.5: where not known, every sign but the colons is a blank.
    assert read_stamps(photos.jpeg(exif=taken(blank))).undated


def test_the_time_of_digitising_stands_in_where_a_camera_stores_no_other():
    exif = tiff({0x010F: text("Acme")}, {0x9004: text("2021:05:06 07:08:09")})
    assert read_stamps(photos.jpeg(exif=exif)).camera_time == "2021:05:06 07:08:09"


def test_an_odd_time_is_kept_with_its_own_signs():
    assert read_stamps(photos.jpeg(exif=taken("2024-04-18T14:20"))).camera_time == (
        "2024-04-18T14:20"
    )


def test_an_offset_of_nought_is_an_offset():
    assert read_stamps(photos.jpeg(exif=taken(offset="+00:00"))).camera_offset == "+00:00"


GOOD_GPS = {
    0x01: text("N"),
    0x02: rationals(41, 49, 26.4),
    0x03: text("W"),
    0x04: rationals(71, 24, 46.08),
}


@pytest.mark.parametrize(
    ("change", "unreadable"),
    [
        ({0x02: rationals("0/0", "0/0", "0/0")}, ("position",)),
        ({0x02: rationals(41, "49/0", 26)}, ("position",)),
        ({0x02: rationals(41, 49, "0/0")}, ("position",)),
        ({0x02: rationals(41, 75, 0)}, ("position",)),
        ({0x02: rationals(41, 49, 61)}, ("position",)),
        ({0x02: rationals(95, 0, 0)}, ("position",)),
        ({0x04: rationals(181, 0, 0)}, ("position",)),
        ({0x01: text("X")}, ("position",)),
        ({0x01: text("n")}, ("position",)),
        ({0x01: text("")}, ("position",)),
        ({0x01: text("W"), 0x03: text("N")}, ("position",)),
        ({0x02: text("41.5")}, ("position",)),
        ({0x02: rationals(0, 0, 0), 0x04: rationals(0, 0, 0)}, ()),
        ({0x0A: text("V")}, ()),
    ],
)
def test_a_position_that_is_none_is_told_and_not_guessed(change: dict, unreadable: tuple):
    good = read_stamps(photos.jpeg(exif=tiff({}, {}, GOOD_GPS)))
    assert good.position is not None
    stamps = read_stamps(photos.jpeg(exif=tiff({}, {}, GOOD_GPS | change)))
    assert stamps.position is None
    assert stamps.unreadable == unreadable


@pytest.mark.parametrize("error", [0, "0/0", "5/0"])
def test_an_error_of_nought_metres_or_over_nought_is_none_stated(error: float | str):
    exif = tiff({}, {}, GOOD_GPS | {0x1F: rationals(error)})
    assert read_stamps(photos.jpeg(exif=exif)).position.error_m is None


def test_a_direction_says_which_north_it_is_from():
    def facing(*more: tuple[int, tuple]) -> Facing | None:
        return read_stamps(photos.jpeg(exif=tiff({}, {}, dict(more)))).facing

    assert facing((0x10, text("M")), (0x11, rationals(90))) == Facing(90, "magnetic")
    assert facing((0x11, rationals(360))) == Facing(0, None)
    assert facing((0x11, rationals(400))) is None
    assert facing((0x11, rationals("90/0"))) is None


@pytest.mark.parametrize("value", [0, 9, 300])
def test_a_turn_that_there_is_not_is_told(value: int):
    stamps = read_stamps(photos.jpeg(exif=tiff({0x0112: short(value)})))
    assert stamps.orientation is None
    assert stamps.unreadable == ("turn",)


def test_names_of_devices_are_plain_text_of_bounded_length():
    exif = taken(make="A\x1b[31mB\r\nC", model="<script>" + "x" * 5000)
    stamps = read_stamps(photos.jpeg(exif=exif))
    assert stamps.make.isprintable()
    assert len(stamps.model) == 200


def test_tags_damaged_at_random_never_do_worse_than_to_be_left_out():
    rng = np.random.default_rng(8)
    exif = taken(orientation=6, position=(-71.0, 42.0), error_m=5, direction=10)
    dated = 0
    for _ in range(400):
        broken = bytearray(exif)
        for at in rng.integers(0, len(broken), rng.integers(1, 12)):
            broken[at] = rng.integers(0, 256)
        stamps = read_stamps(photos.jpeg(exif=bytes(broken)))
        dated += not stamps.undated
        assert stamps.position is None or (
            abs(stamps.position.lat) <= 90 and abs(stamps.position.lon) <= 180
        )
    assert 0 < dated < 400


def test_a_table_of_tags_that_points_at_itself_ends():
    exif = b"II*\0" + struct.pack("<IHHHII", 8, 1, 0x8769, 4, 1, 8) + struct.pack("<I", 8)
    assert read_stamps(photos.jpeg(exif=exif)).undated


def test_what_is_no_photo_has_no_stamps():
    with pytest.raises(PhotoRefused):
        read_stamps(b"<svg/>")

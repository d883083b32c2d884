"""The awkward cases of photos, by number. Common practice, no source; Exif 2.32 for the tags."""

from datetime import datetime

import numpy as np
import pytest
from PIL import Image

from registry.imaging import (
    CameraTimeError,
    KnownBy,
    SaidPlace,
    accept,
    make_sizes,
    place_by,
    read_stamps,
    readable_copy,
    true_time,
)
from tests.imaging import photos
from tests.imaging.exif_bytes import taken
from tests.imaging.lots import FT, LOTS, at


def test_case_36_a_photo_without_position_is_placed_by_card_or_memory_and_marked():
    stamps = read_stamps(photos.jpeg(exif=taken("2023:10:03 09:12:00")))
    assert stamps.position is None
    by_card = place_by(SaidPlace("canal", "C10"), None, stamps.position, LOTS)
    by_memory = place_by(None, SaidPlace("canal", "C10"), stamps.position, LOTS)
    assert by_card.panel == by_memory.panel == "C10"
    assert (by_card.known_by, by_memory.known_by) == (KnownBy.CARD, KnownBy.MEMORY)


def test_case_36_a_clock_an_hour_slow_has_its_true_time_beside_the_camera_time():
    stamps = read_stamps(photos.heic(exif=taken("2024:04:18 13:22:00")))
    found = true_time(stamps.camera_time, -3600, "still on winter time; P-3560 was at 14:20")
    assert found.camera_text == stamps.camera_time == "2024:04:18 13:22:00"
    assert found.local_at == datetime(2024, 4, 18, 14, 22)


def test_case_36_a_photo_sent_by_message_stays_undated():
    stamps = read_stamps(photos.jpeg())
    assert stamps.undated
    with pytest.raises(CameraTimeError, match="stays undated"):
        true_time(stamps.camera_time, 0, "the owner says January 2024")


@pytest.mark.parametrize("kind", ["jpeg", "heic"])
def test_case_36_a_turned_photo_is_turned_for_view_only_with_a_readable_copy_beside_it(kind: str):
    stored = Image.fromarray(photos.stored_under(np.asarray(photos.quarters()), 6))
    make = {"jpeg": photos.jpeg, "heic": photos.heic}[kind]
    data = make(stored, exif=taken("2024:04:18 14:20:00", orientation=6))
    before, fingerprint = bytes(data), accept(data).sha256
    for view in (make_sizes(data).on_page, readable_copy(data)):
        assert view.media_type == "image/jpeg"
        assert (view.width_px, view.height_px) == (96, 64)
    assert data == before
    assert accept(data).sha256 == fingerprint
    assert read_stamps(data).orientation == 6


def test_case_37_a_position_in_the_neighbours_lot_is_a_doubt_and_the_card_keeps_the_panel():
    # Taken 4 ft inside our east edge; the device says 20 ft further east.
    here = at(30 - 4 * FT + 20 * FT, 20)
    stamps = read_stamps(photos.jpeg(exif=taken(position=here, error_m=5)))
    found = place_by(SaidPlace("canal", "C8"), None, stamps.position, LOTS)
    assert (found.lot_key, found.panel, found.known_by) == ("canal", "C8", KnownBy.CARD)
    assert found.doubts == (
        "The photo's position lies in Mill lot, 5 m (16 ft) from Canal lot; its device states "
        "± 5 m (16 ft). Canal lot, panel C8 is kept: a position only tells one site from the next.",
    )


def test_case_37_without_a_card_such_a_position_names_no_panel_and_no_lot():
    here = at(30 - 4 * FT + 20 * FT, 20)
    stamps = read_stamps(photos.jpeg(exif=taken(position=here, error_m=5)))
    found = place_by(None, None, stamps.position, LOTS)
    assert (found.lot_key, found.panel) == (None, None)
    assert found.lots_near == ("mill", "canal")

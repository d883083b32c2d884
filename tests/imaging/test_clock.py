"""A wrong clock gives a true time beside the camera time; nothing is dated that was not."""

from datetime import UTC, datetime

import pytest

from registry.imaging import CameraTimeError, stored_instant, true_time


def test_a_slow_clock_gives_a_later_true_time_and_the_camera_time_stays():
    found = true_time("2024:04:18 13:22:00", -3600, "beside the wall clock in P-3560")
    assert found.camera_text == "2024:04:18 13:22:00"
    assert found.local_at == datetime(2024, 4, 18, 14, 22)
    assert found.why == "beside the wall clock in P-3560"


def test_a_fast_clock_gives_an_earlier_true_time_over_midnight_and_new_year():
    assert true_time("2024:01:01 00:10:00", 1200, "wall clock").local_at == datetime(
        2023, 12, 31, 23, 50
    )


def test_an_undated_photo_stays_undated():
    with pytest.raises(CameraTimeError, match="stays undated"):
        true_time(None, -3600, "the owner says January 2024")


@pytest.mark.parametrize("why", ["", "  "])
def test_a_correction_needs_its_reason(why: str):
    with pytest.raises(CameraTimeError, match="how it is known"):
        true_time("2024:04:18 13:22:00", -3600, why)


@pytest.mark.parametrize("text", ["2024:02:30 10:00:00", "yesterday", "2024:04:18", "18.4.2024"])
def test_a_text_that_is_no_time_is_not_corrected(text: str):
    with pytest.raises(CameraTimeError, match="not a day and time"):
        true_time(text, 60, "wall clock")


@pytest.mark.parametrize("error", [float("nan"), float("inf"), 1e12])
def test_an_error_that_is_no_number_of_seconds_is_refused(error: float):
    with pytest.raises(CameraTimeError):
        true_time("2024:04:18 13:22:00", error, "wall clock")


def test_a_clock_on_winter_time_with_its_offset_stored_is_not_wrong():
    found = stored_instant("2024:04:18 13:22:00", "-05:00")
    assert found == datetime(2024, 4, 18, 18, 22, tzinfo=UTC)
    assert found == stored_instant("2024:04:18 14:22:00", "-04:00")
    assert stored_instant("2024:04:18 13:22:00", None) is None


@pytest.mark.parametrize("offset", ["5", "+25:00", "-05:75", "EST"])
def test_an_offset_that_is_none_is_refused(offset: str):
    with pytest.raises(CameraTimeError, match="offset"):
        stored_instant("2024:04:18 13:22:00", offset)

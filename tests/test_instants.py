"""Times and dates as written. Dates: ISO 8601. Clock changes: the IANA time zone database."""

from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.units import (
    Ambiguous,
    UnitError,
    elapsed_readings,
    elapsed_seconds,
    read_date,
    read_elapsed,
    read_local_instant,
)

NEW_YORK = "America/New_York"


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("67.3", 67.3),
        ("67,3", 67.3),
        ("67.3 s", 67.3),
        ("67.3 sec", 67.3),
        ("3:42", 222),
        ("3:42.5", 222.5),
        ("0:42", 42),
        ("90:00", 5400),
        ("1:02:03", 3723),
        ("3 min 42 s", 222),
        ("3m42s", 222),
        ("2.5 min", 150),
        ("1 h 2 min", 3720),
        ("342", 342),
        ("1,800", 1800),
        ("1 800.0", 1800),
        ("3.42 s", 3.42),  # the unit is written: it is what it says
        ("3.4", 3.4),
        ("70.12", 70.12),
    ],
)
def test_elapsed_times(text, seconds):
    assert read_elapsed(text) == pytest.approx(seconds)


@pytest.mark.parametrize("text", ["3.42", "3,42"])
def test_minutes_that_may_hide_in_a_decimal_are_asked_about(text):
    with pytest.raises(Ambiguous) as caught:
        read_elapsed(text)
    assert [value for _, value in caught.value.choices] == pytest.approx([3.42, 222.0, 205.2])


def test_two_figures_that_cannot_be_seconds_are_a_decimal():
    assert read_elapsed("3.75") == 3.75


@pytest.mark.parametrize(
    ("text", "seconds"), [("342", [342, 222]), ("3:42", [222]), ("12.30", [12.3, 750, 738])]
)
def test_every_reading_of_a_time_is_listed(text, seconds):
    assert [value for _, value in elapsed_readings(text)] == pytest.approx(seconds)


@pytest.mark.parametrize("text", ["", "-3", "3:75", "1:61:00", "x", "3:4x", "nan", "12:3"])
def test_what_is_no_time_is_refused(text):
    with pytest.raises(UnitError):
        read_elapsed(text)


def test_an_iso_date_is_read():
    assert read_date("2022-04-03") == date(2022, 4, 3)


def test_a_slashed_date_is_asked_about_with_both_days():
    with pytest.raises(Ambiguous) as caught:
        read_date("03/04/2022")
    assert [v for _, v in caught.value.choices] == [date(2022, 3, 4), date(2022, 4, 3)]


@pytest.mark.parametrize("text", ["13/04/2022", "13.04.2022", "04-13-2022"])
def test_even_a_single_possible_day_is_asked_about(text):
    with pytest.raises(Ambiguous) as caught:
        read_date(text)
    assert [v for _, v in caught.value.choices] == [date(2022, 4, 13)]


@pytest.mark.parametrize("text", ["2023-02-29", "2023-13-01", "31/31/2020"])
def test_a_day_that_never_was_is_not_a_date(text):
    with pytest.raises(UnitError, match="not a date"):
        read_date(text)


@pytest.mark.parametrize("text", ["", "20220403", "2022-W14-7", "3 April", "03/04/22"])
def test_other_forms_of_date_are_refused(text):
    with pytest.raises(UnitError):
        read_date(text)


def test_a_local_instant_knows_its_offset():
    moment = read_local_instant("2025-06-01 13:40", NEW_YORK)
    assert moment.astimezone(UTC) == datetime(2025, 6, 1, 17, 40, tzinfo=UTC)


def test_a_skipped_hour_is_refused():
    with pytest.raises(UnitError, match="skipped"):
        read_local_instant("2025-03-09 02:30", NEW_YORK)


def test_a_doubled_hour_is_asked_about_and_settled_by_fold_or_offset():
    with pytest.raises(Ambiguous) as caught:
        read_local_instant("2025-11-02 01:30", NEW_YORK)
    first, second = (value for _, value in caught.value.choices)
    assert elapsed_seconds(first, second) == 3600
    assert read_local_instant("2025-11-02 01:30", NEW_YORK, fold=0).utcoffset() == timedelta(
        hours=-4
    )
    assert read_local_instant("2025-11-02 01:30", NEW_YORK, fold=1).utcoffset() == timedelta(
        hours=-5
    )
    with_offset = read_local_instant("2025-11-02T01:30-05:00", NEW_YORK)
    assert with_offset.astimezone(UTC) == second.astimezone(UTC)


@pytest.mark.parametrize(
    ("text", "zone"),
    [
        ("2025-06-01T13:40-05:00", NEW_YORK),  # summer time was -04:00
        ("2025-06-01 24:40", NEW_YORK),
        ("2025-06-01", NEW_YORK),
        ("13:40", NEW_YORK),
        ("2025-06-01 13:40", "Sedgewater/Nowhere"),
        ("2025-06-01 13:40", "../etc"),
    ],
)
def test_instants_that_cannot_be_are_refused(text, zone):
    with pytest.raises(UnitError):
        read_local_instant(text, zone)


def test_worked_example_n14_a_week_over_the_end_of_summer_time_is_169_hours():
    cover = read_local_instant("2025-10-30 11:00", NEW_YORK)
    uncover = read_local_instant("2025-11-06 11:00", NEW_YORK)
    assert elapsed_seconds(cover, uncover) / 3600 == 169
    assert (uncover - cover) == timedelta(hours=168)  # what the clocks say


def test_elapsed_time_needs_zones():
    with pytest.raises(UnitError):
        elapsed_seconds(datetime(2025, 1, 1), datetime(2025, 1, 2))


@given(
    st.datetimes(datetime(2000, 1, 1), datetime(2035, 1, 1), timezones=st.just(UTC)),
    st.sampled_from([NEW_YORK, "Europe/Berlin", "Australia/Lord_Howe"]),
)
def test_an_instant_written_with_its_offset_is_read_back_the_same(moment, zone):
    local = moment.replace(second=0, microsecond=0)
    there = local.astimezone(read_local_instant("2020-06-01 12:00", zone).tzinfo)
    offset = there.utcoffset()
    fixed = there.astimezone(timezone(offset))
    back = read_local_instant(fixed.isoformat(timespec="minutes"), zone)
    assert back.astimezone(UTC) == local


@given(st.integers(0, 359_999))
def test_the_label_of_a_clock_time_reads_back_as_the_same_time(seconds):
    minutes, rest = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    label, value = elapsed_readings(f"{hours}:{minutes:02d}:{rest:02d}")[0]
    assert value == seconds
    assert read_elapsed(label) == seconds

"""The awkward cases that need more than one test, or a clock: 7, 17, 21 to 23, 28, 38 to 42."""

from datetime import UTC, date, datetime, timedelta

import pytest

from registry.measuring import (
    Method,
    NoGain,
    Side,
    SpotTest,
    cleaning_gain,
    split_segments,
    spot_declines,
)
from registry.units import (
    Ambiguous,
    Kind,
    System,
    UnitError,
    elapsed_seconds,
    read_date,
    read_elapsed,
    read_local_instant,
    read_quantity,
)

NEW_YORK = "America/New_York"


def test_case_07_bound_against_bound_is_not_known_and_a_bound_before_is_carried_through():
    before = Side(date(2023, 5, 16), 3.9, Method.C1701, "<")
    after = Side(date(2023, 6, 21), 3.9, Method.C1701, "<")
    refused = cleaning_gain(before, after, date(2023, 6, 20))
    assert isinstance(refused, NoGain)
    assert refused.reason.startswith("Not known")
    numbered = Side(date(2023, 6, 21), 22, Method.C1701)
    assert cleaning_gain(before, numbered, date(2023, 6, 20)).text == "> 5.6"


@pytest.mark.parametrize(("text", "seconds"), [("3:42", 222), ("342", 342)])
def test_case_16_a_time_with_one_plain_reading_is_read(text, seconds):
    assert read_elapsed(text) == seconds


@pytest.mark.parametrize("text", ["3.42", "3,42"])
def test_case_16_a_time_with_two_is_asked_about(text):
    with pytest.raises(Ambiguous):
        read_elapsed(text)


def test_case_17_commas_are_read_by_the_range_of_the_field_and_kept_as_written():
    water = read_quantity("1,450 gal", Kind.LIQUID)
    ring = read_quantity("11,98 in", Kind.RING)
    assert (water.value, water.text) == (1450, "1,450 gal")
    assert (ring.value, ring.text) == (11.98, "11,98 in")
    with pytest.raises(Ambiguous):
        read_quantity("1,450", Kind.MASS, system=System.INCH_POUND)


def yearly(*rates: float) -> list[SpotTest]:
    return [SpotTest(date(2021 + k, 5, 1), r, Method.C1701) for k, r in enumerate(rates)]


@pytest.mark.parametrize("rates", [(500, 500, 500), (500, 520, 560)])
def test_cases_21_and_22_no_decline_shown_gives_no_date(rates):
    (decline,) = spot_declines(yearly(*rates), [], 254)
    assert decline.no_date.reason == "No decline shown; no date."
    assert (decline.half_life_years, decline.reaches_on) == (None, None)
    assert decline.loss_per_year <= 0


@pytest.mark.parametrize("rates", [(500,), (500, 400)])
def test_case_23_one_or_two_tests_give_no_slope_and_no_date(rates):
    (decline,) = spot_declines(yearly(*rates), [], 254)
    assert (decline.slope, decline.reaches_on, decline.no_date.code) == (None, None, "too_few")


def test_case_28_a_point_in_a_replaced_panel_ends_and_the_new_one_starts_its_own():
    old = yearly(120, 75, 31)
    new = [SpotTest(date(2025, 9, 23), 510, Method.C1701, concrete="A4 new")]
    segments, _ = split_segments([*old, *new], [])
    assert [s.concrete for s in segments] == ["", "A4 new"]


def test_case_38_elapsed_hours_by_utc_and_the_doubled_hour_is_asked_for():
    cover = read_local_instant("2025-10-30 11:00", NEW_YORK)
    uncover = read_local_instant("2025-11-06 11:00", NEW_YORK)
    assert elapsed_seconds(cover, uncover) == 169 * 3600
    with pytest.raises(Ambiguous):
        read_local_instant("2025-11-02 01:30", NEW_YORK)


def test_case_39_the_sites_local_time_rules_the_date():
    received = datetime(2026, 1, 1, 3, 30, tzinfo=UTC)
    site = read_local_instant("2025-12-31 22:30", NEW_YORK)
    assert elapsed_seconds(received, site) == 0
    assert site.date() == date(2025, 12, 31)


def test_case_40_29_february_2023_is_not_a_date():
    assert read_date("2024-02-29") == date(2024, 2, 29)
    with pytest.raises(UnitError, match="not a date"):
        read_date("2023-02-29")


def test_case_41_neither_month_is_chosen():
    with pytest.raises(Ambiguous) as caught:
        read_date("03/04/2022")
    assert len(caught.value.choices) == 2


def test_case_42_a_year_is_365_25_days_across_a_leap_day():
    start = date(2023, 3, 1)
    four_years = [start, start + timedelta(days=730), start + timedelta(days=1461)]
    tests = [
        SpotTest(on, 512 / 2**k, Method.C1701) for k, on in zip((0, 2, 4), four_years, strict=True)
    ]
    (decline,) = spot_declines(tests, [], 1.0)
    assert decline.span_years == 4.0
    assert decline.half_life_years == pytest.approx(1.0, abs=1e-3)

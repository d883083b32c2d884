"""What earlier tests say of today's: the last plain number, and whether a day lies between."""

from datetime import UTC, date, datetime, timedelta

import pytest

from registry.measuring.reading import Method
from registry.measuring.surroundings import Earlier, Surroundings

NOON = datetime(2024, 5, 2, 12, tzinfo=UTC)
DAY = NOON.date()


def earlier(days, mm_h=500.0, method=Method.C1701, **more):
    return Earlier(DAY - timedelta(days), mm_h, method, **more)


def around(*tests, at=NOON):
    return Surroundings(DAY, at, earlier=tests)


def test_last_number_is_the_latest_plain_one_of_the_method():
    plain = earlier(30)
    found = around(
        earlier(90), plain, earlier(5, sign="<"), earlier(4, None),
        earlier(3, method=Method.QUICK_POUR), earlier(-1),
    ).last_number(Method.C1701)  # fmt: skip
    assert found == plain
    assert around().last_number(Method.C1701) is None


@pytest.mark.parametrize(
    ("hours", "within"),
    [(23.9, True), (24.0, False), (40.0, False), (24.0 * 5, False)],
)
def test_clock_decides_whether_a_day_lies_between(hours, within):
    at = NOON - timedelta(hours=hours)
    assert around(Earlier(at.date(), 1.0, Method.C1701, at=at)).within_24h() is within


def test_without_a_clock_the_day_before_is_not_shown_and_two_days_before_is_enough():
    assert around(earlier(1)).within_24h() is None
    assert around(earlier(1, at=NOON - timedelta(hours=30)), at=None).within_24h() is None
    assert around(earlier(2), at=None).within_24h() is False


def test_word_that_is_none_for_a_cleaning_of_the_day_is_a_programmers_error():
    with pytest.raises(ValueError, match="same_day_cleaning"):
        Surroundings(date(2024, 5, 2), same_day_cleaning="perhaps")

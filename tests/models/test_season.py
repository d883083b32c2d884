"""A season is a span of the year."""

import pytest

from tests.factories import SeasonFactory
from tests.models.refusals import VOID, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("season_void_has_reason", VOID),
        ("season_is_of_the_year", {"from_month": 13}),
        ("season_is_of_the_year", {"to_day": 0}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, SeasonFactory, **fields)


def test_season_is_said_by_month_and_day():
    row = SeasonFactory(methods=["broom"], methods_not=["hand_tools"])
    assert str(row) == "after the last sand, 03-01 to 04-30"
    assert (row.methods_in_words, row.methods_not_in_words) == (
        "leaf blower and broom",
        "hand tools",
    )

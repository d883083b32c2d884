"""What is due says by what, and where there is no number, why."""

from datetime import date

import pytest

from registry.models import Due
from tests.factories import DueFactory
from tests.models.refusals import DAY, DAY_BEFORE, refused

pytestmark = pytest.mark.django_db
GAIN = {"gain_median": 2.0, "gain_low": 1.5, "gain_high": 3.0, "no_gain": ""}


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("due_without_method_says_why", {"no_method": ""}),
        ("due_latest_day_says_by_what", {"latest_on": DAY}),
        ("due_gain_is_whole_or_says_why", {"no_gain": ""}),
        ("due_gain_is_whole_or_says_why", {**GAIN, "gain_low": -1.0}),
        ("due_gain_is_whole_or_says_why", {**GAIN, "gain_high": 0.0}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, DueFactory, **fields)


def test_latest_day_is_late_from_the_day_after():
    row = Due(latest_on=DAY)
    assert [row.is_late(day) for day in (DAY_BEFORE, DAY, date(2024, 6, 2))] == [0, 0, 1]
    assert not Due().is_late(DAY)


def test_too_early_is_a_method_before_its_first_sensible_day_or_without_one():
    row = Due(method="vacuum", earliest_on=DAY)
    assert [row.is_too_early(day) for day in (DAY_BEFORE, DAY)] == [True, False]
    assert Due(method="vacuum").is_too_early(DAY)
    assert not Due().is_too_early(DAY)


def test_soonest_come_first_and_those_without_a_day_last():
    later, none, soon = (
        DueFactory(latest_on=on, latest_by="fit" if on else "") for on in (DAY, None, DAY_BEFORE)
    )
    assert list(Due.objects.soonest_first()) == [soon, later, none]
    assert list(Due.objects.due_by(DAY_BEFORE)) == [soon]

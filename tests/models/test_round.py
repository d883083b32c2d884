"""A round has an end of its search, a failed one says why, one with a plan has an objective."""

import pytest

from registry.models import Round, RoundState
from tests.factories import RoundFactory, RoundLeftOutFactory, RoundPinFactory
from tests.models.refusals import DAY, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("round_ends_after_it_begins", {"last_on": DAY, "first_on": DAY.replace(year=2099)}),
        ("round_has_an_end_of_search", {"iterations": None, "seconds": None}),
        ("round_roads_are_roads", {"detour_factor": 0.9}),
        ("round_roads_are_roads", {"speed_km_h": 0}),
        ("round_that_failed_says_why", {"state": RoundState.FAILED}),
        ("round_with_a_plan_has_an_objective", {"state": RoundState.STOPPED}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, RoundFactory, **fields)


def test_both_ends_count_as_days():
    assert RoundFactory().days == 7


def test_list_shows_the_newest_of_those_made_from_one_another():
    first = RoundFactory()
    second = RoundFactory(made_from=first)
    other = RoundFactory()
    assert set(Round.objects.newest_of_each()) == {second, other}
    failed = RoundFactory(made_from=second, state=RoundState.FAILED, message="no crew")
    assert set(Round.objects.newest_of_each()) == {second, other, failed}


def test_order_is_pinned_once_and_to_something():
    pin = RoundPinFactory()
    refused("round_pin_once_an_order", RoundPinFactory, round=pin.round, order=pin.order)
    refused("round_pin_is_to_something", RoundPinFactory, on=None)


def test_order_is_left_out_once():
    left = RoundLeftOutFactory()
    refused("round_left_out_once", RoundLeftOutFactory, round=left.round, order=left.order)

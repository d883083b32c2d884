"""A set of criteria has a span and levels above nothing; days of two sets are told apart."""

import pytest

from registry.models import Criteria
from tests.factories import CriteriaFactory
from tests.models.refusals import BACKWARD, DAY, DAY_BEFORE, NO_SPAN, VOID, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("criteria_void_has_reason", VOID),
        ("criteria_from_before_to", BACKWARD),
        ("criteria_from_before_to", NO_SPAN),
        ("criteria_rates_are_positive", {"action_rate_mm_h": 0}),
        ("criteria_rates_are_positive", {"intensity_mm_h": -1}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, CriteriaFactory, **fields)


@pytest.mark.parametrize(
    ("span", "meets"),
    [
        ({"from_on": None, "to_on": None}, True),
        ({"from_on": DAY, "to_on": None}, False),
        ({"from_on": DAY_BEFORE, "to_on": None}, True),
        ({"from_on": None, "to_on": DAY}, True),
    ],
)
def test_set_that_ends_on_a_day_does_not_hold_on_it(span, meets):
    old = CriteriaFactory(to_on=DAY)
    new = Criteria(pavement=old.pavement, **span)
    assert Criteria.objects.overlapping(new).exists() == meets


def test_void_set_and_one_of_another_pavement_overlap_nothing():
    old = CriteriaFactory(void_at="2024-01-01T00:00Z", void_why="twice")
    assert not Criteria.objects.overlapping(Criteria(pavement=old.pavement)).exists()
    CriteriaFactory()
    assert not Criteria.objects.overlapping(Criteria(pavement=old.pavement)).exists()


def test_overlap_is_told_with_its_days():
    words = CriteriaFactory(from_on=DAY_BEFORE, to_on=DAY).overlap_words
    assert "from 2024-05-31 to 2024-06-01" in words
    assert "from the first day with no end" in CriteriaFactory().overlap_words

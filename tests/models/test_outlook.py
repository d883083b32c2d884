"""An outlook without numbers says why; its chances are shares, and the worst place is the worst."""

import pytest

from registry.models import Outlook
from tests.factories import PavementFactory
from tests.models.refusals import AT, DAY, DAY_BEFORE, refused

pytestmark = pytest.mark.django_db


def make(**fields):
    given = {"pavement": PavementFactory(), "as_of_on": DAY, "worked_out_at": AT}
    return Outlook.objects.create(**given | fields)


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("outlook_without_numbers_says_why", {}),
        ("outlook_chance_is_a_share", {"p_below": -0.1, "worst_p_below": 0.5}),
        ("outlook_worst_chance_is_no_less", {"p_below": 0.2}),
        ("outlook_worst_chance_is_no_less", {"p_below": 0.2, "worst_p_below": 0.1}),
        ("outlook_worst_chance_is_a_share", {"p_below": 0.2, "worst_p_below": 1.1}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, make, **fields)


def test_due_by_a_day_are_those_to_be_swept_on_it_or_earlier():
    numbers = {"p_below": 0.2, "worst_p_below": 0.2}
    late, early = make(sweep_by_on=DAY, **numbers), make(sweep_by_on=DAY_BEFORE, **numbers)
    never = make(why_not="no test yet")
    assert list(Outlook.objects.due_by(DAY)) == [early, late]
    assert list(Outlook.objects.due_by(DAY_BEFORE)) == [early]
    assert list(Outlook.objects.soonest_first()) == [early, late, never]

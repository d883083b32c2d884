"""A raveled share is a share, given once a day and way of grading."""

import pytest

from tests.models.refusals import VOID, refused
from tests.placing_factories import RaveledShareFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("raveled_share_void_has_reason", RaveledShareFactory, VOID),
        ("raveled_share_0_to_1", RaveledShareFactory, {"share": 1.01}),
        ("raveled_share_0_to_1", RaveledShareFactory, {"share": -0.01}),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)


def test_share_is_given_once_a_day_by_one_way_of_grading():
    old = RaveledShareFactory()
    refused("raveled_share_once_a_day", RaveledShareFactory, pavement=old.pavement)
    RaveledShareFactory(pavement=old.pavement, graded_by="eye")

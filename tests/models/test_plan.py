"""A plan has a number of its own at its pavement, also after it was taken out of use."""

import pytest

from tests.factories import PlanFactory
from tests.models.refusals import AT, VOID, refused

pytestmark = pytest.mark.django_db


def test_void_plan_says_why():
    refused("plan_void_has_reason", PlanFactory, **VOID)


@pytest.mark.parametrize("state", [{}, {"void_at": AT, "void_why": "drawn mirrored"}])
def test_number_on_an_old_sheet_never_comes_to_mean_another_plan(state):
    old = PlanFactory(number=1, **state)
    refused("plan_number_once", PlanFactory, pavement=old.pavement, number=1)
    PlanFactory(pavement=old.pavement, number=2)
    PlanFactory(number=1)

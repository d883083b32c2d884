"""A threshold is set from and to a day."""

import pytest

from registry.models import RuleSetting
from tests.factories import OrganisationFactory
from tests.models.refusals import BACKWARD, DAY, DAY_BEFORE, NO_SPAN, VOID, refused

pytestmark = pytest.mark.django_db


def make(**fields):
    given = {"organisation": OrganisationFactory(), "name": "watch_factor", "value": 3.0}
    return RuleSetting.objects.create(**given, source_document="house rule", **fields)


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("rule_setting_void_has_reason", VOID),
        ("rule_setting_from_before_to", BACKWARD),
        ("rule_setting_from_before_to", NO_SPAN),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, make, **fields)


def test_setting_holds_from_its_first_day_up_to_its_end():
    row = make(from_on=DAY_BEFORE, to_on=DAY)
    assert RuleSetting.objects.on(DAY_BEFORE).get() == row
    assert not RuleSetting.objects.on(DAY).exists()

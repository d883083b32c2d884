"""A step has one agreed date."""

import pytest

from tests.models.refusals import VOID, refused
from tests.placing_factories import AgreedDateFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("agreed_date_void_has_reason", AgreedDateFactory, VOID),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)


def test_step_has_one_agreed_date():
    old = AgreedDateFactory()
    refused("agreed_date_once_a_step", AgreedDateFactory, callback=old.callback)

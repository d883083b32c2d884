"""A step has one date that waits for the other side; one without that side is not confirmed."""

from datetime import UTC, datetime

import pytest

from tests.models.refusals import VOID, refused
from tests.placing_factories import AgreedDateFactory

AT = datetime(2024, 10, 2, 12, tzinfo=UTC)
pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("agreed_date_void_has_reason", AgreedDateFactory, VOID),
        ("agreed_date_confirmed_by_a_side", AgreedDateFactory, {"confirmed_at": AT}),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)


def test_step_has_one_date_that_waits_and_another_once_it_is_confirmed():
    old = AgreedDateFactory()
    refused("agreed_date_open_once_a_step", AgreedDateFactory, callback=old.callback)
    both = AgreedDateFactory(is_confirmed=True)
    assert AgreedDateFactory(callback=both.callback).pk

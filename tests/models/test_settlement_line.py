"""A line of a settlement has an area and a price."""

import pytest

from tests.models.refusals import VOID, refused
from tests.placing_factories import SettlementLineFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("settlement_line_void_has_reason", SettlementLineFactory, VOID),
        ("settlement_line_has_an_area", SettlementLineFactory, {"area": 0}),
        ("settlement_line_has_an_area", SettlementLineFactory, {"unit_price": -1}),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)

"""A strike-off runs up its lane."""

import pytest

from tests.models.refusals import VOID, refused
from tests.placing_factories import StrikeOffFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("strike_off_void_has_reason", StrikeOffFactory, VOID),
        ("strike_off_runs_up", StrikeOffFactory, {"from_m": 3.0, "to_m": 2.0}),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)

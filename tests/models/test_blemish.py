"""A void blemish says why."""

import pytest

from tests.models.refusals import VOID, refused
from tests.placing_factories import BlemishFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("blemish_void_has_reason", BlemishFactory, VOID),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)

"""A void third party says why."""

import pytest

from tests.models.refusals import VOID, refused
from tests.placing_factories import ThirdPartyFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("third_party_void_has_reason", ThirdPartyFactory, VOID),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)

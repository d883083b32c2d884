"""A void answer says why."""

import pytest

from tests.models.refusals import VOID, refused
from tests.placing_factories import CallbackAnswerFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("callback_answer_void_has_reason", CallbackAnswerFactory, VOID),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)

"""One thing is attached at a time."""

import pytest

from tests.models.refusals import VOID, refused
from tests.placing_factories import CallbackAttachmentFactory, CoreFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("callback_attachment_void_has_reason", CallbackAttachmentFactory, VOID),
        ("callback_attachment_is_one_thing", CallbackAttachmentFactory, {"winter_entry": None}),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)


def test_two_things_are_two_attachments():
    rule = "callback_attachment_is_one_thing"
    refused(rule, CallbackAttachmentFactory, core=CoreFactory())
    row = CallbackAttachmentFactory()
    assert row.thing == row.winter_entry

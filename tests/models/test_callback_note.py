"""A note kept inside names its side, and no other note does."""

import pytest

from registry.models import CallbackNote
from tests.factories import OrganisationFactory
from tests.models.refusals import VOID, refused
from tests.placing_factories import CallbackNoteFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("callback_note_void_has_reason", CallbackNoteFactory, VOID),
        ("callback_note_kept_inside_names_its_side", CallbackNoteFactory, {"kind": "inside"}),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)


def test_letter_is_of_no_side_and_shared():
    side = OrganisationFactory()
    refused("callback_note_kept_inside_names_its_side", CallbackNoteFactory, inside_of=side)
    CallbackNoteFactory(kind="inside", inside_of=side)
    letter = CallbackNoteFactory()
    assert list(CallbackNote.objects.shared()) == [letter]

"""A section is a part of a pavement from and to a day."""

import pytest

from registry.models import Section
from tests.factories import SectionFactory
from tests.models.refusals import BACKWARD, DAY, DAY_BEFORE, NO_SPAN, VOID, refused

pytestmark = pytest.mark.django_db


def make(**fields):
    return SectionFactory(**fields)


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("section_void_has_reason", VOID),
        ("section_from_before_to", BACKWARD),
        ("section_from_before_to", NO_SPAN),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, make, **fields)


def test_section_holds_from_its_first_day_up_to_its_end():
    row = make(from_on=DAY_BEFORE, to_on=DAY)
    assert Section.objects.on(DAY_BEFORE).get() == row
    assert not Section.objects.on(DAY).exists()

"""A person chooses the units shown; the journal tells it only where they changed."""

import pytest

from registry.actions.choose_units import choose_units
from registry.models import JournalLine
from registry.models.choices import ReadingSystem
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db


def test_chosen_units_are_kept_with_old_and_new_in_the_line():
    person = PersonFactory()
    choose_units(person, by=person, system=ReadingSystem.SI)
    person.refresh_from_db()
    assert person.shown_system == "si"
    line = JournalLine.objects.about(person).get()
    assert line.changes == {"shown_system": ["inch_pound", "si"]}


def test_choosing_what_is_shown_already_writes_no_line():
    person = PersonFactory()
    choose_units(person, by=person, system=ReadingSystem.INCH_POUND)
    assert not JournalLine.objects.exists()

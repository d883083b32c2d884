"""Organisations, people and numbers brought in by hand."""

import pytest
from django.core.exceptions import ValidationError

from registry.actions.add_entries import add_entries
from registry.actions.add_organisation import add_organisation, add_person
from registry.actions.give_number import give_number
from registry.models import JournalLine, Organisation, Panel, PavementNumber, Person
from tests import factories

pytestmark = pytest.mark.django_db


def test_organisation_comes_in_with_a_line_and_only_once():
    row = add_organisation(Organisation(name="Oakum Ltd", usual_role="owner"), by=None)
    assert JournalLine.objects.about(row).get().verb == "added"
    with pytest.raises(ValidationError):
        add_organisation(Organisation(name="Oakum Ltd", usual_role="owner"), by=None)


def test_person_comes_in_with_a_membership_and_a_strong_password():
    firm = factories.OrganisationFactory()
    with pytest.raises(ValidationError, match="too short"):
        add_person(email="a@b.example", name="A", organisation=firm, password="short", by=None)
    assert not Person.objects.exists()
    person = add_person(
        email="A@b.example", name="A", organisation=firm, password="gravel-lantern-41", by=None
    )
    assert person.email == "a@b.example"
    assert person.check_password("gravel-lantern-41")
    assert person.memberships.get().organisation == firm


def test_person_without_a_password_cannot_sign_in():
    firm = factories.OrganisationFactory()
    person = add_person(email="a@b.example", name="A", organisation=firm, password=None, by=None)
    assert not person.has_usable_password()


def test_numbers_of_one_organisation_are_given_once():
    firm = factories.OrganisationFactory()
    first, second = factories.PavementFactory(), factories.PavementFactory()
    give_number(pavement=first, organisation=firm, number="BC-01", by=None)
    with pytest.raises(ValidationError):
        give_number(pavement=second, organisation=firm, number="BC-01", by=None)
    give_number(
        pavement=second, organisation=factories.OrganisationFactory(), number="BC-01", by=None
    )
    assert PavementNumber.objects.count() == 2


def test_many_entries_come_in_together_with_a_line_each_or_not_at_all():
    pavement = factories.PavementFactory()
    box = {"right_m": 0.0, "up_m": 0.0, "width_m": 3.0, "length_m": 3.0}
    panels = [Panel(pavement=pavement, name=name, **box) for name in ("A1", "A2")]
    add_entries(panels, by=None, organisation=None)
    assert JournalLine.objects.filter(subject_kind="panel", verb="added").count() == 2
    wrong = [Panel(pavement=pavement, name=name, **box) for name in ("A3", "A1")]
    with pytest.raises(ValidationError):
        add_entries(wrong, by=None, organisation=None)
    assert pavement.panels.count() == 2


def test_entries_of_two_pavements_are_not_mixed():
    box = {"right_m": 0.0, "up_m": 0.0, "width_m": 3.0, "length_m": 3.0}
    panels = [Panel(pavement=factories.PavementFactory(), name="A1", **box) for _ in range(2)]
    with pytest.raises(ValueError, match="several pavements"):
        add_entries(panels, by=None, organisation=None)

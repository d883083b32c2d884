"""One address, however it is spelt, signs in one person; only a superuser is staff."""

import pytest
from django.db import IntegrityError, transaction

from registry.models import Person
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db


def test_an_address_in_other_letters_is_the_same_address():
    PersonFactory(email="ann@example.org")
    with (
        pytest.raises(IntegrityError, match="person_email_once_in_any_case"),
        transaction.atomic(),
    ):
        Person.objects.bulk_create([Person(email="ANN@example.org", name="Ann")])


def test_person_without_a_password_cannot_sign_in_by_any():
    person = PersonFactory()
    assert not person.has_usable_password() and not person.check_password("")


def test_person_is_staff_only_where_made_on_the_command_line():
    assert not PersonFactory().is_staff
    root = Person.objects.create_superuser("root@example.org", None, name="Root")
    assert root.is_staff and root.is_superuser

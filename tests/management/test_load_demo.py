"""The command that loads the demonstration town; the town itself is held by tests/demo."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from registry.demo import tables
from registry.models import Organisation, Person
from tests import factories

pytestmark = pytest.mark.django_db


def test_database_that_holds_records_is_left_alone():
    factories.OrganisationFactory()
    with pytest.raises(CommandError, match="goes into an empty one"):
        call_command("load_demo", stdout=StringIO())
    assert Organisation.objects.count() == 1
    assert not Person.objects.exists()


def test_missing_tables_are_named_and_nothing_is_stored(monkeypatch, tmp_path):
    monkeypatch.setattr(tables, "FOLDER", tmp_path)
    with pytest.raises(CommandError, match=r"3A_register\.csv is not here"):
        call_command("load_demo", stdout=StringIO())
    assert not Organisation.objects.exists()

"""A number finds one sheet for ever, and each kind of sheet has letters of its own."""

import pytest
from django.db import IntegrityError, transaction

from registry.models import LETTERS, PrintedSheet, SheetKind
from tests.factories import PavementFactory

pytestmark = pytest.mark.django_db


def test_number_finds_one_sheet():
    sheet = {"number": "INF-0001", "kind": "infiltration", "system": "si", "paper": "a4"}
    PrintedSheet.objects.create(pavement=PavementFactory(), **sheet)
    with pytest.raises(IntegrityError, match="number"), transaction.atomic():
        PrintedSheet.objects.create(pavement=PavementFactory(), **sheet)


def test_every_kind_has_letters_of_its_own():
    assert set(LETTERS) == set(SheetKind.values)
    assert len(set(LETTERS.values())) == len(LETTERS)

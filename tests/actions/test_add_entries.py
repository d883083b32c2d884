"""Many entries of one pavement come in together or not at all."""

import pytest
from django.core.exceptions import ValidationError

from registry.actions.add_entries import add_entries
from registry.models import JournalLine, PavementStanding, Stratum
from tests.factories import PavementFactory

pytestmark = pytest.mark.django_db


def strata(pavement, *kinds):
    return [Stratum(pavement=pavement, kind=kind) for kind in kinds]


def add(rows):
    return add_entries(rows, by=None, organisation=None, why="of the plan")


def test_each_gets_its_line_and_the_condition_is_worked_out_once():
    lot = PavementFactory()
    rows = add(strata(lot, "run_on_edge", "field", "wheel_path"))
    assert [row.kind for row in rows] == ["run_on_edge", "field", "wheel_path"]
    for row in rows:
        assert JournalLine.objects.about(row).get().why == "of the plan"
    assert PavementStanding.objects.filter(pavement=lot).count() == 2


def test_one_wrong_entry_keeps_all_out():
    lot = PavementFactory()
    with pytest.raises(ValidationError):
        add(strata(lot, "run_on_edge", "pond"))
    assert not Stratum.objects.exists() and not JournalLine.objects.exists()


def test_entries_of_two_pavements_are_a_programmers_error():
    rows = strata(PavementFactory(), "field") + strata(PavementFactory(), "field")
    with pytest.raises(ValueError, match="several pavements"):
        add(rows)


def test_no_entries_change_nothing():
    assert add([]) == []
    assert not PavementStanding.objects.exists()

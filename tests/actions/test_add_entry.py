"""An entry comes in with who wrote it and for whom, and the pavement's condition follows."""

import pytest
from django.core.exceptions import ValidationError

from registry.actions.add_entry import add_entry
from registry.models import Criteria, JournalLine, PavementStanding, Site
from tests.factories import OrganisationFactory, PavementFactory, PersonFactory

pytestmark = pytest.mark.django_db


def test_entry_says_who_wrote_it_for_whom_and_why():
    by, side = PersonFactory(), OrganisationFactory()
    site = Site(name="Mill Lane", time_zone="America/New_York")
    row = add_entry(site, by=by, organisation=side, why="moved here")
    assert (row.entered_by, row.entered_for) == (by, side)
    line = JournalLine.objects.about(row).get()
    assert (line.verb, line.by, line.by_organisation, line.why) == ("added", by, side, "moved here")


def test_condition_follows_the_entry_at_once():
    row = Criteria(pavement=PavementFactory(), source_document="permit", action_rate_mm_h=254.0)
    row.action_rate_is_given = True
    add_entry(row, by=None, organisation=None)
    standings = PavementStanding.objects.filter(pavement=row.pavement)
    assert {s.viewpoint: s.action_rate_mm_h for s in standings} == {"holder": 254.0, "town": 254.0}


def test_entry_that_breaks_a_rule_of_its_table_is_not_stored():
    row = Criteria(pavement=PavementFactory(), source_document="permit", action_rate_mm_h=-1.0)
    with pytest.raises(ValidationError):
        add_entry(row, by=None, organisation=None)
    assert not Criteria.objects.exists() and not JournalLine.objects.exists()

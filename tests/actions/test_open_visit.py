"""A visit begins: one of a side at a time, its paper beside it."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from registry.actions.open_visit import CannotOpenVisit, open_visit
from registry.actions.refuse_days_ahead import DayAhead
from registry.models import JournalLine, Pavement, Visit, VisitState
from tests.factories import OrganisationFactory, PavementFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def lot() -> Pavement:
    return PavementFactory()


def begin(lot: Pavement, side=None, **fields: object) -> Visit:
    given = {"done_on": date(2024, 4, 18), "walked_by": "M. Ferrand", **fields}
    return open_visit(Visit(pavement=lot, **given), by=None, organisation=side)


def test_visit_begins_under_way_whatever_it_was_said_to_be(lot):
    side = OrganisationFactory()
    row = begin(lot, side, state=VisitState.DONE)
    row.refresh_from_db()
    assert (row.state, row.entered_for, row.is_open) == (VisitState.PLANNED, side, True)
    assert JournalLine.objects.about(row).get().verb == "begun"


def test_second_visit_of_one_side_is_refused_with_who_walks_the_first(lot):
    side = OrganisationFactory()
    begin(lot, side)
    with pytest.raises(CannotOpenVisit, match=r"2024-04-18 under way here, begun by M\. Ferrand"):
        begin(lot, side, walked_by="K. Aboah")
    begin(lot, OrganisationFactory())
    begin(PavementFactory(), side)
    assert Visit.objects.count() == 3


def test_sheet_of_paper_is_copied_in_beside_a_visit_under_way(lot):
    side = OrganisationFactory()
    begin(lot, side)
    assert begin(lot, side, source="paper").is_open


def test_visit_of_a_day_that_has_not_come_is_refused(lot):
    ahead = timezone.now().date() + timedelta(days=3)
    with pytest.raises(DayAhead, match="lies ahead"):
        begin(lot, done_on=ahead)
    assert not Visit.objects.exists()

"""A spreadsheet is taken back only by who still holds a seat where it wrote."""

from datetime import UTC, datetime

import pytest

from registry.actions.sell_pavement import Deed, sell_pavement
from registry.actions.take_back_import import CannotBeTakenBack, take_back_import
from registry.models import ImportBatch
from registry.models.journal import JournalLine
from tests.factories import InfiltrationTestFactory, OrganisationFactory, SeatFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def brought_in():
    """A test that the owner brought in at a pavement which was there before."""
    seat = SeatFactory()
    batch = ImportBatch.objects.create(
        organisation=seat.organisation, file_name="tests.csv", digest="0" * 64, state="stored"
    )
    JournalLine.objects.create(
        pavement=seat.pavement, subject_kind="importbatch", subject_id=batch.pk, verb="brought in"
    )
    return InfiltrationTestFactory(
        pavement=seat.pavement, entered_for=seat.organisation, import_batch=batch
    )


def test_holder_takes_its_spreadsheet_back(brought_in):
    take_back_import(brought_in.import_batch, why="wrong file", by=None)
    brought_in.refresh_from_db()
    assert brought_in.is_void


def test_seller_does_not_take_back_what_it_brought_in_before_the_sale(brought_in):
    deed = Deed(OrganisationFactory(), datetime(2024, 6, 3, tzinfo=UTC), "deed 77")
    sell_pavement(pavement=brought_in.pavement, deed=deed, decisions={}, by=None, organisation=None)
    with pytest.raises(CannotBeTakenBack, match="has no seat any more at"):
        take_back_import(brought_in.import_batch, why="wrong file", by=None)
    brought_in.refresh_from_db()
    assert not brought_in.is_void

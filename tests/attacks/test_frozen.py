"""What lies under a callback in dispute is changed by no way round the correction."""

import pytest

from registry.actions.take_back_import import CannotBeTakenBack, take_back_import
from registry.actions.void_entry import CannotBeVoided, void_entry
from registry.actions.write_journal import write_line
from registry.models import BatchState, ImportBatch
from registry.models.choices import Role
from tests.claim_rows import NOBODY
from tests.factories import CleaningFactory, InfiltrationTestFactory, SeatFactory
from tests.placing_factories import CallbackAttachmentFactory, CallbackFactory, CoreFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def dispute():
    return CallbackFactory(state="disputed")


@pytest.fixture
def batch(dispute):
    side = SeatFactory(pavement=dispute.pavement, role=Role.MANAGER).organisation
    stored = {"state": BatchState.STORED, "file_name": "old.csv", "digest": "0" * 64}
    row = ImportBatch.objects.create(organisation=side, **stored)
    write_line(row, "stored", pavement=dispute.pavement, **NOBODY)
    return row


def test_spreadsheet_with_an_attached_cleaning_is_not_taken_back(dispute, batch):
    swept = CleaningFactory(pavement=dispute.pavement, import_batch=batch)
    CallbackAttachmentFactory(callback=dispute, cleaning=swept, winter_entry=None)
    with pytest.raises(CannotBeTakenBack, match="frozen while"):
        take_back_import(batch, why="we would rather not", by=None)
    swept.refresh_from_db()
    assert not swept.is_void


@pytest.mark.parametrize("state", ["disputed", "closed"])
def test_spreadsheet_with_an_acceptance_test_is_not_taken_back(dispute, batch, state):
    there = {"pavement": dispute.pavement, "spot__pavement": dispute.pavement}
    run = InfiltrationTestFactory(**there, import_batch=batch, reason="acceptance")
    type(dispute).objects.update(state=state)
    if state == "closed":
        take_back_import(batch, why="wrong town", by=None)
    else:
        with pytest.raises(CannotBeTakenBack, match="frozen while"):
            take_back_import(batch, why="we would rather not", by=None)
    run.refresh_from_db()
    assert run.is_void is (state == "closed")


def test_core_of_a_callback_that_is_closed_is_frozen_by_another_in_dispute(dispute):
    closed = CallbackFactory(pavement=dispute.pavement, state="closed")
    with pytest.raises(CannotBeVoided, match="in dispute"):
        void_entry(CoreFactory(pavement=dispute.pavement, callback=closed), why="no", **NOBODY)

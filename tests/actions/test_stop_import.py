"""Work on a spreadsheet is stopped at once, or asked to stop, and never after it was stored."""

import pytest

from registry.actions.stop_import import CannotBeStopped, stop_import
from registry.models import ImportBatch, JournalLine
from tests.factories import OrganisationFactory

pytestmark = pytest.mark.django_db


def batch(state, **fields):
    return ImportBatch.objects.create(
        organisation=OrganisationFactory(), digest="0", state=state, **fields
    )


@pytest.mark.parametrize("state", ["waiting", "refused", "checked"])
def test_idle_spreadsheet_is_put_aside_at_once(state):
    row = stop_import(batch(state), by=None)
    assert (row.state, row.stop_asked) == ("stopped", True)
    assert JournalLine.objects.about(row).get().verb == "stopped"


@pytest.mark.parametrize(("state", "asked"), [("reading", False), ("checked", True)])
def test_spreadsheet_that_is_worked_on_is_asked_to_stop(state, asked):
    row = stop_import(batch(state, store_asked=asked), by=None)
    assert (row.state, row.stop_asked) == (state, True)


@pytest.mark.parametrize("state", ["stored", "stopped", "taken_back"])
def test_what_is_over_is_not_stopped(state):
    row = batch(state)
    with pytest.raises(CannotBeStopped, match="taken back"):
        stop_import(row, by=None)
    row.refresh_from_db()
    assert (row.state, row.stop_asked) == (state, False)

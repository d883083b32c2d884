"""One file is stored once by one organisation, and a batch waits for a yes only while it may."""

import pytest

from registry.models import BatchState, ImportBatch
from tests.factories import OrganisationFactory
from tests.models.refusals import refused

pytestmark = pytest.mark.django_db


def make(organisation=None, **fields):
    given = {"organisation": organisation or OrganisationFactory(), "digest": "0" * 64}
    return ImportBatch.objects.create(**given | {"file_name": "tests.csv"} | fields)


def test_same_bytes_are_stored_once_by_one_organisation():
    own = make(state="stored").organisation
    refused("batch_stored_once", make, organisation=own, state="stored")
    for organisation, state in ((own, "taken_back"), (own, "refused"), (None, "stored")):
        make(organisation=organisation, state=state)


@pytest.mark.parametrize("state", BatchState.values)
def test_only_what_is_read_whole_and_not_asked_for_yet_can_be_stored(state):
    assert ImportBatch(state=state).can_be_stored == (state == "checked")
    for stands_in_the_way in ({"fault_count": 1}, {"store_asked": True}):
        assert not ImportBatch(state=state, **stands_in_the_way).can_be_stored


def test_batch_is_worked_on_while_it_waits_is_read_or_is_to_be_stored():
    worked_on = {state for state in BatchState.values if ImportBatch(state=state).is_open}
    assert worked_on == {"waiting", "reading"}
    assert ImportBatch(state="checked", store_asked=True).is_open

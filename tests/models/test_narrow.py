"""Rows with some of their columns are the rows, and what was left out is still there to ask for."""

import pytest
from django.db.models import F

from registry.models import InfiltrationTest
from registry.models.narrow import narrow
from tests.factories import InfiltrationTestFactory

pytestmark = pytest.mark.django_db


def test_narrow_rows_are_the_rows_with_what_was_asked_for(django_assert_num_queries):
    whole = InfiltrationTestFactory(note="beside the gate", doubts=[{"code": "wet_day"}])
    with django_assert_num_queries(1):
        asked = InfiltrationTest.objects.annotate(again=F("run"))
        (row,) = narrow(asked, ("spot_id", "started_on", "doubts"))
        assert row == whole and row.again == whole.run
        assert (row.spot_id, row.started_on) == (whole.spot_id, whole.started_on)
        assert row.doubts == whole.doubts and not row._state.adding
    with django_assert_num_queries(1):
        assert row.note == "beside the gate"

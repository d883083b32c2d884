"""Turned away and called off are events with a cost; the interval keeps running."""

from datetime import UTC, datetime
from decimal import Decimal

import pytest
from django.test import TestCase

from registry.actions.call_off_work_order import call_off_work_order
from registry.models import Cleaning
from registry.planning.faults import CannotMoveOrder
from tests.actions.orders import BY_NOBODY, DAY, asked, lot, moved


class TestCallOffWorkOrder(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot, _ = lot()
        cls.row = moved(asked(cls.lot, reason="permit"), "approved", "dated")

    def setUp(self):
        self.row.refresh_from_db()

    def call_off(self, state="turned_away", why="14 cars in the stalls", **given):
        fields = {"done_on": DAY, "not_done_by": "the driver"} | given
        event = Cleaning(state=state, why_not=why, **fields)
        return call_off_work_order(self.row, event=event, **BY_NOBODY)

    def test_case_48_turned_away_is_kept_with_who_why_clock_and_cost_and_is_no_cleaning(self):
        at = datetime(2024, 5, 20, 11, 5, tzinfo=UTC)
        event = self.call_off(started_at=at, cost=Decimal("350"))
        assert (event.why_not, event.not_done_by) == ("14 cars in the stalls", "the driver")
        assert (event.started_at, event.cost) == (at, Decimal("350"))
        assert not event.is_cleaning and not Cleaning.objects.done().exists()
        move = self.row.moves.last()
        assert (move.to_state, move.cleaning, move.signed_by) == (
            "turned_away",
            event,
            "the driver",
        )

    def test_called_off_is_dated_again_or_dropped(self):
        self.call_off("called_off", "rain from 02:00, 0.4 in")
        moved(self.row, "dated")
        self.call_off("called_off", "surface damp")
        moved(self.row, "dropped")
        assert self.row.state == "dropped" and self.row.cleanings.count() == 2

    def test_no_reason_or_another_state_is_refused_and_nothing_is_stored(self):
        for given, words in ((("turned_away", " "), "Say why"), (("done", "x"), "turned away or")):
            with pytest.raises(CannotMoveOrder, match=words):
                self.call_off(*given)
        assert not Cleaning.objects.exists()

"""The check after: accepted or to redo, the tests after it set beside the cleaning."""

from datetime import date, timedelta

import pytest
from django.test import TestCase

from registry.actions.check_work_order import check_work_order
from registry.models import JournalLine
from registry.planning.faults import CannotMoveOrder
from tests.actions.orders import BY_NOBODY, DAY, asked, done, lot, moved
from tests.factories import InfiltrationTestFactory


class TestCheckWorkOrder(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot, cls.panels = lot()
        cls.row = moved(asked(cls.lot), "approved", "dated")
        cls.cleaning = done(cls.row)

    def setUp(self):
        self.row.refresh_from_db()

    def check(self, verdict="accepted", **given):
        fields = {"on": DAY, "checked_by": "B. Moss", **BY_NOBODY} | given
        return check_work_order(self.row, verdict=verdict, **fields)

    def test_accepted_is_checked_first_and_signed(self):
        self.check()
        states = [(m.to_state, m.signed_by) for m in self.row.moves.all()][-2:]
        assert states == [("checked", "B. Moss"), ("accepted", "B. Moss")]
        self.cleaning.refresh_from_db()
        assert self.cleaning.checked_by == "B. Moss"

    def test_tests_after_it_are_set_beside_the_cleaning_with_a_line(self):
        after = InfiltrationTestFactory(pavement=self.lot, started_on=DAY)
        self.check(after_tests=[after])
        assert list(self.cleaning.after_tests.all()) == [after]
        line = JournalLine.objects.about(self.cleaning).get(verb="checked")
        assert line.changes["after_tests"] == ["", str(after)]

    def test_order_that_was_checked_before_gets_its_verdict_alone(self):
        moved(self.row, "checked")
        self.check("to_redo", why="streaks left")
        assert [m.to_state for m in self.row.moves.all()][-2:] == ["checked", "to_redo"]

    def test_redo_without_a_reason_another_verdict_and_strange_tests_are_refused(self):
        for given, words in (
            ({"verdict": "to_redo"}, "why it is to be redone"),
            ({"verdict": "paid"}, "accepted or to be redone"),
            ({"after_tests": [InfiltrationTestFactory()]}, "not on this pavement"),
        ):
            with pytest.raises(CannotMoveOrder, match=words):
                self.check(**given)
        self.row.refresh_from_db()
        assert self.row.state == "done" and not self.cleaning.after_tests.exists()

    def test_check_before_the_work_or_on_a_day_to_come_is_refused(self):
        for verdict, on, words in (
            ("to_redo", DAY - timedelta(days=1), f"It was “done” on {DAY}"),
            ("accepted", DAY - timedelta(days=1), f"It was “done” on {DAY}"),
            ("to_redo", date(2999, 1, 1), "2999-01-01 lies ahead"),
        ):
            with pytest.raises(CannotMoveOrder, match=words):
                self.check(verdict, on=on, why="streaks left")
        self.row.refresh_from_db()
        self.cleaning.refresh_from_db()
        assert (self.row.state, self.cleaning.checked_by) == ("done", "")

    def test_bill_before_the_check_is_refused(self):
        self.check(on=DAY + timedelta(days=2))
        with pytest.raises(CannotMoveOrder, match=f"It was “accepted” on {DAY + timedelta(2)}"):
            moved(self.row, "billed")

    def test_order_that_was_not_done_is_not_checked(self):
        early = moved(asked(self.lot), "approved", "dated")
        with pytest.raises(CannotMoveOrder, match="cannot go from “dated”"):
            check_work_order(early, verdict="accepted", on=DAY, checked_by="B. Moss", **BY_NOBODY)

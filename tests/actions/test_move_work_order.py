"""An order moves as the house rule says; what a move needs is asked, and back needs a reason."""

from datetime import date

import pytest
from django.test import TestCase

from registry.models import JournalLine
from registry.planning.faults import CannotMoveOrder
from tests.actions.orders import DAY, asked, done, lot, moved
from tests.factories import CrewFactory, OrganisationFactory

LATER = date(2024, 5, 27)


class TestMoveWorkOrder(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot, _ = lot()
        cls.keeper = OrganisationFactory()
        cls.row = asked(cls.lot, cls.keeper)

    def setUp(self):
        self.row.refresh_from_db()

    def test_whole_way_to_paid_is_kept_line_by_line(self):
        moved(self.row, "approved", "dated")
        done(self.row)
        moved(self.row, "checked", "accepted")
        moved(self.row, "billed", invoice="R-88")
        moved(self.row, "paid")
        assert [m.to_state for m in self.row.moves.all()] == [
            "asked_for", "approved", "dated", "done", "checked", "accepted", "billed", "paid",
        ]  # fmt: skip
        assert (self.row.state, self.row.invoice) == ("paid", "R-88")
        assert JournalLine.objects.about(self.row).count() == 8

    def test_approval_is_signed_and_dated(self):
        moved(self.row, "approved", signed_by="B. Moss")
        assert (self.row.approved_by, self.row.approved_on) == ("B. Moss", DAY)

    def test_a_day_is_needed_to_be_dated(self):
        moved(self.row, "approved")
        with pytest.raises(CannotMoveOrder, match="which day"):
            moved(self.row, "dated", dated_for=None)

    def test_another_day_or_crew_is_a_new_line_and_the_same_is_refused(self):
        crew = CrewFactory(organisation=self.keeper)
        moved(self.row, "approved", "dated")
        with pytest.raises(CannotMoveOrder, match="already"):
            moved(self.row, "dated")
        moved(self.row, "dated", crew=crew)
        moved(self.row, "dated", on=LATER, crew=crew)
        days = [(m.dated_for, m.crew) for m in self.row.moves.filter(to_state="dated")]
        assert days == [(DAY, None), (DAY, crew), (LATER, crew)]
        assert (self.row.dated_for, self.row.sweeper) == (LATER, self.keeper)

    def test_back_to_dated_brings_its_day_back_and_back_before_it_takes_the_day_away(self):
        moved(self.row, "approved", "dated")
        moved(self.row, "approved", is_back=True, why="wrong lot")
        assert (self.row.state, self.row.dated_for) == ("approved", None)
        moved(self.row, "dated", on=LATER)
        assert self.row.dated_for == LATER

    def test_back_without_a_reason_or_to_where_it_never_was_is_refused(self):
        moved(self.row, "approved")
        with pytest.raises(CannotMoveOrder, match="needs a reason"):
            moved(self.row, "asked_for", is_back=True)
        with pytest.raises(CannotMoveOrder, match="never “dated”"):
            moved(self.row, "dated", is_back=True, why="slip")

    def test_what_became_of_the_day_is_not_said_without_its_entry(self):
        moved(self.row, "approved", "dated")
        for state in ("done", "in_part", "turned_away", "called_off"):
            with pytest.raises(CannotMoveOrder, match="Write down what was done"):
                moved(self.row, state)

    def test_back_past_a_cleaning_that_stands_is_refused_until_it_is_void(self):
        moved(self.row, "approved", "dated")
        cleaning = done(self.row)
        with pytest.raises(CannotMoveOrder, match="Void that entry first"):
            moved(self.row, "dated", is_back=True, why="not this lot")
        type(cleaning).objects.update(void_at=cleaning.entered_at, void_why="not this lot")
        moved(self.row, "dated", is_back=True, why="not this lot")
        assert (self.row.state, self.row.dated_for) == ("dated", DAY)

    def test_back_within_what_follows_a_cleaning_leaves_it(self):
        moved(self.row, "approved", "dated")
        done(self.row)
        moved(self.row, "checked")
        moved(self.row, "done", is_back=True, why="checked by mistake")
        assert self.row.state == "done"

    def test_void_order_is_not_moved(self):
        type(self.row).objects.update(void_at=self.row.entered_at, void_why="twice")
        with pytest.raises(CannotMoveOrder, match="void"):
            moved(self.row, "approved")

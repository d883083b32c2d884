"""An order is stored with its rows, its spots, a number and its first move."""

import pytest
from django.core.exceptions import ValidationError
from django.test import TestCase

from registry.actions.ask_for_work_order import CannotOrder
from registry.models import JournalLine, WorkOrder
from tests.actions.orders import ASKED_ON, asked, lot
from tests.factories import CrewFactory, OrganisationFactory, PanelFactory, SpotFactory


class TestAskForWorkOrder(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot, cls.panels = lot()
        cls.keeper = OrganisationFactory()

    def ask(self, **given):
        return asked(self.lot, self.keeper, **given)

    def test_rows_tapped_are_kept_and_those_marked_twice(self):
        row = self.ask(covers_all=False, panels=self.panels[:2], twice=[self.panels[1]])
        assert {(p.panel, p.is_twice) for p in row.panels.all()} == {
            (self.panels[0], False),
            (self.panels[1], True),
        }
        assert row.state == "asked_for" and row.organisation == self.keeper

    def test_spots_before_and_after_are_kept(self):
        spot = SpotFactory(pavement=self.lot)
        row = self.ask(before_spots=[spot], after_spots=[spot])
        assert (list(row.before_spots.all()), list(row.after_spots.all())) == ([spot], [spot])

    def test_first_move_is_signed_and_a_line_is_written(self):
        row = self.ask()
        move = row.moves.get()
        assert (move.from_state, move.to_state, move.on) == ("", "asked_for", ASKED_ON)
        assert move.signed_by == "J. Ames"
        assert JournalLine.objects.about(row).get().verb == "asked for"

    def test_numbers_run_on_through_the_year_of_one_organisation(self):
        assert [self.ask().number for _ in range(2)] == ["W-2024-001", "W-2024-002"]
        assert asked(self.lot).number == "W-2024-001"
        assert self.ask(number="PO 77").number == "PO 77"

    def test_number_that_was_typed_by_hand_is_stepped_over(self):
        self.ask(number="W-2024-002")
        assert [self.ask().number for _ in range(2)] == ["W-2024-003", "W-2024-004"]

    def test_number_in_use_is_refused(self):
        self.ask(number="PO 77")
        with pytest.raises(ValidationError):
            self.ask(number="PO 77")

    def test_contradictions_and_strangers_store_nothing(self):
        for given, words in (
            ({"panels": self.panels[:1]}, "choose one"),
            ({"covers_all": False}, "which rows or panels"),
            ({"covers_all": False, "panels": [PanelFactory()]}, "not on this pavement"),
            ({"before_spots": [SpotFactory()]}, "not on this pavement"),
        ):
            with pytest.raises(CannotOrder, match=words):
                self.ask(**given)
        assert not WorkOrder.objects.exists() and not JournalLine.objects.exists()

    def test_latest_day_before_the_earliest_is_refused(self):
        with pytest.raises(ValidationError):
            self.ask(earliest_on="2024-05-03", latest_on="2024-05-02")

    def test_crew_of_a_firm_that_does_not_sweep_it_is_refused(self):
        with pytest.raises(ValidationError, match="crew"):
            self.ask(crew=CrewFactory())

"""Done, and done in part by rows: the rows missed keep the date of their last cleaning."""

import pytest
from django.test import TestCase

from registry.gathering.order_rows import panels_left
from registry.models import Cleaning, PavementStanding
from registry.planning.faults import CannotMoveOrder
from tests.actions.orders import DAY, asked, done, lot, moved


def covered(cleaning):
    return {part.panel.name for part in cleaning.panels.all() if not part.is_missed}


class TestDoWorkOrder(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot, cls.panels = lot()
        cls.whole = moved(asked(cls.lot), "approved", "dated")
        cls.rows = asked(cls.lot, covers_all=False, panels=cls.panels[:3])
        moved(cls.rows, "approved", "dated")

    def setUp(self):
        self.whole.refresh_from_db()
        self.rows.refresh_from_db()

    def test_whole_pavement_done_is_one_cleaning_of_it_all(self):
        cleaning = done(self.whole)
        assert cleaning.covers_all and not cleaning.panels.exists()
        assert (self.whole.state, cleaning.work_order) == ("done", self.whole)
        assert self.whole.moves.last().cleaning == cleaning
        assert PavementStanding.objects.filter(pavement=self.lot).exists()

    def test_rows_of_the_order_done_cover_those_rows_alone(self):
        cleaning = done(self.rows)
        assert not cleaning.covers_all and covered(cleaning) == {"A1", "A2", "A3"}
        assert cleaning.rows_text == "A1, A2, A3"

    def test_rows_missed_are_kept_with_why_and_left_to_do(self):
        cleaning = done(self.rows, "in_part", missed={self.panels[2]: "car left overnight"})
        assert covered(cleaning) == {"A1", "A2"}
        missed = cleaning.panels.get(is_missed=True)
        assert (missed.panel, missed.why) == (self.panels[2], "car left overnight")
        assert (self.rows.state, panels_left(self.rows)) == ("in_part", [self.panels[2]])

    def test_the_rest_is_done_on_another_day_and_covers_only_the_rest(self):
        done(self.whole, "in_part", missed={self.panels[0]: "car", self.panels[1]: "car"})
        moved(self.whole, "dated")
        second = done(self.whole)
        assert not second.covers_all and covered(second) == {"A1", "A2"}
        assert panels_left(self.whole) == [] and self.whole.state == "done"

    def test_to_redo_asks_for_every_row_again(self):
        done(self.rows)
        moved(self.rows, "checked", "to_redo")
        assert panels_left(self.rows) == self.panels[:3]
        moved(self.rows, "dated")
        assert covered(done(self.rows)) == {"A1", "A2", "A3"}

    def test_part_without_a_row_named_claims_none(self):
        cleaning = done(self.rows, "in_part", missed_why="hose split", area_m2=269.0)
        assert not cleaning.covers_all and not cleaning.panels.exists()

    def test_contradictions_store_nothing_and_move_nothing(self):
        first, last = self.panels[0], self.panels[3]
        for given, words in (
            ({"missed": {first: "car"}}, "then the order is done in part"),
            ({"state": "in_part", "missed": {first: " "}}, "why these were missed: A1"),
            ({"state": "in_part"}, "what was not done, and why"),
            ({"state": "in_part", "missed": {last: "car"}}, "Not of this order.*A4"),
            ({"state": "in_part", "missed": dict.fromkeys(self.panels[:3], "car")}, "Every row"),
            ({"state": "turned_away"}, "done or done in part"),
        ):
            with pytest.raises(CannotMoveOrder, match=words):
                done(self.rows, **given)
        assert not Cleaning.objects.exists()
        self.rows.refresh_from_db()
        assert self.rows.state == "dated"

    def test_order_that_is_not_dated_is_not_done_and_its_cleaning_is_not_stored(self):
        early = asked(self.lot)
        with pytest.raises(CannotMoveOrder, match="cannot go from “asked for”"):
            done(early, on=DAY)
        assert not Cleaning.objects.exists()

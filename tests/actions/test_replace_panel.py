"""New concrete under an old name: the old record ends, and no rate carries over."""

from datetime import date

import pytest
from django.test import TestCase

from registry.actions.end_panel import PanelIsOver
from registry.actions.replace_panel import replace_panel
from registry.models import JournalLine
from tests.actions.plans import NOBODY, drawn_lot, panel_of
from tests.factories import SpotFactory

PLACED_ANEW = date(2024, 8, 4)


class TestReplacePanel(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = drawn_lot()
        cls.old = panel_of(cls.lot, "B1")
        own = {"pavement": cls.lot, "panel": cls.old}
        cls.point = SpotFactory(**own, name="U", stratum="run_on_edge", right_m=4.5, up_m=2.0)
        cls.drawn = SpotFactory(**own, name="draw 1 S1", is_fixed=False)
        cls.new = replace_panel(cls.old, placed_on=PLACED_ANEW, why="crack", **NOBODY)

    def test_new_panel_has_the_name_and_place_of_the_old_and_a_day_of_its_own(self):
        assert (self.new.name, self.new.right_m, self.new.replaces) == ("B1", 3.0, self.old)
        assert self.new.placed_on == self.new.exists_from_on == PLACED_ANEW
        self.old.refresh_from_db()
        assert (self.old.exists_to_on, self.old.ended_as) == (PLACED_ANEW, "replaced")

    def test_spots_end_and_only_the_fixed_point_begins_anew_in_its_stratum(self):
        assert self.lot.spots.filter(ended_on=PLACED_ANEW).count() == 2
        [spot] = self.lot.spots.fixed()
        assert (spot.name, spot.panel, spot.stratum) == ("B1 new", self.new, "run_on_edge")
        assert (spot.right_m, spot.up_m, spot.concrete_placed_on) == (4.5, 2.0, PLACED_ANEW)

    def test_journal_tells_it_of_both(self):
        assert JournalLine.objects.about(self.new).get(verb="placed").why == "crack"
        line = JournalLine.objects.about(self.old).get(verb="replaced")
        assert line.changes == {"placed_on": ["2023-04-01", "2024-08-04"]}

    def test_panel_is_replaced_once(self):
        with pytest.raises(PanelIsOver):
            replace_panel(self.old, placed_on=date(2025, 1, 1), why="again", **NOBODY)
        assert self.lot.panels.filter(replaces=self.old).count() == 1

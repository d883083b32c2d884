"""A panel taken out for good ends with the spots in it; every old record stays."""

from datetime import date

import pytest
from django.test import TestCase

from registry.actions.end_panel import PanelIsOver, end_panel
from registry.models import JournalLine
from tests.actions.plans import NOBODY, PLACED, drawn_lot, panel_of
from tests.factories import SpotFactory

OUT = date(2024, 8, 4)


class TestEndPanel(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = drawn_lot()
        cls.panel = panel_of(cls.lot, "B1")
        cls.named = SpotFactory(pavement=cls.lot, panel=cls.panel)
        cls.by_numbers = SpotFactory(pavement=cls.lot, right_m=4.5, up_m=2.0)
        cls.next_door = SpotFactory(pavement=cls.lot, panel=panel_of(cls.lot, "A1"))

    def end(self, on=OUT):
        return end_panel(self.panel, on=on, why="tree pit", **NOBODY)

    def test_panel_and_the_spots_in_it_end_that_day(self):
        self.end()
        ended = self.lot.spots.filter(ended_on=OUT)
        assert set(ended) == {self.named, self.by_numbers}
        assert ended.first().ended_why == "panel removed on 2024-08-04"
        self.panel.refresh_from_db()
        assert (self.panel.exists_to_on, self.panel.ended_as) == (OUT, "removed")

    def test_line_says_why(self):
        self.end()
        line = JournalLine.objects.about(self.panel).get(verb="removed")
        assert (line.why, line.changes["exists_to_on"]) == ("tree pit", ["", "2024-08-04"])

    def test_panel_ends_once_and_after_it_began(self):
        with pytest.raises(PanelIsOver, match="began on 2023-04-01"):
            self.end(on=PLACED)
        self.end()
        with pytest.raises(PanelIsOver, match="has ended already"):
            self.end(on=date(2025, 1, 1))
        self.panel.refresh_from_db()
        assert self.panel.exists_to_on == OUT

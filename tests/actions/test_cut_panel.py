"""A saw cut ends a panel in two parts; the concrete and its placing day go on."""

from datetime import date

import pytest
from django.test import TestCase

from registry.actions.cut_panel import cut_panel
from registry.actions.end_panel import PanelIsOver
from registry.models import JournalLine
from registry.plan.faults import PlanError
from tests.actions.plans import NOBODY, PLACED, drawn_lot, panel_of

CUT = date(2024, 8, 4)


class TestCutPanel(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = drawn_lot()
        cls.panel = panel_of(cls.lot, "B1")

    def cut(self, at_m=1.0, across="up", on=CUT):
        return cut_panel(self.panel, on=on, at_m=at_m, across=across, why="main", **NOBODY)

    def test_part_a_lies_on_the_home_side_and_b_beyond_the_line(self):
        home, far = self.cut()
        assert [(p.name, p.up_m, p.length_m) for p in (home, far)] == [
            ("B1a", 0.0, 1.0),
            ("B1b", 1.0, 3.0),
        ]
        assert {p.cut_from for p in (home, far)} == {self.panel}
        assert {(p.placed_on, p.exists_from_on) for p in (home, far)} == {(PLACED, CUT)}

    def test_cut_panel_ends_that_day_with_a_line_naming_its_parts(self):
        self.cut(across="right")
        self.panel.refresh_from_db()
        assert (self.panel.exists_to_on, self.panel.ended_as) == (CUT, "cut")
        line = JournalLine.objects.about(self.panel).get(verb="cut")
        assert line.changes["cut_into"] == ["", "B1a and B1b"]

    def test_line_outside_the_panel_cuts_nothing(self):
        for at_m in (0.0, 4.0, 9.0):
            with pytest.raises(PlanError):
                self.cut(at_m)
        assert panel_of(self.lot, "B1") == self.panel

    def test_panel_is_cut_once_and_not_before_it_was_there(self):
        with pytest.raises((PanelIsOver, PlanError)):
            self.cut(on=PLACED)
        self.cut()
        with pytest.raises((PanelIsOver, PlanError)):
            self.cut(on=date(2025, 1, 1))
        assert self.lot.panels.filter(cut_from=self.panel).count() == 2

"""A panel is added to a plan or put right only where the plan holds together afterwards."""

import pytest
from django.test import TestCase

from registry.actions.change_panel import NoPlan, add_panel, correct_panel
from registry.gathering.layouts import current_plan
from registry.models import Panel
from registry.models.entry import Change
from registry.plan.faults import PlaceError, PlanError
from tests.actions.plans import NOBODY, drawn_lot, panel_of
from tests.factories import PavementFactory


class TestChangePanel(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = drawn_lot()

    def panel(self, **fields):
        given = {"name": "c1", "right_m": 6.0, "up_m": 0.0, "width_m": 3.0, "length_m": 4.0}
        return Panel(**{"pavement": self.lot} | given | fields)

    def test_panel_comes_onto_the_plan_in_force_under_its_name_as_printed(self):
        row = add_panel(self.panel(), **NOBODY)
        assert (row.name, row.plan) == ("C1", current_plan(self.lot))

    def test_panel_on_top_of_another_is_refused_whole(self):
        before = Panel.objects.count()
        with pytest.raises(PlanError):
            add_panel(self.panel(right_m=5.0), **NOBODY)
        assert Panel.objects.count() == before

    def test_name_that_no_plan_has_is_refused(self):
        with pytest.raises(PlaceError):
            add_panel(self.panel(name="north end"), **NOBODY)

    def test_without_a_plan_there_is_nothing_to_put_it_on(self):
        with pytest.raises(NoPlan, match="Draw a plan first"):
            add_panel(self.panel(pavement=PavementFactory()), **NOBODY)

    def test_measure_is_put_right_by_a_line_and_never_onto_a_neighbour(self):
        row = panel_of(self.lot, "A1")
        narrow = {"width_m": Change(2.5, "2.5 m")}
        assert correct_panel(row, changes=narrow, why="taped", **NOBODY).width_m == 2.5
        with pytest.raises(PlanError):
            correct_panel(row, changes={"width_m": Change(3.5, "")}, why="taped", **NOBODY)
        row.refresh_from_db()
        assert row.width_m == 2.5

"""A new plan never overwrites the old one, and the concrete goes on."""

from datetime import date

import pytest
from django.test import TestCase

from registry.actions.draw_plan import CannotDraw, grid_of_panels, names_by_place
from registry.gathering.layouts import current_plan
from registry.models import Plan
from registry.plan.faults import PlanError
from tests.actions.plans import PLACED, draw, drawn_lot, panel_of

LATER = date(2024, 4, 1)


def renamed():
    """The same ground with its lanes drawn as three of 2 m."""
    return grid_of_panels((2.0, 2.0, 2.0), (4.0, 4.0))


class TestDrawPlan(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = drawn_lot()

    def test_lanes_go_right_and_numbers_go_up(self):
        placed = {p.name: (p.right_m, p.up_m) for p in self.lot.panels.all()}
        assert placed == {"A1": (0, 0), "A2": (0, 4), "B1": (3, 0), "B2": (3, 4)}

    def test_old_panels_end_on_the_day_of_the_new_plan_and_stay_readable(self):
        plan = draw(self.lot, LATER, renamed())
        assert (plan.number, current_plan(self.lot)) == (2, plan)
        old = self.lot.panels.filter(ended_as="redrawn")
        assert {(p.name, p.exists_to_on) for p in old} == {
            (name, LATER) for name in ("A1", "A2", "B1", "B2")
        }

    def test_new_panel_keeps_the_placing_day_of_the_concrete_under_its_middle(self):
        draw(self.lot, LATER, renamed())
        new = panel_of(self.lot, "C2")
        assert (new.placed_on, new.exists_from_on) == (PLACED, LATER)

    def test_plan_without_a_day_or_no_later_than_the_last_is_refused(self):
        for day, words in ((None, "on which day"), (PLACED, "later date")):
            with pytest.raises(CannotDraw, match=words):
                draw(self.lot, day, renamed())
        assert Plan.objects.count() == 1

    def test_plan_by_which_nothing_has_a_place_is_refused(self):
        with pytest.raises(CannotDraw, match="nothing has a place"):
            draw(self.lot, LATER, [])

    def test_panels_on_top_of_each_other_store_nothing(self):
        panels = renamed()
        panels[1].up_m = 1.0
        with pytest.raises(PlanError):
            draw(self.lot, LATER, panels)
        assert Plan.objects.count() == 1 and not self.lot.panels.exclude(exists_to_on=None).exists()

    def test_number_of_a_void_plan_is_not_used_again(self):
        void = {"void_at": "2024-01-01T00:00Z", "void_why": "mirrored"}
        Plan.objects.update(**void)
        self.lot.panels.update(**void)
        assert draw(self.lot, LATER, renamed()).number == 2

    def test_old_names_are_proposed_by_place(self):
        plan = Plan(pavement=self.lot, kind="panels", drawn_on=LATER)
        panels = grid_of_panels((3.0, 3.0), (4.0, 4.0))
        for panel in panels:
            panel.name = panel.name.replace("A", "C").replace("B", "D")
        assert names_by_place(plan, panels) == {"A1": "C1", "A2": "C2", "B1": "D1", "B2": "D2"}

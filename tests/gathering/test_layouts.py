"""Rows of a plan become the layout of its day: the plan in force, and the one a sheet showed."""

from datetime import date

from django.test import TestCase

from registry.gathering.layouts import assemble_layout, current_plan, layout_of, layout_on, plan_on
from registry.models import Pavement, Plan
from registry.plan.features import FeatureKind
from registry.units import System
from tests.factories import PanelFactory, PavementFactory, PlanFactory

FIRST, SECOND = date(2023, 4, 1), date(2024, 4, 1)


class TestLayouts(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = PavementFactory(sheet_system="si")
        own = {"pavement": cls.lot}
        cls.old, cls.new = PlanFactory(**own, drawn_on=FIRST), PlanFactory(**own, drawn_on=SECOND)
        PanelFactory(**own, plan=cls.old, name="A1", exists_to_on=SECOND)
        PanelFactory(**own, plan=cls.new, name="B1")
        PanelFactory(**own, name="C1", right_m=10.0, void_at="2024-05-01T00:00Z", void_why="x")

    def names(self, layout):
        return {panel.name for panel in layout.panels}

    def test_plan_in_force_is_the_newest_that_stands(self):
        assert current_plan(self.lot) == self.new
        Plan.objects.filter(pk=self.new.pk).update(void_at="2024-05-01T00:00Z", void_why="x")
        assert current_plan(self.lot) == self.old

    def test_plan_of_a_day_and_the_first_for_days_before_any(self):
        days = (date(2020, 1, 1), FIRST, date(2024, 3, 31), SECOND)
        assert [plan_on(self.lot, day).number for day in days] == [
            self.old.number, self.old.number, self.old.number, self.new.number,
        ]  # fmt: skip
        assert plan_on(PavementFactory(), FIRST) is None

    def test_each_plan_has_its_own_panels_and_void_ones_are_on_none(self):
        assert self.names(layout_of(self.lot)) == {"B1"}
        assert self.names(layout_on(self.old, self.lot)) == {"A1"}

    def test_system_is_that_of_the_pavements_sheets_unless_another_is_asked(self):
        assert layout_of(self.lot).system == System.SI
        assert layout_of(self.lot, system="inch_pound").system == System.INCH_POUND

    def test_without_a_plan_there_is_no_layout(self):
        assert layout_of(PavementFactory()) is None


def assembled(**fields):
    return assemble_layout(Plan(number=1, **fields), (), Pavement(), System.SI)


def test_plan_that_names_no_places_is_no_layout():
    assert assembled(kind="panels") is None
    assert assembled(kind="stations", baseline=[[0, 0]]) is None
    assert assembled(kind="squares", outline=[[0, 0], [9, 9]]) is None


def test_squares_cover_the_outline_and_stations_follow_the_baseline():
    outline = [[0, 0], [9.1, 0], [9.1, 6], [0, 6]]
    squares = assembled(kind="squares", outline=outline, square_m=3.0).squares
    assert (squares.rights, squares.ups) == (4, 2)
    path = assembled(kind="stations", baseline=[[0, 0], [0, 30]], width_m=2.0)
    assert path.baseline.width_m == 2.0


def test_arrow_of_run_on_has_both_its_ends():
    arrow = {"kind": "run_on", "name": "aisle", "right_m": 5, "up_m": 1, "to": [4, 1]}
    layout = assembled(kind="stations", baseline=[[0, 0], [0, 9]], features=[arrow])
    [found] = layout.features
    assert (found.kind, found.points) == (FeatureKind.RUN_ON, ((5.0, 1.0), (4.0, 1.0)))

"""The ground that spots are drawn on: what has to be written down first, and what is in the way."""

from datetime import date

import pytest
from django.test import TestCase

from registry.gathering.drawing_ground import blocked_by_plan, drawing_ground
from registry.measuring.reading import Stratum as Name
from registry.measuring.spots import SpotError
from registry.models import Stratum
from registry.units import System
from tests.factories import PavementFactory, SpotFactory
from tests.plan.layouts import BEFORE, north_lot

ON = date(2024, 6, 1)


class TestDrawingGround(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = PavementFactory(sheet_system="si", area_m2=100.0)
        cls.edge = cls.stratum("run_on_edge", [[0, 0, 2, 10]])
        cls.field = cls.stratum("field", [[2, 0, 8, 10]])

    @classmethod
    def stratum(cls, kind, rectangles):
        return Stratum.objects.create(pavement=cls.lot, kind=kind, rectangles=rectangles)

    def ground(self):
        return drawing_ground(self.lot, None, on=ON)

    def test_edge_takes_two_at_least_and_the_larger_stratum_what_is_left(self):
        ground = self.ground()
        assert ground.least == {Name.RUN_ON_EDGE: 2, Name.FIELD: 1}
        assert sum(ground.proposed.values()) == max(ground.required, 3)
        assert ground.counted_in == System.SI

    def test_what_is_missing_is_asked_for_by_name(self):
        Stratum.objects.filter(pk=self.field.pk).update(rectangles=[])
        with pytest.raises(SpotError, match="where on the plan this lies first: stalls or middle"):
            self.ground()
        Stratum.objects.all().delete()
        with pytest.raises(SpotError, match="No strata"):
            self.ground()
        self.lot.area_m2 = None
        with pytest.raises(SpotError, match="area of the pavement is not known"):
            self.ground()

    def test_fixed_points_on_the_plan_are_known_and_others_are_not(self):
        SpotFactory(pavement=self.lot, name="U", right_m=1.0, up_m=2.0)
        SpotFactory(pavement=self.lot, name="in words alone")
        assert [(p.name, p.right_m) for p in self.ground().fixed] == [("U", 1.0)]


def test_joints_and_edges_are_in_the_way_and_so_are_drains_but_no_arrow():
    whys = {blocked.reason for blocked in blocked_by_plan(north_lot(), BEFORE)}
    assert "on a joint or edge of D11" in whys and len(whys) >= 44
    assert not any("aisle" in why for why in whys)

"""Random spots come from a seed that is written down; one in the way gives place to a spare."""

from datetime import date

import pytest
from django.test import TestCase

from registry.actions.draw_spots import SPARES, CannotDrawSpots, draw_spots, skip_spot
from registry.measuring.spots import SpotError
from registry.models import SpotDraw, Stratum
from tests.actions.plans import NOBODY, drawn_lot
from tests.factories import SpotFactory

TODAY = date(2024, 6, 1)
GROUND = [[0.0, 0.0, 6.0, 8.0]]


class TestDrawSpots(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = drawn_lot(area_m2=48.0)
        Stratum.objects.create(pavement=cls.lot, kind="field", rectangles=GROUND)

    def draw(self, seed=7, count=3, **more):
        given = {"seed": seed, "counts": {"field": count}, "today": TODAY}
        return draw_spots(self.lot, **given, **NOBODY, **more)

    def test_same_seed_and_ground_give_the_same_draw_and_another_seed_another(self):
        first, again, other = self.draw(), self.draw(), self.draw(seed=8)
        assert first.result == again.result != other.result
        assert [row.number for row in (first, again, other)] == [1, 2, 3]

    def test_counted_spots_are_stored_and_spares_kept_in_the_draw(self):
        row = self.draw()
        names = {spot.name for spot in row.spots.all()}
        assert names == {"draw 1 S1", "draw 1 S2", "draw 1 S3"}
        assert len(row.result["spots"]) == 3 + SPARES
        assert not row.spots.filter(panel=None).exists()

    def test_fewer_spots_than_the_area_asks_for_are_refused(self):
        with pytest.raises(CannotDrawSpots, match="At least 3 spots"):
            self.draw(count=2)
        Stratum.objects.all().delete()
        with pytest.raises(SpotError, match="No strata"):
            self.draw()
        assert not SpotDraw.objects.exists()

    def test_what_is_in_the_way_is_not_drawn_on(self):
        row = self.draw(in_the_way={"parked trailer": [0.0, 0.0, 6.0, 5.0]})
        assert min(spot.up_m for spot in row.spots.all()) > 5.0

    def test_skipped_spot_gives_place_to_the_next_spare_until_none_is_left(self):
        row = self.draw()
        spares = [told["order"] for told in row.result["spots"] if told["spare"]]
        spot = row.spots.get(draw_order=1)
        for order in spares:
            new = skip_spot(spot, on=TODAY, why="manhole", **NOBODY)
            spot.refresh_from_db()
            assert (spot.ended_why, new.draw_order) == ("skipped: manhole", order)
            spot = new
        with pytest.raises(CannotDrawSpots, match="No spare"):
            skip_spot(spot, on=TODAY, why="manhole", **NOBODY)

    def test_fixed_point_is_not_skipped(self):
        with pytest.raises(CannotDrawSpots, match="a fixed point ends"):
            skip_spot(SpotFactory(pavement=self.lot), on=TODAY, why="manhole", **NOBODY)

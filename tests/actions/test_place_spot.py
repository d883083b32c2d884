"""A fixed point is placed by the words of its place, on the plan of the day."""

from datetime import date

import pytest
from django.test import TestCase

from registry.actions.place_spot import correct_spot, place_spot
from registry.models import Plan, Spot
from registry.models.entry import Change
from registry.plan.faults import PlaceError
from registry.units import System
from tests.actions.plans import NOBODY, PLACED, drawn_lot
from tests.factories import PavementFactory

TODAY = date(2024, 6, 1)


class TestPlaceSpot(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = drawn_lot()

    def place(self, text, pavement=None):
        spot = Spot(pavement=pavement or self.lot, name="U", place=text)
        return place_spot(spot, system=System.SI, today=TODAY, **NOBODY)

    def correct(self, spot, text):
        changes = {"place": Change(text, text)}
        given = {"system": System.SI, "today": TODAY, "why": "taped again"}
        return correct_spot(spot, changes=changes, **given, **NOBODY)

    def test_place_gives_the_point_the_panel_and_the_age_of_its_concrete(self):
        spot = self.place("b2 r 1 u 2.5")
        assert (spot.right_m, spot.up_m) == (pytest.approx(4.0), pytest.approx(6.5))
        assert (spot.panel.name, spot.concrete_placed_on) == ("B2", PLACED)
        assert spot.as_written["place"] == "b2 r 1 u 2.5"

    def test_place_that_is_on_no_panel_stores_nothing(self):
        with pytest.raises(PlaceError):
            self.place("B2 R 3.5 U 2.5")
        assert not Spot.objects.exists()

    def test_without_a_plan_the_words_alone_are_kept(self):
        spot = self.place("B2 R 1 U 2.5", PavementFactory(sheet_system="si"))
        assert (spot.place, spot.right_m, spot.panel) == ("B2 · 1.00 R · 2.50 U", None, None)

    def test_place_is_provisional_while_the_datum_is_gone(self):
        Plan.objects.update(datum_lost_on=date(2024, 5, 1))
        assert self.place("B2 R 1 U 2.5").note.startswith("Place provisional")

    def test_corrected_place_moves_the_point_and_an_empty_one_takes_it_away(self):
        spot = self.correct(self.place("B2 R 1 U 2.5"), "A1 R 1 U 1")
        assert (spot.right_m, spot.up_m, spot.panel.name) == (1.0, 1.0, "A1")
        spot = self.correct(spot, "")
        assert (spot.right_m, spot.up_m, spot.panel) == (None, None, None)

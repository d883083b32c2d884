"""The card wins, then memory; a position picks a lot at most, and raises doubts."""

import re

import pytest

from registry.imaging import KnownBy, SaidPlace, place_by
from registry.imaging.photo_place import distance_m
from tests.imaging.lots import FAR, LOTS, OURS, position

CARD = SaidPlace("canal", "C8")


def test_the_card_names_the_panel():
    found = place_by(CARD, None, None, LOTS)
    assert (found.lot_key, found.panel, found.known_by) == ("canal", "C8", KnownBy.CARD)
    assert found.doubts == ()


def test_the_card_wins_over_memory_and_the_difference_is_shown():
    found = place_by(CARD, SaidPlace("canal", "C9"), None, LOTS)
    assert (found.panel, found.known_by) == ("C8", KnownBy.CARD)
    assert found.doubts == (
        "The card says Canal lot, panel C8, memory says Canal lot, panel C9; the card is followed.",
    )


def test_memory_stands_where_there_is_no_card_and_is_marked():
    found = place_by(None, SaidPlace("mill", "A1"), position(45, 20), LOTS)
    assert (found.lot_key, found.panel, found.known_by) == ("mill", "A1", KnownBy.MEMORY)
    assert found.doubts == ()


def test_a_position_well_inside_a_lot_picks_that_lot_and_never_a_panel():
    found = place_by(None, None, position(515, 20), LOTS)
    assert (found.lot_key, found.panel, found.known_by) == ("hill", None, KnownBy.POSITION)


def test_a_position_whose_error_reaches_two_lots_picks_neither_and_offers_both():
    found = place_by(None, None, position(28, 20, 5), LOTS)
    assert (found.lot_key, found.known_by) == (None, KnownBy.NOT_PLACED)
    assert found.lots_near == ("canal", "mill")
    assert "Canal lot, Mill lot" in found.doubts[0]


def test_a_position_without_a_stated_error_is_given_a_wide_one():
    assert place_by(None, None, position(18, 20, 5), LOTS).lot_key == "canal"
    assert place_by(None, None, position(18, 20, None), LOTS).lot_key is None


def test_a_position_far_from_every_lot_places_nothing():
    found = place_by(None, None, position(5000, 0), LOTS)
    assert (found.lot_key, found.known_by, found.doubts) == (None, KnownBy.NOT_PLACED, ())


def test_a_position_far_from_the_cards_lot_is_a_doubt():
    found = place_by(CARD, None, position(5000, 20), LOTS)
    assert found.panel == "C8"
    assert re.search(r"lies 49\d\d m \(16\d\d\d ft\) from Canal lot; its device", found.doubts[0])


def test_a_position_just_off_the_lot_within_its_error_is_no_doubt():
    assert place_by(CARD, None, position(-3, 20, 5), LOTS).doubts == ()
    assert place_by(CARD, None, position(-9, 20, 5), LOTS).doubts != ()


def test_nothing_known_is_not_placed():
    assert place_by(None, None, None, LOTS).known_by is KnownBy.NOT_PLACED


@pytest.mark.parametrize(
    ("east", "north", "metres"), [(15, 20, 0), (-10, 20, 10), (40, 20, 10), (-30, 80, 50)]
)
def test_distances_are_right_to_a_hundredth(east: float, north: float, metres: float):
    assert distance_m(position(east, north), OURS) == pytest.approx(metres, rel=0.01)


def test_distances_hold_over_half_a_kilometre():
    assert distance_m(position(0, 20), FAR) == pytest.approx(500, rel=0.01)

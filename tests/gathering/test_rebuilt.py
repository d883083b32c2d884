"""Where a lost datum was, in words that a crew can walk to."""

import pytest

from registry.gathering.rebuilt import from_joints, from_ties
from registry.plan.faults import PlanError
from registry.units import System


def ties(first_tie, second_tie):
    given = {"first": [(0.0, 0.0)], "second": [(5.0, 0.0)]}
    return from_ties(given | {"first_tie": first_tie, "second_tie": second_tie}, System.SI)


def test_two_ties_meet_in_two_places_on_either_side():
    # A triangle of 3, 4 and 5: 1.8 along and 2.4 across, by hand.
    found = ties(3.0, 4.0)
    assert found.places == ("R 1.8 m, U 2.4 m", "R 1.8 m, back 2.4 m")
    assert (found.misfit, "which of them" in found.told) == ("0 m", True)


def test_ties_that_do_not_meet_give_one_place_and_the_gap():
    found = ties(2.0, 2.0)
    assert found.places == ("R 2.5 m, U 0 m",)
    assert (found.misfit, "do not meet" in found.told) == ("1 m", True)


def test_joints_found_again_put_the_datum_back_where_it_was():
    joints = [((0.0, 4.0), (1.0, 6.0)), ((4.0, 0.0), (5.0, 2.0)), ((4.0, 4.0), (5.0, 6.0))]
    found = from_joints({"joints": joints}, System.SI)
    assert (found.places, found.misfit) == (("R 1 m, U 2 m",), "0 m")
    with pytest.raises(PlanError, match="three joints"):
        from_joints({"joints": joints[:2]}, System.SI)

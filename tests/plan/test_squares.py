"""Squares for pavers without joints to count, g(1,1) at the datum."""

import pytest

from registry.plan.faults import PlaceError, PlanError
from registry.plan.squares import MOST_ASIDE, Squares, squares_over
from registry.units import System

FIELD = Squares(4, 3, 3.0)


@pytest.mark.parametrize(
    ("point", "square"),
    [
        ((0.0, 0.0), (1, 1)),
        ((3.0, 3.0), (1, 1)),  # on a line: the side of the datum
        ((3.01, 2.99), (2, 1)),
        ((12.0, 9.0), (4, 3)),
        ((12.1, 9.0), None),
        ((-0.1, 1.0), None),
    ],
)
def test_point_lies_in_one_square_or_none(point, square):
    assert FIELD.square_at(*point) == square


def test_home_corner_of_each_square_is_the_nearest_to_the_datum():
    assert FIELD.home_of(1, 1) == (0.0, 0.0)
    assert FIELD.home_of(4, 3) == (9.0, 6.0)
    with pytest.raises(PlaceError, match=r"g\(5,1\) is not on this plan"):
        FIELD.home_of(5, 1)


def test_part_of_a_square_counts_as_one_and_a_hair_does_not():
    assert squares_over(12.0, 9.1, System.SI) == Squares(4, 4, 3.0)
    assert squares_over(6 * 3.048, 3.048, System.INCH_POUND) == Squares(6, 1, 3.048)


def test_field_has_a_square_and_not_endlessly_many():
    for rights, ups, side in ((0, 1, 3.0), (1, 1, 0.0), (MOST_ASIDE + 1, 1, 3.0)):
        with pytest.raises(PlanError):
            Squares(rights, ups, side)

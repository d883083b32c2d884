"""Every mark has lines of its own, at its place, size and turn."""

import math

import pytest

from registry.drawing.primitives import Area, Circle, Mark, Polyline, Role, Symbol, Text
from registry.drawing.symbols import lines_of

AT = (50.0, 30.0)
OF_CHARTS = {
    Symbol.DISC, Symbol.SQUARE, Symbol.TRIANGLE, Symbol.DIAMOND, Symbol.HEXAGON, Symbol.STAR,
    Symbol.BELOW, Symbol.ABOVE, Symbol.BROOM,
}  # fmt: skip
OF_PLANS = set(Symbol) - OF_CHARTS - {Symbol.ARROW}
"""The arrow of "up", in the corner of a plan, is drawn as that of a photo, which has its number."""


def points_of(mark):
    for item in lines_of(mark):
        if isinstance(item, Circle):
            yield from ((item.centre[0] + item.radius_mm, item.centre[1]), item.centre)
        elif isinstance(item, Text):
            yield item.at
        else:
            assert isinstance(item, Area | Polyline)
            yield from item.points


@pytest.mark.parametrize("marks", [OF_CHARTS, OF_PLANS])
def test_no_two_marks_of_one_picture_look_alike(marks):
    shapes = {symbol: lines_of(Mark(AT, symbol)) for symbol in marks}
    assert all(shapes.values()) and len(set(shapes.values())) == len(marks)


@pytest.mark.parametrize("symbol", Symbol)
def test_mark_lies_within_its_size_round_its_place(symbol):
    assert max(math.dist(AT, point) for point in points_of(Mark(AT, symbol, 4.0))) <= 4.0


def test_mark_grows_with_its_size_and_turns_clockwise():
    small, large = (
        max(math.dist(AT, p) for p in points_of(Mark(AT, Symbol.ARROW, size))) for size in (2, 4)
    )
    assert large == pytest.approx(2 * small)
    tips = [lines_of(Mark(AT, Symbol.ARROW, 4.0, turn_deg=t))[0].points[-1] for t in (0, 90)]
    assert tips == [pytest.approx((50.0, 28.0)), pytest.approx((52.0, 30.0))]


def test_hollow_mark_is_filled_with_paper_and_keeps_its_edge():
    full, hollow = (lines_of(Mark(AT, Symbol.SQUARE, hollow=h))[0] for h in (False, True))
    assert (full.fill, hollow.fill, hollow.edge) == (Role.INK, Role.PAPER, Role.INK)

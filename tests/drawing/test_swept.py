"""What is to sweep is hatched, twice crossed, and said in words; a small picture has no more."""

from datetime import date

import pytest

from registry.drawing.hatches import Hatch, hatched
from registry.drawing.plan_marks import SweptArea
from registry.drawing.plan_picture import plan_picture
from registry.drawing.primitives import Strokes, Text
from registry.units import System
from tests.plan.layouts import north_lot

DAY = date(2026, 5, 11)
SQUARE = ((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0))


def drawn(*swept, is_small=False, size=(120.0, 110.0)):
    return plan_picture(
        north_lot(), on=DAY, size_mm=size, system=System.SI, swept=swept, is_small=is_small
    )


def area(name="A1", *, is_twice=False):
    panel = next(p for p in north_lot().panels_on(DAY) if p.name == name)
    return SweptArea(tuple(panel.polygon.exterior.coords), is_twice)


def words_of(picture):
    return " ".join(item.text for item in picture.items if isinstance(item, Text))


def test_twice_has_twice_the_lines_of_once_so_that_no_colour_is_needed():
    once, twice = hatched(SQUARE, Hatch.TO_SWEEP), hatched(SQUARE, Hatch.TO_SWEEP_TWICE)
    assert len(twice.lines) == pytest.approx(2 * len(once.lines), abs=4)


def test_legend_names_what_is_there_once_each():
    both = words_of(drawn(area(), area("A2"), area("B1", is_twice=True)))
    assert both.count("to sweep twice") == 1 and both.count("to sweep") == 2
    assert "to sweep" not in words_of(drawn())


def test_hatches_lie_where_the_panels_lie():
    strokes = [item for item in drawn(area()).items if isinstance(item, Strokes)]
    bare = [item for item in drawn().items if isinstance(item, Strokes)]
    assert len(strokes) == len(bare) + 2  # the panel, and its sign in the legend


def test_small_picture_fits_where_a_whole_one_does_not_and_leaves_out_datum_and_scale():
    small = words_of(drawn(area(), is_small=True, size=(98.0, 41.0)))
    assert "to sweep" in small and "datum" not in small and " m" not in small

"""Photos on a plan picture: signs that do not hide what is drawn, turned with the plan."""

import math

import pytest
import shapely

from registry.drawing import Mark, Symbol, plan_picture
from registry.drawing.plan_marks import DefectMark, PhotoMark
from registry.drawing.primitives import Circle, Group, every_item
from registry.plan import PlanShape
from tests.drawing.pictures import FEET, TODAY, lot_shape, tree
from tests.plan.layouts import north_lot

WORDS = {"href": "/photos/1/", "title": "photo 1"}


def drawn(*photos, size=(130.0, 130.0), defects=()):
    drawing = plan_picture(
        north_lot(), on=TODAY, size_mm=size, system=FEET, photos=photos, known_defects=defects
    )
    tree(drawing)
    return drawing, [i for i in drawing.items if isinstance(i, Group) and i.href == "/photos/1/"]


def mark(x, y, turn=None, **more):
    return PhotoMark(PlanShape(shapely.Point(x, y)), turn, **WORDS, **more)


@pytest.mark.parametrize(("size", "turned"), [((90.0, 260.0), 0), ((260.0, 90.0), 90)])
def test_the_sign_is_turned_with_the_plan(size, turned):
    _, (group,) = drawn(mark(2.0, 9.0, 180.0), size=size)
    sign = next(item for item in group.items if isinstance(item, Mark))
    assert (sign.symbol, sign.turn_deg) == (Symbol.PHOTO, 180 + turned)


def test_one_whose_way_is_not_known_claims_none():
    _, (group,) = drawn(mark(2.0, 9.0))
    assert not any(isinstance(item, Mark) for item in group.items)
    assert sum(isinstance(item, Circle) for item in group.items) == 2


def test_two_at_one_place_stand_side_by_side_and_several_of_a_panel_tell_how_many():
    drawing, groups = drawn(mark(2.0, 9.0, 0.0), mark(2.0, 9.0, count=14))
    assert math.dist(groups[0].at, groups[1].at) > 3.6
    assert "14" in drawing.texts
    assert "15 photos." in drawing.desc


def test_one_far_off_the_plan_is_not_drawn():
    drawing, groups = drawn(mark(2000.0, 9.0))
    assert not groups
    assert all(
        not isinstance(i, Mark) or i.symbol != Symbol.PHOTO for i in every_item(drawing.items)
    )


def test_one_in_the_middle_of_a_small_outline_leaves_its_hatch_to_be_seen():
    outline = lot_shape("C4 · 4-8 R · 4-8 U")
    small = DefectMark(1, outline, Symbol.RAVELING)
    _, (alone,) = drawn(mark(*outline.centre))
    _, (moved,) = drawn(mark(*outline.centre), defects=(small,))
    assert math.dist(alone.at, moved.at) > 2.5

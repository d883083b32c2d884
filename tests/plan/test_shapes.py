"""Where a place lies: a point, a line or an area, each with a middle that lies in it."""

import pytest
from shapely import LineString, MultiPolygon, Polygon, box

from registry.plan.shapes import PlanShape, ShapeKind, shape_between


@pytest.mark.parametrize(
    ("corners", "kind", "centre"),
    [
        (((1, 1), (1, 1), (1, 1), (1, 1)), ShapeKind.POINT, (1, 1)),
        (((0, 0), (4, 0), (4, 0), (0, 0)), ShapeKind.LINE, (2, 0)),
        (((0, 0), (4, 0), (4, 2), (0, 2)), ShapeKind.AREA, (2, 1)),
    ],
)
def test_sides_without_a_length_make_a_line_or_a_point(corners, kind, centre):
    shape = shape_between(corners)
    assert (shape.kind, shape.centre) == (kind, centre)


def test_middle_of_a_bent_area_lies_inside_it():
    bent = Polygon([(0, 0), (10, 0), (10, 10), (9, 10), (9, 1), (0, 1)])
    shape = PlanShape(bent)
    x, y = shape.centre
    assert not bent.contains(bent.centroid)
    assert 9 <= x <= 10 or 0 <= y <= 1


def test_middle_of_a_line_lies_half_its_length_along_it():
    assert PlanShape(LineString([(0, 0), (4, 0), (4, 4)])).centre == (4, 0)


def test_row_of_panels_keeps_a_ring_for_each_part_and_no_corner_twice():
    shape = PlanShape(MultiPolygon([box(0, 0, 1, 1), box(2, 0, 3, 2)]))
    assert [len(ring) for ring in shape.rings] == [4, 4] and len(shape.points) == 8
    assert (shape.area_m2, shape.length_m) == (3.0, 0.0)
    assert PlanShape(LineString([(0, 0), (3, 4)])).length_m == 5.0

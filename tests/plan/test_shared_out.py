"""What lies on which panels, and with which part of a split it goes. House rules, no source."""

import pytest
from shapely import LineString, Point, Polygon, box

from registry.plan.shared_out import panels_under, part_of, piece_within

LOT = {"A1": box(0, 0, 3, 4), "A2": box(0, 4, 3, 8), "B1": box(3, 0, 6, 4), "B2": box(3, 4, 6, 8)}
LEFT, RIGHT = ("A1", "A2"), ("B1", "B2")


@pytest.mark.parametrize(
    ("shape", "panels"),
    [
        (Point(1, 1), {"A1"}),
        (Point(3, 2), {"A1", "B1"}),
        (Point(3, 4), {"A1", "A2", "B1", "B2"}),
        (LineString([(1, 1), (3, 1)]), {"A1"}),
        (LineString([(1, 1), (3.5, 1)]), {"A1", "B1"}),
        (LineString([(3, 1), (3, 3)]), {"A1", "B1"}),
        (LineString([(3, 1), (3, 3), (4, 3)]), {"B1"}),
        (box(0, 0, 3.0005, 4), {"A1"}),
        (box(1, 1, 2, 6), {"A1", "A2"}),
        (Point(9, 9), set()),
    ],
    ids=[
        "spot inside", "spot on a joint", "spot on a corner", "crack that ends at the joint",
        "crack over the joint", "along the joint", "from the joint on", "half a millimetre over",
        "over two of one lane", "beside the pavement",
    ],
)  # fmt: skip
def test_panels_under_a_shape(shape, panels):
    assert panels_under(shape, LOT) == panels


@pytest.mark.parametrize(
    ("lies_on", "part"),
    [({"A1"}, 0), ({"A1", "A2"}, 0), ({"B2"}, 1), ({"A1", "B1"}, None), (set(), None)],
    ids=lambda value: (
        " ".join(sorted(value)) or "nowhere" if isinstance(value, set) else str(value)
    ),
)
def test_part_that_has_all_of_it_or_none(lies_on, part):
    assert part_of(lies_on, (LEFT, RIGHT)) == part


@pytest.mark.parametrize("shape", [Point(1, 1), LineString([(1, 1), (5, 3)]), box(1, 1, 4, 2)])
def test_part_does_not_hang_on_the_order_of_the_panels(shape):
    turned = dict(reversed(LOT.items()))
    assert panels_under(shape, LOT) == panels_under(shape, turned)


def test_pieces_at_both_parts_make_the_whole_again():
    area = box(1, 1, 5, 3)
    left = piece_within(area, [LOT[name] for name in LEFT])
    right = piece_within(area, [LOT[name] for name in RIGHT])
    # 4 m x 2 m cut at the joint, and the joint's centimetre on either side: by hand.
    assert (left.area, right.area) == (pytest.approx(2.01 * 2), pytest.approx(2.01 * 2))


def test_what_falls_into_several_pieces_has_none():
    fork = Polygon([(2, 1), (5, 1), (5, 3), (2, 3), (2, 2.5), (4, 2.5), (4, 1.5), (2, 1.5)])
    assert piece_within(fork, [LOT["A1"]]) is None
    assert piece_within(Point(1, 1), [LOT["B1"]]) is None

"""The picture of residuals: squares in the right place, of bounded number."""

import pytest

from registry.drawing.primitives import Area, DrawingError, Group
from registry.drawing.residual_chart import Across, Counted, residual_chart
from registry.drawing.svg import to_svg

AGES = Across("effective age, years", [(0.0, "0"), (0.5, "5"), (1.0, "10")])


def squares(counts):
    drawing = residual_chart(Counted(10, 8, 4.0, counts), AGES, size_mm=(120.0, 66.0))
    groups = [item for item in drawing.items if isinstance(item, Group)]
    return drawing, [(one.title, one.items[0]) for one in groups]


def middle(square: Area):
    return tuple(sum(p[axis] for p in square.points) / 4 for axis in (0, 1))


def test_a_square_stands_in_its_cell_and_grows_with_its_count():
    _, ((few, small), (many, big)) = squares([(0, 0, 1), (9, 7, 100)])
    assert (few, many) == ("1 test", "100 tests")
    assert middle(small)[0] < middle(big)[0]
    assert middle(small)[1] > middle(big)[1]  # y runs down
    assert big.points[1][0] - big.points[0][0] > 3 * (small.points[1][0] - small.points[0][0])


def test_those_who_do_not_see_hear_how_they_lie():
    drawing, _ = squares([(2, 0, 3), (3, 4, 5)])
    assert drawing.title == "Residuals of 8 tests against effective age, years"
    assert drawing.desc == "5 lie above 0, 3 below; 3 beyond plus or minus 2."


def test_nothing_to_show_is_said():
    drawing, found = squares([])
    assert not found
    assert drawing.desc == "No test with a number."


def test_a_full_grid_stays_light():
    full = [(c, r, 9) for c in range(36) for r in range(24)]
    drawing = residual_chart(Counted(36, 24, 4.0, full), AGES, size_mm=(120.0, 66.0))
    assert len(to_svg(drawing, id_prefix="r")) < 250_000


def test_too_small_a_paper_is_refused():
    with pytest.raises(DrawingError, match="no room"):
        residual_chart(Counted(10, 8, 4.0, []), AGES, size_mm=(30.0, 10.0))
